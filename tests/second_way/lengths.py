"""The length grammar, read into exact fractions of a millimetre.

    0.25 in   .25in   13/64 in   1 3/8 in   7 ft 6 in   7ft6in   70 thou
    6.35 mm   2.5 cm  1.2 m      120 um

Blanks are optional. A bare number takes the unit of the file it stands in;
where there is none it is refused. Exact: 1 in = 25.4 mm (international
agreement of 1959), 1 ft = 12 in, 1 thou = 1/1000 in.
"""

import re
from fractions import Fraction

INCH = Fraction(254, 10)
MILLIMETRES_IN = {
    "in": INCH,
    "ft": 12 * INCH,
    "thou": INCH / 1000,
    "mm": Fraction(1),
    "cm": Fraction(10),
    "m": Fraction(1000),
    "um": Fraction(1, 1000),
}

# No leading zeros (`010` is octal to some readers), no exponent, no comma.
_WHOLE = r"(?:0|[1-9][0-9]*)"
_DECIMAL = rf"(?:{_WHOLE}(?:\.[0-9]+)?|\.[0-9]+)"
_AMOUNT = rf"(?:{_WHOLE}[ ]+{_WHOLE}/{_WHOLE}|{_WHOLE}/{_WHOLE}|{_DECIMAL})"
_LENGTH = re.compile(rf"(-?)[ ]*({_AMOUNT})[ ]*(in|ft|thou|mm|cm|m|um)?")
_FEET_AND_INCHES = re.compile(rf"(-?)[ ]*({_AMOUNT})[ ]*ft[ ]*({_AMOUNT})[ ]*in")
_PLAIN = re.compile(rf"(-?)({_DECIMAL})")


class LengthError(ValueError):
    pass


def _amount(text):
    total = Fraction(0)
    for part in text.split():
        above, slash, below = part.partition("/")
        if not slash:
            total += Fraction(part)
        elif int(below) == 0:
            raise LengthError(f"a fraction of nothing: {text!r}")
        else:
            total += Fraction(int(above), int(below))
    return total


def parse(text, unit=None):
    """Millimetres as a Fraction; `unit` (in, mm or None) is for bare numbers."""
    text = text.strip(" ")
    both = _FEET_AND_INCHES.fullmatch(text)
    if both:
        size = 12 * INCH * _amount(both[2]) + INCH * _amount(both[3])
        return -size if both[1] else size
    one = _LENGTH.fullmatch(text)
    if not one:
        raise LengthError(f"not a length: {text!r}")
    named = one[3] or unit
    if named is None:
        raise LengthError(f"a number without a unit: {text!r}")
    size = _amount(one[2]) * MILLIMETRES_IN[named]
    return -size if one[1] else size


def plain(text):
    """A count, a ratio, a percent: a decimal number without a unit, exact."""
    found = _PLAIN.fullmatch(text.strip(" "))
    if not found:
        raise LengthError(f"not a plain number: {text!r}")
    value = Fraction(found[2])
    return -value if found[1] else value
