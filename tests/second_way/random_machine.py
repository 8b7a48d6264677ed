"""Random machines that suit the depths and heights they are to be set to, mostly."""

from fractions import Fraction

from amounts import decimal_text, exact_text
from groove import half_width
from lengths import INCH, parse


class MachineMaker:
    """Needs self.rng, self.chance and self.shop_amounts, and the taper made before."""

    def _bare_machine(self):
        """Kind, screws and where the strip lies: enough to know the depths by."""
        rng, amounts = self.rng, self.shop_amounts
        unit = amounts.unit
        if self.chance(self.share_curves):
            return self._curve_machine()
        kind = rng.choice(("planing-form", "screw-mill"))
        machine = {"kind": kind}
        spans = {n: parse(s["to"], self.taper_amounts.unit) - parse(s["from"], self.taper_amounts.unit)
                 for n, s in self.taper["sections"].items()}
        if len(spans) > 1 and not self.sections and self.chance(0.12):
            served = rng.sample(list(spans), rng.randint(1, len(spans) - 1))
            machine["for"] = served
            spans = {n: spans[n] for n in served}
        longest = max(spans.values()) + 120
        pitch = rng.choice((5, 5, 4, 3, 6)) * INCH if unit == "in" else Fraction(rng.choice((125, 100, 127, 150)))
        pitch = max(pitch, longest / 22)
        pitch = parse(decimal_text(pitch / (INCH if unit == "in" else 1), 1), unit)
        count = int(longest / pitch) + rng.randint(2, 5)
        if self.chance(0.05):
            count = max(2, count - rng.randint(3, 5))
        scale = INCH if unit == "in" else 1
        first = Fraction(0) if self.chance(0.8) else Fraction(rng.randint(-4, 40)) * scale / 2
        if self.chance(0.8):
            machine["screws"] = {"first": decimal_text(first / scale, 1),
                                 "pitch": decimal_text(pitch / scale, 1), "count": str(count)}
        else:
            places = [first + i * pitch + (Fraction(rng.randint(-8, 8)) if 0 < i else 0) for i in range(count)]
            machine["screws"] = [decimal_text(p / scale, rng.choice((1, 2, 3))) for p in places]
        spare_room = first + pitch * (count - 1) - first - longest
        if spare_room > 0:
            at = first + spare_room * Fraction(rng.randint(0, 100), 100)
        else:
            at = first
        machine["strip_at"] = decimal_text(at / scale, rng.choice((0, 1, 2)) if at != first else 3)
        if machine["strip_at"] == "0" and self.chance(0.5):
            del machine["strip_at"]
        if self.chance(0.3):
            machine["feeds"] = rng.choice(("tip-first", "butt-first"))
        if kind == "screw-mill":
            if self.chance(0.6):
                machine["bar"] = rng.choice(("spring", "straight"))
            radius = "0" if self.chance(0.05) else amounts.fine(8, 75)
            machine[rng.choice(("cutter_radius", "cutter_diameter"))] = radius
        if machine.get("bar") != "straight" and self.chance(self.share_fitted):
            machine["fit"] = "best"
        elif self.chance(0.1):
            machine["fit"] = "at-screws"
        return machine

    def _curve_machine(self):
        rng, fine = self.rng, self.shop_amounts.fine
        machine = {"kind": rng.choice(("pattern-mill", "cnc-mill")),
                   "strip_at": self.shop_amounts.along(0, 200)}
        if self.chance(0.3):
            machine["feeds"] = rng.choice(("tip-first", "butt-first"))
        machine[rng.choice(("cutter_radius", "cutter_diameter"))] = fine(8, 75)
        if machine["kind"] == "pattern-mill":
            machine["follower_radius"] = "0" if self.chance(0.1) else fine(5, 60)
            if self.chance(0.6):
                machine["pattern_per_cutter"] = rng.choice(("2", "0.5", "-1", "-2", "1", "3.5"))
            if self.chance(0.6):
                machine["base"] = fine(0, 20)
        else:
            machine["feed"] = self.shop_amounts.along(300, 1500)
            machine["spindle_rpm"] = str(rng.randint(60, 180) * 100)
        return machine

    def _fit_out(self, machine, setup):
        """Closed depth, gauge, dial and passes that suit the depths, mostly."""
        if "screws" not in machine:
            if machine["kind"] == "cnc-mill" and self.chance(3 * self.share_passes):
                machine["passes"] = self._passes(machine, setup)
            return
        wanted = []
        for section in setup.sections:
            reach = setup.machine_reach(section)
            for at in setup.machine["screws"]:
                if reach[0] <= at <= reach[1]:
                    x = setup.taper_at(section, at)
                    wanted.append((at, setup.offset(section, x), setup.strips[section["name"]].milled(x)))
        if not wanted:
            return
        if machine["kind"] == "planing-form":
            self._fit_form(machine, setup.machine["screws"], wanted)
        else:
            self._fit_mill(machine, wanted)
        if self.chance(self.share_passes):
            machine["passes"] = self._passes(machine, setup)

    def _fit_form(self, machine, screws, wanted):
        rng, fine = self.rng, self.shop_amounts.fine
        first, last = screws[0], screws[-1]
        thin, thick = 1.0, rng.choice((1.0, rng.uniform(1, 3)))

        def closed(at):
            return thin + (thick - thin) * float((at - first) / (last - first))

        size = min(float(depth) / closed(at) for at, depth, _ in wanted)
        size *= rng.uniform(1.01, 1.2) if self.chance(0.06) else rng.uniform(0.15, 0.985)
        if machine.get("fit") == "best":
            size *= 0.6  # what a fitted screw does at the closed depth is another matter
        know = self.chance(0.8)
        if know:
            ends = [size * thin * 0.995, size * thick * 0.995]
            machine["closed_depth"] = {"thin_end": fine(ends[0] * 0.98, ends[0]),
                                       "thick_end": fine(ends[1] * 0.98, ends[1])}
        if self.chance(0.8):
            machine["screw_lead"] = rng.choice((fine(0.5, 2), "1/20 in", "1/24 in", "1.25 mm", "0.8 mm"))
        tip = rng.choice(("sharp", "flat", "ball", "none"))
        if tip == "sharp":
            machine["depth_gauge"] = {"tip": "sharp"}
        elif tip == "flat":
            least = min(2 * half_width(float(d), 0) for _, d, _ in wanted)
            share = rng.uniform(1.02, 1.3) if self.chance(0.08) else rng.uniform(0.1, 0.97)
            machine["depth_gauge"] = {"tip": "flat", "diameter": fine(share * least * 0.99, share * least)}
        elif tip == "ball":
            most = max((float(d) - size * closed(at) if know else float(d) * 0.7) * 4 / 3 for at, d, _ in wanted)
            most = max(most, 0.1)
            share = rng.uniform(0.5, 0.97) if self.chance(0.1) else rng.uniform(1.02, 2)
            machine["depth_gauge"] = {"tip": "ball", "diameter": fine(share * most * 0.99, share * most + 0.01)}

    def _fit_mill(self, machine, wanted):
        rng, fine = self.rng, self.shop_amounts.fine
        if self.chance(0.05):
            return
        dial, sense, rate, zero = {}, 1, Fraction(1), Fraction(0)
        if self.chance(0.7):
            dial["zero"] = fine(0, 8)
            zero = parse(dial["zero"], self.shop_amounts.unit)
        if self.chance(0.5):
            dial["counts"] = rng.choice(("up", "down"))
            sense = 1 if dial["counts"] == "up" else -1
        if self.chance(0.5):
            rate = rng.choice((Fraction(1), Fraction(2), Fraction(1, 2), Fraction(5, 4)))
            dial["dial_per_offset"] = decimal_text(rate, 2)
        if self.chance(0.75):
            dial["division"] = rng.choice(("0.0005 in", "0.001 in", "0.01 mm", "0.02 mm", "10 um"))
        if self.chance(0.8):
            dial["screw_lead"] = rng.choice(("0.025 in", "1/20 in", "1 mm", "0.5 mm", "1/24 in"))
        if self.chance(0.5):
            shown = [zero + sense * rate * Fraction(o) for _, o, _ in wanted]
            low, high = min(shown), max(shown)
            room = (high - low) / 10 + Fraction(1, 10)
            if self.chance(0.1):
                low += room * Fraction(3, 2)
            low, high = low - room, high + room
            scale = INCH if self.shop_amounts.unit == "in" else 1
            dial["range"] = [decimal_text(low / scale, 3), decimal_text(high / scale, 3)]
        if dial:
            machine["dial"] = dial

    def _passes(self, machine, setup):
        rng, fine = self.rng, self.shop_amounts.fine
        if machine["kind"] == "planing-form":
            stages = [fine(0.1, 0.5), "0"]
            if self.chance(0.5):
                stages.insert(0, fine(0.6, 1.2))
            return {"over": stages}
        bounds = [setup.strips[s["name"]].least_milled(*setup.strip_reach(s)) for s in setup.sections]
        most, unit = max(high for _, high in bounds), self.shop_amounts.unit
        last_cut = rng.choice((fine(0.05, 0.4), "0.5 mm", "0.01 in"))
        start = rng.choice(("over", "over", "height", "height", "plain"))
        rough = None
        if start == "plain":
            low, high = rng.choice(bounds)
            to_take = high + setup.shop["rough_over"] - low
        elif start == "over":
            rough = {"over": rng.choice((fine(0.3, 2.5), "0.03 in", "0.06 in", "1.5 mm", "2 mm"))}
            to_take = parse(rough["over"], unit)
        else:
            room = -0.2 if self.chance(0.06) else 0.05  # a rough strip too low, now and then
            rough = {"height": fine(float(most) + room, float(most) + 0.1 + 10 * max(room, 0) * rng.uniform(0.2, 4))}
            to_take = parse(rough["height"], unit) - rng.choice(bounds)[0]
        max_cut = rng.choice((fine(0.5, 1), "0.5 mm", "0.03 in", "0.02 in", "0.005 in"))
        if parse(max_cut, unit) < parse(last_cut, unit):
            max_cut, last_cut = last_cut, max_cut
        to_take -= parse(last_cut, unit)
        if self.chance(0.3) and isinstance(to_take, Fraction) and to_take > 0:
            # The number of passes just on the border: cuts that come out even.
            even = to_take / rng.choice((1, 2, 4, 5))
            if even >= parse(last_cut, unit):
                max_cut = exact_text(even) or max_cut
        plan = {"max_cut": max_cut, "last_cut": last_cut}
        return plan if rough is None else {"rough": rough, **plan}
