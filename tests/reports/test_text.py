"""The text report, letter by letter for small reports, and what must hold for every one."""

from __future__ import annotations

import re
from dataclasses import replace
from textwrap import dedent

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from filmcheck.records.finding import Finding, Kind, Level, Permit, Related, Report, RuleText, Trouble
from filmcheck.records.place import Place, Span
from filmcheck.reports.text import MOST_LACKS, SOUND_LINE, STANDING_LINE, text_report
from filmcheck.reports.text_faults import Depth

SHEET = "jobs/hb-2041.yaml"


def at(line: int, column: int, file: str = SHEET) -> Place:
    return Place(file, Span(line, column, line, column + 4))


TENSION = Finding(
    rule="unwind-tension-high",
    level="error",
    kind="fail",
    place=at(12, 24),
    says="The unwind pulls 1.21 lbf/in; a film roll slides above 1.00 lbf/in.",
    address="path/unwind/tension",
    job="HB-2041",
    arithmetic=("70 N ÷ 330 mm = 212 N/m = 1.21 lbf/in", "175 N/m × 330 mm = 57.8 N"),
    instead="Hold the unwind at or below 57.8 N on this 330 mm web.",
    because="Film is wound softly; pulled hard, the turns slide and the roll telescopes.",
    basis="common practice",
    related=(
        Related(at(7, 14), "web width 330 mm"),
        Related(at(4, 3, "limits.yaml"), "film unwind tension at most 1.0 lbf/in"),
    ),
)
GROUND = Finding(
    rule="ground-unchecked",
    level="error",
    kind="open",
    place=at(3, 8),
    says="Nobody knows whether the press is grounded.",
    job="HB-2041",
    caution="Shocks near flammable vapour can start a fire.",
    missing=("date of the ground check of press quarry-1",),
)
LAMP = Finding(
    rule="lamp-above-need",
    level="warning",
    kind="open",
    place=at(15, 5),
    says="The lamp cannot be judged.",
    job="HB-2041",
    missing=("cure minimum of uv lamp 1",),
)
CURE = replace(LAMP, rule="cure-minimum-unknown", level="note", place=at(16, 5))
HEAT = Finding(
    rule="web-too-hot",
    level="error",
    kind="review",
    place=at(18, 5),
    says="The web reaches 66 to 74 °C; the liner softens at 70 °C.",
    job="HB-2041",
    basis="handbook value",
)
CHILL = Finding("no-chill", "warning", "pass", at(17, 5), "There is no chill roll.", job="HB-2041")
TURN_BAR = Finding("turn-bar-on-first-film-job", "error", "notApplicable", at(3, 1), "x", job="HB-2041")

END = """
The numbers are estimates from what the sheets say. The instructions of the
press, tooling and material makers and the local codes come first.
"""

