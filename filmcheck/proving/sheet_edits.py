"""Changes to a sound sheet or to the register entries that it names, told by address; nothing else is touched."""

from __future__ import annotations

from collections.abc import Iterable
from collections.abc import Mapping as Named
from dataclasses import dataclass

from filmcheck.figures.scopes import press_station_shapes, station_shapes
from filmcheck.packs.sheet_addresses import station_kind
from filmcheck.plant.entries import LINKS
from filmcheck.plant.generic import with_generic
from filmcheck.plant.job import Job, station_labels
from filmcheck.plant.plant import Plant, Sheet, type_tree
from filmcheck.plant.record import Datum, Field, Listing, Record, Unusable, word
from filmcheck.plant.register_slips import register_slips
from filmcheck.plant.short_sheet import SHORT_KEYS, made_whole
from filmcheck.reading.nodes import Entry, KeyPath, Mapping, Node, Scalar, Sequence
from filmcheck.records.place import Place, Span

_LINK_WORDS = {name.replace(" ", "_"): name for name in LINKS}


class EditError(Exception):
    """An address leads nowhere."""


@dataclass(frozen=True)
class Target:
    """Where an address leads: a register, or the sheet itself where that is empty, and the path in its tree."""

    register: str
    path: KeyPath


@dataclass
class Workpiece:
    """A sheet and its plant while they are being changed.

    Addresses name the stations of the sound sheet throughout; ``indexes`` says where each of them is by now.
    """

    job: Job
    sheet: Sheet
    plant: Plant
    trees: dict[str, Node]
    indexes: list[int | None]

    @classmethod
    def of(cls, job: Job, sheet: Sheet, plant: Plant, addresses: Iterable[str] = ()) -> Workpiece:
        """Start from a sound sheet. A short one is written out, unless what makes it short is itself to be changed."""
        if sheet.tree is None:
            raise EditError(f"{sheet.file} cannot be read")
        short = isinstance(sheet.tree, Mapping) and not sheet.tree.entries.keys().isdisjoint((*SHORT_KEYS, "set_up"))
        short = short or isinstance(child(sheet.tree, "path"), Scalar)
        keeps = any(address.partition(".")[0] in (*SHORT_KEYS, "set_up") or address == "press" for address in addresses)
        tree = written_out(sheet.record, plant) if short and not keeps else sheet.tree
        return cls(job, sheet, plant, {"": tree}, list(range(len(job.stations))))

    def tree(self, register: str) -> Node:
        """Give the tree of the sheet or of a register, as changed so far."""
        if register not in self.trees:
            tree = self._register_sheet(register).tree
            if tree is None:
                raise EditError(f"the register {register} cannot be read")
            self.trees[register] = tree
        return self.trees[register]

    def put(self, address: str, value: Node | None, key: Scalar | None = None) -> None:
        """Write a value at an address, or leave the address out where the value is None."""
        target = self._target(address)
        tree = changed(self.tree(target.register), target.path, value, key)
        if tree is None:
            raise EditError(f"{address} cannot be left out")
        self.trees[target.register] = tree
        station = _station_index(target)
        if value is None and station is not None and len(target.path) == 2:
            gone = self.indexes.index(station)
            self.indexes = [at - 1 if at is not None and at > station else at for at in self.indexes]
            self.indexes[gone] = None

    def insert(self, station: Mapping, before: str, after: str) -> None:
        """Put a station into the path."""
        path = child(self.tree(""), "path")
        if not isinstance(path, Sequence):
            raise EditError("the sheet has no path")
        labels = [item.label for item in self.job.stations]
        label = before or after
        if label and label not in labels:
            raise EditError(f"the path has no {label}; it has {', '.join(labels)}")
        beside = self.indexes[labels.index(label)] if label else len(path.items)
        if beside is None:
            raise EditError(f"{label} is left out")
        at = beside + (1 if after and not before else 0)
        self.indexes = [old + 1 if old is not None and old >= at else old for old in self.indexes]
        items = [*path.items[:at], station, *path.items[at:]]
        tree = changed(self.tree(""), ("path",), Sequence(items, path.span), None)
        if tree is not None:
            self.trees[""] = tree

    def finished(self) -> tuple[Sheet, Plant]:
        """Type what was changed; give the sheet and the plant as they now are."""
        registers = dict(self.plant.registers)
        faults = list(self.plant.faults)
        for register, tree in self.trees.items():
            if register:
                typed = type_tree(tree, "", self._register_sheet(register).file, register)
                registers[register] = with_generic(register, typed.record)[0]
                faults += [(typed.file, fault) for fault in (*typed.faults, *register_slips(register, typed.record))]
        sheet = type_tree(self.trees[""], self.sheet.text, self.sheet.file, "job-sheet")
        plant = Plant(self.plant.root, self.plant.settings, registers, self.plant.files, tuple(faults))
        return sheet, plant

    def place(self, address: str, job: Job) -> tuple[Place, ...]:
        """Give the places that an address can stand for: the value's, and the key's.

        A station may be named as it is called on the changed job, so that one put in can be named as well.
        """
        now = _station(address, {item.label: item.number - 1 for item in job.stations})
        target = find_target(address, job) if now is not None else self._target(address)
        file = self._register_sheet(target.register).file if target.register else self.sheet.file
        return tuple(Place(file, span) for span in spans(self.tree(target.register), target.path))

    def called(self, place: Place, job: Job) -> str:
        """Give the address of what stands at a place. A changed value has its line in the pack, not in the sheet."""
        stations = (called for item in job.stations if (called := _called(item.records[0], place, item.label)))
        return next(stations, "") or _called(job.sheet, place, "") or str(place)

    def _target(self, address: str) -> Target:
        """Find where an address of the sound sheet leads by now."""
        target = find_target(address, self.job)
        station = _station_index(target)
        if station is None or station >= len(self.indexes):
            return target
        now = self.indexes[station]
        if now is None:
            raise EditError(f"{address} is left out")
        return Target("", ("path", now, *target.path[2:]))

    def _register_sheet(self, register: str) -> Sheet:
        record = self.plant.registers.get(register)
        if record is None:
            raise EditError(f"the plant has no register {register}")
        return self.plant.files[record.place.file]


