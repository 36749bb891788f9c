"""The nearest known name to one that is not known."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

from filmcheck.plant.record import Field, Record, text_at


def nearest(name: str, known: Iterable[str]) -> str:
    """Give the known name that is most like the given one, or begins it, else the only one with its number.

    Empty where none is.
    """
    from filmcheck.reading.schema_words import nearest_word  # a run that finds every name can spare it

    names = list(known)
    begun = [known for known in names if name.startswith(f"{known} ")]
    digits = re.findall("[0-9]+", name)
    alike = [known for known in names if digits and re.findall("[0-9]+", known) == digits]
    return nearest_word(name, names) or (begun[0] if len(begun) == 1 else "") or (alike[0] if len(alike) == 1 else "")


def nearest_hint(name: str, known: Iterable[str], otherwise: str = "") -> str:
    """Say which name is nearest, or what else to do where none is near."""
    near = nearest(name, known)
    return f"Nearest: {near}." if near else otherwise


def known_names(name: str, known: Iterable[str], what: str) -> str:
    """Say which name was most likely meant, or which ones there are."""
    names = sorted(known)
    near = nearest(name, names)
    if near:
        return f"Nearest {what}: {near}."
    listed = ", ".join(names[:12]) + (", …" if len(names) > 12 else "")
    return f"Known: {listed}." if names else f"There is no {what} yet."


def known_entries(name: str, entries: Mapping[str, Field], what: str) -> str:
    """Say which entry of a register was meant: one that has the name in words, else one that is called alike."""
    folded = name.strip().casefold()
    for key, entry in entries.items():
        titled = text_at(entry, "name") if isinstance(entry, Record) else ""
        if titled and titled.strip().casefold() == folded:
            return f"The {what} of this name is written {key}."
    return known_names(name, entries, what)
