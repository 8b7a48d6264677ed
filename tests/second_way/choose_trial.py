"""One call of `choose`: the ring it keeps against the best of all rings, and what the ring achieves."""

from agreement import FiguresTrial, read_json
from chosen import Chosen, Pair, TwoRings, nanometres, out_of_round
from trial import first_line

NANOMETRES = 1e6  # in a mm


def opposite(ring):
    """The pairs that lie opposite each other, the one with the first strip first."""
    return sorted((Pair(ring[i], ring[i + 3]) for i in range(3)), key=lambda pair: pair.first.name)


class ChooseTrial(FiguresTrial):
    def run(self):
        done = self.first_call()
        if done.returncode not in (0, 1):
            self.agree.differ("status", done.returncode, "0 or 1: " + first_line(done.stderr))
            return
        self.bench = self.case.bench()
        self.candidates, sure = self.case.candidates(self.bench)
        if not sure:
            self.outcome.counts["cases on a border of right"] += 1
            return
        told = read_json(done.stdout)["sections"][0]
        self._choice(told, done.returncode)

    def _choice(self, told, status):
        names = {candidate.name for candidate in self.candidates}
        self.agree.text("strips to choose from", len(names), told["strips_to_choose_from"])
        self.agree.text("strips measured", len(self.bench.readings), told["strips_measured"])
        self.agree.text("number of shifts", len(self.case.grid), len(told["shifts"]))
        for i, (wanted, got) in enumerate(zip(sorted(self.case.grid), sorted(told["shifts"], key=float))):
            self.agree.length(f"shift {i}", wanted, got)
        self.border = any(candidate.on_border for candidate in self.candidates)
        self.slack = 2e-6 if self.border else 0.0
        self.outcome.counts["cases with half a nanometre somewhere"] += self.border
        if self.case.rings == 2:
            self._two(told, names)
            return
        best = Chosen(self.candidates, self.case.rules)
        if best.ring is None:
            self.outcome.made_of["no ring"] += 1
            self.agree.text("rings", 0, len(told["rings"]))
            self.agree.text("status without a ring", 1, status)
            return
        if not told["rings"]:
            self.agree.differ("rings", [], best.key)
            return
        self.agree.text("proven", True, told["proven"])
        self._value("best", best.key, told["value"])
        self._value("bound", best.key, told["bound"])
        ring, key, within = self._ring(told["rings"][0])
        self.agree.text("status", 0 if within and not key[0] else 1, status)
        if ring and not self.border:
            self.agree.text("pair by pair", best.key[4], [pair.comes for pair in opposite(ring)])

    def _two(self, told, names):
        """Two rings, as good as the best two; each is what it is said to be."""
        if len(names) < 12:
            self.outcome.made_of["too few for two rings"] += 1
            return
        best = TwoRings(self.candidates)
        self.agree.text("two rings proven", True, told["proven"])
        self._value("best two", (0,) + best.key, told["value"])
        self.agree.text("two rings", 2, len(told["rings"]))
        strips = {place["strip"] for ring in told["rings"] for place in ring["places"]}
        self.agree.text("no strip twice", 12, len(strips))
        for ring in told["rings"]:
            self._ring(ring)
        self.outcome.made_of["two rings"] += 1

    def _value(self, where, key, told):
        for what, size in zip(("node_shortfall", "largest_deviation", "out_of_round"), key):
            self.agree.length(f"{where} {what}", size / NANOMETRES, told[what], self.slack)
        imbalance = key[3] / NANOMETRES if self.case.dense else None
        self.agree.plain(f"{where} density", imbalance, told["density_imbalance"], 6)

    def _ring(self, told):
        """The program's own ring, reckoned anew: its candidates, its value, whether it is within limits."""
        ring = [self._candidate(place) for place in told["places"]]
        if None in ring:
            self.agree.differ("ring", [place["strip"] for place in told["places"]], "strips that may be chosen")
            return None, (0,), False
        pairs = opposite(ring)
        lacking = self.case.rules.lacking(ring) if self.case.rules else 0
        key = (lacking, max(pair.largest for pair in pairs), out_of_round(pairs),
               nanometres(max(pair.imbalance for pair in pairs)) if self.case.dense else 0)
        self._value("ring", key, told["value"])
        step = max(abs(a - b) for one, two in zip(ring, ring[1:] + ring[:1])
                   for a, b in zip(one.deviations, two.deviations))
        self.agree.length("step of neighbours", step / NANOMETRES, told["largest_step_of_neighbours"], self.slack)
        self._nodes(ring, told)
        within = self._stations(ring, told["stations"])
        self.agree.text("within limits", within, told["within_limits"])
        self.outcome.made_of["ring that keeps the node rules" if self.case.rules and not key[0] else
                             "ring that cannot keep the node rules" if self.case.rules else "ring without nodes"] += 1
        self.outcome.made_of["ring with a moved strip"] += any(c.shift for c in ring)
        self.outcome.made_of["ring within limits"] += within
        return ring, key, within

    def _candidate(self, place):
        shift = float(place["shift" + self.suffix]) * self.scale
        mine = [c for c in self.candidates if c.name == place["strip"] and abs(float(c.shift) - shift) < 1e-3]
        return mine[0] if mine else None

    def _nodes(self, ring, told):
        nearest = None
        if self.case.rules:
            within = [self.case.rules.within(candidate.nodes) for candidate in ring]
            nearest = min((abs(y - z) for one, two in zip(within, within[1:] + within[:1])
                           for y in one for z in two), default=None)
        self.agree.length("nearest nodes", nearest, told["nearest_nodes"])

    def _stations(self, ring, told):
        """What the section should measure; whether all of it is within the limits."""
        over, under = self.case.flats_tolerance
        within = True
        self.agree.text("stations", len(self.bench.stations), len(told))
        for i, (x, row) in enumerate(zip(self.bench.stations, told)):
            flats = self.case.rows_at(x)
            off = [(ring[k].deviations[i] + ring[k + 3].deviations[i]) / NANOMETRES for k in range(3)]
            where = f"at {float(x)} mm "
            self.agree.length(where + "station", x, row["at" + self.suffix])
            self.agree.length(where + "target", flats["flats_glued"], row["flats_glued" + self.suffix])
            for k in range(3):
                self.agree.length(where + f"f{k + 1}", float(flats["flats_glued"]) + off[k],
                                  row[f"f{k + 1}" + self.suffix], self.slack)
            sizes = sorted(map(abs, off))
            if sizes[2] > sizes[1] or len({value > 0 for value in off}) == 1:
                self.agree.length(where + "deviation", max(off, key=abs), row["deviation" + self.suffix], self.slack)
            self.agree.length(where + "out of round", max(off) - min(off), row["out_of_round" + self.suffix],
                              self.slack)
            growth = sum(off) / 3 / float(flats["flats_bare"])
            self.agree.plain(where + "stiffness", 100 * ((1 + growth) ** 4 - 1), row["stiffness_pct"], 4,
                             500 * (1e-9 + self.slack) / float(flats["flats_bare"]))
            within = within and all(-float(under) <= each <= float(over) for each in off)
        return within
