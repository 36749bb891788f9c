"""Labels on the web: how many a length gives."""

from __future__ import annotations

import math

from filmcheck.formulas.valid_range import require_above_zero, require_zero_or_more

# A length given as so many repeats must count as so many labels, whatever the last bit of the float says.
_COUNT_SLACK = 1e-9


def labels_per_lane(length: float, label_repeat: float) -> int:
    """Give the whole labels on one lane of a roll, no unit.

    Equation: n = floor(L / label repeat)

    length: L, length of web on the roll, m, 0 or more.
    label_repeat: length from label to label along the web, m, above 0.
    Raises ValueError outside these ranges.
    Source: geometry.

    >>> labels_per_lane(254.0, 0.1016)
    2500
    """
    require_zero_or_more("m", length=length)
    require_above_zero("m", label_repeat=label_repeat)
    return math.floor(length / label_repeat * (1.0 + _COUNT_SLACK))
