"""Makes the set-up card of a job: pure functions from what was seen of the job to the sections of the card."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from filmcheck.records.finding import Finding
from filmcheck.records.job_view import JobView, RollView, Thing
from filmcheck.reports.card.card import BLANK, Card, Section
from filmcheck.reports.card.look_at import CAUTIONS, LOOK_AT
from filmcheck.reports.card.tooling import UNKNOWN, checks_section, die_section, readings_section
from filmcheck.reports.lacks import waiting_rules
from filmcheck.reports.led import Led, led
from filmcheck.reports.page_lines import count, more_follow

LAMPS = ("uv lamp", "led lamp", "dryer")
SET = ("tension", "draw", "setting", "temperature", "ink", "kind", "gauge")
"""Fields that say how a station is set, in the order in which they are shown."""
MOST_ERRORS = 6
"""Errors that are told; the others are counted, for the card must not grow past two sheets of paper."""
MOST_FOLLOWING = 2
"""Faults that are told below the one from which they follow; the others are counted."""
MOST_WAITING = 12
"""Data that are lacking and named; the others are counted."""


def make_card(view: JobView, plant_faults: int = 0) -> Card:
    """Make the card of a job that was judged by itself; ``plant_faults`` counts errors in settings and registers."""
    faults = led(one for one in view.findings if one.counts)
    errors = [each for each in faults if each.level == "error"]
    waiting = waiting_rules(view.findings)
    state = (
        f"NOT CLEARED: {count(len(errors), 'error')}{more_follow(sum(len(each.follows) for each in errors))}"
        if errors
        else "no error found"
    )
    if waiting:
        state += f"; {len(waiting)} data lacking, so not all could be judged"
    sections = (
        _errors(view, errors),
        _job(view),
        _unwind(view),
        _zones(view),
        _lamps(view),
        _path(view),
        die_section(view),
        readings_section(view),
        checks_section(view),
        _press_roll(view),
        _finishing(view),
        _others(view, {id(each.head): each for each in faults if each.level == "warning"}),
        _open(waiting, plant_faults),
        _cautions(view),
        _signatures(),
    )
    title = f"Set-up card {view.job or UNKNOWN}: {view.given.get('title', 'no title')}"
    shown = tuple(one for one in sections if one.rows or one.notes)
    return Card(title, state, not errors, view.file, shown)


def reach_in_words(view: JobView, address: str) -> str:
    """Say for which values of a set-point the job has no fault; empty where that was not looked for."""
    window = next((one for one in view.windows if one.address == address), None)
    if window is None:
        return ""
    return " or ".join(reach.settable for reach in window.reaches) or "no value holds"


def _told(finding: Finding, file: str) -> tuple[str, ...]:
    at = finding.place
    where = f"line {at.span.line}" if at.file == file else f"{at.file} line {at.span.line}"
    return finding.says, finding.instead, f"{where}, {finding.rule}"


def _nested(each: Led, file: str) -> Iterator[tuple[str, ...]]:
    """Tell a fault, and below it what follows from it."""
    yield _told(each.head, file)
    for one in each.follows[:MOST_FOLLOWING]:
        says, _, where = _told(one, file)
        yield f"also: {says}", "mend the one above first", where
    if len(each.follows) > MOST_FOLLOWING:
        yield f"also: {len(each.follows) - MOST_FOLLOWING} more", "mend the one above first", ""


def _errors(view: JobView, errors: list[Led]) -> Section:
    rows = tuple(row for each in errors[:MOST_ERRORS] for row in _nested(each, view.file))
    more = len(errors) - MOST_ERRORS
    notes = (f"{more} more: filmcheck lint {view.file}",) if more > 0 else ()
    head = ("what is wrong", "do", "where")
    return Section("Not cleared: mend these first", rows, head, notes, loud=True)


def _others(view: JobView, warnings: Mapping[int, Led]) -> Section:
    """List warnings, by the identity of their finding, what is borderline, and what a permit accepts."""
    rows: list[tuple[str, ...]] = []
    for one in view.findings:
        if one.permit is not None:
            says, _, where = _told(one, view.file)
            rows.append((says, f"accepted by permit of {one.permit.approved_by or 'nobody'}", where))
        elif one.kind == "review":
            rows.append(_told(one, view.file))
        elif id(one) in warnings:
            rows += _nested(warnings[id(one)], view.file)
    return Section("Also to be known", tuple(rows), ("what", "do", "where"))


def _pairs(*rows: tuple[str, str]) -> tuple[tuple[str, ...], ...]:
    return tuple((name, text) for name, text in rows if text)


def _job(view: JobView) -> Section:
    text = view.text
    rows = _pairs(
        ("stage", text("stage", UNKNOWN)),
        ("day", text("date")),
        ("press", text("press.name") or text("press", UNKNOWN)),
        ("stock", text("stock.name") or text("stock", UNKNOWN)),
        ("customer", text("customer.name") or text("customer")),
        ("web width", text("web.width", UNKNOWN)),
        ("length", text("web.length", UNKNOWN)),
        ("speed", text("web.speed", UNKNOWN)),
        ("time at speed", text("web.run_time")),
        ("caliper of the laminate", text("laminate.caliper", UNKNOWN)),
        ("first film job", "yes: go slowly, straight path" if text("first_film_job") == "true" else ""),
    )
    return Section("Job", rows)


def by_diameter(roll: RollView | None) -> tuple[tuple[str, ...], ...]:
    """Give the rows of a table by diameter."""
    return tuple(step.texts for step in roll.steps) if roll is not None else ()


BY_DIAMETER = ("diameter", "total tension", "line tension")


def _unwind(view: JobView) -> Section:
    unwind = next((one for one in view.stations if one.kind == "unwind"), None)
    rows = by_diameter(view.rolls.get("unwind"))
    if unwind is None:
        return Section("Unwind")
    window = reach_in_words(view, f"{unwind.label}.tension")
    width = view.text("web.width", "this web")
    notes = [
        f"Set {unwind.text('tension', UNKNOWN)}, control {unwind.text('control', UNKNOWN)}.",
        f"Window of the tension: {window}." if window else "",
        f"Core {unwind.text('core_diameter', UNKNOWN)} outside.",
        f"Parent rolls: {unwind.text('rolls_needed')}." if "rolls_needed" in unwind.figures else "",
        "" if rows else "The force by diameter cannot be told: the sheet lacks data for it.",
    ]
    return Section(f"Unwind force on {width}", rows, BY_DIAMETER if rows else (), (_joined(notes),))


def _joined(notes: Iterable[str]) -> str:
    return " ".join(note for note in notes if note)


def _range(thing: Thing, low: str, high: str) -> str:
    first, last = thing.text(low), thing.text(high)
    return first if first == last else f"{first or UNKNOWN} to {last or UNKNOWN}"


def _zones(view: JobView) -> Section:
    rows = tuple(
        (
            zone.label.removeprefix("zone "),
            _range(zone, "lowest_total_tension", "highest_total_tension") or UNKNOWN,
            _range(zone, "allowed_least", "allowed_most"),
            reach_in_words(view, f"{zone.label.removeprefix('zone behind ')}.tension"),
        )
        for zone in view.zones
    )
    return Section("Zone tensions", rows, ("zone", "total tension", "press holds", "window"))


def _lamps(view: JobView) -> Section:
    rows = tuple(
        (
            lamp.label,
            lamp.text("setting", UNKNOWN),
            " at ".join(lamp.given[one] for one in ("cure_minimum", "proved_speed") if one in lamp.given)
            or "not proved",
            reach_in_words(view, f"{lamp.label}.setting"),
            lamp.given.get("maximum", UNKNOWN),
            lamp.text("web_temperature", UNKNOWN),
        )
        for lamp in view.stations
        if lamp.kind in LAMPS
    )
    head = ("lamp or dryer", "setting", "proved minimum", "window", "maximum", "web behind it")
    note = "Lowest setting that still cures, never the maximum." if rows else ""
    return Section("Lamps and dryers", rows, head, (note,) if note else ())


def _path(view: JobView) -> Section:
    rows = tuple(
        (str(number), station.label, _how_set(station.given), LOOK_AT.get(station.kind, "as its maker says"))
        for number, station in enumerate(view.stations, 1)
    )
    return Section("Path in order", rows, ("", "station", "set", "look at"))


def _how_set(given: Mapping[str, str]) -> str:
    return ", ".join(given[name] for name in SET if name in given)


def _press_roll(view: JobView) -> Section:
    rewind = next((one for one in view.stations if one.kind == "rewind"), None)
    if rewind is None:
        return Section("Rewind on the press")
    notes = [
        _wound(rewind.given, "", rewind.label, view),
        f"Press rolls: {rewind.text('rolls', 'not said, one is counted')}; on each"
        f" {rewind.text('roll_length', UNKNOWN)},"
        f" {rewind.text('full_diameter', UNKNOWN)} across, {rewind.text('roll_mass', UNKNOWN)} of web without core.",
    ]
    return _roll_section("Rewind on the press", view.rolls.get("press roll"), notes)


def _wound(given: Mapping[str, str], before: str, address: str, view: JobView) -> str:
    def has(name: str, none: str = UNKNOWN) -> str:
        return given.get(before + name, none)

    parts = [
        f"Core {has('core')}; start {has('start_tension')}",
        f"taper {has('taper')} {has('taper_law', 'of unknown law')}",
    ]
    for part, name in enumerate(("start_tension", "taper")):
        window = reach_in_words(view, f"{address}.{name}")
        parts[part] += f" (window {window})" if window else ""
    return ", ".join(parts) + "."


def _roll_section(title: str, roll: RollView | None, notes: Iterable[str]) -> Section:
    rows = by_diameter(roll)
    lack = "" if rows else "The tension by diameter cannot be told: the sheet lacks data for it."
    return Section(title, rows, BY_DIAMETER if rows else (), tuple(note for note in (*notes, lack) if note))


def _finishing(view: JobView) -> Section:
    given, text = view.given, view.text
    if not any(name.startswith("finishing.") for name in given):
        return Section("Finishing", notes=("The sheet does not say how the roll is finished.",))
    wound, edge = (
        text("finishing.unwind_direction.wound", UNKNOWN),
        text("finishing.unwind_direction.leading_edge", UNKNOWN),
    )
    notes = [
        _joined(
            [
                f"On {text('finisher.name') or text('finishing.machine', UNKNOWN)},",
                f"{text('finishing.after', 'at a time not said')} after the press;",
                f"unwind {text('finishing.unwind_tension', UNKNOWN)}; speed {text('finishing.speed', UNKNOWN)}.",
            ]
        ),
        _wound(given, "finishing.", "finishing", view),
        f"Each roll: {text('finishing.labels_wanted', UNKNOWN)} labels, {text('finishing.roll_length', UNKNOWN)},"
        f" {text('finishing.full_diameter', UNKNOWN)} across (customer takes"
        f" {text('customer.maximum_diameter', UNKNOWN)}), {text('finishing.roll_mass', UNKNOWN)} of web without core.",
        f"Wound {wound}, leading edge {edge}. Total tension counts over the whole web, all lanes together.",
        "The core of a finished roll shifts freely under hand pressure from the side; hard as board is too tight.",
    ]
    return _roll_section("Finishing", view.rolls.get("finished roll"), notes)


def _open(waiting: dict[str, list[str]], plant_faults: int) -> Section:
    rows = tuple((datum, ", ".join(dict.fromkeys(rules))) for datum, rules in list(waiting.items())[:MOST_WAITING])
    more = len(waiting) - len(rows)
    notes = [
        f"{more} more data are lacking." if more > 0 else "",
        f"{count(plant_faults, 'error')} in the plant's settings and registers." if plant_faults else "",
        "What lies between jobs, such as a tool promised twice, is judged by filmcheck lint over all sheets.",
    ]
    return Section(
        "Could not be judged", rows, ("lacking", "waiting for it") if rows else (), tuple(filter(None, notes))
    )


def _cautions(view: JobView) -> Section:
    kinds = dict.fromkeys(station.kind for station in view.stations)
    standing = [text for kind in kinds for text in CAUTIONS.get(kind, ())]
    of_rules = [one.caution for one in view.findings if one.caution and one.kind != "pass"]
    return Section("Cautions", notes=tuple(dict.fromkeys((*of_rules, *standing))))


def _signatures() -> Section:
    rows = tuple((who, BLANK * 2, BLANK * 2) for who in ("set up by", "first good labels passed by", "finished by"))
    return Section("Signed off", rows, ("", "name", "day and time"))
