"""The summary in Markdown: what it tells, that it is bounded, and that text from a sheet stays text.

How it is shown is asked of markdown-it-py, an independent reader of CommonMark, where that is installed.
"""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from filmcheck.records.finding import Finding, Notice, Permit, Report, RuleText, Trouble
from filmcheck.records.place import Place, Span
from filmcheck.reports.markdown import MOST_LETTERS, MOST_ROWS, markdown_report
from filmcheck.reports.text import STANDING_LINE

AT = Place("jobs/a.yaml", Span(12, 24, 12, 28))
LATER = Place("jobs/b.yaml", Span(3, 1, 3, 5))
FAULT = Finding("tension-high", "error", "fail", AT, "The unwind pulls 70 N", instead="Hold it at 57.8 N.", job="A")
WARNING = replace(FAULT, rule="too-fast", level="warning", place=LATER, says="Too fast", instead="")
OPEN = Finding("ground", "none", "open", AT, "?", job="A", missing=("air.humidity", "ground.checked"))
REVIEW = replace(WARNING, kind="review", level="none", says="Perhaps too fast")
PERMIT = Permit("small-core", "takes 3 in only", "quality", "2027-03-31", AT, caution="looked at daily")
ACCEPTED = replace(WARNING, rule="small-core", says="Core of 3 in", permit=PERMIT)
KNOWN = replace(FAULT, rule="old", says="Known of old", baseline="unchanged")
GONE = replace(FAULT, rule="gone", says="Gone by now", baseline="absent")
RULES = (RuleText("too-fast", "Too fast", "f", "warning", "planned", "", "", "", caution="Guards stay on."),)


def report(*findings: Finding, **more: object) -> Report:
    return Report(findings, RULES, ("jobs/a.yaml", "jobs/b.yaml"), jobs=2, **more)


def rows(text: str, heading: str) -> list[list[str]]:
    """Give the cells of the table under a heading that begins so."""
    part = next((part for part in text.split("\n### ") if part.startswith(heading)), "")
    lines = [line for line in part.splitlines() if line.startswith("|")][2:]
    return [[cell.strip() for cell in re.split(r"(?<!\\)\|", line)[1:-1]] for line in lines]


def test_everything_has_its_table() -> None:
    found = report(
        *(WARNING, FAULT, OPEN, REVIEW, ACCEPTED), troubles=(Trouble("jobs/c", "no right"),), absent=(), version="1"
    )
    text = markdown_report(found)
    first, counts = text.split("\n\n")[:2]
    assert first == "## Job sheets: 1 error, 1 warning"
    assert counts == (
        "2 faults · 1 borderline · 1 check not judged · 1 accepted by permit · 1 file not read · "
        "2 files read, 2 jobs judged"
    )
    assert rows(text, "Faults (2)") == [
        ["error", "`jobs/a.yaml:12:24`", "The unwind pulls 70 N `tension-high`", "Hold it at 57.8 N."],
        ["warning", "`jobs/b.yaml:3:1`", "Too fast `too-fast`", "**Caution:** Guards stay on."],
    ]
    assert rows(text, "Borderline")[0][:2] == ["borderline", "`jobs/b.yaml:3:1`"]
    assert rows(text, "Could not be judged (2)") == [
        ["A", "air.humidity", "`jobs/a.yaml:12:24`", "`ground`"],
        ["A", "ground.checked", "`jobs/a.yaml:12:24`", "`ground`"],
    ]
    assert rows(text, "Accepted by permit (1)") == [
        [
            *("`jobs/b.yaml:3:1`", "Core of 3 in `small-core`", "quality, until 2027-03-31"),
            "takes 3 in only **Caution:** looked at daily",
        ]
    ]
    assert rows(text, "Not read") == [["`jobs/c`", "no right"]]
    assert text.endswith(f"\n\n*{STANDING_LINE}*\n")


def test_against_a_baseline_only_what_is_new_is_listed() -> None:
    text = markdown_report(report(replace(FAULT, baseline="new"), KNOWN, absent=(GONE,)))
    assert text.startswith("## Job sheets: 1 error\n\n1 fault · 1 known before · 1 gone · ")
    assert len(rows(text, "New faults (1)")) == 1
    assert rows(text, "Known before, no longer there (1)") == [["`jobs/a.yaml:12:24`", "Gone by now", "`gone`"]]
    assert "Known of old" not in text


def test_what_waits_for_one_datum_is_one_row() -> None:
    others = [replace(OPEN, rule=f"rule-{number}", missing=("air.humidity",)) for number in range(5)]
    (row,) = rows(markdown_report(report(*others)), "Could not be judged (1)")
    assert row[3] == "`rule-0`, `rule-1`, `rule-2`, 2 more"


HEADS = [
    ((), "no fault found"),
    ((OPEN,), "no fault found in what could be judged"),
    ((REVIEW,), "no certain fault found"),
    ((ACCEPTED,), "no new fault found"),
    ((KNOWN,), "no new fault found"),
]


@pytest.mark.parametrize(("findings", "says"), HEADS)
def test_head(findings: tuple[Finding, ...], says: str) -> None:
    assert markdown_report(report(*findings)).splitlines()[0] == f"## Job sheets: {says}"


