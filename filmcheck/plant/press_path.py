"""The path of a short sheet: as the press has its stations, less what is left out, with what the job sets at each."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple, cast

from filmcheck.plant.nearest import known_names
from filmcheck.plant.plant import Plant
from filmcheck.plant.record import Datum, Field, Listing, Record, items_in, laid_over, listing_at, single
from filmcheck.plant.shape import shape_of
from filmcheck.plant.typed import AS_PRESS
from filmcheck.reading.nodes import Fault, FileFault
from filmcheck.units.faults import comma_list

MARKS = ("unit", "name")
"""What a station is told apart by among those of its kind, the first before the second."""


class Settings(NamedTuple):
    """What is set at stations, and whether the sheet says so itself or its set-up does."""

    record: Record
    is_own: bool


class GivenPath(NamedTuple):
    """What a sheet and its set-up say of the path."""

    written: Field | None
    is_own: bool
    """Whether the sheet itself says the path."""
    press: Field | None
    left_out: Field | None
    settings: tuple[Settings, ...]
    """Of the set-up first."""
    else_left_out: Field | None = None
    """What the set-up leaves out, where the sheet has a list of its own in its stead."""


class Station(NamedTuple):
    """One station that the path may have, with its number on the press from 0."""

    kind: str
    record: Record
    at: int | None


class SettledPath(NamedTuple):
    """The stations of a job, as a sheet would list them, and the number of each on the press."""

    listing: Listing
    on_press: tuple[int | None, ...] | None


def settled_path(path: GivenPath, plant: Plant, faults: list[FileFault]) -> SettledPath | None:
    """Settle the path; None where it is listed on the sheet and nothing is set or left out besides."""
    written = path.written
    from_press = isinstance(written, Datum)
    if not from_press and not path.settings and path.left_out is None:
        return None
    if written is None:
        _refuse_idle(path, faults)
        return None
    all_stations = _of_press(path.press, written, plant, faults) if from_press else listed_stations(written)
    if all_stations is None:
        return SettledPath(listing_at(written, ()), ())
    names = station_names(all_stations)
    left_out = set(_left_out(path.left_out, names, faults))
    set_here = _set_fields(path, names, left_out, faults)
    faults.extend(_back_on_path(path, names, left_out, set_here))
    faults.extend(_marked_anew(all_stations, set_here))
    kept = [number for number in range(len(all_stations)) if number not in left_out]
    items = tuple(_item(all_stations[number], set_here.get(number, []), path) for number in kept)
    listing = listing_at(written, items)
    return SettledPath(listing, tuple(all_stations[number].at for number in kept) if from_press else None)


def station_names(stations: Sequence[Station]) -> dict[str, list[int]]:
    """Give the stations that each name stands for: ``uv lamp 1``, ``nip infeed``, ``chill roll 2``, ``print``.

    The number is the unit's where the stations of a kind bear units or names, else it counts them along the press.
    The bare kind stands for all of its stations.
    """
    marked = {station.kind for station in stations if _marks(station.record)}
    names: dict[str, list[int]] = {}
    for number, station in enumerate(stations):
        of_kind = names.setdefault(station.kind, [])
        of_kind.append(number)
        marks = _marks(station.record) if station.kind in marked else [str(len(of_kind))]
        for mark in marks:
            names.setdefault(f"{station.kind} {mark}", []).append(number)
    return names


def listed_stations(listing: Field | None) -> list[Station]:
    """Give the stations of a listed path; what is no station is passed over, for the schema check tells of it."""
    return [Station(*pair, None) for item in items_in(listing) if (pair := single(item))]


def press_stations(plant: Plant, name: str) -> list[Station] | None:
    """Give the stations of a press that a path can have, once for all sheets; None where they are not known."""
    key = (AS_PRESS, name, "")
    if key not in plant.documents:
        entry = plant.entries("presses").get(name)
        listing = entry.fields.get("stations") if isinstance(entry, Record) else None
        known = shape_of("job-sheet").fields["path"].item.fields
        found: list[Station] | None = [] if isinstance(listing, Listing) else None
        for number, item in enumerate(items_in(listing)):
            for station in listed_stations(listing_at(item, (item,))):
                if found is not None and station.kind in known:
                    found.append(station._replace(at=number))
        plant.documents[key] = found
    return cast("list[Station] | None", plant.documents[key])


def _of_press(press: Field | None, written: Field, plant: Plant, faults: list[FileFault]) -> list[Station] | None:
    if not isinstance(press, Datum):
        says = "the path is as press, but the sheet names no press"
        faults.append(
            (
                written.file,
                Fault("name-unknown", written.place.span, says, "Add the press, for example `press: alder`."),
            )
        )
        return None
    found = press_stations(plant, press.text)
    entry = plant.entries("presses").get(press.text)
    if found is None and isinstance(entry, Record):  # a press that is not there is told where it is named
        says = f"the path is as press, but the press register lists no stations for {press.text}"
        hint = f"Add `stations:` to {press.text} at {entry.key_place}, or list the path on the sheet."
        faults.append((written.file, Fault("name-unknown", written.place.span, says, hint)))
    return found


def _left_out(field: Field | None, names: dict[str, list[int]], faults: list[FileFault]) -> Iterable[int]:
    seen: set[str] = set()
    for item in items_in(field):
        if isinstance(item, Datum):
            name = _plain(item.text)
            found = names.get(name)
            if found is not None and name in seen:
                says = f"leave_out names the station {name[:60]} twice"
                hint = "Take one out, or write the station that was meant."
                faults.append((item.file, Fault("value-wrong", item.place.span, says, hint)))
            seen.add(name)
            if found is None:
                faults.append(_no_station(item, item.text, "leave_out names", names))
            yield from found or ()


def _back_on_path(
    path: GivenPath,
    names: dict[str, list[int]],
    left_out: set[int],
    set_here: dict[int, list[tuple[Settings, Record]]],
) -> Iterator[FileFault]:
    """Tell which stations come back on the path because the sheet's own list of those left out has them not."""
    own = {number for number, found in set_here.items() if any(settings.is_own for settings, _ in found)}
    back = {
        _plain(item.text): None
        for item in items_in(path.else_left_out)
        if isinstance(item, Datum) and not set(names.get(_plain(item.text), left_out)) <= left_out | own
    }
    if back and path.left_out is not None:
        listed, verb = comma_list(list(back), "and"), "is" if len(back) == 1 else "are"
        says = f"This list takes the place of the set-up's, so {listed} {verb} webbed again."
        hint = "Add what the web does not run through. A station at which this sheet sets something counts as webbed."
        yield path.left_out.file, Fault("station-webbed-again", path.left_out.place.span, says, hint)


