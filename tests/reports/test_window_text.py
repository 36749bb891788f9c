"""Operating windows as text and as JSON, letter by letter; the text is our own, each line read against the records."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from typing import Any

import pytest

from filmcheck.records.place import Place, Span
from filmcheck.records.window import Choice, Demand, JobWindows, Opening, PairMap, Reach, Window
from filmcheck.reports.page_lines import WIDTH
from filmcheck.reports.window_text import STANDING_LINE, window_json, window_text

AT, NEXT = (Place("jobs/a.yaml", Span(line, 5, line, 9)) for line in (12, 14))
SLIDES = Demand("unwind-tension-high", "A film roll slides", "unwind", "up to 52 N", AT)
SLACK = Demand("unwind-tension-low", "The web goes slack", "unwind", "from 60 N", NEXT)
REACH = Reach("22.4 N", "52.3 N", "23 N", "52 N", (SLACK,), (SLIDES,), "3 %", "12 %")
WINDOW = Window("unwind.tension", "crew", "45 N", "1 N", AT, True, (REACH,), ())
EMPTY = replace(WINDOW, own="56 N", inside=False, reaches=(), meeting=(SLIDES, SLACK))
MAP = PairMap("taper", "start tension", ("0 %", "30 %"), ("0.9 lbf/in", "0.8 lbf/in"), ("..a", ".ob"), ())


def job(*windows: Window, **more: Any) -> JobWindows:
    return JobWindows("A-1", "jobs/a.yaml", windows, **{"maps": (), "open": (), "standing": (), **more})


def told(*windows: Window, **more: Any) -> list[str]:
    """Give the lines between the head and the standing line, none longer than a terminal; what is wrapped is joined."""
    head, *blocks, foot = window_text(job(*windows, **more)).rstrip("\n").split("\n\n")
    assert head == "Job A-1, operating windows (jobs/a.yaml)"
    assert " ".join(foot.split()) == STANDING_LINE
    lines = "\n".join(blocks).splitlines()
    assert max(map(len, lines)) <= WIDTH
    return re.sub(r"\n {13}(?=\S)", " ", "\n".join(lines)).splitlines()


def test_a_window_tells_what_holds_and_what_ends_it_with_its_margins() -> None:
    assert told(WINDOW) == [
        "unwind.tension: 45 N  [inside]",
        "    set by   crew, in steps of 1 N; jobs/a.yaml:12:5",
        "    holds    23 N to 52 N",
        "    below    22.4 N (margin 3 %): The web goes slack (unwind) [unwind-tension-low]",
        "    above    52.3 N (margin 12 %): A film roll slides (unwind) [unwind-tension-high]",
    ]


def test_an_end_that_nothing_bounds_is_not_told_nor_a_margin_that_there_is_none_of() -> None:
    without = replace(REACH, below=(), margin_above="", set_low="52 N")
    assert told(replace(WINDOW, step="", inside=False, reaches=(without,))) == [
        "unwind.tension: 45 N  [outside]",
        "    set by   crew; jobs/a.yaml:12:5",
        "    holds    52 N",
        "    above    52.3 N: A film roll slides (unwind) [unwind-tension-high]",
    ]


def test_an_empty_window_tells_what_leaves_nothing_and_what_would_open_it() -> None:
    openings = (
        Opening("web.width", "330 mm", "or less", "52 N"),
        Opening("web.speed", "40 m/min"),
    )
    assert told(replace(EMPTY, openings=openings)) == [
        "unwind.tension: 56 N  [nothing holds]",
        "    set by   crew, in steps of 1 N; jobs/a.yaml:12:5",
        "    above    52 N: A film roll slides (unwind) [unwind-tension-high], jobs/a.yaml:12:5",
        "    below    60 N: The web goes slack (unwind) [unwind-tension-low], jobs/a.yaml:14:5",
        "    opens    web.width at 330 mm or less, and 52 N here",
        "    opens    web.speed at 40 m/min",
    ]
    assert told(replace(EMPTY, meeting=()))[2:] == ["    holds    no value that was tried"]


@pytest.mark.parametrize(
    ("bad", "state", "holds"), [(False, "inside", "alder, birch"), (True, "nothing holds", "none of them")]
)
def test_choices_are_told_by_name(bad: bool, state: str, holds: str) -> None:
    choices = (Choice("alder", (SLIDES,) * bad), Choice("birch", (SLACK,) * bad))
    lines = told(replace(WINDOW, address="press", own="alder", reaches=(), choices=choices))
    assert lines[0] == f"press: alder  [{state}]"
    assert lines[2:] == [
        f"    holds    {holds}",
        *["    not      alder: A film roll slides (unwind) [unwind-tension-high]"] * bad,
        *["    not      birch: The web goes slack (unwind) [unwind-tension-low]"] * bad,
    ]


def test_of_many_rules_and_things_three_are_named() -> None:
    things = [replace(SLIDES, thing=f"uv lamp {number}") for number in range(1, 6)]
    rules = [replace(SLACK, rule=f"rule-{number}", title="T", thing="") for number in range(1, 5)]
    assert told(replace(WINDOW, reaches=(replace(REACH, above=(*things, *rules)),)))[-1] == (
        "    above    52.3 N (margin 12 %): A film roll slides (uv lamp 1, uv lamp 2, uv lamp 3 and 2 more)"
        " [unwind-tension-high]; T [rule-1]; T [rule-2] and 2 more"
    )


def test_a_map_has_its_letters_explained_each_rule_by_its_title_once() -> None:
    drawn = replace(MAP, legend=(("a", (SLIDES,)), ("b", (SLIDES, SLACK))))
    assert told(maps=(drawn,)) == [
        "start tension (up) against taper (across)",
        "    0.9 lbf/in  . . a",
        "    0.8 lbf/in  . o b",
        "                0 % to 30 %, left to right in even steps",
        "    . holds   o the sheet's own, holds   x the sheet's own, does not hold",
        "    a        A film roll slides (unwind) [unwind-tension-high]",
        "    b        (unwind) [unwind-tension-high]; The web goes slack (unwind) [unwind-tension-low]",
    ]


def test_what_is_broken_and_what_cannot_be_told_is_named_once() -> None:
    assert told(standing=(SLIDES, SLIDES, SLACK)) == [
        "broken on the sheet as it is: unwind-tension-high, unwind-tension-low"
    ]
    assert told(open=(SLACK,)) == ["cannot tell, so that no window knows of them: unwind-tension-low"]


def test_json_holds_all_that_the_text_tells_and_leaves_out_what_is_empty() -> None:
    found = json.loads(window_json(job(WINDOW, EMPTY, maps=(MAP,), open=(SLACK,), standing=(SLIDES,))))
    slides = {"rule": "unwind-tension-high", "title": "A film roll slides", "thing": "unwind"}
    assert found["job"] == "A-1"
    assert found["broken"] == [{**slides, "holds": "up to 52 N", "place": "jobs/a.yaml:12:5"}]
    assert [one["rule"] for one in found["cannotTell"]] == ["unwind-tension-low"]
    first, second = found["windows"]
    assert (first["setPoint"], first["own"], first["inside"], second["inside"]) == (
        "unwind.tension",
        "45 N",
        True,
        False,
    )
    assert found["maps"][0]["rows"] == ["..a", ".ob"]
    assert "thing" not in json.loads(window_json(job(open=(replace(SLACK, thing=""),))))["cannotTell"][0]
