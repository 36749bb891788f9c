"""Whether an address of a proof or rule can lead anywhere, told from the shapes of sheet and registers alone."""

from __future__ import annotations

from typing import NamedTuple

from filmcheck.figures.given import root_shape
from filmcheck.figures.scopes import press_station_shapes, station_shapes
from filmcheck.plant.entries import LINKS
from filmcheck.plant.nearest import nearest_hint
from filmcheck.plant.shape import Shape, shape_of

REGISTER_WORDS = tuple(name.replace(" ", "_") for name in LINKS)
"""First words of addresses that lead into the register entry that the sheet names."""


class LostAddress(NamedTuple):
    """What is wrong with an address, and the way out."""

    says: str
    hint: str = ""


def lost_address(address: str) -> LostAddress | None:
    """Say where an address of a proof leads astray; None where a sheet could have it."""
    head, _, rest = address.partition(".")
    if head in REGISTER_WORDS and rest:
        if head == "press" and station_kind(rest, press_station_shapes()):
            return _on_station(address, rest, press_station_shapes())
        return _walk(address, root_shape(head), rest)
    fields = shape_of("job-sheet").fields
    if head in fields:
        return _walk(address, fields[head], rest)
    if station_kind(address, station_shapes()):
        return _on_station(address, address, station_shapes())
    hint = nearest_hint(head, (*fields, *REGISTER_WORDS, *station_shapes()), "Such as web.speed or uv lamp 1.setting.")
    return LostAddress(f"{address} is no address of a sheet", hint)


def lost_field(address: str) -> LostAddress | None:
    """Say where an address of a rule leads astray, which can name fields of the sheet only, and no station."""
    head, _, rest = address.partition(".")
    fields = shape_of("job-sheet").fields
    if head in fields:
        return _walk(address, fields[head], rest)
    way_out = nearest_hint(head, fields, "Name a field of the sheet; for a thing use for_each and its.")
    return LostAddress(f"{address} is no field of the sheet", way_out)


def station_kind(label: str, shapes: dict[str, Shape]) -> str:
    """Give the kind of station that a label starts with."""
    fit = [kind for kind in shapes if label == kind or label.startswith((f"{kind} ", f"{kind}."))]
    return max(fit, key=len, default="")


def _on_station(address: str, label: str, shapes: dict[str, Shape]) -> LostAddress | None:
    _, _, rest = label.partition(".")
    return _walk(address, shapes[station_kind(label, shapes)], rest)


def _walk(address: str, shape: Shape, rest: str) -> LostAddress | None:
    """Follow the steps of an address down a shape."""
    for step in rest.split(".") if rest else ():
        if shape.sort == "record":
            if step not in shape.fields:
                hint = nearest_hint(step, shape.fields, f"Known: {', '.join(shape.fields)}.")
                return LostAddress(f"{address} leads nowhere: there is no {step}", hint)
            shape = shape.fields[step]
        elif shape.sort == "list":
            if not (step.isascii() and step.isdigit()) or step == "0":
                return LostAddress(f"{address} leads nowhere: a list item is a number from 1, not {step}")
            shape = shape.item
        elif shape.sort == "map":
            shape = shape.item
        else:
            return LostAddress(f"{address} leads nowhere: nothing stands below a {shape.sort}")
    return None
