"""Slips of ten tickets typed in a hurry: the text as typed, and what the message gives to be written instead."""

from __future__ import annotations

from pathlib import Path

import pytest

from filmcheck.plant.nearest import nearest
from filmcheck.plant.plant import type_text
from filmcheck.reading.nodes import Fault
from filmcheck.run import lint_text

EXAMPLES = Path(__file__).parents[2] / "examples"

HEAD = "job: K-1\nstage: planned\n"

# As typed, behind the head; the start of the message; what it says to write.
SLIPS = [
    # keys at the top that belong into a group
    ("die: d-0412\n", "The key `die` is not known.", "`tooling: {die: d-0412}`"),
    ("dies: d-0412\n", "The key `dies` is not known.", "`tooling: {die: d-0412}`"),
    ("mag cylinder: m-96\n", "The key `mag cylinder`", "`tooling: {magnetic_cylinder: m-96}`"),
    ("tooling: {die: a}\nprint cylinder: p\n", "The key `print cylinder`", "`print_cylinder: p` within its braces"),
    ("lanes: 4\n", "The key `lanes`", "`layout: {lanes: 4}`"),
    ("width: 310\n", "The key `width`", "`web: {width: 310}`, with its unit"),
    ("speed: 40 m/min\n", "The key `speed`", "`web: {speed: 40 m/min}`, or to `finishing`"),
    ("label: {around: 60 mm}\n", "The key `label`", "`layout: {label: …}`"),
    ("repeat: 88.9\n", "The key `repeat`", "gap: {around: 3.2 mm}"),
    ("notes: rush\n", "The key `notes`", "begin its line with `#`"),
    ("like: K-0\n", "The key `like`", "`filmcheck new SHEET --like SHEET`"),
    # words of the trade and words cut short
    ("path: [UV 1: {}]\n", "The key `UV 1`", "`uv lamp: {unit: 1, …}`"),
    ("path: [print 2: {}]\n", "The key `print 2`", "`print: {unit: 2, …}`"),
    ("path: [infeed nip: {}]\n", "The key `infeed nip`", "`nip: {name: infeed, …}`"),
    ("path: [stripping: {}]\n", "The key `stripping`", "`matrix strip`"),
    ("path: [stripping]\n", "This entry must be a group of keys", "`matrix strip: {}`"),
    ("path: [ionizer: {}]\n", "The key `ionizer`", "`static control`"),
    ("settings: {UV 2: {}}\n", "The key `UV 2`", "`uv lamp 2`"),
    ("settings: {uv lamp: {min: 50 %}}\n", "The key `min`", "`cure_minimum`"),
    ("settings: {uv lamp: {power: 50 %}}\n", "The key `power`", "`setting`"),
    ("settings: {chill roll: {temp: 18 °C}}\n", "The key `temp`", "`temperature`"),
    ("settings: {rewind: {start: 52 N}}\n", "The key `start`", "`start_tension`"),
    ("finishing: {od: 300 mm}\n", "The key `od`", "`diameter`"),
    ("settings: {uv lamp 1: 58 %}\n", "`uv lamp 1` must be a group", "`{setting: 58 %}`"),
    ("settings: {unwind: 50 N}\n", "`unwind` must be a group", "`{tension: 50 N}`"),
    ("path: {rewind: {rolls: 2}}\n", "`path` must be a list or", "under `settings`"),
    # sizes and days
    ("layout: {label: '98,4 x 60 mm'}\n", "`label` must be a group", "`{across: 98.4 mm, around: 60 mm}`"),
    ("layout: {gap: '3,2 / 3'}\n", "`gap` must be a group", "`{across: 3.2 …, around: 3 …}`, with the unit"),
    ("web: {length: ca. 2500 m}\n", "'ca.' is no part of a size", "2500 m"),
    ("settings: {uv lamp: {setting: ~57 %}}\n", "'~' is no part of a size", "57 %"),
    ("settings: {unwind: {roll: {diameter: ⌀ 800 mm}}}\n", "'⌀' is no part", "800 mm"),
    ("settings: {rewind: {taper: 30% linear}}\n", "'linear' stands behind the size", "30%"),
    ("date: 15-Dec-26\n", "`date` is not written", "Write 2026-12-15."),
    ("date: 3.12.26\n", "`date` is not written", "Write 2026-12-03."),
    ("date: 12/04/26\n", "`date` is not written", "Write 2026-04-12 or 2026-12-04."),
    ("settings: {unwind: {roll: {diameter: ⌀ 800}}}\n", "'⌀' is no part", "800, with its unit"),
    # what breaks the sheet
    ("set_up:\u00a0pe-on-alder\n", "The space behind the colon came along", "Type it again."),
    ("web: {length:\u00a03000 m}\n", "The key `length:\u00a03000 m`", "Type it again."),
    ("layout: {gap: {across: ?}, lanes: 5}\n", "A question mark is no value.", "Leave the key out"),
    ("finishing: {after: 2 h, unwind: #1}\ncustomer: a\n", "What follows # is a remark", "as '#1'"),
]


