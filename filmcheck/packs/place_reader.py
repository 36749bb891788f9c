"""Reads where along the path a station must stand: before, after, between, next to others, within so many stations."""

from __future__ import annotations

import re
from functools import partial

from filmcheck.figures.scopes import all_words, kinds_in, station_shapes
from filmcheck.judging.position import Anchor, Position
from filmcheck.packs.arithmetic import AtHand
from filmcheck.packs.language_words import meant_by
from filmcheck.packs.names import all_names
from filmcheck.packs.pack_fields import Teller, all_read
from filmcheck.plant.nearest import nearest
from filmcheck.reading.nodes import Mapping, Node, Scalar, Sequence

WHICH = ("first", "last", "next", "previous")
FROM_HERE = ("this", "next", "previous")
WAYS = "Write this; first, last, next or previous and a kind of station; or a kind and its unit, such as print 2."
_UNIT = re.compile(r"([a-z][a-z ]*) ([1-9]\d{0,2})")
PLACES = ("before", "after", "between", "next_to")


class PlaceReader(Teller):
    """Reads kinds of things and their places; what cannot be read raises BrokenError."""

    def kind(self, node: Node) -> str:
        """Read a kind of thing."""
        text = spelled(node.text) if isinstance(node, Scalar) else ""
        if kinds_in(text):
            return text
        near = nearest(text, all_words())
        known = f"Known: {', '.join(all_words()[:8])}, …; all: filmcheck rules words."
        hint = f"Nearest: {near}." if near else meant_by(text) or known
        figures = [] if near else [name for name in all_names() if text in name.split(".") and name[:4] != "job."]
        hint += f" As a figure: {', '.join(figures[:3])}." if figures else ""
        raise self.broken(node, f"{text or 'this'} is no known kind of thing", hint)

    def position(self, node: Mapping, kind: str, words: AtHand) -> Position | None:
        """Read the place that a mapping asks of things of a kind; None where it asks for none."""
        entries = node.entries
        relations = [place for place in PLACES if place in entries]
        near = entries.get("within")
        if near is not None and (not relations or relations[0] in ("between", "next_to")):
            raise self.broken(near.key, "within needs before or after beside it")
        if not relations:
            return None
        if len(relations) > 1:
            raise self.broken(entries[relations[1]].key, f"{relations[1]} cannot stand beside {relations[0]}")
        if not set(kinds_in(kind)) <= set(station_shapes()):
            says = f"{kind} is no station, so it has no place along the path"
            raise self.broken(entries[relations[0]].key, says, "Leave the place out.")
        reads = [partial(self._anchors, relations[0], entries[relations[0]].value, words)]
        return Position(relations[0], *all_read([*reads, *([partial(self._within, near.value)] if near else [])]))

    def _within(self, node: Node) -> int:
        value = node.value if isinstance(node, Scalar) else None
        if isinstance(value, int) and not isinstance(value, bool) and value >= 1:
            return value
        raise self.broken(node, "within takes a whole number of stations, 1 or more")

    def _anchors(self, relation: str, node: Node, words: AtHand) -> tuple[Anchor, ...]:
        nodes = node.items if isinstance(node, Sequence) else [node]
        if len(nodes) != (2 if relation == "between" else 1):
            raise self.broken(
                node, f"{relation} takes {'a list of two stations' if relation == 'between' else 'one station'}"
            )
        anchors = tuple(all_read(partial(self._anchor, one, words) for one in nodes))
        if len(set(anchors)) < len(anchors):
            raise self.broken(node, "nothing can stand between a station and itself")
        return anchors

    def _anchor(self, node: Node, words: AtHand) -> Anchor:
        text = spelled(node.text) if isinstance(node, Scalar) else ""
        which, _, kind = text.partition(" ")
        if which in FROM_HERE and not set(words.kinds) & set(station_shapes()):
            raise self.broken(
                node, f"there is no station at hand that '{text}' could mean", "It needs a kind of station around it."
            )
        if text == "this":
            return Anchor("this")
        if which not in WHICH:
            which, kind = "first", text  # a bare kind means the first of it
        unit = _UNIT.fullmatch(text)
        if unit is not None:
            which, kind = "unit", unit[1]
        if unit is not None and len(kinds_in(kind)) > 1:
            hint = f"A unit belongs to one kind, as in {'uv lamp' if kind == 'lamp' else 'print'} {unit[2]}."
            raise self.broken(node, f"{kind} is any of several kinds, so {text} is no one station", hint)
        if set(kinds_in(kind)) & set(station_shapes()):
            return Anchor(which, kind, int(unit[2]) if unit else 0)
        near = nearest(kind, station_shapes())
        numbered = re.fullmatch(rf"({near}\b\D*)(\d+)", text) if near else None
        hint = f"Did you mean {near} {numbered[2]}?" if numbered else f"Nearest: {near}. {WAYS}" if near else WAYS
        raise self.broken(node, f"{text or 'this'} is no station to place others against", hint)


def spelled(kind: str) -> str:
    """Give a kind as the path spells it: chill_roll, as arithmetic has it, is the chill roll."""
    return kind.replace("_", " ").strip()