GOLDEN = {
    "sound": (
        Report((CHILL,), (), (SHEET, "presses.yaml"), jobs=1),
        """\
        1 job: no fault found. An estimate; makers' instructions and codes come first.
        """,
    ),
    "nothing read": (
        Report((), (), ()),
        """\
        Nothing was read, so nothing was judged.

        Summary
        -------
        faults      none found
        read        0 files
        """,
    ),
    "one fault": (
        Report((TENSION,), (), (SHEET, "limits.yaml"), jobs=1),
        """\
        Faults
        ------
        jobs/hb-2041.yaml:12:24: error: The unwind pulls 1.21 lbf/in; a film roll slides above 1.00 lbf/in  [unwind-tension-high]
            do       Hold the unwind at or below 57.8 N on this 330 mm web.
            why      Film is wound softly; pulled hard, the turns slide and the roll …

        Summary
        -------
        faults      1 error
        read        2 files, 1 job judged
        """,  # noqa: E501 - place and message stay on one line
    ),
    "one missing datum leaves two rules open": (
        Report((LAMP, CURE, GROUND), (), (SHEET,), jobs=1),
        """\
        Could not be judged
        -------------------
        jobs/hb-2041.yaml:15:5: cannot tell: HB-2041 lacks cure minimum of uv lamp 1  [cure-minimum-unknown, lamp-above-need]
        jobs/hb-2041.yaml:3:8: cannot tell: HB-2041 lacks date of the ground check of press quarry-1  [ground-unchecked]
            caution  Shocks near flammable vapour can start a fire.

        No fault found in what could be judged.

        Summary
        -------
        faults      none found
        not judged  3 checks
        read        1 file, 1 job judged
        """,  # noqa: E501 - place and message stay on one line
    ),
    "borderline": (
        Report((HEAT,), (), (SHEET,), jobs=1),
        """\
        Borderline: a fault at one end of what is given
        -----------------------------------------------
        jobs/hb-2041.yaml:18:5: borderline: The web reaches 66 to 74 °C; the liner softens at 70 °C  [web-too-hot]

        No certain fault found.

        Summary
        -------
        faults      none found
        borderline  1 check
        read        1 file, 1 job judged
        """,
    ),
    "trouble": (
        Report((), (), (SHEET,), (Trouble("jobs/hb-2042.yaml", "not UTF-8: byte 0xE9 at 113"),)),
        """\
        Not read
        --------
        jobs/hb-2042.yaml: not UTF-8: byte 0xE9 at 113

        No fault found in what could be read.

        Summary
        -------
        faults      none found
        read        1 file
        not read    1 file
        """,
    ),
}


@pytest.mark.parametrize(("report", "text"), GOLDEN.values(), ids=GOLDEN)
def test_small_reports_read_exactly_so(report: Report, text: str) -> None:
    assert text_report(report) == dedent(text) + (END if "Summary" in text else "")


IN_FULL = """\
    Faults
    ------
    jobs/hb-2041.yaml:12:24: error: The unwind pulls 1.21 lbf/in; a film roll slides above 1.00 lbf/in.  [unwind-tension-high]
        sum      70 N ÷ 330 mm = 212 N/m = 1.21 lbf/in
                 175 N/m × 330 mm = 57.8 N
        from     line 7 web width 330 mm; film unwind tension at most 1.0 lbf/in
                 (limits.yaml:4:3)
        do       Hold the unwind at or below 57.8 N on this 330 mm web.
        why      Film is wound softly; pulled hard, the turns slide and the roll
                 telescopes.
        basis    common practice
        also     line 15 warning: The lamp is turned up [lamp-above-need]

    """  # noqa: E501 - place and message stay on one line
IN_SHORT = """\
    Faults
    ------
    jobs/hb-2041.yaml:12:24: error: The unwind pulls 1.21 lbf/in; a film roll slides above 1.00 lbf/in (+1 that follows)  [unwind-tension-high]

    """  # noqa: E501 - place and message stay on one line


@pytest.mark.parametrize(("depth", "text"), [("full", IN_FULL), ("short", IN_SHORT)])
def test_a_fault_in_full_and_in_short_and_what_follows_from_it(depth: Depth, text: str) -> None:
    follow = replace(LAMP, kind="fail", says="The lamp is turned up", missing=(), follows_from=TENSION.name)
    report = Report((TENSION, follow), (), (SHEET, "limits.yaml"), jobs=1)
    assert text_report(report, depth=depth).startswith(dedent(text))
    usual = text_report(report)
    assert "    also     fails: lamp-above-need\n" in usual
    assert "faults      1 error, from which 1 more follows\n" in usual


def test_a_headline_stays_short_whatever_a_rule_says() -> None:
    long = replace(TENSION, says="The unwind pulls " + "hard and " * 40 + "on")
    (head,) = [line for line in text_report(Report((long,), (), (SHEET,))).splitlines() if line.startswith(SHEET)]
    said = head.removeprefix(f"{SHEET}:12:24: error: ").removesuffix("  [unwind-tension-high]")
    assert len(said) <= 160
    assert said.endswith("…")
    assert long.says in text_report(Report((long,), (), (SHEET,)), depth="full")


