"""Figures of lamps and dryers."""

from __future__ import annotations

from filmcheck.figures.calculated import calculated
from filmcheck.figures.figure import Ask, Default, Figure, Route, asked, held, one_route
from filmcheck.figures.laminate import heat_capacity
from filmcheck.formulas.heating import lamp_temperature_rise
from filmcheck.plant.job import Item
from filmcheck.records.value import Figured, Value, exact

NO_SHARE = Default(
    "its.cold_side_takes",
    value=0.0,
    assumes="the share of the heat that its cold side takes off is not in the press register, so none is counted",
)
FITTED = "the press register says what its cold side takes off, so it is taken to be on"
ABSENT = "whether it has a cold side is not said, so none is counted"


def _over_room(air: float, other: float, room: float) -> float:
    if other <= room:
        raise ValueError("the air temperature to compare with is not above that of the room")
    return (air - room) / (other - room)


def _shares(one: str, other: str) -> tuple[Route, ...]:
    """Compare two settings, each dimension with its like; air temperatures by their rise over the room's."""
    power = "power per length"
    plain = [calculated(f"its.{one}:{dim} / its.{other}:{dim}") for dim in ("ratio", power)]
    # A share is of the power at full setting, which the press register gives.
    plain += [
        calculated(f"its.{one}:{power} / its.power / its.{other}:ratio"),
        calculated(f"its.{one}:ratio * its.power / its.{other}:{power}"),
    ]
    warm = Route(
        (f"its.{one}:temperature", f"its.{other}:temperature", "web.entry_temperature"),
        _over_room,
        f"({{its.{one}:temperature}} − {{web.entry_temperature}})"
        f" / ({{its.{other}:temperature}} − {{web.entry_temperature}})",
    )
    return (*plain, warm)


_NEED = "Proved minimum that still cures"


def _written(name: str, field: str, dimension: str, words: str) -> Figure:
    """Make the figure of a field that is written in one dimension, so that it can be reckoned with."""
    routes = (calculated(f"its.{field}:{dimension}"),)
    return Figure(f"lamp.{name}", dimension, words, field.replace("_", " "), "definition", routes)


_SAID_AS = {"ratio": "share of full power", "power per length": "power per width", "temperature": "air temperature"}


def _maximum_said_as(ask: Ask, item: Item | None) -> Figured:
    """Say in what the highest setting is written."""
    found = (words for one, words in _SAID_AS.items() if isinstance(ask(f"its.maximum:{one}", item), Value))
    words = next(found, None)
    return ask("its.maximum", item) if words is None else exact(words)


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
    _written("cure_share", "cure_minimum", "ratio", f"{_NEED}, where it is written as a share of full power."),
    _written("cure_power", "cure_minimum", "power per length", f"{_NEED}, where it is written as power per width."),
    _written("cure_temperature", "cure_minimum", "temperature", f"{_NEED}, where it is written as an air temperature."),
    _written("most_power", "maximum", "power per length", "Highest setting, where it is written as power per width."),
    _written("most_air", "maximum", "temperature", "Highest setting, where it is written as an air temperature."),
    Figure(
        "lamp.maximum_said_as",
        "word",
        f"In what its highest setting is written: {', '.join(_SAID_AS.values())}.",
        "dimension of the maximum",
        "press register",
        (asked(_maximum_said_as, "", ("its.maximum",)),),
    ),
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
        "Setting of a lamp or dryer as a share of its maximum; air temperatures by their rise over the room's.",
        "setting / maximum",
        "definition",
        _shares("setting", "maximum"),
    ),
    Figure(
        "lamp.over_need",
        "ratio",
        "Setting of a lamp or dryer over the proved minimum that still cures; air temperatures by their rise.",
        "setting / cure minimum",
        "definition",
        _shares("setting", "cure_minimum"),
    ),
    Figure(
        "lamp.over_need_at_speed",
        "ratio",
        "What a lamp or dryer gives the ink at this speed over what cured in the trial.",
        "setting / cure minimum × proved speed / web speed",
        "dose = power per width / speed; that ink cures by dose alone, and dries by rise of the air × time, is common"
        " practice, no source",
        (calculated("its.over_need * its.proved_speed / web.speed"),),
    ),
    Figure(
        "lamp.need_of_maximum",
        "ratio",
        "Proved minimum that still cures as a share of the maximum; air temperatures by their rise over the room's.",
        "cure minimum / maximum",
        "definition",
        _shares("cure_minimum", "maximum"),
    ),
    *[
        Figure(
            f"{kind}.heat_let_through",
            "ratio",
            "Share of its heat that gets past a cold mirror, a filter or a cooled backing.",
            "1 − share taken off, where it has a cold side by the sheet or else by the press register",
            "press data",
            (
                Route(
                    ("its.cold_side_takes", Default("its.cold_side", value=True, assumes=FITTED)),
                    lambda takes, fitted: 1.0 - takes if fitted else 1.0,
                    "1 − {its.cold_side_takes}",
                ),
                Route(
                    (Default("its.cold_side", value=False, assumes=ABSENT), NO_SHARE), lambda fitted, takes: 1.0, "1"
                ),
            ),
        )
        for kind in ("uv_lamp", "dryer")
    ],
    Figure(
        "led_lamp.heat_let_through",
        "ratio",
        "Share of its heat that reaches the web: all, for an LED lamp has no cold mirror.",
        "1",
        "by kind",
        (asked(lambda ask, item: exact(1.0)),),
    ),
    Figure(
        "lamp.air_temperature",
        "temperature",
        "Air temperature that a dryer is set to, where its setting is a temperature.",
        "setting",
        "definition",
        (calculated("its.setting:temperature"),),
    ),
    Figure(
        "lamp.power_share",
        "ratio",
        "Share of its full power at which a lamp or dryer runs.",
        "setting, or setting / power",
        "definition",
        (calculated("its.setting:ratio"), calculated("its.setting:power per length / its.power")),
    ),
    Figure(
        "lamp.web_heat_capacity",
        "areal heat capacity",
        "Heat that one area of the web takes up per kelvin under a lamp: that of the laminate, and of what is laminated"
        " on before it.",
        "C″ = Σ ρᵢ cᵢ tᵢ",
        "definition",
        (asked(lambda ask, item: heat_capacity(ask, held(item).number), "", ("laminate.heat_capacity",)),),
    ),
    Figure(
        "lamp.temperature_rise",
        "temperature difference",
        "Estimated rise of the web's temperature under a lamp or dryer.",
        "ΔT = a c P′ s / (v Σ ρᵢ cᵢ tᵢ), c what a cold side lets through",
        "heat balance of a moving web; an estimate, for the absorbed share is one",
        one_route(
            (
                "its.power",
                "its.power_share",
                "its.absorbed",
                "web.speed",
                "its.web_heat_capacity",
                "its.heat_let_through",
            ),
            lambda power, share, absorbed, speed, capacity, through: lamp_temperature_rise(
                power, share, absorbed * through, speed, capacity
            ),
            "{its.absorbed} × {its.heat_let_through} × {its.power} × {its.power_share}"
            " / ({web.speed} × {its.web_heat_capacity})",
        ),
    ),
)
