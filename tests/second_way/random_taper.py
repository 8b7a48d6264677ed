"""Random tapers: real sizes, but steep tips, hinges and gaps more often than in life."""

from fractions import Fraction

from amounts import decimal_text, exact_text
from lengths import INCH, parse

SECTION_NAMES = {
    1: [["whole"], ["tip"]],
    2: [["tip", "butt"], ["Tip 1", "Butt"]],
    3: [["tip", "mid", "butt"], ["tip", "upper mid", "butt"]],
    4: [["tip", "mid-1", "mid-2", "butt"], ["A", "B", "C", "D"]],
}


class TaperMaker:
    """Needs self.rng, self.chance and self.taper_amounts."""

    def _places(self):
        """Texts of the stations' places, increasing."""
        rng, amounts = self.rng, self.taper_amounts
        length = rng.uniform(1300, 3400)
        first = 0 if self.chance(0.9) else rng.uniform(10, 200)
        style = rng.random()
        if style < 0.6:
            if amounts.unit == "in":
                step = rng.choice((3, 5, 5, 5, 6, 10, Fraction(5, 2))) * INCH
                places, scale = 1, INCH
            else:
                step, places, scale = Fraction(rng.choice((100, 125, 127, 150, 250))), 0, 1
            count = int(length / step) + 1
            return [decimal_text(i * step / scale, places) for i in range(count + 1)]
        count = rng.choice((2, 3, 4)) if style < 0.8 else rng.randint(5, 22)
        least = 0.3 * (length - first) / count
        marks = [first] + sorted(rng.uniform(first, first + length) for _ in range(count - 1))
        for i in range(1, count):
            marks[i] = max(marks[i], marks[i - 1] + least)
        texts = [amounts.along(m, m + 0.5 * least) for m in marks]
        return ["0" if first == 0 else texts[0]] + texts[1:]

    def _taper(self):
        rng, amounts = self.rng, self.taper_amounts
        texts = self._places()
        at = [parse(t, amounts.unit) for t in texts]
        steep = self.chance(0.25)
        across = rng.uniform(1.0, 1.7) if steep else rng.uniform(1.4, 2.8)
        if self.chance(0.02):
            across = rng.uniform(0.45, 0.9)
        slope = rng.uniform(0.0015, 0.0045)
        stations = {}
        for i, text in enumerate(texts):
            if i:
                run = float(at[i] - at[i - 1])
                local = slope * rng.uniform(0.5, 1.6)
                if steep and float(at[i]) < 200:
                    local = rng.uniform(0.015, 0.05)
                if self.chance(0.04):
                    local = rng.choice((0.0, -0.3)) * slope
                across = min(max(across + run * local, 0.5), 17 + rng.random())
            stations[text] = amounts.fine(across, across + 0.03)
        if self.chance(0.04):
            # The wrong way round: thick at the tip, a steep fall at the butt.
            stations = dict(zip(stations, reversed(stations.values())))
        sections = self._sections(at)
        if self.chance(0.2):
            keys = list(stations)
            rng.shuffle(keys)
            stations = {k: stations[k] for k in keys}
        taper = {"format": "stripwright-taper-1"}
        if self.chance(0.8):
            taper["name"] = rng.choice(("Yarrow", "Teasel", "Burdock", "Sorrel"))
        if self.chance(0.3):
            taper["about"] = "invented for a test"
        taper["unit"] = amounts.unit
        if self.chance(0.6):
            taper["measured"] = rng.choice(("bare", "varnished"))
        if self.chance(0.7):
            taper["between"] = rng.choice(("linear", "smooth"))
        taper["taper"] = stations
        taper["sections"] = {
            name: {"from": a, "to": b} | ({"make": str(rng.randint(1, 3))} if self.chance(0.3) else {})
            for name, a, b in sections
        }
        if len(sections) > 1 and self.chance(0.3):
            taper["ferrules"] = [{"at": sections[0][2], "bore": amounts.fine(2, 6)}]
        return taper

    def _sections(self, at):
        rng, amounts = self.rng, self.taper_amounts
        unit = amounts.unit
        count = rng.choice((1, 2, 2, 2, 3, 3, 4))
        first, last = at[0], at[-1]
        part = (last - first) / count
        ends = [first]
        for i in range(1, count):
            near = first + part * i
            inner = [x for x in at if abs(x - near) < part / 3]
            if inner and self.chance(0.6):
                ends.append(rng.choice(inner))
            else:
                ends.append(parse(amounts.along(near - part / 4, near + part / 4), unit))
        ends.append(last)
        if self.chance(0.1):
            ends[0] += part / 10
        if self.chance(0.1):
            ends[-1] -= part / 10
        sections = []
        for i, name in enumerate(rng.choice(SECTION_NAMES[count])):
            a, b = ends[i], ends[i + 1]
            if i and self.chance(0.08):
                a += part / 12
            sections.append((name, self._place(a, first, last), self._place(b, first, last)))
        return sections

    def _place(self, value, first, last):
        """Text for a place that must not leave the taper: exact, or to a tenth of a mm."""
        scale = INCH if self.taper_amounts.unit == "in" else 1
        text = decimal_text(value / scale, 5)
        if parse(text, self.taper_amounts.unit) == value:
            return text
        rounded = Fraction(round(value * 10), 10)
        if first < rounded < last:
            return decimal_text(rounded, 1) + " mm"
        return exact_text(value)
