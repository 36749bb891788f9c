"""Typed documents: every datum with its value in SI and its place."""

from __future__ import annotations

from datetime import date

from filmcheck.reading.nodes import At, Mapping, Node
from filmcheck.records.place import Place, Span
from filmcheck.units.quantity import Quantity

Content = Quantity | str | bool | int | float | date


class _Placed:
    """Something read from a node of a file. A bare place may stand in for a node."""

    __slots__ = ("_key", "_node", "file")

    def __init__(self, file: str, node: Node | At, key: Node | At) -> None:
        self.file = file
        self._node = node
        self._key = key

    def _place(self, node: Node | At) -> Place:
        return Place(self.file, Span(*(node if isinstance(node, tuple) else node.at)))

    @property
    def place(self) -> Place:
        """Where the value stands."""
        return self._place(self._node)

    @property
    def key_place(self) -> Place:
        """Where the key stands; of an item of a list and of the whole document, where it stands itself."""
        return self._place(self._key)


class Datum(_Placed):
    """One value read from a file, as written and as meant."""

    __slots__ = ("content", "text")

    def __init__(self, content: Content, text: str, file: str, node: Node | At, key: Node | At) -> None:
        super().__init__(file, node, key)
        self.content = content
        self.text = text


class Unusable(_Placed):
    """A field that is there but says nothing usable; a finding of its own tells why.

    ``pressure`` keeps what was read where a tension was written as a pressure, so that both readings can be shown.
    """

    __slots__ = ("pressure", "says")

    def __init__(self, says: str, file: str, node: Node | At, key: Node | At, pressure: Quantity | None = None) -> None:
        super().__init__(file, node, key)
        self.says = says
        self.pressure = pressure


class Record(_Placed):
    """A mapping with typed fields."""

    __slots__ = ("fields",)

    def __init__(self, fields: dict[str, Field], file: str, node: Node | At, key: Node | At) -> None:
        super().__init__(file, node, key)
        self.fields = fields

    def key_written(self, name: str) -> Place | None:
        """Where a key is written in it, whatever became of what the key holds."""
        entry = self._node.entries.get(name) if isinstance(self._node, Mapping) else None
        return self._place(entry.key) if entry else None

    def with_fields(self, fields: dict[str, Field]) -> Record:
        """Give the same record with other fields."""
        return Record(fields, self.file, self._node, self._key)


class Listing(_Placed):
    """A list of typed items."""

    __slots__ = ("items",)

    def __init__(self, items: tuple[Field, ...], file: str, node: Node | At, key: Node | At) -> None:
        super().__init__(file, node, key)
        self.items = items

    def with_items(self, items: tuple[Field, ...]) -> Listing:
        """Give the same list with other items."""
        return Listing(items, self.file, self._node, self._key)


Field = Datum | Unusable | Record | Listing


def laid_over(under: Record, upper: Record) -> Record:
    """Lay one record over another, group by group; a group that both have stands where the upper one has it."""
    fields = dict(under.fields)
    for name, field in upper.fields.items():
        below = fields.get(name)
        fields[name] = laid_over(below, field) if isinstance(below, Record) and isinstance(field, Record) else field
    return upper.with_fields(fields)


def listing_at(field: Field, items: tuple[Field, ...]) -> Listing:
    """Give a list that stands where another field stands: the stations that ``as press`` is short for."""
    return Listing(items, field.file, field._node, field._key)


def single(field: Field) -> tuple[str, Record] | None:
    """Give key and value of a group of one key that holds a group, as a station of a path is; None for all else."""
    if isinstance(field, Record) and len(field.fields) == 1:
        ((name, inner),) = field.fields.items()
        return (name, inner) if isinstance(inner, Record) else None
    return None


def find(record: Record | None, path: tuple[str, ...]) -> Field | None:
    """Follow field names down from a record; None where one is not there."""
    here: Field | None = record
    for name in path:
        if here.__class__ is not Record:
            return here if here.__class__ is Unusable else None
        here = here.fields.get(name)
    return here


def content_at(record: Record | None, *path: str) -> Content | None:
    """Give what the value at a path means; None where none stands."""
    field = find(record, path)
    return field.content if isinstance(field, Datum) else None


def word(record: Record | None, *path: str) -> str | None:
    """Give the word at a path, or None."""
    content = content_at(record, *path)
    return content if isinstance(content, str) else None


def text_at(record: Record | None, *path: str) -> str:
    """Give the value at a path as it is written; an empty text where none stands."""
    field = find(record, path)
    return field.text if isinstance(field, Datum) else ""


def group_at(record: Record | None, *path: str) -> dict[str, Field]:
    """Give the fields of the group at a path; none where there is no group."""
    field = find(record, path)
    return field.fields if isinstance(field, Record) else {}


def items_at(record: Record | None, *path: str) -> tuple[Field, ...]:
    """Give the items of the list at a path; none where there is no list."""
    return items_in(find(record, path))


def items_in(field: Field | None) -> tuple[Field, ...]:
    """Give the items of a list; none of what is no list."""
    return field.items if isinstance(field, Listing) else ()


def deepest(record: Record, path: tuple[str, ...]) -> Place:
    """Give the place of the innermost record on the way to a path: where a missing field belongs."""
    holder: Field = record
    for name in path:
        here = holder.fields.get(name) if isinstance(holder, Record) else None
        if here is None:
            break
        holder = here
    return holder.key_place


def groups_lacking(record: Record, path: tuple[str, ...]) -> tuple[str, ...]:
    """Give the groups on the way to a field that are not there: they are to be written with it."""
    here: Field | None = record
    for depth, name in enumerate(path[:-1]):
        here = here.fields.get(name) if isinstance(here, Record) else None
        if here is None:
            return path[depth:-1]
    return ()
