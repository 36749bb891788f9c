"""What each station of a job's path does to the pull and the surface of the web, and the state behind each."""

from __future__ import annotations

from functools import partial

from filmcheck.figures.figure import Ask, known_or
from filmcheck.figures.laminate import films, with_films
from filmcheck.formulas import stretch, web_drag
from filmcheck.plant.job import Item
from filmcheck.plant.record import Datum, Record
from filmcheck.records.value import Figured, Missing, Need, Value, exact
from filmcheck.units.quantity import Quantity
from filmcheck.web.spans import SETTERS, Passage, Pull, State, Step, walk
from filmcheck.web.walk import Surface, behind, combine, greatest, least

MATRIX = "between die and matrix strip the liner carries the web, and the matrix a share that is not known"
COLD = "the warmth of the web or its expansion is not known, so none is counted"
NO_FILM_PULL = "what is laminated on is taken to go on without a pull of its own"
NO_SHRINKAGE = "the shrinkage of the liner is not given, so none is counted"


def states(ask: Ask) -> dict[Item, State]:
    """Walk the path of a job; give the state of the web behind each of its stations."""
    idlers = idler_steps(ask)
    steps = [step for number, step in idlers if number == 0]
    places: list[int] = []
    for item in ask.job.stations:
        places.append(len(steps))
        steps.append(_step(ask, item))
        steps += [step for number, step in idlers if number == item.number]
    unset = Missing((Need("unwind.tension", "unwind.tension", ask.job.sheet.key_place),))
    walked, surface = walk(steps, ask("web.width"), unset), Surface()
    found: dict[Item, State] = {}
    for item, place in zip(ask.job.stations, places, strict=True):
        surface = behind(_charging(ask, item), item.label, surface)
        front, pull, why, _ = walked[place]
        found[item] = State(front, pull, why, surface)
    return found


def _charging(ask: Ask, item: Item) -> str:
    """Give the kind of a station as far as charge goes: none where the film that it lays on has lost its charge."""
    control = ask("its.static_control", item) if item.kind == "laminate" else None
    return "" if isinstance(control, Value) and control.low == "fitted" else item.kind


def idler_steps(ask: Ask) -> list[tuple[int, Step]]:
    """Give what the idlers of the path do to the pull, each with the number of the station before them."""
    return ask.once("idler steps", _idler_steps)


def _idler_steps(ask: Ask) -> list[tuple[int, Step]]:
    idlers = ask.job.documents["press"].by_kind.get("idlers", ())
    found: list[tuple[int, Step]] = []
    number, passed = 0, -1
    for item in ask.job.stations:
        now = item.on_press
        if now is not None:
            found += [(number, _idler_step(ask, record)) for place, record in idlers if passed < place < now]
            passed = now
        number = item.number
    return found


def _idler_step(ask: Ask, record: Record) -> Step:
    count, drag, width = record.fields.get("count"), record.fields.get("drag"), ask("web.width")
    if isinstance(count, Datum) and isinstance(drag, Datum) and isinstance(drag.content, Quantity):
        number = int(count.content)  # type: ignore[arg-type]  # the shape says it is a count
        each = Value(drag.content.low, drag.content.high)
        total = combine(lambda f: web_drag.tension_after_idlers(0.0, [f] * number), each)
        return Step(f"{number} idlers", "idlers", adds=(combine(lambda f, w: f / w, total, width), total))
    lack = Missing((Need("drag of idlers", "drag of idlers", record.key_place),))
    return Step("idlers", "idlers", adds=(lack, lack))


def _step(ask: Ask, item: Item) -> Step:
    kind, label, passage = item.kind, item.label, partial(_passage, ask, item)
    if kind == "unwind":
        names = ("line_tension", "highest_line_tension", "total_tension", "highest_total_tension")
        return Step(label, kind, Pull(*[ask(f"its.{name}", item) for name in names]), passage=passage)
    if kind == "rewind":
        return Step(label, kind, _rewind_ends(ask, item), passage=passage)
    if kind == "nip":
        line, total, draw = (ask(f"its.{name}", item) for name in ("line_tension", "total_tension", "draw"))
        given = None if isinstance(draw, Missing) and not draw.is_spoiled else draw
        return Step(label, kind, Pull(line, line, total, total), given, passage=passage)
    if kind == "turn bar":
        return Step(label, kind, multiplies=ask("its.capstan", item))
    if kind == "laminate":
        return Step(label, kind, adds=film_pull(ask, item))
    return Step(label, kind)