def test_nothing_read() -> None:
    assert "nothing was read, so nothing was judged" in markdown_report(Report((), (), ()))


def test_concession_and_no_end_are_told() -> None:
    late = replace(ACCEPTED, permit=replace(PERMIT, granted_after=True, until=""))
    assert rows(markdown_report(report(late)), "Accepted")[0][2] == "concession by quality, without end"


@pytest.mark.slow
def test_bounded_and_says_how_much_is_left_out() -> None:
    many = [replace(WARNING, place=Place("jobs/b.yaml", Span(n, 1, n, 2)), says="x" * 5000) for n in range(1, 5001)]
    text = markdown_report(report(*many, FAULT))
    assert len(rows(text, "Faults (5001)")) == MOST_ROWS
    assert rows(text, "Faults")[0][0] == "error"  # the gravest stays
    assert f"… and {5001 - MOST_ROWS} more, left out here." in text
    assert len(text) < 2 * MOST_ROWS * MOST_LETTERS
    assert "left out" not in markdown_report(report(*many[:MOST_ROWS]))


# --- text stays text

EVIL = [
    "a | b",
    "a \\| b",
    "![x](https://plant.example/x.png) [y](https://plant.example)",
    "<img src=x onerror=alert(1)> <!-- ",
    "&lt;b&gt; &#64;",
    "@everyone #12 www.plant.example https://plant.example",
    "**bold** _em_ ~~gone~~ `code` $x$",
    "`",
    "a\n\n# heading\n- item\n\n| x |",
    "\x1b[31m red \u202e",
    "",
]
WORDS = ("says", "instead", "job", "rule", "file", "who", "why", "until", "missing", "trouble")


def full_of(evil: str) -> Report:
    place = Place(evil, AT.span)
    permit = Permit(evil, evil, evil, evil, place, caution=evil)
    fault = Finding(evil, "error", "fail", place, evil, job=evil, instead=evil, caution=evil)
    opened = replace(fault, kind="open", level="none", missing=(evil,))
    return report(fault, opened, replace(fault, permit=permit), troubles=(Trouble(evil, evil),), absent=(fault,))


TABLES = {"New faults": 4, "Could not be judged": 4, "Accepted": 4, "Known before": 3, "Not read": 2}


@pytest.mark.parametrize("evil", EVIL)
def test_tables_keep_their_shape(evil: str) -> None:
    text = markdown_report(full_of(evil))
    assert {heading: [len(row) for row in rows(text, heading)] for heading in TABLES} == {
        heading: [columns] for heading, columns in TABLES.items()
    }
    assert "\x1b" not in text
    assert "@everyone" not in re.sub("`[^`]*`", "", text)


def shown(text: str) -> tuple[set[str], str]:
    """Give the tags that a reader of Markdown makes of a text, and what a person then reads."""
    markdown = pytest.importorskip("markdown_it").MarkdownIt("commonmark").enable(["table", "strikethrough"])
    html = markdown.render(text)
    words = re.sub("<[^>]*>", "", html)
    for entity, letter in (("&lt;", "<"), ("&gt;", ">"), ("&quot;", '"'), ("&amp;", "&")):
        words = words.replace(entity, letter)
    return set(re.findall(r"<(\w+)", html)), words


TAGS = {"h2", "h3", "p", "table", "thead", "tbody", "tr", "th", "td", "code", "em", "strong"}


@pytest.mark.parametrize("evil", EVIL)
def test_no_mark_of_a_sheet_takes_effect(evil: str) -> None:
    tags, words = shown(markdown_report(full_of(evil)))
    assert tags <= TAGS
    flat = " ".join(evil.split())
    if flat.isprintable():
        assert flat in words


@settings(max_examples=60, deadline=None)
@given(st.text(st.sampled_from("a |\\`*_[]()<>&#~!@:/.-+={}\n\"'$;x1"), max_size=40))
def test_any_text_is_read_as_it_was_written(evil: str) -> None:
    tags, words = shown(markdown_report(report(replace(FAULT, says=f"x{evil}x"))))
    assert tags <= TAGS
    assert " ".join(f"x{evil}x".split()) in words


@pytest.mark.parametrize("letters", [MOST_LETTERS - 1, MOST_LETTERS, MOST_LETTERS + 1, 3 * MOST_LETTERS])
def test_a_cell_takes_as_many_letters_as_it_may_and_shows_that_it_was_cut(letters: int) -> None:
    ((_, _, says, _),) = rows(markdown_report(report(replace(FAULT, says="a" * letters, rule="x"))), "Faults (1)")
    said = says.removesuffix(" `x`")
    assert said == ("a" * letters if letters <= MOST_LETTERS else "a" * (MOST_LETTERS - 1) + "…")


@pytest.mark.parametrize(("files", "more"), [(4, ""), (5, ""), (6, ", 1 more"), (9, ", 4 more")])
def test_a_notice_names_five_files_and_counts_the_others(files: int, more: str) -> None:
    names = tuple(f"jobs/{number}.yaml" for number in range(files))
    text = markdown_report(report(notices=(Notice("passed-over", "Not read, for they are links:", names),)))
    (line,) = (line for line in text.splitlines() if "they are links" in line)
    assert ", ".join(f"`{name}`" for name in names[:5]) + more in line
    assert line.count("`") == 2 * min(files, 5)
