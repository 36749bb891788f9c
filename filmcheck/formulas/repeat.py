"""Repeat of geared cylinders from teeth and pitch, and whether two repeats agree.

Repeats by circular pitch are rational numbers, those by module and diametral pitch multiples of π:
they are compared with a tolerance, never by equality.
"""

from __future__ import annotations

import math

from filmcheck.formulas.valid_range import require_above_zero, require_whole, require_zero_or_more


def repeat_by_circular_pitch(teeth: int, circular_pitch: float) -> float:
    """Give the repeat of a cylinder geared by circular pitch, m.

    Equation: repeat = z · CP

    teeth: z, number of teeth, no unit, a whole number of 1 or more.
    circular_pitch: CP, length along the pitch circle per tooth, m, above 0 (1/8 in is 3.175 mm).
    Raises ValueError outside these ranges.
    Source: definition of circular pitch (US Navy training manual 14345, appendix III).

    >>> round(repeat_by_circular_pitch(96, 0.003175) * 1000, 3)
    304.8
    """
    require_whole(teeth=teeth)
    require_above_zero("m", circular_pitch=circular_pitch)
    return teeth * circular_pitch


def repeat_by_module(teeth: int, module: float) -> float:
    """Give the repeat of a cylinder geared by module, m.

    Equation: repeat = π m z

    teeth: z, number of teeth, no unit, a whole number of 1 or more.
    module: m, pitch diameter per tooth, m, above 0 (module 1 is 0.001 m).
    Raises ValueError outside these ranges.
    Source: definition of module.

    >>> round(repeat_by_module(96, 0.001) * 1000, 4)
    301.5929
    """
    require_whole(teeth=teeth)
    require_above_zero("m", module=module)
    return math.pi * module * teeth


def repeat_difference(die_repeat: float, labels_around: int, label_repeat: float) -> float:
    """Give by how much the labels around a die miss its repeat, m; positive where they need more.

    Equation: n · label repeat − die repeat

    die_repeat: circumference of the die, m, above 0.
    labels_around: n, labels around the die, no unit, a whole number of 1 or more.
    label_repeat: length from label to label along the web, m, above 0.
    Raises ValueError outside these ranges.
    Source: geometry: one turn of the die makes n labels.

    >>> abs(repeat_difference(0.3048, 3, 0.1016)) < 1e-12
    True
    """
    require_above_zero("m", die_repeat=die_repeat, label_repeat=label_repeat)
    require_whole(labels_around=labels_around)
    return labels_around * label_repeat - die_repeat


def repeats_agree(one_repeat: float, other_repeat: float, tolerance: float) -> bool:
    """Tell whether two repeats differ by no more than a tolerance.

    Equation: |a − b| ≤ tolerance

    one_repeat: a, m, above 0.
    other_repeat: b, m, above 0.
    tolerance: largest difference that still counts as agreement, m, 0 or more.
    Raises ValueError outside these ranges.
    Source: definition. A nanometre of slack covers the rounding of floats.

    >>> repeats_agree(96 * 0.003175, 0.3048, 1e-6)
    True
    >>> repeats_agree(96 * 0.003175, 0.3015929, 1e-4)
    False
    """
    require_above_zero("m", one_repeat=one_repeat, other_repeat=other_repeat)
    require_zero_or_more("m", tolerance=tolerance)
    return abs(one_repeat - other_repeat) <= tolerance + 1e-9
