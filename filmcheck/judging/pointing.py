"""Where a finding points: the datum that decided, the thing judged, or the place where what is missing belongs."""

from __future__ import annotations

from collections.abc import Iterator

from filmcheck.figures.given import where_given
from filmcheck.figures.scopes import WOUND
from filmcheck.figures.wording import dimension_of
from filmcheck.judging.context import Context
from filmcheck.judging.quantifier import Here, Things
from filmcheck.judging.rule import Rule
from filmcheck.judging.verdict import Evidence, Outcome
from filmcheck.judging.wording import related
from filmcheck.plant.entries import LINKS
from filmcheck.plant.job import Item, Job
from filmcheck.plant.record import Datum, Field, Listing, Record, deepest, find
from filmcheck.records.place import Place
from filmcheck.records.value import Value

REGISTER = "register"
"""Where a rule points that judges a register entry by itself: at that entry, so that a run tells it once."""
DAYS = ("job.day", "job.date", "job.today")
"""Days to which ages are counted: what is old is at fault, not the day of the job."""


def finding_place(rule: Rule, context: Context, outcome: Outcome) -> Place:
    """Point where the rule says; else at a datum of the thing at hand, at that thing; else at what decided."""
    job = context.figures.job
    if rule.at == REGISTER:
        return next((place for place in _register_places(outcome, job) if place.file != job.file), job.number_place)
    if rule.at:
        return address_place(job, context.item, rule.at)
    places = [place for evidence in outcome.evidence if (place := _evidence_place(evidence, job)) is not None]
    needed = [need.place for need in outcome.needs if need.place is not None and need.place.file == job.file]
    if context.item is not None and context.item.kind not in WOUND:  # what a roll is comes from all over the sheet
        drawn = _drawn_at(context, context.item)
        inside = (one for one in (*places, *needed[:1]) if one == drawn or _is_about(context.item, outcome, one))
        taken_over = context.item.place.file != job.file
        return next(inside, needed[0] if needed and taken_over else context.item.place)
    for place in (*places, *needed[:1]):
        return place
    return deepest(job.sheet, ("path",)) if find(job.sheet, ("path",)) else job.number_place


def _register_places(outcome: Outcome, job: Job) -> Iterator[Place]:
    """Give the places of the data behind a verdict, then of the thing and of the entries where they are lacking."""
    for asked in outcome.evidence:
        yield from (one.place for one in related(asked.context, asked.names))
    for asked in outcome.evidence:
        item = asked.context.item
        yield from (record.key_place for record in item.records) if item is not None else ()
    for name in (name for asked in outcome.evidence for name in asked.names):
        document, path = where_given(name)
        entry = job.documents[document].record if document in job.documents else None
        if entry is not None:
            yield deepest(entry, path)


def _drawn_at(context: Context, item: Item) -> Place | None:
    """Give where the draw stands that makes the pull of a zone: at the nip behind it, no record of the zone."""
    draw = context.figures("its.draw_at_end", item) if item.kind == "zone" else None
    return draw.source.place if isinstance(draw, Value) and draw.source is not None else None


def _is_about(item: Item, outcome: Outcome, place: Place) -> bool:
    """Whether a place is that of the thing at hand or of one of its data, or of another thing that decided."""
    if place == item.place or any(_holds(record, place) for record in item.records):
        return True
    others = (evidence.context.item for evidence in outcome.evidence)
    return any(
        other is not None
        and other is not item
        and (place == other.place or any(_holds(r, place) for r in other.records))
        for other in others
    )


def _evidence_place(evidence: Evidence, job: Job) -> Place | None:
    here = evidence.context
    names = evidence.names
    old = [name for name in names if name not in DAYS and dimension_of(name, here.item) == "date"]
    if old and len(old) < len(names):
        names = old  # an age: what is old is at fault, wherever it stands
    own = related(here, sorted(names, key=DAYS.__contains__))
    for found in own:
        if found.place.file == job.file:
            return found.place
    if isinstance(evidence.condition, (Here, Things)) and here.item is not None:
        return here.item.place
    if own:
        return own[0].place if old else _naming(job, own[0].place) or own[0].place
    beside = evidence.condition.place(here)
    return beside if beside is not None and beside.file == job.file else None


def _naming(job: Job, place: Place) -> Place | None:
    """Find where the sheet names the register entry that a place belongs to."""
    for name, (path, _, _) in LINKS.items():
        record = job.documents[name].record
        named = find(job.sheet, path)
        if record is not None and isinstance(named, Datum) and _holds(record, place):
            return named.place
    return None


def _holds(field: Field, place: Place) -> bool:
    """Whether a place is that of a datum within a record. A span alone would not tell: proofs put data in from afar."""
    if isinstance(field, Datum):
        return field.place == place
    inner = field.fields.values() if isinstance(field, Record) else field.items if isinstance(field, Listing) else ()
    return any(_holds(part, place) for part in inner)


def address_place(job: Job, item: Item | None, address: str) -> Place:
    """Give the place of an address on the sheet: a datum, or the innermost record on the way to it."""
    path = tuple(address.split("."))
    if path[0] == "its" and item is not None:
        for record in item.records:
            found = find(record, path[1:])
            if found is not None and found.place.file == job.file:
                return found.place if isinstance(found, Datum) else found.key_place
        return item.place
    found = find(job.sheet, path)
    if isinstance(found, Datum):
        return found.place
    near = deepest(job.sheet, path)
    return near if near != job.sheet.key_place else job.number_place
