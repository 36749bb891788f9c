"""Labels on the web: width that the lanes need, repeat, and how many labels a length gives."""

from __future__ import annotations

import math

from filmcheck.formulas.valid_range import require_above_zero, require_whole, require_zero_or_more

# A length given as so many repeats must count as so many labels, whatever the last bit of the float says.
_COUNT_SLACK = 1e-9


def width_needed(label_across: float, gap_across: float, lanes: int, edge_trim: float = 0.0) -> float:
    """Give the width of web that the lanes need, m.

    Equation: w = n b + (n − 1) g + 2 e

    label_across: b, size of a label across the web, m, above 0.
    gap_across: g, gap between two lanes, m, 0 or more.
    lanes: n, label positions across, no unit, a whole number of 1 or more.
    edge_trim: e, waste at each edge of the web, m, 0 or more.
    Raises ValueError outside these ranges.
    Source: geometry.

    >>> round(width_needed(0.060, 0.003, 5, edge_trim=0.005) * 1000, 3)
    322.0
    """
    require_above_zero("m", label_across=label_across)
    require_zero_or_more("m", gap_across=gap_across, edge_trim=edge_trim)
    require_whole(lanes=lanes)
    return lanes * label_across + (lanes - 1) * gap_across + 2.0 * edge_trim


def label_repeat(label_around: float, gap_around: float) -> float:
    """Give the length from label to label along the web, m.

    Equation: repeat = a + g

    label_around: a, size of a label along the web, m, above 0.
    gap_around: g, gap between two labels along the web, m, 0 or more.
    Raises ValueError outside these ranges.
    Source: definition.

    >>> round(label_repeat(0.0984, 0.0032) * 1000, 3)
    101.6
    """
    require_above_zero("m", label_around=label_around)
    require_zero_or_more("m", gap_around=gap_around)
    return label_around + gap_around


def labels_around(die_repeat: float, label_repeat: float) -> float:
    """Give how many label repeats go into a die repeat, no unit, not rounded.

    Equation: n = die repeat / label repeat; a sound die gives a whole number.

    die_repeat: circumference of the die, m, above 0.
    label_repeat: length from label to label along the web, m, above 0.
    Raises ValueError outside these ranges.
    Source: geometry: one turn of the die makes n labels.

    >>> round(labels_around(0.3048, 0.1016), 9)
    3.0
    """
    require_above_zero("m", die_repeat=die_repeat, label_repeat=label_repeat)
    return die_repeat / label_repeat


def labels_per_lane(length: float, label_repeat: float, waste_length: float = 0.0) -> int:
    """Give the whole labels on one lane of a roll, no unit.

    Equation: n = floor[(L − L_waste) / label repeat]

    length: L, length of web on the roll, m, 0 or more.
    label_repeat: length from label to label along the web, m, above 0.
    waste_length: L_waste, length without good labels (leader, splices, tail), m, from 0 to L.
    Raises ValueError outside these ranges.
    Source: geometry.

    >>> labels_per_lane(254.0, 0.1016)
    2500
    >>> labels_per_lane(254.0, 0.1016, waste_length=1.0)
    2490
    """
    require_zero_or_more("m", length=length, waste_length=waste_length)
    require_above_zero("m", label_repeat=label_repeat)
    if waste_length > length:
        raise ValueError(f"waste length is {waste_length:g} m; it must be at most the length, {length:g} m")
    return _whole_parts(length - waste_length, label_repeat)


def length_for_labels(labels: int, label_repeat: float, waste_length: float = 0.0) -> float:
    """Give the length of web that holds a number of labels on one lane, m.

    Equation: L = n · label repeat + L_waste

    labels: n, labels on one lane, no unit, a whole number of 1 or more.
    label_repeat: length from label to label along the web, m, above 0.
    waste_length: L_waste, length without good labels, m, 0 or more.
    Raises ValueError outside these ranges.
    Source: geometry: the count formula solved for the length.

    >>> round(length_for_labels(2500, 0.1016), 3)
    254.0
    """
    require_whole(labels=labels)
    require_above_zero("m", label_repeat=label_repeat)
    require_zero_or_more("m", waste_length=waste_length)
    return labels * label_repeat + waste_length


def _whole_parts(length: float, part: float) -> int:
    return math.floor(length / part * (1.0 + _COUNT_SLACK))
