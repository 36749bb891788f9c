"""The compiled parser and the pure one against each other: one tree, every place the same, and the same faults."""

from __future__ import annotations

import gc
import pickle
import time
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from filmcheck.reading.nodes import Mapping, Node, Sequence
from filmcheck.reading.yaml_tree import read_tree

ROOT = Path(__file__).parents[2]
SHIPPED = sorted({*ROOT.glob("examples/**/*.yaml"), *ROOT.glob("rules/proving/**/*.yaml")})


def shown(node: Node | None) -> Any:
    """Give a tree with all its places, for comparison."""
    if isinstance(node, Mapping):
        entries = [(shown(entry.key), shown(entry.value)) for entry in node.entries.values()]
        return node.at, list(node.entries), entries
    if isinstance(node, Sequence):
        return node.at, [shown(item) for item in node.items]
    return node and (node.at, node.text, repr(node.value))


def assert_alike(text: str) -> None:
    """Hold what the two parsers give against each other."""
    (tree, faults), (pure, pure_faults) = read_tree(text), read_tree(text, force_pure=True)
    assert (shown(tree), faults) == (shown(pure), pure_faults)


# Plain texts, and others

PLAIN = [
    "a: b\n",
    "a: b",
    "\n# note\n\na: 1 # note\n",
    "  a: 1\n  b: 2\n",
    "a:\n  b:\n    c: 1\nd: 2\n",
    "a:\n- b\n- c: 1\n  d: 2\ne: 3\n",
    "a:\n  - b\n  - c:\n      d: 1\n    e: 2\n  - f:\n    - g\n",
    "- a\n- - b\n  - c\n- - - d\n    - e\n  - f: 1\n    g: 2\n",
    "- a: {}\n- b: []\n- {c: 1}\n- [d]\n",
    "a: {b: [c, {d: 1 mm, e: [f]}], g: 'h: i', j: \"k, l\"}  # m [n]\n",
    "a: { b: 1,  c: [ 2, 3 ] }\n",
    "a: 'x'\nb: \"it's, # no note\"\n",
    "a: -5 K\nb: .5 mm\nc: +3\nd: 1e3\ne: 0x1F\nf: 0o17\ng: true\nh: null\ni: 2026-11-25\nj: no\n1: k\ntrue: l\n",
    "a: 12 µm, 20 °C ± 1 (of 2); 3×4\nß: é\n",
    "from: 2026-11-25 06:00\nat: {from: 06:00, to: 07:00}\nthen: [08:00, 09:00]\n",
    "at: {06:00: a, b: 12:30:00, 1:2: 3:4, 'c': 5:6, \"7:8\": '9:0 d'}  # 1:2\n'3:4 e': {}\n",
    "at: {from: 06:00, é: \u2028 1:2}\n",
    "at: [&a1 06:00, !b 1:2, *a1 ]\nc: |\n  3:4\nd: {e: }\n",
    "a: 1\r\nb:\r\n  - c\r\n",
    "a:  1   \nb: {c: 1}   \n   \n",
    "die cut: {}\nit's: 1\nm/min: 2\n-x: 3\n",
]

