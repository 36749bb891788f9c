"""Plain texts read by the short way against the same texts read by the parser: one tree, one plain value, one place."""

from __future__ import annotations

import pickle
import sys
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import filmcheck
from filmcheck.reading.nodes import Mapping, Node, Sequence
from filmcheck.reading.plain_yaml import LONGEST, read_plain
from filmcheck.reading.yaml_tree import read_yaml

sys.path.insert(0, str(Path(__file__).parents[1] / "bench"))
from sheets import DEMO, make_plant

ROOT = Path(__file__).parents[2]
SHIPPED = sorted({*DEMO.rglob("*.yaml"), *ROOT.glob("rules/**/*.yaml"), *ROOT.glob("tests/**/*.yaml")})
SHIPPED += sorted(Path(str(filmcheck.__file__)).parent.rglob("*.yaml"))


def shown(node: Node) -> Any:
    """Give a tree with all its places, for comparison."""
    if isinstance(node, Mapping):
        entries = [(shown(entry.key), shown(entry.value)) for entry in node.entries.values()]
        return node.at, list(node.entries), entries
    if isinstance(node, Sequence):
        return node.at, [shown(item) for item in node.items]
    return node.at, node.text, repr(node.value)


def reads_alike(text: str, force_pure: bool = False) -> bool:
    """Whether the text is plain; if so, the parser must find no fault and give the same."""
    plain = read_plain(text.removeprefix("\ufeff"))
    if plain is None:
        return False
    tree, faults, _ = read_yaml(text, by_parser=True, force_pure=force_pure)
    assert faults == ()
    assert tree is not None
    assert shown(plain[0]) == shown(tree)
    assert repr(plain[1]) == repr(tree.plain())
    return True


# What is plain, and what is not

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
    *("---\na: 1\n", "a: 1\n---\n", "a: 1\n...\n", "%YAML 1.2\n---\na: 1\n", "'a': 1\n", "a: 'b''c'\n", 'a: "\\n"\n'),
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
    "a: " + "[" * 11 + "]" * 11 + "\n",
    " " * 41 + "a: 1\n",
    "a: " + "b" * 1000 + "\n",
    "b" * 1000 + ": a\n",
    "a: 1\n" + "#" * 900 + "\n" + "\n" * LONGEST,
]


@pytest.mark.parametrize("force_pure", [False, True], ids=["compiled", "pure"])
@pytest.mark.parametrize("text", PLAIN)
def test_plain_text_is_read_as_the_parser_reads_it(text: str, force_pure: bool) -> None:
    assert reads_alike(text, force_pure)


@pytest.mark.parametrize("text", NOT_PLAIN)
def test_other_text_is_left_to_the_parser(text: str) -> None:
    assert read_plain(text) is None


def test_deepest_plain_text_is_not_too_deep() -> None:
    steps = "".join(f"{' ' * step}a:\n" for step in range(40))
    assert reads_alike(steps + " " * 40 + "a: " + "[" * 10 + "b" + "]" * 10 + "\n")
    lists = "".join(f"{' ' * step}- a:\n" for step in range(0, 38, 2))
    assert reads_alike(lists + " " * 38 + "- b\n")


def test_longest_plain_text_has_not_too_many_nodes() -> None:
    line = "- [" + ", ".join(["a"] * 300) + "]\n"
    text = line * (LONGEST // len(line))
    assert reads_alike(text)


def test_packs_without_what_it_was_made_of() -> None:
    tree, _, _ = read_yaml("a: {b: 1}\nc:\n  - d\n")
    assert tree is not None
    assert shown(pickle.loads(pickle.dumps(tree))) == shown(tree)  # noqa: S301  packed right here


# What is shipped, and what is made


@pytest.mark.parametrize("path", SHIPPED, ids=lambda path: path.name)
def test_shipped_files_are_read_alike(path: Path) -> None:
    reads_alike(path.read_bytes().decode("utf-8"))


def test_job_sheets_and_registers_are_plain() -> None:
    """The short way would fall out of use unseen if sheets came to hold what it leaves to the parser."""
    jobs = [*DEMO.glob("jobs/**/*.yaml"), *DEMO.glob("registers/*.yaml"), DEMO / "plant.yaml"]
    assert len(jobs) > 40
    assert [path.name for path in jobs if not reads_alike(path.read_text(encoding="utf-8"))] == []


def test_made_sheets_are_plain(tmp_path: Path) -> None:
    sheets = make_plant(tmp_path / "plant", 150)
    assert [path.name for path in sheets if not reads_alike(path.read_text(encoding="utf-8"))] == []


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


@pytest.mark.parametrize("text", SHORT_SHEETS)
def test_every_slip_is_read_alike_or_left_to_the_parser(text: str) -> None:
    slips = {text[:at] + text[at + 1 :] for at in range(len(text))}
    slips |= {text[:at] + sign + text[at:] for at in range(len(text) + 1) for sign in SIGNS}
    slips |= {text[:at] + sign + text[at + 1 :] for at in range(len(text)) for sign in SIGNS}
    plain = sum(map(reads_alike, sorted(slips)))
    assert len(slips) / 20 < plain < len(slips)


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
    "- {r: s}",
]


@given(st.lists(st.sampled_from(PIECES), max_size=16).map("".join))
@settings(max_examples=600, deadline=None)
def test_texts_of_pieces_are_read_alike(text: str) -> None:
    reads_alike(text)


INDENTED = st.tuples(st.sampled_from(["", "  ", "  ", "    ", " ", "   ", "      "]), st.sampled_from(LINES)).map(
    "".join
)


@given(st.lists(INDENTED, max_size=9).map("\n".join))
@settings(max_examples=600, deadline=None)
def test_texts_of_lines_are_read_alike(text: str) -> None:
    reads_alike(text)


@given(
    st.text(max_size=20),
    st.text(max_size=20),
    st.sampled_from(["{}: {}", "a: {{b: {}, c: {}}}", "- [{}, {}]", "a: '{}' # {}"]),
)
@settings(max_examples=600, deadline=None)
def test_words_of_any_characters_are_read_alike(first: str, second: str, form: str) -> None:
    reads_alike(form.format(first, second))


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


@given(blocks(), st.integers(0, 400), st.integers(0, 2), st.sampled_from(["", *SIGNS]))
@settings(max_examples=300, deadline=None)
def test_sheets_are_read_alike_with_and_without_a_slip(lines: list[str], at: int, lost: int, sign: str) -> None:
    text = "\n".join(lines)
    assert reads_alike(text)
    reads_alike(text[:at] + sign + text[at + lost :])
