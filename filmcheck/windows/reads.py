"""What each figure of a job reads of its sheet and its registers, noted while it is worked out.

A figure that did not read a datum comes out the same whatever stands there, for what it reads decides what it reads
next. So another value at a set-point asks for those figures and rules again that read it, and for no others.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import date
from typing import Any, TypeVar, cast

from filmcheck.figures.figure import Ask
from filmcheck.figures.figures import Figures
from filmcheck.figures.lookups import Key, lookup
from filmcheck.plant.job import Document, Item, Job
from filmcheck.plant.record import Datum, Field, Listing, Record
from filmcheck.records.value import Figured

T = TypeVar("T")
Read = int
"""The data and documents that were read: a bit for each."""
PRESS: Read = 1
"""The bit of the press, on which the whole path rests."""


class Log:
    """Gathers what is read while something is worked out."""

    def __init__(self) -> None:
        self.read: Read = 0
        self._bits: dict[int, Read] = {}

    def bit(self, value: object) -> Read:
        """Give the bit of a datum or document, by its identity."""
        return self._bits.setdefault(id(value), 2 << len(self._bits))

    def note(self, value: T) -> T:
        """Put down that something is looked at; what has no bit does not count."""
        self.read |= self._bits.get(id(value), 0)
        return value

    def during(self, work: Callable[..., T], *given: Any) -> tuple[T, Read]:
        """Do the work; give what came of it and what it read. What it read counts for what goes on around it too."""
        outer, self.read = self.read, 0
        try:
            done = work(*given)
            return done, self.read
        finally:
            self.read |= outer


class Noting(dict[str, Any]):
    """The fields of a record, or the documents of a job, that put down in a log which of them are looked at."""

    __slots__ = ("log",)

    def __init__(self, known: Mapping[str, Any], log: Log) -> None:
        """Take over what another mapping holds."""
        super().__init__(known)
        self.log = log
        for value in known.values():
            if value.__class__ is Datum or value.__class__ is Document:
                log.bit(value)

    def get(self, name: str, otherwise: Any = None) -> Any:
        """Look a field up."""
        return self.log.note(super().get(name, otherwise))

    def __getitem__(self, name: str) -> Any:
        """Look a field up that is there."""
        return self.log.note(super().__getitem__(name))

    def values(self) -> Any:
        """Look at all fields."""
        return list(map(self.log.note, super().values()))

    def items(self) -> Any:
        """Look at all fields, with their names."""
        return list(zip(self, self.values(), strict=True))


def noting(job: Job, log: Log) -> Job:
    """Give the job with a sheet that notes what is read of it."""
    made: dict[int, Record] = {}

    def copy(field: Field) -> Field:
        if isinstance(field, Listing):
            return field.with_items(tuple(copy(item) for item in field.items))
        return record(field) if isinstance(field, Record) else field

    def record(old: Record) -> Record:
        fields = {name: copy(field) for name, field in old.fields.items()}
        new = made[id(old)] = old.with_fields(Noting(fields, log))
        return new

    def item(old: Item) -> Item:
        own = made.get(id(old.records[0]), old.records[0])
        stands = own if old.stands is old.records[0] else old.stands
        return replace(old, records=(own, *old.records[1:]), stands=stands)

    sheet = record(job.sheet)
    items = {kind: tuple(map(item, some)) for kind, some in job.items.items()}
    documents = Noting({**job.documents, "sheet": Document(sheet)}, log)
    return replace(job, sheet=sheet, documents=documents, items=items)


class _Known(dict[Any, Any]):
    """What was worked out, each with what it read; that is read too by who asks for it."""

    def __init__(self, log: Log) -> None:
        self.log = log
        self.read_by: dict[Any, Read] = {}

    def get(self, key: Any, otherwise: Any = None) -> Any:
        """Give what is known, and note what it read."""
        self.log.read |= self.read_by.get(key, 0)
        return super().get(key, otherwise)

    def untouched(self, changed: Read) -> dict[Any, Any]:
        """Give what read nothing of what has changed."""
        return {key: self[key] for key, read in self.read_by.items() if not read & changed}


class NotedFigures(Figures):
    """The figures of a job, each with what it read."""

    def __init__(self, job: Job, today: date) -> None:
        self.log = Log()
        super().__init__(noting(job, self.log), today)
        self.noted_documents = cast(Noting, self.documents)
        self.known: _Known = _Known(self.log)
        self._once: _Known = _Known(self.log)

    def work_out(self, key: Key, name: str, item: Item | None) -> Figured:
        """Work a figure out, and note what it reads."""
        return self._noted(self.known, key, lookup(name, item.kind if item is not None else ""), self, item)

    def once(self, name: str, work: Callable[[Ask], T]) -> T:
        """Give what the work comes to, and note what it reads."""
        found: T | None = self._once.get(name)
        return found if found is not None else self._noted(self._once, name, work, self)

    def things(self, kind: str) -> tuple[Item, ...]:
        """Give the things of a kind, and note what they come from."""
        found = self._once.get(kind)
        return found if found is not None else self._noted(self._once, kind, self._gather, kind)

    def _noted(self, known: _Known, key: Any, work: Callable[..., T], *given: Any) -> T:
        found, known.read_by[key] = self.log.during(work, *given)
        known[key] = found
        return found

    def untouched(self, changed: Read) -> Figures:
        """Give the figures of the job anew, with what read nothing of what has changed worked out already."""
        left = Figures(self.job, self._today)
        left.routes = self.routes
        left.known, left._once = self.known.untouched(changed), self._once.untouched(changed)
        return left
