"""What is wrong within one register, whoever uses it: entries of one name, presses whose stations cannot stand so."""

from __future__ import annotations

from collections.abc import Iterator

from filmcheck.plant.record import Datum, Field, Record, items_in, single
from filmcheck.reading.nodes import Fault

NAMED = ("presses", "stocks", "finishing", "customers", "set_ups")
"""The registers whose entries bear a name in words."""


def register_slips(register: str, entries: Record) -> Iterator[Fault]:
    """Tell of the slips in one register that no sheet need be read for."""
    if register in NAMED:
        yield from _names_twice(entries)
    if register == "presses":
        for name, entry in entries.fields.items():
            if isinstance(entry, Record):
                yield from _out_of_order(name, entry.fields.get("stations"))
                yield from _stations_twice(name, entry.fields.get("stations"))


def _names_twice(entries: Record) -> Iterator[Fault]:
    first: dict[str, str] = {}
    for key, entry in entries.fields.items():
        said = entry.fields.get("name") if isinstance(entry, Record) else None
        if not isinstance(said, Datum):
            continue
        plain = " ".join(said.text.casefold().split())
        before = first.setdefault(plain, key)
        if plain and before != key:
            says = f"{key} has the name of {before}: {said.text[:60]}"
            hint = "Give each entry a name of its own; where one was copied, look over the rest of it too."
            yield Fault("name-twice", said.place.span, says, hint)


def _out_of_order(press: str, stations: Field | None) -> Iterator[Fault]:
    """Tell of the first station that a web cannot come to where it stands."""
    placed = [(pair[0], item) for item in items_in(stations) if (pair := single(item))]
    kinds = [kind for kind, _ in placed]
    last_rewind = max((number for number, kind in enumerate(kinds) if kind == "rewind"), default=len(kinds))
    for number, (kind, item) in enumerate(placed):
        if kind == "unwind" and "unwind" not in kinds[:number] and number > 0:
            why = f"{kinds[0]} stands before it"
        elif kind == "rewind" and number == last_rewind < len(kinds) - 1:
            why = f"{kinds[-1]} stands behind it"
        elif kind == "matrix strip" and "die cut" in kinds and "die cut" not in kinds[:number]:
            why = "die cut stands behind it"
        else:
            continue
        says = f"press {press} has its {kind} out of order: {why}"
        hint = "Put the stations in the order in which the web meets them, from unwind to rewind."
        yield Fault("press-out-of-order", item.place.span, says, hint)
        return


def _stations_twice(press: str, stations: Field | None) -> Iterator[Fault]:
    """Tell of each station that bears the number or the name of another of its kind."""
    seen = set()
    for kind, item in filter(None, map(single, items_in(stations))):
        for key in ("unit", "name"):
            said = item.fields.get(key)
            if not isinstance(said, Datum):
                continue
            label = f"{kind} {said.text}"
            if label in seen:
                says = f"press {press} has {label} twice"
                hint = "Number the stations of a kind as the web meets them, and give each nip a name of its own."
                yield Fault("press-station-twice", said.place.span, says, hint)
            seen.add(label)