def film_pull(ask: Ask, item: Item) -> tuple[Figured, Figured] | None:
    """Give what the pull of a film adds to that of the web, per width of the web and in all; None where none is said.

    The roller that lays it on is taken to turn with the web, so that the web draws the film off its roll.
    """
    total = ask("its.total_pull", item)
    if isinstance(total, Missing) and not total.is_spoiled:
        return None
    return combine(lambda pull, width: pull / width, total, ask("web.width")), total


def _rewind_ends(ask: Ask, item: Item) -> Pull:
    start, end = ask("its.line_start_tension", item), ask("its.end_tension", item)
    total, width = ask("its.total_start_tension", item), ask("web.width")
    if isinstance(start, Missing) or isinstance(end, Missing):
        return Pull(start, start, total, total)
    falls = combine(lambda whole, one, other: whole * one / other, total, end, start)
    by_width = combine(lambda line, w: line * w, end, width)
    last = falls if start.exact and end.exact and not isinstance(falls, Missing) else by_width
    return Pull(least(start, end), greatest(start, end), least(total, last), greatest(total, last))


def _passage(ask: Ask, item: Item) -> Passage:
    """Give what carries the web at what sets its pull, and its warmth there; without heat data none is counted.

    What is laminated on within a span takes no part in how far that span is stretched, but in what the next one
    changes. In a span over the die cut the pull of the films goes off with the face: there the laminate alone counts.
    """
    setters = [station for station in ask.job.stations if station.kind in SETTERS]
    before = max((one.number for one in setters if one.number < item.number), default=item.number)
    after = min((one.number for one in setters if one.number > item.number), default=item.number)
    cuts = any(one.kind == "die cut" and item.number < one.number < after for one in ask.job.stations)
    behind = ask("laminate.stiffness") if cuts else carries(ask, item, item.number)
    pulls = [film_pull(ask, film) for film in films(ask) if film.number < item.number] if cuts else []
    return Passage(carries(ask, item, before), behind, slack(ask, item), tuple(pull for pull in pulls if pull))


def carries(ask: Ask, item: Item, until: int) -> Figured:
    """Give the stiffness of what carries the web at a station.

    The laminate, with what is laminated on before station ``until``; behind the die cut the liner, and until the matrix
    is off liner and matrix, whose share is not known: a range.
    """
    cut = cut_number(ask)
    if item.number <= cut:
        return web_stiffness(ask, until)
    strip = next((station.number for station in ask.job.stations if station.kind == "matrix strip"), cut)
    liner, whole = ask("liner.stiffness"), web_stiffness(ask, cut)
    if item.number >= strip or isinstance(liner, Missing) or isinstance(whole, Missing):
        return liner
    return Value(liner.low, whole.high, None, (*liner.assumes, *whole.assumes, MATRIX))


def cut_number(ask: Ask) -> int:
    """Give the number of the die cut; one beyond the path where there is none."""
    stations = ask.job.stations
    return ask.once("cut", lambda _: next((one.number for one in stations if one.kind == "die cut"), len(stations) + 1))


def web_stiffness(ask: Ask, until: int) -> Figured:
    """Give the stiffness of the uncut web in front of a station, by its number."""
    return with_films(ask, "laminate.stiffness", "film_modulus", "film_caliper", until=until)


