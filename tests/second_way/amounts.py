"""Random lengths as a maker would write them, and YAML as a maker would lay it out."""

from fractions import Fraction

from lengths import INCH, parse


def decimal_text(value, places):
    """A Fraction rounded to so many decimals, trailing zeros dropped."""
    scaled = round(value * 10 ** places)
    sign, digits = ("-" if scaled < 0 else ""), str(abs(scaled)).rjust(places + 1, "0")
    if places == 0:
        return sign + digits
    return (sign + digits[:-places] + "." + digits[-places:]).rstrip("0").rstrip(".")


def exact_text(value):
    """A length in mm as text that means exactly it, or None."""
    for places in range(13):
        if value * 10 ** places == int(value * 10 ** places):
            return decimal_text(value, places) + " mm"
    return None


class Amounts:
    """Lengths between two sizes in mm, in the file's unit or in another's."""

    def __init__(self, rng, unit):
        self.rng, self.unit = rng, unit

    def _styled(self, value):
        rng, inches = self.rng, value / INCH
        style = rng.random()
        if style < 0.75:
            if self.unit == "in":
                text = decimal_text(inches, rng.choice((3, 4, 4, 4, 5)))
            else:
                text = decimal_text(value, rng.choice((2, 2, 2, 3)))
            return text[1:] if text.startswith("0.") and rng.random() < 0.2 else text
        blank = rng.choice((" ", " ", ""))
        if style < 0.80:
            return decimal_text(inches, 4) + blank + "in"
        if style < 0.84:
            return decimal_text(inches * 1000, rng.choice((0, 1))) + blank + "thou"
        if style < 0.90:
            return decimal_text(value, 2) + blank + "mm"
        if style < 0.92:
            return decimal_text(value / 10, 3) + blank + "cm"
        if style < 0.94:
            return decimal_text(value * 1000, 0) + blank + "um"
        below = rng.choice((16, 32, 64, 64, 128))
        return f"{round(inches * below)}/{below}" + blank + "in"

    def fine(self, low, high):
        """A length across, of few decimals: heights, allowances, radii."""
        for _ in range(20):
            text = self._styled(self._between(low, high))
            if low <= parse(text, self.unit) <= high:
                return text
        return decimal_text(self._between(low, high) * 1000, 0) + " um"

    def _between(self, low, high):
        return Fraction(self.rng.uniform(float(low), float(high)))

    def along(self, low, high):
        """A length along the rod, of a coarse step."""
        value = self._between(low, high)
        rng, inches = self.rng, value / INCH
        style = rng.random()
        if style < 0.82:
            if self.unit == "mm":
                return str(round(value)) if rng.random() < 0.8 else decimal_text(value, 1)
            return decimal_text(Fraction(round(inches * 8), 8), 3)
        if style < 0.86:
            return decimal_text(inches, 2) + " in"
        if style < 0.90:
            return decimal_text(value / 10, 1) + " cm"
        if style < 0.93:
            eighths = round(inches * 8)
            whole, part = divmod(eighths, 8)
            return f"{whole} {part}/8 in" if whole and part else f"{eighths}/8 in"
        if style < 0.96 and inches >= 12:
            feet = int(inches // 12)
            rest = decimal_text(Fraction(int((inches - 12 * feet) * 4), 4), 2)
            return f"{feet} ft {rest} in" if rng.random() < 0.7 else f"{feet}ft{rest}in"
        if style < 0.98:
            return decimal_text(value / 1000, 3) + " m"
        return decimal_text(value, 1) + " mm"


def _scalar(rng, text):
    if rng.random() < 0.06:
        quote = rng.choice("'\"")
        return quote + text + quote
    return text


def _flow(rng, node):
    if isinstance(node, dict):
        return "{" + ", ".join(f"{k}: {_flow(rng, v)}" for k, v in node.items()) + "}"
    if isinstance(node, list):
        return "[" + ", ".join(_flow(rng, v) for v in node) + "]"
    return _scalar(rng, node)


def yaml_text(rng, node, indent=0):
    """Block style mostly; small maps and lists in flow style as often as not."""
    lines = []
    for key, value in node.items():
        lead = " " * indent + key + ":"
        small = isinstance(value, (dict, list)) and not any(
            isinstance(v, (dict, list)) for v in
            (value.values() if isinstance(value, dict) else value))
        if not isinstance(value, (dict, list)):
            lines.append(f"{lead} {_scalar(rng, value)}")
        elif not value or isinstance(value, list) or (small and rng.random() < 0.5):
            lines.append(f"{lead} {_flow(rng, value)}")
        else:
            lines.append(lead)
            lines.append(yaml_text(rng, value, indent + 2).rstrip("\n"))
        if indent == 0 and rng.random() < 0.1:
            lines.append("# a remark: {not, read}")
    return "\n".join(lines) + "\n"
