"""What each figure of a job reads of its sheet and its registers, noted while it is worked out.

A figure that did not read a datum comes out the same whatever stands there, for what it reads decides what it reads
next. So another value at a set-point asks for those figures and rules again that read it, and for no others.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping
from dataclasses import replace
from datetime import date
from typing import Any, TypeVar, cast

from filmcheck.figures.asking import Ask
from filmcheck.figures.figures import Figures
from filmcheck.figures.lookups import Key, key_of
from filmcheck.plant.job import Document, Item, Job
from filmcheck.plant.record import Datum, Field, Listing, Record
from filmcheck.records.value import Figured

T = TypeVar("T")
ONCE = "done once"
Read = frozenset[int]
"""The data and documents that were read, by their identity."""


class Log:
    """Gathers what is read while something is worked out."""

    def __init__(self) -> None:
        """Start with nothing read."""
        self.read: set[int] = set()

    def during(self, work: Callable[[], T]) -> tuple[T, Read]:
        """Do the work; give what came of it and what it read. What it read counts for what goes on around it too."""
        outer, self.read = self.read, set()
        try:
            done = work()
        finally:
            found = frozenset(self.read)
            self.read = outer | found
        return done, found


class Noting(dict[str, Any]):
    """The fields of a record, or the documents of a job, that put down in a log which of them are looked at."""

    __slots__ = ("log",)

    def __init__(self, known: Mapping[str, Any], log: Log) -> None:
        """Take over what another mapping holds."""
        super().__init__(known)
        self.log = log

    def _noted(self, value: Any) -> Any:
        if value.__class__ is Datum or value.__class__ is Document:
            self.log.read.add(id(value))
        return value

    def get(self, name: str, otherwise: Any = None) -> Any:
        """Look a field up."""
        return self._noted(super().get(name, otherwise))

    def __getitem__(self, name: str) -> Any:
        """Look a field up that is there."""
        return self._noted(super().__getitem__(name))

    def values(self) -> Any:
        """Look at all fields."""
        return [self._noted(value) for value in super().values()]

    def items(self) -> Any:
        """Look at all fields, with their names."""
        return [(name, self._noted(value)) for name, value in super().items()]


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


class _Unknowing(dict[Key, Figured]):
    """Figures that must each be asked for, so that who asks is seen."""

    def get(self, key: Key, otherwise: Any = None) -> Any:
        """Know nothing."""
        return None


class NotedFigures(Figures):
    """The figures of a job, each with what it read."""

    def __init__(self, job: Job, today: date) -> None:
        """Start with nothing worked out."""
        self.log = Log()
        super().__init__(noting(job, self.log), today)
        self.noted_documents = cast(Noting, self.documents)
        self.known = _Unknowing()
        self.read_by: dict[Hashable, Read] = {}
        self.done: dict[Hashable, Any] = {}

    def __call__(self, name: str, item: Item | None = None) -> Figured:
        """Give a figure, and note what it reads."""
        return self._noted(key_of(name, item), lambda: super(NotedFigures, self).__call__(name, item))

    def once(self, name: str, work: Callable[[Ask], T]) -> T:
        """Give what the work comes to, and note what it reads."""
        return self._noted((ONCE, name), lambda: super(NotedFigures, self).once(name, work))

    def things(self, kind: str) -> tuple[Item, ...]:
        """Give the things of a kind, and note what they come from."""
        return self._noted((ONCE, kind), lambda: super(NotedFigures, self).things(kind))

    def _noted(self, key: Hashable, work: Callable[[], T]) -> T:
        read = self.read_by.get(key)
        if read is None:
            self.done[key], self.read_by[key] = self.log.during(work)
        else:
            self.log.read |= read
        found: T = self.done[key]
        return found

    def untouched(self, changed: Read) -> Figures:
        """Give the figures of the job anew, with what read nothing of what has changed worked out already."""
        left = Figures(self.job, self._today)
        left.routes = self.routes
        for key, read in self.read_by.items():
            if read.isdisjoint(changed):
                if isinstance(key, tuple) and key[0] == ONCE:
                    left._once[key[1]] = self.done[key]
                else:
                    left.known[cast(Key, key)] = self.done[key]
        return left
