"""One call of `learn`: the program run on it, its figures held against the second computation."""

import csv
import io

from agreement import DIGITS, Agreement, FiguresTrial, read_json
from glued_ring import CLEANUP, DIFFERENCE, GLUE, VARNISH
from lengths import INCH
from trial import first_line

CLOSE = 2e-9  # mm, of an interval: Student's t is found by iteration
THICKEST = 2.0  # mm: no layer of a shop file is thicker
KEYS = {"cleanup": CLEANUP, "glue_line": GLUE, "varnish": VARNISH}


class LearnTrial(FiguresTrial):
    def run(self):
        done = self.first_call()
        silent = [ring.name for ring in self.case.rings if not ring.teaches()]
        if silent:
            self.agree.text(f"status, {silent[0]} teaches nothing", 2, done.returncode)
            return
        if done.returncode not in (0, 1):
            self.agree.differ("status", done.returncode, "0 or 1: " + first_line(done.stderr))
            return
        self.found = read_json(done.stdout)
        learned = {e.name: e for e in self.case.estimates() if e.values}
        self.agree.text("allowances", list(learned), [row["allowance"] for row in self.found["allowances"]])
        self.odd = {name: estimate.odd() for name, estimate in learned.items()}
        self._values(learned)
        for row in self.found["allowances"]:
            self._estimate(learned[row["allowance"]], row)
        self._proposal(learned)
        self._status(learned, done.returncode)
        self._csv(self.call("csv"))

    def _values(self, learned):
        shown = {(v["allowance"], v["ring"], round(float(v["at" + self.suffix]) * self.scale, 2), v["flats"]): v
                 for v in self.found["values"]}
        for name, estimate in learned.items():
            for i, value in enumerate(estimate.values):
                where = name, value.ring, round(float(value.at), 2), value.flats
                if where not in shown:
                    self.agree.differ(f"value {where}", None, value.value)
                    continue
                self.agree.length(f"value {where}", value.value, shown[where]["value" + self.suffix])
                self.agree.text(f"odd {where}", "yes" if i in self.odd[name] else "no", shown[where]["odd"])
        self.agree.text("how many values", sum(len(e.values) for e in learned.values()), len(self.found["values"]))

    def _estimate(self, estimate, row):
        sample, where = estimate.sample, estimate.name + " "
        for what, count in (("rods", sample.rods), ("stations", sample.stations), ("sample", len(sample.means)),
                            ("sample_of", "rods" if sample.of_rods else "stations"),
                            ("values", len(estimate.values)), ("odd_values", len(self.odd[estimate.name]))):
            self.agree.text(where + what, count, row[what])
        half, measured, odd = estimate.half, estimate.measured, self.odd[estimate.name]
        for what, length, slack in (
                ("measured", measured, 0), ("shop", estimate.in_shop, 0), ("off", estimate.off, 0),
                ("spread", estimate.spread, 0), ("standard_error", estimate.error, 0),
                ("gauge_part", estimate.gauge_part, 0),
                ("low", None if half is None else measured - half, CLOSE),
                ("high", None if half is None else measured + half, CLOSE),
                ("without_odd", estimate.without(odd) if odd else None, 0)):
            self.agree.length(where + what, length, row[what + self.suffix], slack)
        if half is not None and abs(abs(estimate.off) - half) > CLOSE:
            self.agree.text(where + "differs", "yes" if estimate.differs() else "no", row["differs"])
        self.outcome.made_of["sample of " + ("rods" if sample.of_rods else "stations")] += 1
        self.outcome.made_of["an allowance that differs from the shop's"] += bool(estimate.differs())
        self.outcome.made_of["odd values"] += len(odd)
        self.outcome.made_of["an interval that is not known"] += half is None
        self.outcome.made_of["a spread below what the gauge's step leaves"] += (
            len(sample.means) > 1 and estimate.error * len(sample.means) ** 0.5 > estimate.spread + 1e-9)

    def _proposal(self, learned):
        """What the shop file is proposed to say: of what is outside its interval the new value, and
        clean-up less glue line as measured."""
        told = self.found["shop_file"]
        shop = Agreement(self.outcome, self.case.number, told["unit"])
        scale = float(INCH) if told["unit"] == "in" else 1.0
        half = 0.5 * 10.0 ** -DIGITS[told["unit"]] * scale
        rows, allowances = {row["key"]: row for row in told["keys"]}, self.case.shop["allowances"]
        value = {key: float(row["value"]) * scale for key, row in rows.items()}
        changed = {key for key, row in rows.items() if row["changes"]}
        beyond = any("cannot be" in row["why"] for row in rows.values())
        for key, row in rows.items():
            self.outcome.made_of[f"proposal: {key} {row['why']}"] += 1
            shop.length(f"proposal {key} in shop", allowances[key], row["in_shop"])
            estimate = learned.get(KEYS[key])
            due = estimate is not None and estimate.half is not None and (
                estimate.differs() or key not in self.case.given)
            if key not in changed:
                shop.length(f"proposal {key} stays", allowances[key], row["value"])
                if due and not beyond and abs(abs(estimate.off) - estimate.half) > CLOSE:
                    self.agree.differ(f"proposal {key}", row["why"], f"{estimate.measured} mm")
                continue
            if not 0 <= value[key] <= THICKEST:
                self.agree.differ(f"proposal {key}", row["value"], "0 to 2 mm")
            if "outside" in row["why"]:
                self.agree.text(f"proposal {key}, {row['why']}", True, bool(due and estimate.differs()))
            if key == "varnish":
                shop.length("proposal varnish", estimate.measured, row["value"])
        difference = learned.get(DIFFERENCE)
        if changed & {"cleanup", "glue_line"} and difference and difference.half is not None:
            off = value["cleanup"] - value["glue_line"] - difference.measured
            self.agree.text(f"proposal: difference off by {off}", True, abs(off) <= 2 * half + CLOSE)

    def _status(self, learned, status):
        """0 where the shop file has all that could be learned, with an interval, and nothing is in doubt."""
        if any(e.half is not None and abs(abs(e.off) - e.half) <= CLOSE for e in learned.values()):
            return
        agrees = all(e.differs() is False for e in learned.values()) and not any(self.odd.values())
        stays = not any(row["changes"] or "cannot" in row["why"] for row in self.found["shop_file"]["keys"])
        self.agree.text("status", 0 if agrees and stays else 1, status)

    def _csv(self, done):
        """The same estimates as a table, with all of their digits."""
        for row, told in zip(self.found["allowances"], csv.DictReader(io.StringIO(done.stdout))):
            for column, text in told.items():
                wanted = row.get(column)
                if isinstance(wanted, str) and column.endswith(self.suffix):
                    self.agree.text(f"csv {column}", f"{float(wanted):.{6 if self.case.unit == 'in' else 5}f}", text)
                else:
                    self.agree.text(f"csv {column}", "" if wanted is None else str(wanted), text)