NOT_PLAIN = [
    *("", "\n", "# note\n", "a\n", "'a'\n", "[a]\n", "{a: 1}\n"),
    *(
        "a:\n",
        "a:\nb: 1\n",
        "a: 1\nb:\n",
        "-\n",
        "- \n",
        "- # note\n",
        "a: {b}\n",
        "a: {b: }\n",
        "a: [1, ]\n",
        "a: ''\n",
    ),
    *("a: 1\na: 2\n", "a: {b: 1, b: 2}\n", "a: [{b: 1, b: 2}]\n", "<<: 1\n"),
    *("a: b\n c\n", "a: b\n  c: d\n", "- a\n  - b\n", "- a\n  b: 1\n", "a: [1,\n  2]\n", "a: 'b\n  c'\n"),
    *("a: 1\n b: 2\n", "a:\n  b: 1\n c: 2\n", "a: 1\n- b\n", "- a\nb: 1\n", "  a: 1\nb: 2\n", "- a\n - b\n"),
    *("press: alder: x: 1\n", "press: alder stock: pp\n", "  - a: b c: d\n", "title A b\na: 1\n", "a: {b: 1\nc: 2\n"),
    *("a: b: c\n", "a: b:c\n", "a:b\n", "a : b\n", "a: b#c\n", "a: [b: c]\n", "a: {b: c: d}\n"),
    *(
        "a: b:\n",
        "a: 06:00:00\n",
        "a: 06:0\n",
        "a: {b: 06: 00}\n",
        "a: [1,2]\n",
        "a: {b:1}\n",
        "a: [1]2\n",
        "a: {b: 1]\n",
    ),
    *(
        "a: &b 1\n",
        "a: *b\n",
        "a: !b 1\n",
        "a: |\n  b\n",
        "a: >\n  b\n",
        "? a\n: b\n",
        "a: @b\n",
        "a: `b`\n",
        "a: %b\n",
    ),
    *(
        "---\na: 1\n...\n...\n",
        "---\n...\n...\n",
        "a: 1\n...\n# b\n",
        "---\na: 1\n",
        "a: 1\n---\n",
        "a: 1\n...\n",
        "%YAML 1.2\n---\na: 1\n",
        "'a': 1\n",
        "a: 'b''c'\n",
        'a: "\\n"\n',
    ),
    *("a:\t1\n", "\ta: 1\n", "a: 1\t\n", "a: 1 \t# b\n", "a: 1\rb: 2\n", "a: 1\r", "a: x\x85y\n", "a: 1 # \u2028\n"),
    *(
        "a: x\xa0y\n",
        "a: 1 # \x01\n",
        "a: 1 # \ud83d\n",
        "a: '\ufeff'\n",
        "a: 1 # \x7f\n",
        "a: 1\n\x00",
        "a: \U0001f600\n",
    ),
    *("a: .inf\n", "a: -.inf\n", "a: .nan\n", "a: 1e999\n", "a: [-1e999]\n", "a: {b: 1e999}\n", "a: --b\n", "a: -\n"),
    *("-a\n", "a: - b\n", "-  a\n", "a: ~\n", "a: b ]\n", "a: [b] c\n", "a: 'b' c\n", "a: 'b'c\n", "a: {b: 'c'd}\n"),
    *("a: [{}:]\n", "|\n#", "--- >\n a\n", "a: [&6:00 b]\n", "a: [*6:00]\n", "a: \ue0f1\ufeff\n", "a: {[b]: c}\n"),
    "a: " + "[" * 11 + "]" * 11 + "\n",
    *(
        "a\n\t\na",
        "a\n\t  a",
        "a: b\n \t  c\n",
        "a: b\n \t\n  c\n",
        "a: b\n  \t \r\n  c\nd: 1\n",
        "a: 1\n \t\nb: 2\n",
        "a: [b,\n\t\n c]\n",
    ),
    " " * 41 + "a: 1\n",
    "a: " + "b" * 1000 + "\n",
    "b" * 1000 + ": a\n",
]


@pytest.mark.parametrize("text", [*PLAIN, *NOT_PLAIN])
def test_both_parsers_give_one_tree(text: str) -> None:
    assert_alike(text)


def test_hours_in_brackets_are_read_in_a_long_text() -> None:
    """YAML 1.2, 7.3.3: a colon with a letter or digit after it is a part of a plain scalar, in brackets too."""
    root, faults = read_tree("at: {from: 06:00}\n" + "".join(f"k{number}: v\n" for number in range(10_000)))
    assert isinstance(root, Mapping)
    at = root.entries["at"].value
    assert isinstance(at, Mapping)
    assert (shown(at.entries["from"].value), faults) == (((1, 12, 1, 17), "06:00", "'06:00'"), ())


