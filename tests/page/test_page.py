"""The page: all that was found is on it and can be reached; it loads and runs nothing; strangers' text stays text."""

from __future__ import annotations

import re
import time
from base64 import b64encode
from dataclasses import replace
from hashlib import sha256
from html.parser import HTMLParser

import pytest

from filmcheck.records.finding import Finding
from filmcheck.records.job_view import JobView, PlantView, SheetView
from filmcheck.records.window import Demand, PairMap
from filmcheck.reports.job_table import job_rows
from filmcheck.reports.led import in_order
from filmcheck.reports.page.cut_sum import cut_sum
from filmcheck.reports.page.html import left_out, page_html
from filmcheck.reports.page.marks import SIGNS, WORDS
from filmcheck.reports.page.path_strip import pins
from filmcheck.reports.page.roll_section import roll_section
from filmcheck.reports.page.sheet_text import marked_sheet
from filmcheck.reports.page.window_map import window_map
from filmcheck.running.page_run import outermost

HOSTILE = "</script></style></pre><img src=x onerror=alert(1)>\"' onload='x' javascript:alert(1) | \x1b[31m & <b>"


VOID = {"meta", "br", "hr"}


class Parsed(HTMLParser):
    """What a page is made of."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.tags: set[str] = set()
        self.attributes: set[str] = set()
        self.ids: list[str] = []
        self.links: list[str] = []
        self.open: list[str] = []
        self.wrong: list[str] = []
        self.policy = ""
        self.words: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        self.tags.add(tag)
        self.attributes |= set(given)
        self.ids += [given["id"] or ""] if "id" in given else []
        self.links += [given["href"] or ""] if "href" in given else []
        if given.get("http-equiv") == "Content-Security-Policy":
            self.policy = given["content"] or ""
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.add(tag)
        self.attributes |= {name for name, _ in attrs}

    def handle_endtag(self, tag: str) -> None:
        if not self.open or self.open.pop() != tag:
            self.wrong.append(tag)

    def handle_data(self, data: str) -> None:
        self.words.append(data)


@pytest.fixture(scope="module")
def page(plant: PlantView) -> str:
    return page_html(plant)


@pytest.fixture(scope="module")
def parsed(page: str) -> Parsed:
    return Parsed(page)


def sheet(plant: PlantView, job: str) -> SheetView:
    return next(one for one in plant.sheets if one.job == job)


def seen(plant: PlantView, job: str) -> JobView:
    view = sheet(plant, job).view
    assert view is not None
    return view


def test_tags_close_and_links_lead_somewhere(parsed: Parsed) -> None:
    assert not parsed.wrong
    assert not parsed.open
    assert len(parsed.ids) == len(set(parsed.ids))
    assert {link.removeprefix("#") for link in parsed.links} <= set(parsed.ids)
    assert all(link.startswith("#") for link in parsed.links)


def test_every_finding_of_a_job_is_told_and_can_be_unfolded(plant: PlantView, parsed: Parsed) -> None:
    words = " ".join("".join(parsed.words).split())
    for at, one in enumerate(plant.sheets, 1):
        told = [finding for finding in one.findings if finding.kind in ("fail", "review")]
        assert [f"j{at}f{number}" in parsed.ids for number in range(1, len(told) + 1)] == [True] * len(told)
        for finding in told:
            assert " ".join(finding.says.split()) in words


def test_what_follows_is_folded_into_its_cause(plant: PlantView, page: str) -> None:
    told = in_order(one for one in sheet(plant, "QM-3201").findings if one.kind in ("fail", "review"))
    at = [one.job for one in plant.sheets].index("QM-3201") + 1
    (cause,) = (one for one in told if one.rule == "unwind-tension-high")
    number = told.index(cause) + 1
    follow = told[number]
    assert (follow.rule, follow.follows_from) == ("unwind-tension-climbs", cause.name)
    begin, end = page.index(f'id="j{at}f{number}"'), page.index(f'id="j{at}f{number + 1}"')
    between = page[begin:end]
    assert "</div>" not in between
    assert re.search(rf"{number}\. [^<]*<code>unwind-tension-high</code> \(\+1 that follows\)", page)


def test_nothing_is_loaded_and_nothing_runs(page: str, parsed: Parsed) -> None:
    assert not parsed.tags & {"script", "link", "img", "iframe", "object", "embed", "form", "base"}
    assert not {name for name in parsed.attributes if name.startswith("on") or name in ("src", "style", "action")}
    assert "url(" not in page
    assert "http://" not in page
    assert "https://" not in page


def test_the_policy_allows_its_own_style_alone(page: str, parsed: Parsed) -> None:
    style = re.findall(r"<style>(.*?)</style>", page, re.DOTALL)
    assert len(style) == 1
    digest = b64encode(sha256(style[0].encode()).digest()).decode()
    assert parsed.policy == f"default-src 'none'; style-src 'sha256-{digest}'; base-uri 'none'; form-action 'none'"


def test_no_path_of_the_machine_is_on_it(page: str) -> None:
    assert not re.search(r"(?<![\w.])/(?:home|tmp|work|root|usr)/", page)


def test_levels_have_signs_of_their_own() -> None:
    assert set(SIGNS) == set(WORDS)
    told = [sign for level, sign in SIGNS.items() if level != "none"]
    assert len(told) == len(set(told))


def test_what_is_left_out_is_said(plant: PlantView) -> None:
    assert left_out(plant) == (
        "Drawn: 5 of 6 jobs; with maps of the rewind window: 1. Jobs only named above, with nothing found: 1."
        " filmcheck page SHEET shows all of one job; --drawn and --mapped ask for more."
    )


def test_the_worst_job_comes_first(plant: PlantView) -> None:
    faulty = [row.line.job for row in job_rows(plant.report) if not row.is_settled]
    assert [one.job for one in plant.sheets] == [*faulty, "QM-3110", "QM-3105"]
    assert faulty[0] == "QM-3209"


@pytest.mark.parametrize(
    ("job", "rule", "station"),
    [
        ("QM-3201", "unwind-tension-high", "unwind"),
        ("QM-3213", "cut-clearance", "die cut"),
        ("QM-3206", "small-core-thin-liner", "finishing"),
        ("QM-3209", "name-unknown", ""),
    ],
)
def test_findings_are_pinned_where_they_belong(plant: PlantView, job: str, rule: str, station: str) -> None:
    one, view = sheet(plant, job), seen(plant, job)
    told = [finding for finding in one.findings if finding.kind == "fail"]
    labels = [*(station.label for station in view.stations), "finishing"]
    found = {finding.rule: labels[at] for at, some in pins(view, told, one.text).items() for _, finding in some}
    assert found.get(rule, "") == station


def test_the_cut_is_summed_as_the_figures_are(plant: PlantView) -> None:
    # By hand: 0 µm liner − 1 µm wear − 4 µm run-out = −5 µm cold, and + 4.462 µm growth − 1 + 4 = 7.462 µm warm.
    view = seen(plant, "QM-3201")
    deepest, shallowest = view.figures["cut.deepest"].high, view.figures["cut.shallowest"].high
    assert (deepest, shallowest) == pytest.approx((7.462e-6, 5e-6), rel=1e-3)
    assert "5 µm shallower cold to 7.46 µm deeper warm than the die was built for" in cut_sum(view)


def test_the_roll_shows_the_pressure_of_the_figures(plant: PlantView) -> None:
    view = seen(plant, "QM-3201")
    pressure = view.rolls["finished roll"].pressure
    assert f"pressure {pressure[0][1] / 1000:.3g} kPa on the core" in roll_section(view, "finished roll")
    assert pressure[-1][1] == pytest.approx(0.0, abs=1.0)  # a free surface


def test_a_map_has_a_cell_for_every_pair(plant: PlantView) -> None:
    drawn = next(one.view.maps for one in plant.sheets if one.view is not None and one.view.maps)[0]
    cells = window_map(drawn).count('class="cell')
    assert cells == len(drawn.across_values) * len(drawn.down_values) == sum(map(len, drawn.rows))


def test_a_map_colours_what_holds_and_counts_it() -> None:
    """As `PairMap` says: `.` holds, `o` is the sheet's own where it holds, `x` where it does not, a letter does not."""
    bad = (("a", (Demand("core-crush", "core crush", "too high"),)),)
    for rows, held, not_held in ((("..a", ".oa"), 4, 2), (("..a", ".ax"), 3, 3)):
        drawn = window_map(PairMap("speed", "tension", ("1", "2", "3"), ("5 N", "4 N"), rows, bad))
        assert (drawn.count('class="cell holds"'), drawn.count('class="cell bad"')) == (held, not_held)
        assert f"{held} cells hold" in drawn