def _called(field: Field, place: Place, address: str) -> str:
    if place in (field.place, field.key_place):
        return address
    named = field.fields.items() if isinstance(field, Record) else ()
    listed = ((str(number), item) for number, item in enumerate(field.items, 1)) if isinstance(field, Listing) else ()
    inner = (_called(one, place, f"{address}.{name}".lstrip(".")) for name, one in (*named, *listed))
    return next((found for found in inner if found), "")


def _station_index(target: Target) -> int | None:
    """Give which station of the path a target lies in."""
    inside = not target.register and len(target.path) > 1 and target.path[0] == "path"
    return target.path[1] if inside and isinstance(target.path[1], int) else None


def find_target(address: str, job: Job) -> Target:
    """Find where an address leads on a job."""
    head, _, rest = address.partition(".")
    if head in _LINK_WORDS and rest:
        return _linked(_LINK_WORDS[head], rest, job)
    station = _station(address, {item.label: item.number - 1 for item in job.stations})
    if station is not None:
        index, inner = station
        kind = job.stations[index].kind
        return Target("", ("path", index, *((kind, *inner) if inner else ())))
    if station_kind(address, station_shapes()) and head not in job.sheet.fields:
        raise EditError(f"the path has no {head}; it has {', '.join(item.label for item in job.stations)}")
    return Target("", _steps(address))


def _linked(what: str, rest: str, job: Job) -> Target:
    path, register, section = LINKS[what]
    name = word(job.sheet, *path)
    if name is None:
        raise EditError(f"the sheet names no {what}")
    lead: KeyPath = (section, name) if section else (name,)
    if what == "press":
        pairs = job.documents["press"].stations
        labels = station_labels([pair for pair in pairs if pair is not None])
        station = _station(rest, {label: index for index, label in enumerate(labels)})
        if station is not None:
            index, inner = station
            kind = pairs[index]
            return Target(register, (*lead, "stations", index, *((kind[0], *inner) if inner and kind else ())))
        if station_kind(rest, press_station_shapes()):
            raise EditError(f"the press has no {rest.partition('.')[0]}; it has {', '.join(labels)}")
    return Target(register, (*lead, *_steps(rest)))


