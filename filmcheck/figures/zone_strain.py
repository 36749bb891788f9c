"""What each tension zone does to the web: stretch, share of yield, register against the print."""

from __future__ import annotations

from filmcheck.figures.calculated import calculated
from filmcheck.figures.figure import Ask, Figure, asked, held
from filmcheck.figures.laminate import films
from filmcheck.figures.path_steps import cut_number, film_pull, gained, slack, web_stiffness
from filmcheck.figures.scopes import INKED
from filmcheck.figures.zones import SET_BY, stations_of
from filmcheck.formulas import stretch
from filmcheck.plant.job import Item
from filmcheck.records.value import Figured, Missing, Need, Value, exact, size_of
from filmcheck.web.walk import combine, greatest

FACE_LEFT_OUT = "the face's yield stress is not given, so only the liner is counted"


def _stiffness(ask: Ask, item: Item | None) -> Figured:
    cut = ask("its.reaches_cut", item)
    if isinstance(cut, Value) and cut.low:
        return ask("liner.stiffness")
    return web_stiffness(ask, stations_of(ask, held(item))[0].number)


def _stretch(ask: Ask, item: Item | None) -> Figured:
    cut, highest = ask("its.reaches_cut", item), ask("its.highest_line_tension", item)
    if isinstance(cut, Value) and cut.low:
        return combine(stretch.tension_strain, highest, ask("liner.stiffness"))
    return _uncut(ask, held(item), highest)


def _uncut(ask: Ask, zone: Item, pull: Figured) -> Figured:
    """Give the stretch of the web by a pull in a zone as long as it is whole, where it is weakest: at its beginning.

    A film that comes to it in the zone and brings a pull of its own carries that itself: then in front of each such
    film, and at the end of the zone.
    """
    stations = stations_of(ask, zone)
    laid = [one for one in stations if one.kind == "laminate" and film_pull(ask, one) is not None]
    if not laid:
        return gained(ask, "highest", exact(0.0), pull, 0, stations[0].number)
    fronts = [gained(ask, "highest", exact(0.0), ask.states()[one].front.highest, 0, one.number) for one in laid]
    return greatest(*fronts, gained(ask, "highest", exact(0.0), pull, 0, stations[-1].number + 1))


def _face_share(ask: Ask, item: Item | None) -> Figured:
    """Give the share in the face, as far as it is whole: behind the die cut it carries nothing."""
    if stations_of(ask, held(item))[0].number >= cut_number(ask):
        return Missing((Need("face", "the face is cut into labels in this zone"),))
    pull = ask("its.highest_line_tension", item)
    return _share_in(ask, pull, _uncut(ask, held(item), pull), "face", "liner")


def _liner_share(ask: Ask, item: Item | None) -> Figured:
    """Give the share in the liner, which carries the web alone from the die cut on."""
    cut = ask("its.reaches_cut", item)
    beside = () if isinstance(cut, Value) and cut.low else ("face",)
    return _share_in(ask, ask("its.highest_line_tension", item), ask("its.stretch", item), "liner", *beside)


def _share_in(ask: Ask, pull: Figured, strain: Figured, layer: str, *beside: str) -> Figured:
    """Give the stress in a layer as a share of its yield stress: by the strain of the web, or by its share of the pull.

    A modulus that is a range stands in the strain too: a stiff layer carries more of the pull, and is strained less.
    The strain alone does not know which of the two it is.
    """
    modulus, limit = ask(f"{layer}.modulus"), ask(f"{layer}.yield")
    if films(ask) or isinstance(modulus, Missing) or modulus.exact:
        return combine(lambda e, s, most: stretch.share_of_yield(e * s, most), modulus, strain, limit)
    layers = [ask(f"{one}.{field}") for one in (layer, *beside) for field in ("modulus", "caliper")]
    return combine(
        lambda most, t, *each: stretch.share_of_yield(each[0] * stretch.tension_strain(t, _carried(each)), most),
        limit,
        pull,
        *layers,
    )


def _carried(layers: tuple[float, ...]) -> float:
    """Give the stiffness of layers, each by its modulus and caliper."""
    return sum(modulus * caliper for modulus, caliper in zip(layers[::2], layers[1::2], strict=True))


def _share_of_yield(ask: Ask, item: Item | None) -> Figured:
    """Give the share in the layer that is nearest to its yield; from the die cut on that is the liner alone."""
    liner = ask("its.liner_share_of_yield", item)
    if stations_of(ask, held(item))[0].number >= cut_number(ask):
        return liner
    face = ask("its.face_share_of_yield", item)
    if isinstance(liner, Missing) or isinstance(face, Value):
        return combine(max, liner, face)
    return liner._replace(assumes=(*liner.assumes, FACE_LEFT_OUT))


def _in_register(ask: Ask, zone: Item) -> list[Item]:
    return [station for station in stations_of(ask, zone) if station.kind in (*INKED, "die cut")]


def _first_inked(ask: Ask) -> Item | None:
    return next((station for station in ask.job.stations if station.kind in INKED), None)