def hostile(one: SheetView) -> SheetView:
    """Put the hostile text wherever a sheet, a register or a rule pack can put text."""

    def spoiled(found: Finding) -> Finding:
        return replace(
            found,
            place=found.place._replace(file=HOSTILE),
            says=HOSTILE,
            rule=HOSTILE,
            instead=HOSTILE,
            because=HOSTILE,
            basis=HOSTILE,
            caution=HOSTILE,
            arithmetic=(HOSTILE,),
            missing=(HOSTILE,) * bool(found.missing),
        )

    view = one.view
    if view is not None:
        stations = tuple(replace(s, label=HOSTILE, given=dict.fromkeys(s.given, HOSTILE)) for s in view.stations)
        bad = (("a", (Demand(HOSTILE, HOSTILE, HOSTILE),)),)
        maps = tuple(
            replace(m, across=HOSTILE, down=HOSTILE, across_values=(HOSTILE,) * len(m.across_values), legend=bad)
            for m in view.maps
        )
        view = replace(view, job=HOSTILE, file=HOSTILE, stations=stations, maps=maps)
    given = dict.fromkeys(one.given, HOSTILE) | {"stage": one.given["stage"]}
    return SheetView(HOSTILE, given, tuple(map(spoiled, one.findings)), f"{HOSTILE}\n" * 60, view)


