"""When turns of a roll that are pushed together lengthwise wrinkle."""

from __future__ import annotations

import math

from filmcheck.formulas.valid_range import require_above_zero, require_zero_or_more

FACTOR = 0.52


def wrinkling_stress(hoop_modulus: float, radial_modulus: float) -> float:
    """Give the compression at which a turn between soft neighbours wrinkles, Pa.

    Equation: σ = 0.52 (E_t E_r²)^(1/3)

    hoop_modulus: E_t, modulus of the laminate along the web, Pa, above 0.
    radial_modulus: E_r, modulus of the stack at the pressure there, Pa, above 0.
    Raises ValueError outside these ranges. An estimate, and a low one, for a turn lies between two soft sides: below a
    tenth of it nothing buckles.
    Source: wrinkling of a stiff sheet on one soft half space, 3^(2/3)/4 = 0.52 (from memory, derived anew).

    >>> round(wrinkling_stress(3.445e9, 1.4e6) / 1e6, 2)
    9.83
    """
    require_above_zero("Pa", hoop_modulus=hoop_modulus, radial_modulus=radial_modulus)
    return FACTOR * math.cbrt(hoop_modulus * radial_modulus**2)


def wrinkling_share(compression: float, hoop_modulus: float, radial_modulus: float) -> float:
    """Give a compression as a share of that at which the turns wrinkle, no unit.

    Equation: −σ_θ / [0.52 (E_t E_r²)^(1/3)]

    compression: −σ_θ, greatest compression along the web, Pa, 0 or more.
    hoop_modulus: E_t, Pa, above 0.
    radial_modulus: E_r, Pa, above 0.
    Raises ValueError outside these ranges.
    Source: see wrinkling_stress.

    >>> round(wrinkling_share(512e3, 3.445e9, 1.4e6), 3)
    0.052
    """
    require_zero_or_more("Pa", compression=compression)
    return compression / wrinkling_stress(hoop_modulus, radial_modulus)
