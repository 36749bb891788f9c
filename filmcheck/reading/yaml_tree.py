"""YAML text to a tree of nodes, with every recoverable fault beside it."""

from __future__ import annotations

from sys import float_info

from filmcheck.reading.nodes import MOST_FAULTS, At, Entry, Fault, Mapping, Node, Scalar, Sequence, plain_value
from filmcheck.reading.yaml_events import (
    ALIAS,
    END,
    LONGEST_FOR_PURE,
    MAPPING,
    NO_BRACKET,
    SCALAR,
    BrokenYamlError,
    Events,
    Properties,
    has_hours,
)
from filmcheck.records.place import Span

DEEPEST = 60
"""Levels of lists and mappings within each other, aliases followed."""

MOST_NODES = 100_000
"""Scalars, lists and mappings of one file, aliases followed."""

LONGEST_TEXT, MOST_TEXT = 10_000, 4_000_000
"""Characters of one text of a file, and of all together, aliases followed: reports repeat what a sheet says."""

_ENDS_IT = ("too-many-nodes", "too-deep", "several-documents")
"""Faults with which the reading ends: they are told however many came before."""

_CORE = "tag:yaml.org,2002:"
_KINDS: dict[str, tuple[type, ...]] = {
    "int": (int,),
    "float": (int, float),
    "bool": (bool,),
    "null": (type(None),),
}


class _TreeTooBigError(Exception):
    """The tree is beyond a limit and is given up."""


def _between(start: At, last: At, bracket: At) -> At:
    """Give the place of a collection: from its start to its bracket, else to the end of its last child."""
    return (*start[:2], *(last if bracket is NO_BRACKET else bracket)[2:])


