"""Exact spans of trees, and faults of YAML with their places. Spans are worked out by hand from the text."""

from __future__ import annotations

import pickle
import time
from typing import Any

import pytest

from filmcheck.reading import yaml_events
from filmcheck.reading.nodes import Mapping, Node, Scalar, Sequence
from filmcheck.reading.yaml_tree import DEEPEST, MOST_NODES, read_tree

every_way = pytest.mark.parametrize("way", [{}, {"force_pure": True}], ids=["compiled", "pure"])

SPANS: list[tuple[str, dict[str, tuple[int, int, int, int]]]] = [
    ("job: a b\n", {"": (1, 1, 1, 9), "job:": (1, 1, 1, 4), "job": (1, 6, 1, 9)}),
    ("a: 😀 b\nc: [é, 𝄞x]\n", {"a": (1, 4, 1, 7), "c": (2, 4, 2, 11), "c/1": (2, 8, 2, 10)}),
    ("a: 1\r\nb: 2\rc: 3\n", {"b": (2, 4, 2, 5), "c:": (3, 1, 3, 2), "c": (3, 4, 3, 5), "": (1, 1, 3, 5)}),
    ("\ufeffa: 1\n", {"a:": (1, 1, 1, 2), "a": (1, 4, 1, 5)}),
    ("a: x\x85y\u2028z\u2029\nb: 1\n", {"a": (1, 4, 1, 10), "b": (2, 4, 2, 5)}),
    ("a:\nb: # c\nd: 1\n", {"a": (1, 3, 1, 3), "b": (2, 3, 2, 3), "": (1, 1, 3, 5)}),
    ("- \n- # c\n- x # d\n", {"0": (1, 2, 1, 2), "1": (2, 2, 2, 2), "2": (3, 3, 3, 4)}),
    ("{a, b: , ? c}", {"a": (1, 3, 1, 3), "b": (1, 7, 1, 7), "c": (1, 13, 1, 13), "": (1, 1, 1, 14)}),
    ("a: |\n  x\n  y\n\n# c\nb: 1\n", {"a": (1, 4, 3, 4), "b": (6, 4, 6, 5)}),
    ("a: >2-\n   u\n  # no\n# end", {"a": (1, 4, 3, 7), "": (1, 1, 3, 7)}),
    ("a:\n  b: 1\n\n# c\nd: 2\n", {"a": (2, 3, 2, 7), "d": (5, 4, 5, 5)}),
    ("k:\n- a\n- b: 1\n  c:\nz: 1", {"k": (2, 1, 4, 5), "k/1": (3, 3, 4, 5), "z": (5, 4, 5, 5)}),
    ("- - - a\n    - b\n", {"0": (1, 3, 2, 8), "0/0": (1, 5, 2, 8), "0/0/1": (2, 7, 2, 8)}),
    ("a: 'x'\nb: \"x\n  y\"\n", {"a": (1, 4, 1, 7), "b": (2, 4, 3, 5)}),
    ("a: &n [x]\nb: *n\n", {"a": (1, 7, 1, 10), "b": (2, 4, 2, 6), "b/0": (1, 8, 1, 9)}),
    ("a: &n\n  b: 1\nc: !!str 5\n", {"a": (2, 3, 2, 7), "c": (3, 10, 3, 11)}),
    ("a: &n # c\n  - 1\n", {"a": (2, 3, 2, 6)}),
    ("[a: 1, b]", {"0": (1, 2, 1, 6), "1": (1, 8, 1, 9)}),
    ("a:\tb\tc\n", {"a": (1, 4, 1, 7)}),
    ("---\na: 1\n...\n", {"": (2, 1, 2, 5)}),
]


def found(root: Node, address: str) -> Node:
    """Follow an address: names and numbers parted by slashes, a colon at the end for the key itself."""
    node, key = root, root
    for step in filter(None, address.rstrip(":").split("/")):
        if isinstance(node, Mapping):
            key, node = node.entries[step]
        else:
            assert not isinstance(node, Scalar)
            node = node.items[int(step)]
    return key if address.endswith(":") else node


@every_way
@pytest.mark.parametrize(("text", "spans"), SPANS)
def test_spans(text: str, spans: dict[str, Any], way: dict[str, bool]) -> None:
    root, faults = read_tree(text, **way)
    assert root is not None
    assert faults == ()
    assert {address: tuple(found(root, address).span) for address in spans} == spans


