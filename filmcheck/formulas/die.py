"""Dies: growth by heat, error of the cut, revolutions, life, and the length of a snap sample."""

from __future__ import annotations

from filmcheck.formulas.valid_range import (
    require_above_zero,
    require_between,
    require_finite,
    require_zero_or_more,
)


def growth_by_heat(length: float, expansion: float, temperature_change: float) -> float:
    """Give the growth of a radius or a repeat by heat, m; negative where it cools.

    Equation: Δr = α r ΔT, and alike for a repeat

    length: r or repeat, radius or circumference of the cylinder when cold, m, above 0.
    expansion: α, coefficient of linear expansion, 1/K, 0 or more (steel 11e-6 to 12e-6).
    temperature_change: ΔT, rise of the cylinder's temperature, K, any finite value.
    Raises ValueError outside these ranges. The cylinder is warm throughout.
    Source: definition of the coefficient of linear expansion.

    >>> round(growth_by_heat(0.050, 11.5e-6, 20.0) * 1e6, 1)
    11.5
    """
    require_above_zero("m", length=length)
    require_zero_or_more("1/K", expansion=expansion)
    require_finite("K", temperature_change=temperature_change)
    return expansion * length * temperature_change


def cut_clearance_error(
    liner_caliper: float, built_for_caliper: float, growth: float, run_out: float, wear: float
) -> float:
    """Give the error of the cut depth as a sum of signed parts, m; positive cuts deeper into the liner.

    Equation: (t_liner − t_built) + growth + run-out + wear

    liner_caliper: t_liner, caliper of the liner on the job, m, above 0.
    built_for_caliper: t_built, caliper of the liner the die was built for, m, above 0.
    growth: growth of the die's radius, m, finite; positive cuts deeper.
    run_out: run-out, m, finite; positive cuts deeper. It turns with the cylinder: see cut_depth_range.
    wear: wear, m, finite; positive cuts deeper, so a dulled blade or a worn anvil is negative.
    Raises ValueError outside these ranges.
    Source: geometry of the gap between blade and anvil; the list of parts is common practice, no source.

    >>> round(cut_clearance_error(23e-6, 30e-6, 11.5e-6, 2e-6, -1e-6) * 1e6, 1)
    5.5
    """
    require_above_zero("m", liner_caliper=liner_caliper, built_for_caliper=built_for_caliper)
    require_finite("m", growth=growth, run_out=run_out, wear=wear)
    return (liner_caliper - built_for_caliper) + growth + run_out + wear


def cut_depth_range(
    liner_caliper: float, built_for_caliper: float, growth: float, run_out: float, wear: float
) -> tuple[float, float]:
    """Give the shallowest and the deepest error of the cut, m; positive cuts deeper into the liner.

    Equation: (t_liner − t_built) + growth − wear ∓ run-out

    liner_caliper: t_liner, caliper of the liner on the job, m, above 0.
    built_for_caliper: t_built, caliper of the liner the die was built for, m, above 0.
    growth: growth of the die's radius, m, finite; negative where the die is colder than when set.
    run_out: largest departure from the mean radius in one turn, m, 0 or more.
    wear: height lost by blade and anvil, m, 0 or more; it always makes the cut shallower.
    Raises ValueError outside these ranges.
    Source: geometry of the gap between blade and anvil; the list of parts is common practice, no source.

    >>> [round(error * 1e6, 1) for error in cut_depth_range(23e-6, 30e-6, 11.5e-6, 2e-6, 1e-6)]
    [1.5, 5.5]
    """
    require_zero_or_more("m", run_out=run_out, wear=wear)
    mean = cut_clearance_error(liner_caliper, built_for_caliper, growth, 0.0, -wear)
    return mean - run_out, mean + run_out


def die_revolutions(length: float, die_repeat: float) -> float:
    """Give the turns a die makes over a length of web, no unit.

    Equation: n = L / die repeat

    length: L, length of web that passes the die, set-up and waste included, m, 0 or more.
    die_repeat: circumference of the die, m, above 0.
    Raises ValueError outside these ranges.
    Source: rolling without slip.

    >>> round(die_revolutions(4200.0, 0.3048))
    13780
    """
    require_zero_or_more("m", length=length)
    require_above_zero("m", die_repeat=die_repeat)
    return length / die_repeat


def life_share(revolutions_done: float, revolutions_planned: float, life: float) -> float:
    """Give the share of a die's life that is used once the job is run, no unit; above 1 it is used up.

    Equation: (n_done + n_planned) / n_life

    revolutions_done: n_done, turns on the register's count, no unit, 0 or more.
    revolutions_planned: n_planned, turns that the job adds, no unit, 0 or more.
    life: n_life, turns that the die is expected to last, no unit, above 0.
    Raises ValueError outside these ranges.
    Source: definition.

    >>> life_share(900_000.0, 50_000.0, 1_000_000.0)
    0.95
    """
    require_zero_or_more("", revolutions_done=revolutions_done, revolutions_planned=revolutions_planned)
    require_above_zero("", life=life)
    return (revolutions_done + revolutions_planned) / life


def snap_sample_length(die_repeat: float, repeats: float = 2.0) -> float:
    """Give the least length of a snap sample, m.

    Equation: L ≥ k · die repeat

    die_repeat: circumference of the die, m, above 0.
    repeats: k, repeats that the sample must cover, no unit, 1 to 100; 2 unless the plant asks for more.
    Raises ValueError outside these ranges.
    Source: FINAT FTM 23B (die strike on clear film liner): at least 2 die repeats.

    >>> round(snap_sample_length(0.381) * 1000, 1)
    762.0
    """
    require_above_zero("m", die_repeat=die_repeat)
    require_between("", 1.0, 100.0, repeats=repeats)
    return repeats * die_repeat