def test_hostile_text_is_harmless_text(plant: PlantView, parsed: Parsed) -> None:
    rules = tuple(rule._replace(title=HOSTILE) for rule in plant.report.rules)
    spoiled = replace(
        plant,
        name=HOSTILE,
        sheets=tuple(map(hostile, plant.sheets)),
        report=replace(plant.report, rules=rules),
    )
    found = Parsed(page_html(spoiled))
    assert not found.wrong
    assert found.tags <= parsed.tags
    assert found.attributes <= parsed.attributes
    assert all(link.startswith("#") for link in found.links)
    assert "onerror=alert(1)" in "".join(found.words)


def test_findings_without_end_are_cut_off(plant: PlantView) -> None:
    one = sheet(plant, "QM-3201")
    parsed = Parsed(page_html(replace(plant, sheets=(replace(one, findings=one.findings * 150),))))
    assert sum(re.match(r"j1f\d", name) is not None for name in parsed.ids) == 200
    assert {link.removeprefix("#") for link in parsed.links} <= set(parsed.ids)
    assert re.search(r"\d+ more are left out", "".join(parsed.words))


def test_five_hundred_jobs_are_written_quickly_and_small(plant: PlantView) -> None:
    faulty = [one for one in plant.sheets if one.findings]
    drawn = [faulty[at % len(faulty)] for at in range(40)]
    lean = [replace(faulty[at % len(faulty)], view=None) for at in range(460)]
    start = time.process_time()
    text = page_html(replace(plant, sheets=(*drawn, *lean)))
    assert len(text.encode()) < 10_000_000
    assert time.process_time() - start < 2


def test_a_sheet_that_is_only_named_is_named_as_it_is_read(plant: PlantView) -> None:
    named = ("job", "title", "stage", "date", "press", "stock", "customer")
    for one in plant.sheets:
        assert outermost(one.text) == {key: one.given[key] for key in named if key in one.given}


@pytest.mark.parametrize(
    ("line", "given"),
    [
        ('title: "a: b"  # c', {"title": "a: b"}),
        ("stage: set-up", {"stage": "set-up"}),
        ("  stage: planned", {}),
        ("stock: {a: b}", {}),
        ("press: # none", {}),
    ],
)
def test_outermost_lines(line: str, given: dict[str, str]) -> None:
    assert outermost(f"web: {{}}\n{line}\n") == given


def test_lines_that_are_left_out_leave_a_mark(plant: PlantView) -> None:
    """Between two lines stands a mark where, and only where, their numbers do not follow each other."""
    gaps = 0
    for one in plant.sheets:
        told = [replace(finding, place=finding.place._replace(file=one.file)) for finding in one.findings]
        for whole in (True, False):
            rows = marked_sheet(one.text, one.file, told, "j1", whole=whole).partition(">")[2].splitlines()
            numbers = [int(found[1]) if (found := re.search(r'"at">\s*(\d+)<', row)) else 0 for row in rows]
            numbers = [number for number, row in zip(numbers, rows, strict=True) if number or "⋮" in row]
            assert numbers[:1] != [0]
            for before, at, after in zip(numbers, numbers[1:], numbers[2:], strict=False):
                assert at in (0, before + 1) or before == 0
                assert at or after > before + 1
            gaps += numbers.count(0)
    assert gaps > 2


def test_what_could_not_be_judged_is_told_with_the_job(plant: PlantView) -> None:
    """Each datum that is lacking is counted once, however many rules wait for it."""
    counted = set()
    for one in plant.sheets:
        text = " ".join("".join(Parsed(page_html(replace(plant, sheets=(one,)))).words).split())
        lacking = {name for found in one.findings if found.kind == "open" for name in found.waits_for}
        counts = re.findall(r"(\d+) (?:data are|datum is) lacking", text)
        assert counts == ([str(len(lacking))] if lacking else [])
        assert all(name in text for name in lacking)
        counted.add(len(lacking))
    assert len(counted) > 1