def test_packs_without_what_it_was_made_of() -> None:
    tree, _ = read_tree("a: {b: 1}\nc:\n  - d\n")
    assert tree is not None
    assert shown(pickle.loads(pickle.dumps(tree))) == shown(tree)  # noqa: S301  packed right here


@pytest.mark.parametrize("path", SHIPPED, ids=lambda path: path.name)
def test_shipped_files_are_read_alike(path: Path) -> None:
    assert_alike(path.read_bytes().decode("utf-8"))


# What a slip of a finger makes of a sheet

SHORT_SHEETS = [
    "job: QM-1 # x\nweb: {width: 330 mm, at: [a b, 06:00]}\npath:\n  - nip: {}\n  - uv lamp:\n      unit: 1\n",
    "a:\n- b: 'c'\n  d: -1\n- [e]\n\n# f\ng:\n  h: 1.5\n",
    '- - a\n  - "b"\n- c:\n    d: {e: {f: g}}\n',
]
SIGNS = ["\n", "\n  ", " ", "\t", ":", ": ", "-", "- ", "#", " #", ",", "{", "}", "[", "]", "'", '"', "a", "1", "."]
SIGNS += [
    "&",
    "*",
    "!",
    "|",
    ">",
    "?",
    "%",
    "@",
    "`",
    "~",
    "\\",
    "\r",
    "\x85",
    "\u2028",
    "\ufeff",
    "\xa0",
    "é",
    "+",
    "<",
]


@pytest.mark.slow
@pytest.mark.parametrize("text", SHORT_SHEETS)
def test_every_slip_is_read_alike(text: str) -> None:
    for at in range(0, len(text) + 1, 5):
        for sign in ("", *SIGNS):
            assert_alike(text[:at] + sign + text[at + 1 :])


PIECES = [
    "a",
    "b: ",
    "c: d\n",
    "- ",
    "e:\n",
    "\n",
    "\n  ",
    "\n    ",
    "  ",
    " ",
    "[",
    "]",
    "{",
    "}",
    ", ",
    ",",
    " # f\n",
]
PIECES += [
    "{g: 1}",
    "[h, 2 mm]",
    "{i: [j, {k: 1.5}]}",
    "'l'",
    '"m: n"',
    "o p",
    "-1",
    "06:00",
    "\r\n",
    ":",
    "#",
    "-",
    "'",
]
PIECES += [
    "---\n",
    "...\n",
    "\t",
    "µ°",
    "😀",
    "\u2028",
    "<<: ",
    "~",
    "?",
    "&q ",
    "*q",
    "!r ",
    "|\n",
    ">\n",
    "%",
    ".",
    "null",
]
PIECES += [
    "- s: t\n",
    "  u: {v: w}\n",
    "- - x\n",
    "  - y\n",
    "    z: 1\n",
    "1e999",
    ".inf",
    "\\",
    "0x1F",
    '"',
    "\ufeff",
    "06:00",
    "{06:00",
    ":0",
    "7:",
    "\ue0f5",
]
LINES = [
    "a: b",
    "c:",
    "d: {e: 1, f: [g]}",
    "- h",
    "- i: j",
    "- k:",
    "- - l",
    "m: 'n' # o",
    "# p",
    "",
    "q: 06:00",
    "r: {s: 06:00, t: [12:30:00 x, 'y 1:2', \"z 1:2\"]}",
    "{3:4: u, 5: {6:7}}",
    "v: &w1:2 [1:2, !x1:2 y, *w1:2]",
    "- {r: s}",
]


@given(st.lists(st.sampled_from(PIECES), max_size=16).map("".join))
@settings(max_examples=300, deadline=None)
def test_texts_of_pieces_are_read_alike(text: str) -> None:
    assert_alike(text)


INDENTED = st.tuples(st.sampled_from(["", "  ", "  ", "    ", " ", "   ", "      "]), st.sampled_from(LINES)).map(
    "".join
)