FAULTS: list[tuple[str, list[tuple[str, tuple[int, int, int, int], str]]]] = [
    ("a: 1\n\tb: 2\n", [("yaml-broken", (2, 1, 2, 2), "tab")]),
    ("a:\n  \tb: 2\n", [("yaml-broken", (2, 3, 2, 4), "tab")]),
    ("a: 'x\nb: 1\n", [("yaml-broken", (1, 4, 1, 5), "quote ' that begins here is never closed")]),
    ('a: "x\nb: 1\n', [("yaml-broken", (1, 4, 1, 5), 'quote " that begins here')]),
    ("a: [1,\n", [("yaml-broken", (1, 4, 1, 5), "bracket [ is never closed")]),
    ("a: {b: 1\n", [("yaml-broken", (1, 4, 1, 5), "bracket { is never closed")]),
    ("a: [1\nb: 2\n", [("yaml-broken", (1, 4, 1, 5), "before line 2, column 2")]),
    ("a: [1]]\n", [("yaml-broken", (1, 7, 1, 8), "More text follows")]),
    ("a: b: c\n", [("yaml-broken", (1, 5, 1, 6), "colon stands where no key can be")]),
    ("a: 1\n  b: 2\n", [("yaml-broken", (2, 3, 2, 5), "set in further than line 1")]),
    ("a:\n  b: 1\n c: 2\n", [("yaml-broken", (3, 2, 3, 4), "begins in column 2, where no line above begins")]),
    ("a: 1\nb\nc: 2\n", [("yaml-broken", (2, 1, 2, 2), "no colon")]),
    ("a: 'x' y\n", [("yaml-broken", (1, 8, 1, 9), "More text follows where the value has ended")]),
    ("a: @x\n", [("yaml-broken", (1, 4, 1, 5), "No value can begin with @")]),
    ("a: %x\n", [("yaml-broken", (1, 4, 1, 5), "No value can begin with %")]),
    ('a: "\\q"\n', [("yaml-broken", (1, 5, 1, 7), "backslash")]),
    ('a: "\\ud83d"\n', [("yaml-broken", (1, 5, 1, 11), "stands for no character")]),
    ('a: 1\nb: "x\\U00110000"\n', [("yaml-broken", (2, 6, 2, 16), "stands for no character")]),
    ("a: - b\n", [("yaml-broken", (1, 4, 1, 5), "list item cannot begin in the middle")]),
    ("a: |x\n  y\n", [("yaml-broken", (1, 4, 1, 6), "set in evenly")]),
    ("%YAML 1.3\n---\na: 1\n", [("yaml-broken", (1, 1, 1, 6), "% in front")]),
    ("a: \x01\n", [("yaml-broken", (1, 4, 1, 5), "U+0001")]),
    ("a: \ud83d\n", [("yaml-broken", (1, 4, 1, 5), "U+D83D")]),
    ("", [("file-empty", (1, 1, 1, 1), "no entries")]),
    ("# only a note\n---\n", [("file-empty", (1, 1, 1, 1), "no entries")]),
    ("a: 1\nb: 2\na: 3\n", [("key-twice", (3, 1, 3, 2), "the first is in line 1")]),
    ("{a: 1, a: 2, a: 3}", [("key-twice", (1, 8, 1, 9), "line 1"), ("key-twice", (1, 14, 1, 15), "line 1")]),
    ("? [a]\n: b\n", [("key-not-a-word", (1, 3, 1, 6), "list or a group stands here as a key")]),
    (": v\n", [("key-not-a-word", (1, 1, 1, 1), "missing")]),
    ("a: b\n# note\n: v\n", [("key-not-a-word", (3, 1, 3, 1), "missing")]),
    ("a:\n: v\n", [("key-not-a-word", (2, 1, 2, 1), "missing")]),
    ("a:\n  b: c\n  : v\n", [("key-not-a-word", (3, 3, 3, 3), "missing")]),
    ("x: {a, : v}\n", [("key-not-a-word", (1, 8, 1, 8), "missing")]),
    ("---\na: 1\n---\nb: 2\n", [("several-documents", (3, 1, 3, 4), "only the first is read")]),
    ("a: &n [*n]\n", [("alias-loop", (1, 8, 1, 10), "*n stands within &n itself")]),
    ("a: *n\n", [("alias-not-known", (1, 4, 1, 6), "no &n stands above it")]),
    ("<<: {a: 1}\n", [("merge-key", (1, 1, 1, 3), "merges groups in old YAML only")]),
    ("a: !foo 1\n", [("tag-not-known", (1, 4, 1, 8), "!foo is not understood")]),
    ("a: &n !!python/name:os.system x\n", [("tag-not-known", (1, 7, 1, 30), "!!python/name:os.system")]),
    ("a: !!int x\n", [("tag-not-known", (1, 4, 1, 9), "!!int")]),
    ("a: !!set {b}\n", [("tag-not-known", (1, 4, 1, 9), "!!set")]),
]


@every_way
@pytest.mark.parametrize(("text", "expected"), FAULTS)
def test_faults(text: str, expected: list[tuple[str, Any, str]], way: dict[str, bool]) -> None:
    _, faults = read_tree(text, **way)
    assert [(fault.id, tuple(fault.span)) for fault in faults] == [(name, span) for name, span, _ in expected]
    for fault, (_, _, piece) in zip(faults, expected, strict=True):
        assert piece in fault.says
        assert fault.hint