def _register_strain(ask: Ask, item: Item | None) -> Figured:
    """Give the greatest difference at one moment of the roll. One carried tension counts once: its range moves along.

    Only both ends of the roll are looked at, since each tension runs one way between them.
    """
    first = _first_inked(ask)
    if first is None:
        return Missing((Need("print", "the path has no print or varnish unit", ask.job.sheet.key_place),))
    others = [first, *_in_register(ask, held(item))]
    apart = [_strain_from(ask, first, other, end) for other in others for end in _ENDS]
    return greatest(*[size_of(found) if isinstance(found, Value) else found for found in apart])


_ENDS = ("lowest", "highest")


def _strain_from(ask: Ask, first: Item, other: Item, end: str) -> Figured:
    """Give how much more the web is stretched at a station than at the first unit, by pull, warmth and shrinkage."""
    start, pull = (getattr(ask.states()[station].pull, end) for station in (first, other))
    cold, warm = slack(ask, first), slack(ask, other)
    longer = exact(0.0) if warm is cold or first is other else combine(lambda one, two: two - one, cold, warm)
    return combine(
        lambda pulled, slacker: pulled + slacker, gained(ask, end, start, pull, first.number, other.number), longer
    )


FIGURES = (
    Figure(
        "zone.reaches_cut",
        "truth",
        "Whether the zone reaches to the die cut or beyond it, where the liner carries the tension alone.",
        "search among the stations of the zone",
        "definition",
        (asked(lambda ask, item: exact(stations_of(ask, held(item))[-1].number >= cut_number(ask))),),
    ),
    Figure(
        "zone.keeps_register",
        "truth",
        "Whether a print unit, a varnish unit or the die cut stands in the zone, and the job is printed at all.",
        "search among the stations of the zone",
        "definition",
        (asked(lambda ask, item: exact(bool(_first_inked(ask) and _in_register(ask, held(item))))),),
    ),
    Figure(
        "zone.stiffness",
        "line tension",
        "What carries the tension of the zone: the laminate with what was laminated on before it, or from the die cut"
        " on the liner alone, for the face is then cut into labels.",
        "Σ Eᵢ tᵢ",
        "mechanics of layered webs",
        (asked(_stiffness),),
    ),
    Figure(
        "zone.stretch",
        "ratio",
        "Stretch of the web under the highest tension of the zone, where the web is weakest in it; modulus at room"
        " temperature. What is laminated on before the zone carries only what the pull changes behind it.",
        "ε = T′₁/S₀ + (T′ − T′₁ − F′)/S₁, T′₁ the pull where a film goes on, F′ the film's own; S = Σ Eᵢ tᵢ",
        "Hooke's law",
        (
            asked(
                _stretch,
                "{its.highest_line_tension} / {its.stiffness}",
                ("its.highest_line_tension", "its.stiffness"),
            ),
        ),
    ),
    Figure(
        "zone.liner_share_of_yield",
        "ratio",
        "Stress in the liner under the highest tension of the zone as a share of its yield stress.",
        "E ε / σ yield",
        "Hooke's law in layers that stretch alike",
        (
            asked(
                _liner_share,
                "{liner.modulus} × {its.stretch} / {liner.yield}",
                ("its.stretch", "liner.modulus", "liner.yield"),
            ),
        ),
    ),
    Figure(
        "zone.face_share_of_yield",
        "ratio",
        "Stress in the face under the highest tension of the zone as a share of its yield stress, before the die cut.",
        "E ε / σ yield",
        "Hooke's law in layers that stretch alike",
        (
            asked(
                _face_share,
                "{face.modulus} × ({its.highest_line_tension} / {laminate.stiffness}) / {face.yield}",
                ("its.highest_line_tension", "laminate.stiffness", "face.modulus", "face.yield"),
            ),
        ),
    ),
    Figure(
        "zone.share_of_yield",
        "ratio",
        "Stress under the highest tension of the zone as a share of yield, in the layer that is nearest to it. The"
        " mean over the width: single lanes of a web can carry 3 to 5 times the mean.",
        "the greater of the layers",
        "Hooke's law in layers that stretch alike; the note on lanes is from the trade press",
        (asked(_share_of_yield, "", ("its.liner_share_of_yield", "its.face_share_of_yield")),),
    ),
    Figure(
        "zone.register_strain",
        "ratio",
        "How much more or less the web is stretched at the print units, varnish units and die cut of the zone than at"
        " the first print or varnish unit, at one moment of the roll: by pull, warmth and shrinkage."
        " Modulus at room temperature, the liner's expansion for the whole laminate.",
        "|ΔT′ / Σ Eᵢ tᵢ + α Δθ − Δs|",
        "Hooke's law and thermal expansion; the walk of the web",
        (asked(_register_strain, "", SET_BY),),
    ),
    Figure(
        "zone.register_drift",
        "length",
        "Length by which one repeat printed at the first unit has changed at the units and the die cut of this zone."
        " The same web passes all of them, and each takes one repeat a turn, so only the difference of stretch"
        " matters: stretch that is alike in all zones keeps register, however great. What it comes to per repeat has"
        " to be taken out at every repeat, and adds up where nothing does so.",
        "ΔL = |ΔT′ / Σ Eᵢ tᵢ + α Δθ − Δs| × repeat",
        "Hooke's law; steady passage of mass between nips",
        (calculated("its.register_strain × die.circumference"),),
    ),
)