def test_passes_are_shown_when_asked_by_rule_and_sum_not_by_the_sentence_of_the_fault() -> None:
    with_sum = replace(CHILL, rule="web-too-hot", place=at(18, 5), arithmetic=("41 °C < 70 °C",))
    text = text_report(Report((CHILL, with_sum, TURN_BAR), (), (SHEET,)), show_passes=True)
    assert text.startswith(
        dedent(
            """\
            Checked and passed
            ------------------
            jobs/hb-2041.yaml:17:5: no-chill
            jobs/hb-2041.yaml:18:5: web-too-hot: 41 °C < 70 °C

            Did not apply
            -------------
            jobs/hb-2041.yaml:3:1: turn-bar-on-first-film-job

            No fault found.
            """
        )
    )
    assert "There is no chill roll" not in text


EVERYTHING = Report(
    (CHILL, HEAT, LAMP, CURE, GROUND, TENSION, TURN_BAR, replace(TENSION, place=at(2, 1, "jobs/aa.yaml"))),
    (),
    (SHEET, "jobs/aa.yaml"),
    (Trouble("jobs/zz.yaml", "not readable"),),
)


def test_blocks_come_in_order_faults_first_and_faults_by_file_and_line() -> None:
    text = text_report(EVERYTHING, show_passes=True)
    heads = re.findall(r"^(.+)\n-+$", text, flags=re.MULTILINE)
    assert [head.split(":")[0] for head in heads] == [
        "Faults",
        "Borderline",
        "Could not be judged",
        "Not read",
        "Checked and passed",
        "Did not apply",
        "Summary",
    ]
    assert re.findall(r"^(\S+): error", text, flags=re.MULTILINE) == ["jobs/aa.yaml:2:1", f"{SHEET}:12:24"]


def test_order_of_findings_in_the_report_does_not_change_the_text() -> None:
    turned = replace(EVERYTHING, findings=EVERYTHING.findings[::-1])
    assert text_report(turned, show_passes=True) == text_report(EVERYTHING, show_passes=True)


def test_at_one_place_the_gravest_comes_first() -> None:
    levels: tuple[Level, ...] = ("note", "error", "none", "warning")
    text = text_report(Report(tuple(replace(TENSION, level=level) for level in levels), (), (SHEET,)))
    words = re.findall(rf"^{SHEET}:12:24: (\w+)", text, flags=re.MULTILINE)
    assert words == ["error", "warning", "note", "ungraded"]
    assert "faults      1 error, 1 warning, 1 note, 1 ungraded\n" in text


@pytest.mark.parametrize("kind", ["fail", "review", "open"])
def test_a_caution_is_printed_even_if_only_the_rule_knows_it(kind: Kind) -> None:
    rule = RuleText("ground-unchecked", "t", "static", "error", "", "", "", "", caution="Keep vapour away.")
    finding = replace(GROUND, kind=kind, caution="")
    assert "    caution  Keep vapour away.\n" in text_report(Report((finding,), (rule,), (SHEET,)))


def test_colour_changes_no_letter_and_is_off_unless_asked_for() -> None:
    coloured = text_report(EVERYTHING, show_passes=True, colour=True)
    plain = text_report(EVERYTHING, show_passes=True)
    assert "\x1b" not in plain
    assert coloured != plain
    assert re.sub(r"\x1b\[[0-9;]*m", "", coloured) == plain


@pytest.mark.parametrize("width", [40, 60, 80, 120])
def test_what_is_not_a_message_line_stays_within_the_width(width: int) -> None:
    # Message lines are of the GNU form "file:line:column: message" (GNU Coding Standards, "Formatting Error
    # Messages") or "file: message"; they and headings are never broken.
    lines = text_report(EVERYTHING, show_passes=True, width=width).splitlines()
    indented = [line for line in lines if line.startswith(" ")]
    assert indented
    assert max(map(len, indented)) <= width