def _set_fields(
    path: GivenPath, names: dict[str, list[int]], left_out: set[int], faults: list[FileFault]
) -> dict[int, list[tuple[Settings, Record]]]:
    """Give what is set at each station, the set-up's before the sheet's, a kind as a whole before one of it."""
    found: dict[int, list[tuple[Settings, Record]]] = {}
    for settings in path.settings:
        by_reach = sorted(settings.record.fields.items(), key=lambda pair: -len(names.get(_plain(pair[0]), ())))
        for name, record in by_reach:
            numbers = names.get(_plain(name))
            if numbers is None and (settings.is_own or not path.is_own):
                faults.append(_no_station(record, name, "settings name", names))
            elif numbers and left_out.issuperset(numbers) and settings.is_own:
                says = f"settings name the station {name}, which leave_out takes off the path"
                hint = "Delete one of the two: what is not webbed has nothing to set."
                faults.append((record.file, Fault("name-unknown", record.key_place.span, says, hint)))
            for number in numbers or ():
                if isinstance(record, Record):
                    found.setdefault(number, []).append((settings, record))
    return found


def _marked_anew(
    stations: Sequence[Station], set_here: dict[int, list[tuple[Settings, Record]]]
) -> Iterator[FileFault]:
    """Tell of settings that give a station another unit or name than it has on the path."""
    for number, found in set_here.items():
        own = stations[number].record.fields
        for _, record in found:
            for mark in MARKS:
                given, known = record.fields.get(mark), own.get(mark)
                if isinstance(given, Datum) and isinstance(known, Datum) and given.text != known.text:
                    says = f"settings give {stations[number].kind} {known.text[:60]} the {mark} {given.text[:60]}"
                    hint = f"Take `{mark}` out, or set it at the station that was meant: settings change no {mark}."
                    yield given.file, Fault("value-wrong", given.place.span, says, hint)


def _item(station: Station, set_here: list[tuple[Settings, Record]], path: GivenPath) -> Record:
    """Make the station as a sheet would have it: its mark from the press, its settings from those who set them.

    A path that the sheet lists itself is nearer to the job than what the set-up sets.
    """
    of_press = station.at is not None
    own = {mark: station.record.fields[mark] for mark in MARKS if mark in station.record.fields}
    made = station.record.with_fields(own) if of_press else station.record
    for settings, record in set_here:
        if of_press:
            made = laid_over(made, record)
        elif settings.is_own or not path.is_own:
            made = made.with_fields(laid_over(made, record).fields)
        else:
            made = laid_over(record, made)
    return made.with_fields({station.kind: made})


def _no_station(field: Field, name: str, who: str, names: dict[str, list[int]]) -> FileFault:
    place = field.place if isinstance(field, Datum) else field.key_place
    says = f"{who} the station {name[:60]}, which is not on the path"
    kind = next((kind for kind in sorted(names, key=len) if _plain(name).startswith(kind)), "")
    near = [known for known in names if kind and known.startswith(f"{kind} ")]
    hint = (
        f"There {'are' if len(near) > 1 else 'is'}: {', '.join(near)}." if near else known_names(name, names, "station")
    )
    return field.file, Fault("name-unknown", place.span, says, hint)


def _refuse_idle(path: GivenPath, faults: list[FileFault]) -> None:
    """Tell of settings that nothing takes, for the job has no path."""
    for field in (*(each.record for each in path.settings if each.is_own), path.left_out):
        if field is not None:
            says = f"`{'settings' if isinstance(field, Record) else 'leave_out'}` needs a path, and the sheet has none"
            faults.append(
                (
                    field.file,
                    Fault(
                        "key-missing",
                        field.key_place.span,
                        says,
                        f"Add `path: {AS_PRESS}`, or name a set-up under `set_up`.",
                    ),
                )
            )


def _marks(record: Record) -> list[str]:
    return [own.text for mark in MARKS if isinstance(own := record.fields.get(mark), Datum)]


def _plain(name: str) -> str:
    return " ".join(name.replace("_", " ").split())
