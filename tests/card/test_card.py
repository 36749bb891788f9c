"""The set-up card: what stands on it, in all forms; and that text of strangers stays text."""

from __future__ import annotations

import html
import re
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path

import pytest
from click.testing import CliRunner

from filmcheck.cli.card import card_command
from filmcheck.figures.scopes import press_station_shapes, station_shapes
from filmcheck.records.errors import UseError
from filmcheck.records.finding import lack_parts
from filmcheck.records.job_view import JobView
from filmcheck.reports.card.card import Card, Section
from filmcheck.reports.card.html import card_html
from filmcheck.reports.card.look_at import LOOK_AT
from filmcheck.reports.card.markdown import card_markdown
from filmcheck.reports.card.set_up import make_card
from filmcheck.reports.card.text import WIDTH, card_text, table_lines

SOUND = Path(__file__).parents[2] / "examples/jobs/sound/qm-3105-running-pear-cider.yaml"
HOSTILE = "</script><img src=x onerror=alert(1)>\"'|`[a](javascript:alert(1))**\n# x\x1b[31m\u202e::error::@all"


def titles(card: Card) -> list[str]:
    return [section.title for section in card.sections]


def spoiled(view: JobView) -> JobView:
    """Put the hostile text into every field that a sheet or a register can fill."""
    stations = [replace(one, label=HOSTILE, given=dict.fromkeys(one.given, HOSTILE)) for one in view.stations]
    checks = [replace(one, given=dict.fromkeys(one.given, HOSTILE)) for one in view.checks]
    findings = [replace(one, says=HOSTILE, instead=HOSTILE, missing=(HOSTILE,)) for one in view.findings]
    return replace(
        view,
        job=HOSTILE,
        file=HOSTILE,
        given=dict.fromkeys(view.given, HOSTILE),
        figures={},
        stations=tuple(stations),
        checks=tuple(checks),
        findings=tuple(findings),
    )


def test_every_demo_job_has_a_card_that_fits_the_terminal(views: dict[str, JobView]) -> None:
    for view in views.values():
        assert max(map(len, card_text(make_card(view)).splitlines())) <= WIDTH


def test_errors_stand_on_top_and_nothing_is_cleared(views: dict[str, JobView]) -> None:
    card = make_card(views["qm-3201"])
    assert (card.cleared, card.state, titles(card)[0]) == (
        False,
        "NOT CLEARED: 1 error",
        "Not cleared: mend these first",
    )
    assert "unwind-tension-high" in card_text(card)[:1200]


def test_what_follows_stands_below_its_cause_and_is_no_cause_of_its_own(views: dict[str, JobView]) -> None:
    view = views["qm-3201"]
    (cause,) = (one for one in view.findings if one.rule == "unwind-tension-high")
    others = (one for one in view.findings if one is not cause)
    follows = [replace(cause, rule=f"follow-{number}", follows_from=cause.name) for number in range(4)]
    card = make_card(replace(view, findings=(*follows, cause, *others)))
    assert card.state.startswith("NOT CLEARED: 1 error, from which 4 more follow")
    assert [row[2].rpartition(" ")[2] for row in card.sections[0].rows] == [cause.rule, "follow-0", "follow-1", ""]
    assert card.sections[0].rows[3][0] == "also: 2 more"


def test_a_sound_job_has_every_part(views: dict[str, JobView]) -> None:
    card = make_card(views["qm-3105"])
    assert card.cleared
    assert titles(card) == [
        "Job",
        "Unwind force on 330 mm",
        "Zone tensions",
        "Lamps and dryers",
        "Path in order",
        "Die and repeat",
        "Readings to take",
        "Imprint and snap",
        "Rewind on the press",
        "Finishing",
        "Could not be judged",
        "Cautions",
        "Signed off",
    ]


def test_a_permit_is_told(views: dict[str, JobView]) -> None:
    assert "accepted by permit of" in " ".join(card_text(make_card(views["qm-3110"])).split())


def test_what_is_lacking_is_counted_and_named(views: dict[str, JobView]) -> None:
    # The stock's name is wrong on this sheet, so what rests on the stock cannot be told.
    view = views["qm-3209"]
    lacks = {lack_parts(text)[0] for one in view.findings if one.kind == "open" for text in one.missing}
    card = make_card(view)
    assert lacks
    assert f"{len(lacks)} data lacking" in card.state
    rows = next(section.rows for section in card.sections if section.title == "Could not be judged")
    assert {row[0] for row in rows} <= lacks


def test_every_kind_of_station_has_a_look_and_nothing_else_has() -> None:
    assert set(LOOK_AT) == {*station_shapes(), *press_station_shapes()}


class Tags(HTMLParser):
    """Gathers the tags and attributes of a page."""

    def __init__(self) -> None:
        super().__init__()
        self.seen: set[str] = set()
        self.attributes: set[str] = set()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.seen.add(tag)
        self.attributes |= {name for name, _ in attrs}


@pytest.mark.parametrize("job", ["qm-3105", "qm-3201", "qm-3210"])
def test_hostile_text_is_text_in_html(views: dict[str, JobView], job: str) -> None:
    page, plain = Tags(), Tags()
    page.feed(card_html(make_card(spoiled(views[job]))))
    plain.feed(card_html(make_card(views[job])))
    assert page.seen <= plain.seen | {"section"}
    assert page.attributes <= plain.attributes
    assert "default-src 'none'" in card_html(make_card(views[job]))