@pytest.mark.parametrize(("typed", "says", "write"), SLIPS, ids=[typed.strip() for typed, _, _ in SLIPS])
def test_a_slip_leads_to_the_line_to_write(typed: str, says: str, write: str) -> None:
    (fault,) = faults(typed)
    assert fault.says.startswith(says)
    assert write in fault.hint


def faults(typed: str) -> tuple[Fault, ...]:
    return type_text(HEAD + typed, "k-1.yaml", "job-sheet").faults


@pytest.mark.parametrize("right", ["{unit: 1, setting: 50 %}", "{setting: 50 %}"])
def test_what_the_messages_say_to_write_is_taken(right: str) -> None:
    assert faults(f"path: [uv lamp: {right}, matrix strip: {{}}, nip: {{name: infeed}}]\n") == ()


def test_quotes_of_a_mail_are_no_part_of_a_job_number() -> None:
    (fault,) = type_text("job: “K-1”\nstage: planned\n", "k-1.yaml", "job-sheet").faults
    assert fault.says == "`job` is not written as it must be: the text `“K-1”`."
    assert "typographic quotes are no part of it" in fault.hint


def test_metres_of_a_running_web_are_metres() -> None:
    assert faults("web: {length: 3000 lfm}\n") == ()


def test_a_long_list_of_keys_is_told_once() -> None:
    lists = [fault.hint for fault in faults("qqq: 1\nzzz: 2\n")]
    assert lists[0].startswith("Known here: job, title")
    assert lists[1] == "The keys that are known here are told above."


def test_a_second_key_for_one_group_goes_within_its_braces() -> None:
    hints = [fault.hint for fault in faults("width: 310 mm\nlength: 900 m\n")]
    assert hints == [
        "It belongs to `web`, as `web: {width: 310 mm}`.",
        "It belongs to `web`, as `length: 900 m` within its braces.",
    ]


@pytest.mark.parametrize(
    ("name", "known", "meant"),
    [
        ("Mossgill", ["mossgill-drinks", "fenlark-household"], "mossgill-drinks"),
        ("Slitter 1", ["slitter-1", "inspector-1"], "slitter-1"),
        ("p-88 (1/8 CP)", ["p-80", "p-88"], "p-88"),
        ("412", ["d-0398", "d-0412"], "d-0412"),
        ("cyl", ["magnetic_cylinder", "print_cylinder"], ""),  # either may be meant
        ("start", ["taper", "start_tension"], "start_tension"),  # and not what shares three letters
    ],
)
def test_names_are_found_by_how_their_words_begin(name: str, known: list[str], meant: str) -> None:
    assert nearest(name, known) == meant


def test_a_missing_key_and_one_that_is_not_known_at_the_same_place_are_two_faults() -> None:
    sheet = EXAMPLES / "jobs" / "k-1.yaml"
    found = lint_text("Auftrag: K-1\nstage: planned\nset up: clear-film-on-alder\n", sheet).findings
    formal = {f.says: f for f in found if f.rule in ("key-missing", "key-unknown")}
    assert all(f.follows_from == "" for f in formal.values())
    assert len(formal) == 3
    follow = [f for f in found if f.follows_from]
    assert {f.follows_from for f in follow if f.kind == "open"} == {formal["The key `set up` is not known."].name}
