"""Figures of a film that is laminated on the way: its own pull, what that does to it, and how the labels curl by it."""

from __future__ import annotations

import operator

from filmcheck.figures.calculated import calculated
from filmcheck.figures.figure import Ask, Figure, asked, held, one_route
from filmcheck.figures.path_steps import gained, warmth
from filmcheck.figures.tension import allowed
from filmcheck.formulas import curl
from filmcheck.plant.job import Item
from filmcheck.records.value import Figured, Missing, Value, exact, number
from filmcheck.web.walk import combine

AS_WIDE = "the film is taken to be as wide as the web"
COLD = "the warmth of the web or its expansion is not known, so only the pull is counted"
_LAYERS = ("face.modulus", "face.caliper", "its.film_modulus", "its.film_caliper")


def _as_wide(ask: Ask, item: Item | None) -> Figured:
    said = ask("its.film_width", item)
    if isinstance(said, Missing) and said.is_spoiled:
        return said
    return combine(lambda width, _: width, ask("web.width"), exact(0.0, AS_WIDE))


def _web_stretch(ask: Ask, item: Item | None) -> Figured:
    """Give the stretch of the web in front of the station, at the end of the roll that is farther from the film's."""
    station = held(item)
    warm = warmth(ask, ask("its.temperature_before", station), COLD)  # the film is as cold as the room
    film = ask("its.film_stretch", station)
    first, last = (_stretch_at(ask, station, end, warm) for end in ("lowest", "highest"))
    if isinstance(first, Value) and isinstance(last, Value) and isinstance(film, Value):
        far = [abs(number(one.low) - number(film.low)) for one in (first, last)]
        return first if far[0] > far[1] else last
    return last


def _stretch_at(ask: Ask, station: Item, end: str, warm: Figured) -> Figured:
    pull = getattr(ask.states()[station].front, end)
    return combine(operator.add, gained(ask, end, exact(0.0), pull, 0, station.number), warm)


def _curl(apart: float, face: float, caliper: float, film: float, film_caliper: float, label: float) -> float:
    return curl.rise_of_ends(curl.curvature_of_two(apart, (face, film), (caliper, film_caliper)), label)


FIGURES = (
    Figure(
        "laid_film.width",
        "length",
        "Width of the film that is laid on; that of the web where it is not given.",
        "as given",
        "definition",
        (calculated("its.film_width"), asked(_as_wide, "{web.width}", ("web.width",))),
    ),
    Figure(
        "laid_film.total_pull",
        "force",
        "Total tension with which the film comes off its own unwind.",
        "F = T′ w",
        "definition",
        (calculated("its.film_tension:force"), calculated("its.film_tension:line tension × its.width")),
    ),
    Figure(
        "laid_film.line_pull",
        "line tension",
        "Line tension with which the film comes off its own unwind, per width of the film.",
        "T′ = F / w",
        "definition",
        (calculated("its.film_tension:line tension"), calculated("its.total_pull / its.width")),
    ),
    Figure(
        "laid_film.film_stretch",
        "ratio",
        "Stretch of the film by its own pull where it is laid on; modulus at room temperature.",
        "ε = T′ / (E t)",
        "Hooke's law",
        (calculated("its.line_pull / (its.film_modulus × its.film_caliper)"),),
    ),
    Figure(
        "laid_film.share_of_yield",
        "ratio",
        "Stress in the film by its own pull as a share of its yield stress.",
        "E ε / σ yield",
        "Hooke's law",
        (calculated("its.film_modulus × its.film_stretch / its.film_yield"),),
    ),
    Figure(
        "laid_film.web_stretch",
        "ratio",
        "How much longer the web is than slack and cold where the film is laid on it, by its pull and its warmth; at"
        " the end of the roll that is farther from the film's stretch.",
        "ε = T′ / Σ Eᵢ tᵢ + α (θ − θ₀)",
        "Hooke's law and thermal expansion; the walk of the web",
        (asked(_web_stretch),),
    ),
    Figure(
        "laid_film.even_pull",
        "line tension",
        "Line tension of the film that stretches it as much as the web is stretched.",
        "T′ = ε web E t",
        "Hooke's law",
        (calculated("its.web_stretch × its.film_modulus × its.film_caliper"),),
    ),
    Figure(
        "laid_film.stretch_apart",
        "ratio",
        "How much more the film is stretched than the web where both are joined; below 0 the web is.",
        "ε film − ε web",
        "definition",
        (calculated("its.film_stretch − its.web_stretch"),),
    ),
    Figure(
        "laid_film.curl",
        "length",
        "How far the ends of a free label rise by the film that is laid on it: what was stretched more shrinks back"
        " more, and the label curls towards it. Below 0 it curls the other way. An estimate of the most: an adhesive"
        " that gives lets part of it go.",
        "κ L² / 8, κ = 6 Δε (1 + m)² / (h [3 (1 + m)² + (1 + m n) (m² + 1/(m n))])",
        "Timoshenko 1925, bi-metal strips; face and film as its two layers",
        one_route(("its.stretch_apart", *_LAYERS, "layout.label.around"), _curl),
    ),
    *allowed("laid_film", "pull", "its.tension_range", "the film's own unwind can hold"),
)