def _station(address: str, labels: Named[str, int]) -> tuple[int, KeyPath] | None:
    for label in sorted(labels, key=len, reverse=True):
        if address == label:
            return labels[label], ()
        if address.startswith(label + "."):
            return labels[label], _steps(address[len(label) + 1 :])
    return None


def _steps(address: str) -> KeyPath:
    return tuple(int(step) - 1 if step.isdigit() else step for step in address.split("."))


def child(node: Node, step: str | int) -> Node | None:
    """Give what lies one step down, or None."""
    if isinstance(node, Mapping) and isinstance(step, str):
        entry = node.entries.get(step)
        return entry.value if entry is not None else None
    if isinstance(node, Sequence) and isinstance(step, int) and 0 <= step < len(node.items):
        return node.items[step]
    return None


def changed(node: Node, path: KeyPath, value: Node | None, key: Scalar | None) -> Node | None:
    """Give the tree with another value at a path; the given tree stays as it is."""
    if not path:
        return value
    step, rest = path[0], path[1:]
    inner = child(node, step)
    if isinstance(node, Sequence) and isinstance(step, int):
        return _changed_item(node, step, inner, rest, value, key)
    if isinstance(node, Mapping) and isinstance(step, str):
        if inner is None and value is None:
            raise EditError(f"{step} is not there to be left out")
        below = changed(inner if inner is not None else Mapping({}, node.span), rest, value, key)
        entries = dict(node.entries)
        if below is None:
            del entries[step]
        else:
            known = entries.get(step)
            entries[step] = Entry(known.key if known else (key or Scalar(step, step, node.span)), below)
        return Mapping(entries, node.span)
    raise EditError(f"{step} leads nowhere")


def _changed_item(
    node: Sequence, step: int, inner: Node | None, rest: KeyPath, value: Node | None, key: Scalar | None
) -> Node:
    if inner is None:
        raise EditError(f"there is no item {step + 1}; there are {len(node.items)}")
    below = changed(inner, rest, value, key)
    middle = [below] if below is not None else []
    return Sequence([*node.items[:step], *middle, *node.items[step + 1 :]], node.span)


def written_out(sheet: Record, plant: Plant) -> Node:
    """Write a short sheet out: what its set-up and press say stands on it. What its customer says stays there."""
    whole = made_whole(sheet, plant).record
    customers = plant.registers.get("customers")
    fields = {name: field for name, field in whole.fields.items() if name != "set_up"}
    return _tree(whole.with_fields(fields), customers.file if customers is not None else "")


def _tree(field: Field, but: str) -> Node:
    """Give the tree of a field, without what stands in one of the files."""
    span = field.place.span
    if isinstance(field, Record):
        kept = {name: one for name, one in field.fields.items() if one.file != but and not isinstance(one, Unusable)}
        entries = {name: Entry(Scalar(name, name, one.key_place.span), _tree(one, but)) for name, one in kept.items()}
        return Mapping(entries, span)
    if isinstance(field, Listing):
        return Sequence([_tree(item, but) for item in field.items if not isinstance(item, Unusable)], span)
    if isinstance(field, Datum):
        value = field.content if isinstance(field.content, (bool, int, float)) else field.text
        return Scalar(field.text, value, span)
    raise EditError(f"{field.place} cannot be used")


def spans(node: Node, path: KeyPath) -> tuple[Span, ...]:
    """Give the spans of the value and of the key at a path; of the innermost that is there."""
    key: Scalar | None = None
    here = node
    for step in path:
        below = child(here, step)
        if below is None:
            break
        key = here.entries[step].key if isinstance(here, Mapping) and isinstance(step, str) else None
        here = below
        if isinstance(here, Mapping) and len(here.entries) == 1 and step == path[-1] and isinstance(step, int):
            key = next(iter(here.entries.values())).key
    return (here.span, key.span) if key is not None else (here.span,)