RECOVERED = [
    ("a: 1\na: 2\nb: 3\n", {"a": 1, "b": 3}),
    ("? [a]\n: b\nc: 1\n", {"c": 1}),
    ("a: 1\n---\nb: 2\n", {"a": 1}),
    ("a: &n [*n, 1]\n", {"a": [None, 1]}),
    ("<<: {a: 1}\nb: 2\n", {"<<": {"a": 1}, "b": 2}),
    ("a: !foo 1\nb: !bar [2]\n", {"a": 1, "b": [2]}),
]


@every_way
@pytest.mark.parametrize(("text", "value"), RECOVERED)
def test_recoverable_faults_leave_the_tree(text: str, value: object, way: dict[str, bool]) -> None:
    root, faults = read_tree(text, **way)
    assert faults
    assert root is not None
    assert root.plain() == value


def test_quoted_merge_sign_is_no_merge() -> None:
    assert read_tree('"<<": 1\n')[1] == ()


def shown(node: Node | None) -> object:
    """Give a tree with all its places, for comparison."""
    if isinstance(node, Mapping):
        entries = [(shown(entry.key), shown(entry.value)) for entry in node.entries.values()]
        return node.at, list(node.entries), entries
    if isinstance(node, Sequence):
        return node.at, [shown(item) for item in node.items]
    return node and (node.at, node.text, repr(node.value))


TREES = [text for text, _ in SPANS] + [text for text, _ in RECOVERED]
TREES += [
    "a: {b: , c: 'd', e: \"f\", 'g': 1}\n? |\n  k\n: - x\n  -\n  - *n\n",
    "- a: &n {}\n  b:\n    - 1\n- *n\n- []\n",
]


@pytest.mark.parametrize("text", TREES)
def test_same_tree_from_both_parsers_and_after_packing(text: str) -> None:
    root, faults = read_tree(text)
    pure, pure_faults = read_tree(text, force_pure=True)
    assert (shown(root), faults) == (shown(pure), pure_faults)
    packed = pickle.dumps(read_tree(text)[0])
    assert b"ruamel" not in packed
    assert shown(pickle.loads(packed)) == shown(root)  # noqa: S301  packed right here


def nested(levels: int) -> str:
    return "[" * levels + "]" * levels


@every_way
def test_depth_limit(way: dict[str, bool]) -> None:
    assert read_tree(nested(DEEPEST), **way)[1] == ()
    root, faults = read_tree(nested(DEEPEST + 1), **way)
    assert root is None
    column = DEEPEST + 1
    assert [(fault.id, tuple(fault.span)) for fault in faults] == [("too-deep", (1, column, 1, column + 1))]


def test_depth_counts_through_aliases() -> None:
    chain = "a0: &a0 [1]\n" + "".join(f"a{i}: &a{i} [*a{i - 1}]\n" for i in range(1, 80))
    root, faults = read_tree(chain)
    assert root is None
    # a0 lies two deep, the sheet being the first level; every further line adds one
    assert [(fault.id, fault.span.line) for fault in faults] == [("too-deep", DEEPEST)]


def test_node_limit() -> None:
    assert read_tree("[" + "a," * (MOST_NODES - 1) + "]")[1] == ()
    root, faults = read_tree("[" + "a," * (MOST_NODES + 1) + "]")
    assert root is None
    assert [fault.id for fault in faults] == ["too-many-nodes"]


def test_alias_bomb_is_refused_at_once() -> None:
    bomb = "a0: &a0 [x, x, x, x, x, x, x, x, x]\n"
    bomb += "".join(f"a{i}: &a{i} [{', '.join([f'*a{i - 1}'] * 9)}]\n" for i in range(1, 12))
    began = time.process_time()
    root, faults = read_tree(bomb)
    assert root is None
    assert [fault.id for fault in faults] == ["too-many-nodes"]
    assert time.process_time() - began < 1


def test_expanded_size_is_counted_exactly() -> None:
    # sheet 1, key and list of `a` with its items 2 + 999, and each alias item again 1 + 999 nodes
    head = "a: &a [" + ", ".join(["x"] * 999) + "]\nb: ["
    assert read_tree(head + ", ".join(["*a"] * 98) + "]\n")[1] == ()
    assert [fault.id for fault in read_tree(head + ", ".join(["*a"] * 99) + "]\n")[1]] == ["too-many-nodes"]


def test_same_without_the_compiled_parser(monkeypatch: pytest.MonkeyPatch) -> None:
    compiled = read_tree("a: [1, 2\n")
    monkeypatch.setattr(yaml_events, "_compiled_parser", lambda: None)
    assert read_tree("a: [1, 2\n") == compiled
