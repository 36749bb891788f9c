"""Figures of lamps and dryers."""

from __future__ import annotations

from filmcheck.figures.figure import Figure, Route, asked, one_route
from filmcheck.formulas.heating import lamp_temperature_rise
from filmcheck.records.value import exact
from filmcheck.units.quantity import convert

FREEZING = 273.15
DIMENSIONS = ("ratio", "power per length", "temperature")


def _over(dividend: float, divisor: float) -> float:
    if divisor == 0:
        raise ValueError("the setting to compare with is 0")
    return dividend / divisor


def _over_celsius(dividend: float, divisor: float) -> float:
    return _over(convert(dividend, "°C", "temperature"), convert(divisor, "°C", "temperature"))


def _shares(one: str, other: str) -> tuple[Route, ...]:
    """Compare two settings, each dimension with its like."""
    return tuple(
        Route(
            (f"its.{one}:{dimension}", f"its.{other}:{dimension}"),
            _over_celsius if dimension == "temperature" else _over,
            f"{{its.{one}:{dimension}}} / {{its.{other}:{dimension}}}",
        )
        for dimension in DIMENSIONS
    )


def _need(name: str, dimension: str, words: str) -> Figure:
    """Make the figure of a cure minimum that is written in one dimension, so that it can be reckoned with."""
    return Figure(
        f"lamp.{name}",
        dimension,
        f"Proved minimum that still cures, where it is written as {words}.",
        "cure minimum",
        "definition",
        one_route((f"its.cure_minimum:{dimension}",), lambda need: need, f"{{its.cure_minimum:{dimension}}}"),
    )


def _runs_hot(kind: str, *, hot: bool) -> Figure:
    return Figure(
        f"{kind}.runs_hot",
        "truth",
        "Whether it throws much heat on the web: mercury lamps and dryers do, LED lamps do not.",
        "by kind",
        "common practice, no source",
        (asked(lambda ask, item: exact(hot)),),
    )


FIGURES = (
    _need("cure_share", "ratio", "a share of full power"),
    _need("cure_power", "power per length", "power per width"),
    _need("cure_temperature", "temperature", "an air temperature"),
    _runs_hot("led_lamp", hot=False),
    _runs_hot("dryer", hot=True),
    Figure(
        "uv_lamp.runs_hot",
        "truth",
        "Whether it throws much heat on the web: mercury lamps do, LED lamps do not.",
        "by kind",
        "common practice, no source",
        one_route(("its.kind",), lambda kind: kind == "mercury"),
    ),
    Figure(
        "lamp.share_of_maximum",
        "ratio",
        "Setting of a lamp or dryer as a share of its maximum; temperatures are compared in °C.",
        "setting / maximum",
        "definition",
        _shares("setting", "maximum"),
    ),
    Figure(
        "lamp.over_need",
        "ratio",
        "Setting of a lamp or dryer over the proved minimum that still cures; temperatures in °C.",
        "setting / cure minimum",
        "definition",
        _shares("setting", "cure_minimum"),
    ),
    Figure(
        "lamp.air_temperature",
        "temperature",
        "Air temperature that a dryer is set to, where its setting is a temperature.",
        "setting",
        "definition",
        one_route(("its.setting:temperature",), lambda setting: setting, "{its.setting:temperature}"),
    ),
    Figure(
        "lamp.power_share",
        "ratio",
        "Share of its full power at which a lamp or dryer runs.",
        "setting, or setting / power",
        "definition",
        (
            Route(("its.setting:ratio",), lambda share: share, "{its.setting:ratio}"),
            Route(
                ("its.setting:power per length", "its.power"),
                _over,
                "{its.setting:power per length} / {its.power}",
            ),
        ),
    ),
    Figure(
        "lamp.temperature_rise",
        "temperature difference",
        "Estimated rise of the web's temperature under a lamp or dryer.",
        "ΔT = a P′ s / (v Σ ρᵢ cᵢ tᵢ)",
        "heat balance of a moving web; an estimate, for the absorbed share is one",
        one_route(
            ("its.power", "its.power_share", "its.absorbed", "web.speed", "laminate.heat_capacity"),
            lamp_temperature_rise,
            "{its.absorbed} × {its.power} × {its.power_share} / ({web.speed} × {laminate.heat_capacity})",
        ),
    ),
)
