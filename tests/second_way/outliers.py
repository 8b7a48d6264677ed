"""Values that lie farther off than chance has it: the generalized test of extreme deviates.

B. Rosner 1983, as in the NIST/SEMATECH e-Handbook, 1.3.5.17.3; docs/method.md 14.
"""

import math
from functools import lru_cache

from judging import spread, student

FALSE_ALARM = 0.01
FEW = 15  # the test holds from so many on; of fewer one is looked for (e-Handbook, the same place)
NOTHING = 1e-12  # mm: what is left of equal values
MOST = 10  # as in Rosner's own example


@lru_cache(None)
def limit(count, step, false_alarm=FALSE_ALARM):
    """Lambda: so many spreads off chance has the farthest of count - step + 1 values."""
    left = count - step + 1
    # Two-sided, shared among all that are left: the t that 1 - 2 p lies within.
    t = student(left - 2, 1 - false_alarm / left)
    return (left - 1) * t / math.sqrt((left - 2 + t * t) * left)


def suspects(count):
    """How many of so many values are looked at: a fifth."""
    return 1 if count < FEW else min(MOST, count // 5)


def odd_ones(values, most, least_spread=0.0, false_alarm=FALSE_ALARM):
    """Indices of the odd values, `most` of them at the most, the farthest first.

    `least_spread` is what the gauge's step alone makes of values that are all the same.
    """
    left, taken, odd = list(range(len(values))), [], 0
    for step in range(1, min(most, len(values) - 2) + 1):
        mean = sum(values[i] for i in left) / len(left)
        width = max(spread([values[i] for i in left]), least_spread)
        if width < NOTHING:
            break
        farthest = max(left, key=lambda i: abs(values[i] - mean))
        distance = abs(values[farthest] - mean) / width
        left.remove(farthest)
        taken.append(farthest)
        if distance > limit(len(values), step, false_alarm):
            odd = step
    return taken[:odd]