@pytest.mark.slow
@given(st.lists(INDENTED, max_size=9).map("\n".join))
@settings(max_examples=300, deadline=None)
def test_texts_of_lines_are_read_alike(text: str) -> None:
    assert_alike(text)


@given(
    st.text(max_size=20),
    st.text(max_size=20),
    st.sampled_from(["{}: {}", "a: {{b: {}, c: {}}}", "- [{}, {}]", "a: '{}' # {}"]),
)
@settings(max_examples=300, deadline=None)
def test_words_of_any_characters_are_read_alike(first: str, second: str, form: str) -> None:
    assert_alike(form.format(first, second))


WORDS = st.sampled_from(["a", "1 mm", "06:00", "-5", "'b: c'", '"d"', "e, f", "null", "{}", "[]", "{g: 1, h: [i, 2]}"])
TAILS = st.sampled_from(["", "", "", "  ", " # j", "\n", "\n# k", "\n      # l\n"])


@st.composite
def blocks(draw: st.DrawFn, column: int = 0, depth: int = 0) -> list[str]:
    """Give lines set in by a column; those of a list or of a group."""
    listed = draw(st.booleans())
    lines: list[str] = []
    for number in range(draw(st.integers(1, 3))):
        head = "-" if listed else f"k{number}:"
        if depth > 3 or draw(st.booleans()):
            lines.append(f"{' ' * column}{head} {draw(WORDS)}{draw(TAILS)}")
        elif listed:
            first, *rest = draw(blocks(column + 2, depth + 1))
            lines += [f"{' ' * column}- {first.lstrip()}", *rest]
        else:
            lines += [f"{' ' * column}{head}{draw(TAILS)}", *draw(blocks(column + draw(st.integers(1, 3)), depth + 1))]
    return lines


@pytest.mark.slow
@given(blocks(), st.integers(0, 400), st.integers(0, 2), st.sampled_from(["", *SIGNS]))
@settings(max_examples=300, deadline=None)
def test_sheets_are_read_alike_with_and_without_a_slip(lines: list[str], at: int, lost: int, sign: str) -> None:
    text = "\n".join(lines)
    assert_alike(text)
    assert_alike(text[:at] + sign + text[at + lost :])


# Size

ODD = {
    "keys without values": lambda number: f"k{number}:\n",
    "empty texts": lambda number: f'k{number}: ""\n',
    "anchors": lambda number: f"k{number}: &a{number} 1\n",
    "anchors without values": lambda number: f"k{number}: &a{number}\n",
    "tags": lambda number: f"k{number}: !t 1\n",
    "core tags": lambda number: f"k{number}: !!str 1\n",
    "blocks": lambda number: f"k{number}: |\n",
    "folded blocks": lambda number: f"k{number}: >-\n  a\n",
    "groups with anchors": lambda number: f"k{number}: &a{number} {{}}\n",
    "aliases": lambda number: "k0: &a 1\n" if not number else f"k{number}: *a\n",
    "nothing in lists": lambda number: "-\n",
    "nothing in brackets": lambda number: "a: [" if not number else "{b: , c: }, ",
}


@pytest.mark.slow
@pytest.mark.parametrize("kind", ODD)
def test_time_of_reading_grows_as_the_text_does(kind: str) -> None:
    """Four times the text takes about four times the time; where reading was quadratic, sixteen times."""
    texts = ["".join(map(ODD[kind], range(lines))) for lines in (1_000, 4_000)]
    for _ in range(5):  # a busy machine may hit one of the two
        few, many = map(time_of_reading, texts)
        if many <= 8 * few:
            return
    pytest.fail(f"{many:.3f} s for four times what took {few:.3f} s")


def time_of_reading(text: str) -> float:
    """Measure without the garbage collector, which goes over what other tests have left as well."""
    gc.collect()
    gc.disable()
    try:
        began = time.process_time()
        read_tree(text)
        return time.process_time() - began
    finally:
        gc.enable()