def gained(ask: Ask, end: str, then: Figured, now: Figured, since: int, until: int) -> Figured:
    """Give how much more the pull stretches the uncut web in front of one station than of another before it.

    Equation: Δε = (T′₁ − T′then)/S₀ + (T′₂ − T′₁ − F′₁)/S₁ + … + (T′now − T′ₙ − F′ₙ)/Sₙ

    ``then`` and ``now``: the pulls, N/m, in front of the stations numbered ``since`` and ``until``; ``end`` says at
    which end of the roll, lowest or highest. T′ₖ: the pull in front of the k-th laminating station between them; F′ₖ:
    the film's own pull, none where it is not said; Sₖ: Σ Eᵢ tᵢ behind it. A film is bonded to a web that is stretched
    already and goes on carrying its own pull, so each further change is carried by what the web is where it changes.
    Source: Hooke's law for each layer and equal stretch of all from the bond on; derived, no source.
    """
    parts = []
    for station in films(ask):
        if since <= station.number < until:
            state = ask.states()[station]
            parts.append(_changed(then, getattr(state.front, end), web_stiffness(ask, station.number)))
            if film_pull(ask, station) is None:
                parts.append(exact(0.0, NO_FILM_PULL))
            then = getattr(state.pull, end)
    last = _changed(then, now, web_stiffness(ask, until))
    return combine(lambda *each: sum(each), *parts, last) if parts else last


def _changed(then: Figured, now: Figured, stiffness: Figured) -> Figured:
    """Give the stretch by a change of pull; a pull that is carried on is no change, however uncertain it is."""
    if then is now:
        return combine(lambda _: 0.0, now)
    return combine(
        lambda one, two, whole: stretch.tension_strain(two, whole) - stretch.tension_strain(one, whole),
        then,
        now,
        stiffness,
    )


def following_draw(ask: Ask, item: Item | None) -> Figured:
    """Give how much faster a nip must run than the one before for the pull between them, where the roll is full."""
    nips = [station for station in ask.job.stations if station.kind == "nip"]
    place = nips.index(item) if item in nips else 0
    if item is None or place == 0:
        return Missing((Need("nip before", "no nip runs before it", item.place if item is not None else None),))
    before, states = nips[place - 1], ask.states()
    stretched = [strain(ask, nip, "lowest", states[nip].front.lowest) for nip in (before, item)]
    return combine(
        lambda less, more, cold, warm: more - less + warm - cold, *stretched, slack(ask, before), slack(ask, item)
    )


def strain(ask: Ask, item: Item, end: str, pull: Figured) -> Figured:
    """Give how far a pull stretches the web at a station, warmth and shrinkage apart."""
    cut = cut_number(ask)
    if item.number > cut:
        return combine(stretch.tension_strain, pull, carries(ask, item, cut))
    return gained(ask, end, exact(0.0), pull, 0, item.number)


def slack(ask: Ask, item: Item) -> Figured:
    """Give how much longer warmth has made the slack web at a station, less what it has shrunk on the way."""
    return ask.once(f"slack {item.number}", lambda ask: _slack(ask, item))


def _slack(ask: Ask, item: Item) -> Figured:
    return warmth(ask, ask.temperatures()[item], COLD, heat_shrinkage(ask, item))


def warmth(ask: Ask, warm: Figured, unknown: str, *shrunk: Figured) -> Figured:
    """Give how much longer warmth makes the slack web, less what it has shrunk; with ``unknown`` none is counted."""
    needs = (ask("liner.expansion"), warm, ask("web.entry_temperature"), *shrunk)
    found = combine(lambda expansion, hot, cold, *s: stretch.thermal_strain(expansion, hot - cold, *s), *needs)
    return known_or(found, exact(0.0, unknown))


def heat_shrinkage(ask: Ask, item: Item) -> Figured:
    """Give how far the liner has shrunk for good on its way to a station: its shrinkage, by the hottest that it was."""
    shrinks, cold, most = ask("liner.shrinkage"), ask("web.entry_temperature"), ask("liner.maximum_temperature")
    if isinstance(shrinks, Missing) and not shrinks.is_spoiled:
        return exact(0.0, NO_SHRINKAGE)
    return combine(stretch.shrinkage_by_heat, shrinks, ask.once("hottest", _hottest)[item.number - 1], cold, most)


def _hottest(ask: Ask) -> list[Figured]:
    """Give for each station how hot the web has been at most behind it or any before."""
    found, hottest = ask.temperatures(), list[Figured]()
    for station in ask.job.stations:
        hottest.append(greatest(*hottest[-1:], found[station]))
    return hottest