def test_hostile_text_is_text_in_markdown(views: dict[str, JobView]) -> None:
    lines = card_markdown(make_card(spoiled(views["qm-3201"]))).splitlines()
    widths = {re.sub(r"\\.", "", line).count("|") for line in lines if line.startswith("|")}
    assert widths <= {3, 4, 5, 6, 7}
    text = "\n".join(lines)
    assert "<img" not in text
    assert not re.search(r"(?<!\\)\]\(", text)
    assert [line for line in lines if line.startswith("# ")] == lines[:1]


def test_hostile_text_is_text_on_the_terminal(tmp_path: Path) -> None:
    sheet = tmp_path / "a.yaml"
    sheet.write_text('job: H-1\ntitle: "\\e[31m::error::x \\u202e"\nstage: planned\n', encoding="utf-8")
    out = CliRunner().invoke(card_command, [str(sheet)]).output
    assert "H-1" in out
    assert not re.search(r"[\x1b\u202e]|^\s*::", out, re.MULTILINE)


@pytest.mark.parametrize("form", ["text", "markdown", "html"])
def test_forms_hold_the_same_cells(views: dict[str, JobView], form: str) -> None:
    card = make_card(views["qm-3105"])
    text = {"text": card_text, "markdown": card_markdown, "html": card_html}[form](card)
    plain = html.unescape(text)
    for want in ("d-0412", "900 mm", "46.2 N", "66.1 kg", "304.8 mm"):
        assert want in plain


def test_a_card_is_never_written_over_its_sheet(tmp_path: Path) -> None:
    done = CliRunner().invoke(card_command, [str(SOUND), "--to", str(tmp_path / "card.yaml")])
    assert isinstance(done.exception, UseError)
    assert not (tmp_path / "card.yaml").exists()


def test_the_command_writes_windows_and_html(tmp_path: Path) -> None:
    target = tmp_path / "card.html"
    done = CliRunner().invoke(card_command, [str(SOUND), "--format", "html", "--to", str(target)])
    assert done.exit_code == 0
    text = target.read_text(encoding="utf-8")
    assert "23 N to 52 N" in text  # as filmcheck window says of unwind.tension
    assert "window 10 % to 50 %" in text


def test_a_table_too_wide_is_wrapped() -> None:
    assert all(len(line) <= 20 for line in table_lines([["a" * 30, "b c d e f g h i j"]], 20))


def test_a_column_gives_way_down_to_six_letters_and_no_further() -> None:
    assert list(table_lines([["abcdef"] * 5], 20)) == ["abcdef  " * 4 + "abcdef"]


def section(card: Card, title: str) -> Section:
    return next(section for section in card.sections if section.title == title)


@pytest.mark.parametrize(("rolls", "lines"), [("3", 3), ("1", 1), ("", 1), ("4 or 5", 1)])
def test_readings_are_taken_at_set_up_warm_and_on_every_roll(views: dict[str, JobView], rolls: str, lines: int) -> None:
    view = views["qm-3105"]
    given = {"rolls": rolls} if rolls else {}
    stations = [replace(one, given=given) if one.kind == "rewind" else one for one in view.stations]
    found = section(make_card(replace(view, stations=tuple(stations))), "Readings to take")
    assert [row[0] for row in found.rows] == ["set-up", "die warm", *(f"roll {at + 1}" for at in range(lines))]
    limits = {name: limit for name, limit in view.limits.items() if name != "die_pressure_drift"}
    drift = f"The pressure may drift by {view.limits['die_pressure_drift'].text} from that of the set-up."
    assert (drift in found.notes, drift in section(make_card(replace(view, limits=limits)), found.title).notes) == (
        True,
        False,
    )


def test_the_crew_is_told_to_set_lamps_low_where_there_are_any(views: dict[str, JobView]) -> None:
    view = views["qm-3105"]
    without = replace(view, stations=tuple(one for one in view.stations if "lamp" not in one.kind))
    said = "Lowest setting that still cures, never the maximum."
    assert said in section(make_card(view), "Lamps and dryers").notes
    assert said not in card_text(make_card(without))


def test_a_zone_that_is_held_at_one_tension_shows_one_number(views: dict[str, JobView]) -> None:
    for view in views.values():
        for zone, row in zip(view.zones, section(make_card(view), "Zone tensions").rows, strict=True):
            low, high = zone.text("lowest_total_tension"), zone.text("highest_total_tension")
            if low and high:
                assert row[1] == (low if low == high else f"{low} to {high}")


def test_a_card_of_an_inch_plant_speaks_in_inches() -> None:
    """The plant names no units of its own, so the crew reads those in which sheet and press register are written."""
    sheet = Path(__file__).parents[1] / "corpus/new_plants/inch/jobs/c04.yaml"
    told = CliRunner().invoke(card_command, [str(sheet)]).output
    width = re.search(r"width: (\S+ in)", sheet.read_text(encoding="utf-8"))
    assert width is not None
    assert re.search(rf"^web width +{re.escape(width[1])}$", told, re.MULTILINE)
    table = told[told.index("Unwind force on ") : told.index("Zone tensions")]
    assert table.startswith(f"Unwind force on {width[1]}")
    rows = re.findall(r"^[\d.]+ (\w+) +[\d.]+ (\w+) ", table, re.MULTILINE)
    assert len(rows) > 1
    assert set(rows) == {("in", "lbf")}


def test_a_table_that_just_fits_is_left_as_it_is() -> None:
    assert list(table_lines([["abcdefghi", "abc defgh"]], 20)) == ["abcdefghi  abc defgh"]
