"""Figures of the room's air, and of static readings in it."""

from __future__ import annotations

from filmcheck.figures.calculated import calculated
from filmcheck.figures.figure import Figure, one_route
from filmcheck.formulas import dew

FIGURES = (
    Figure(
        "air.dew_point",
        "temperature",
        "Temperature below which the air of the room wets a surface.",
        "γ = ln(RH) + 17.62 θ/(243.12 + θ); θ_d = 243.12 γ/(17.62 − γ)",
        "Magnus equation, constants of WMO-No. 8 (from memory)",
        one_route(
            ("preparation.air.temperature", "preparation.air.humidity"),
            dew.dew_point,
            "Magnus equation at {preparation.air.temperature} and {preparation.air.humidity}",
        ),
    ),
    Figure(
        "static_control.field",
        "electric field",
        "Electric field read behind the static control, without its sign; a voltage is taken over its distance.",
        "|U| / distance",
        "definition; readings in kV mean nothing without their distance",
        (
            calculated("its.reading:electric field")._replace(size=True),
            calculated("its.reading:voltage / its.distance")._replace(size=True),
        ),
    ),
)