class _Builder:
    """Builds the tree event by event."""

    def __init__(self, events: Events, faults: list[Fault]) -> None:
        self.events = events
        self.faults = faults
        self.anchors: dict[str, tuple[Node, int, int]] = {}
        self.open_anchors: set[str | None] = set()
        self.depth = 0
        self.deepest = 0
        self.count = 0

    def build(self) -> Node | None:
        """Give the root of the first document, None where there is no document."""
        _, begins = next(self.events, None), next(self.events, None)  # of the document, and of its root
        if begins is None:
            return None
        self.count = 1
        root = self._node(*begins)
        second = next(self.events, None)
        if second:
            self._fault("several-documents", second[1], _SECOND, "Keep one sheet in a file.")
        return root

    def _fault(self, name: str, at: At, says: str, hint: str = "") -> None:
        if len(self.faults) < MOST_FAULTS or name in _ENDS_IT:
            self.faults.append(Fault(name, Span(*at), says, hint))
        elif len(self.faults) == MOST_FAULTS:
            more = "The file has more faults of its writing."
            self.faults.append(Fault("more-faults", Span(*at), more, "Mend these first."))

    def _check_size(self, at: At) -> None:
        if self.count > MOST_NODES:
            says = f"The sheet holds more than {MOST_NODES} entries, those repeated by * counted in."
            self._fault("too-many-nodes", at, says, "Split the file, or repeat less.")
            raise _TreeTooBigError

    def _check_depth(self, depth: int, at: At) -> None:
        self.deepest = max(self.deepest, depth)
        if depth > DEEPEST:
            says = f"Lists and groups lie within each other more than {DEEPEST} deep."
            self._fault("too-deep", at, says, "A sheet needs a handful of levels; is a bracket left open?")
            raise _TreeTooBigError

    def _node(self, kind: int, at: At, word: str, plain: bool, properties: Properties | None) -> Node:
        """Give the node that begins with this event."""
        if kind == SCALAR:
            scalar = Scalar(word, plain_value(word) if plain else word, at)
            return self._dress(scalar, properties) if properties else scalar
        if kind == ALIAS:
            return self._alias(word, at)
        self.depth += 1
        self._check_depth(self.depth, at)
        if properties:
            node = self._dressed_collection(kind, at, properties)
        else:
            node = self._mapping(at) if kind == MAPPING else self._sequence(at)
        self.depth -= 1
        return node

    def _dressed_collection(self, kind: int, at: At, properties: Properties) -> Node:
        """Give a list or mapping that has an anchor or a tag."""
        if properties.tag not in (None, "!", _CORE + ("map" if kind == MAPPING else "seq")):
            self._refuse_tag(properties)
        name, count, deepest = properties.anchor, self.count, self.deepest
        self.deepest = self.depth
        self.open_anchors.add(name)
        node = self._mapping(at) if kind == MAPPING else self._sequence(at)
        self.open_anchors.discard(name)
        if name:
            self.anchors[name] = (node, self.count - count + 1, self.deepest - self.depth + 1)
        self.deepest = max(self.deepest, deepest)
        return node

    def _sequence(self, start: At) -> Sequence:
        """Give the list whose start has been read."""
        items: list[Node] = []
        last = start
        while True:
            event = next(self.events)
            if event[0] == END:
                return Sequence(items, _between(start, last, event[1]))
            item = self._node(*event)
            last = item.at
            items.append(item)
            self.count += 1
            self._check_size(last)

    def _mapping(self, start: At) -> Mapping:
        """Give the mapping whose start has been read."""
        entries: dict[str, Entry] = {}
        last = start
        while True:
            kind, at, word, plain, properties = next(self.events)
            if kind == END:
                return Mapping(entries, _between(start, last, at))
            key = self._key(self._node(kind, at, word, plain, properties), plain)
            node = self._node(*next(self.events))
            last = node.at
            self.count += 2
            self._check_size(last)
            if key is None:
                continue
            if key.text not in entries:
                entries[key.text] = Entry(key, node)
            elif _is_cut_off(key, node, entries):  # told with the number before it, and never as a key
                entries[f"{key.text} ({len(entries)})"] = Entry(key, node)
            else:
                self._twice(key, entries[key.text].key, node)

    def _key(self, node: Node, plain: bool) -> Scalar | None:
        """Give a key, None where it is of no use."""
        if isinstance(node, Scalar) and node.text:
            if node.text == "<<" and plain:
                says = "The key << merges groups in old YAML only; here it is an ordinary key."
                self._fault("merge-key", node.at, says, "Write the entries out.")
            return node
        says = "A key is missing here." if isinstance(node, Scalar) else "A list or a group stands here as a key."
        hint = "A key is a word or a few; put it in quotes if it has brackets."
        self._fault("key-not-a-word", node.at, says, hint)
        return None

    def _twice(self, key: Scalar, first: Scalar, node: Node) -> None:
        says = f"The key `{key.text}` stands here again; the first is in line {first.at[0]} and counts."
        hint = "Delete one of the two, or rename it."
        if isinstance(node, Mapping):
            hint = "Write the entries of both under the first, or delete one of the two."
        self._fault("key-twice", key.at, says, hint)

    def _alias(self, name: str, at: At) -> Node:
        """Give what the anchor holds, at the place of the alias."""
        if name in self.open_anchors:
            says = f"*{name} stands within &{name} itself and has no end."
            self._fault("alias-loop", at, says, "Write the entries out.")
            return Scalar(f"*{name}", None, at)
        if name not in self.anchors:
            says = f"*{name} repeats something that is not there: no &{name} stands above it."
            self._fault("alias-not-known", at, says, "If the star belongs to a text, put the text in quotes.")
            return Scalar(f"*{name}", None, at)
        node, count, height = self.anchors[name]
        self._check_depth(self.depth + height, at)
        self.count += count - 1
        self._check_size(at)
        if isinstance(node, Scalar):
            return Scalar(node.text, node.value, at)
        return Mapping(node.entries, at) if isinstance(node, Mapping) else Sequence(node.items, at)

    def _dress(self, node: Scalar, properties: Properties) -> Scalar:
        """Heed the tag and the anchor of a scalar."""
        dressed = self._tagged(node, properties) if properties.tag else node
        if properties.anchor:
            self.anchors[properties.anchor] = (dressed, 1, 0)
        return dressed

    def _tagged(self, node: Scalar, properties: Properties) -> Scalar:
        """Give a scalar the value that its tag asks for."""
        tag = properties.tag or ""
        if tag in ("!", f"{_CORE}str"):
            return Scalar(node.text, node.text, node.at)
        kind, value = tag.removeprefix(_CORE), plain_value(node.text)
        fits = isinstance(value, _KINDS.get(kind, ())) and isinstance(value, bool) == (kind == "bool")
        if kind == "float" and isinstance(value, int):
            fits = fits and abs(value) <= float_info.max  # a whole number may be larger than any float
        if tag != _CORE + kind or not fits:
            self._refuse_tag(properties)
            return node
        return Scalar(node.text, float(value) if kind == "float" and value is not None else value, node.at)

    def _refuse_tag(self, properties: Properties) -> None:
        tag = properties.tag or ""
        shown = f"!!{tag.removeprefix(_CORE)}" if tag.startswith(_CORE) else tag
        says = f"The mark {shown} is not understood here; the value is read without it."
        hint = "Delete the mark. If the ! belongs to a text, put the text in quotes."
        self._fault("tag-not-known", properties.tag_at, says, hint)