def test_the_name_of_a_rule_is_never_broken_over_two_lines() -> None:
    names = [f"{'long-' * number}name" for number in range(1, 8)]
    follows = tuple(replace(TENSION, rule=name, follows_from=TENSION.name) for name in names)
    lines = text_report(Report((TENSION, *follows), (), (SHEET,)), width=40).splitlines()
    shown = [word.rstrip(",") for line in lines for word in line.split()]
    assert [name for name in names if name not in shown] == []


def test_a_missing_datum_is_told_once_with_the_jobs_that_lack_it() -> None:
    other = replace(CURE, job="HB-2042")
    text = text_report(Report((LAMP, CURE, other), (), (SHEET,)))
    says = "cannot tell: 2 jobs lack cure minimum of uv lamp 1  [cure-minimum-unknown, lamp-above-need]\n"
    assert f"\n{says}    jobs     HB-2041, HB-2042\n" in text
    assert text.count("cannot tell") == 1


def test_an_open_finding_that_names_nothing_missing_is_not_lost() -> None:
    text = text_report(Report((replace(LAMP, missing=()),), (), (SHEET,)))
    assert f"{SHEET}:15:5: cannot tell: The lamp cannot be judged (HB-2041)  [lamp-above-need]\n" in text
    assert "not judged  1 check\n" in text


def test_what_most_checks_wait_for_comes_first_and_the_rest_is_counted() -> None:
    many = tuple(replace(LAMP, missing=(f"datum {number:02}",)) for number in range(20, 0, -1))
    findings = (*many, replace(CURE, missing=("datum 19",)))
    text = text_report(Report(findings, (), (SHEET,)))
    told = re.findall(r"lacks (datum \d\d)", text)
    assert told == ["datum 19", *(f"datum {number:02}" for number in range(1, MOST_LACKS))]
    assert "\n5 more things missing; --full names all.\n" in text
    assert "not judged  21 checks\n" in text
    assert len(re.findall("lacks", text_report(Report(findings, (), (SHEET,)), depth="full"))) == 20


def test_no_report_claims_more_than_it_can() -> None:
    for report, _ in GOLDEN.values():
        text = text_report(report)
        standing = SOUND_LINE if "Summary" not in text else STANDING_LINE
        assert " ".join(standing.split()) in " ".join(text.split())
        assert not re.search(r"\b(safe|certif|guarantee)", text, flags=re.IGNORECASE)


@settings(max_examples=60, deadline=None)
@given(st.text(max_size=40))
def test_what_a_sheet_says_can_neither_break_the_line_nor_steer_the_terminal(words: str) -> None:
    finding = replace(TENSION, says=f"a{words}b", job=words, missing=(words,))
    text = text_report(Report((finding,), (), (SHEET,)))
    heads = [line for line in text.splitlines() if line.startswith(f"{SHEET}:12:24: error: a")]
    assert len(heads) == 1
    assert heads[0].endswith("b  [unwind-tension-high]")
    assert all(char >= " " and not "\x7f" <= char <= "\x9f" for char in text.replace("\n", ""))


def test_what_a_permit_says_is_told_whole_only_in_full() -> None:
    reason = "The customer takes rolls on small cores. " * 6
    permit = Permit("unwind-tension-high", reason.strip(), "quality", "2027-03-31", at(30, 1))
    found = Report((replace(TENSION, permit=permit),), (), (SHEET,), jobs=1)
    whole = " ".join(text_report(found, depth="full").split())
    assert f"by quality, until 2027-03-31: {reason.strip()}" in whole
    usual = [line for line in text_report(found).splitlines() if "by quality, until 2027-03-31" in line]
    assert len(usual) == 1
    assert reason.strip() not in " ".join(text_report(found).split())