_EMPTY = Fault("file-empty", Span(1, 1, 1, 1), "The file holds no entries.", "Fill it, or delete it.")
_SECOND = "A second sheet begins here; only the first is read."


def _is_cut_off(key: Scalar, node: Node, before: dict[str, Entry]) -> bool:
    """Whether it is the end of a number with a decimal comma, which in braces ends the entry: ``{across: 47,6 mm}``."""
    last = next(reversed(before.values())).value
    is_empty = isinstance(node, Scalar) and node.value is None
    return is_empty and key.text[0].isdigit() and isinstance(last, Scalar) and isinstance(last.value, int)


def read_tree(text: str, *, force_pure: bool = False) -> tuple[Node | None, tuple[Fault, ...]]:
    """Read a YAML text: give its tree and what is wrong with it. Never raises.

    The tree is None where the text is no YAML, is empty, or is beyond ``DEEPEST`` or ``MOST_NODES``; every
    other fault leaves a tree, so that the rest can still be checked. ``force_pure`` leaves aside the compiled parser.
    """
    text = text.removeprefix("\ufeff")
    root, faults = _read(text, force_pure)
    if force_pure or not _is_refused(root, faults):
        return root, faults
    if has_hours(text):
        again, faults_again = _read(text, hide_hours=True)
        if not _is_refused(again, faults_again):
            return again, faults_again
    if len(text) <= LONGEST_FOR_PURE:
        # It has the last word, so that the words for a fault are the same with and without the compiled one.
        return _read(text, force_pure=True)
    return root, faults


def _is_refused(root: Node | None, faults: tuple[Fault, ...]) -> bool:
    return root is None and faults[-1].id == "yaml-broken"


def _read(text: str, force_pure: bool = False, hide_hours: bool = False) -> tuple[Node | None, tuple[Fault, ...]]:
    faults: list[Fault] = []
    try:
        events = Events(text, force_pure=force_pure, hide_hours=hide_hours)
        with events.guarded():
            root = _Builder(events, faults).build()
    except BrokenYamlError as error:
        return None, (*faults, error.fault)
    except _TreeTooBigError:
        return None, tuple(faults)
    if root is None or (isinstance(root, Scalar) and not root.text and root.value is None):
        return None, (*faults, _EMPTY)
    long = _too_long(root) if len(text) > LONGEST_TEXT else None
    return (None, (*faults, long)) if long is not None else (root, tuple(faults))


def _too_long(root: Node) -> Fault | None:
    """Tell of a text that is too long, or of all that are too long together. A shorter file cannot swell as far."""
    left, waiting = MOST_TEXT, [root]
    while waiting:
        node = waiting.pop()
        if isinstance(node, Mapping):
            waiting += (part for entry in node.entries.values() for part in entry)
        elif isinstance(node, Sequence):
            waiting += node.items
        elif len(node.text) > LONGEST_TEXT:
            says = f"A text of more than {LONGEST_TEXT} characters stands here."
            return Fault("too-many-nodes", node.span, says, "Shorten it; or is a quote left open?")
        elif (left := left - len(node.text)) < 0:
            says = f"The texts of the file, those repeated by * counted in, have more than {MOST_TEXT} characters."
            return Fault("too-many-nodes", node.span, says, "Split the file, or repeat less.")
    return None
