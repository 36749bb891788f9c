"""How people write: what is read as meant, and what is asked about, each text with what comes of it."""

from __future__ import annotations

import pytest

from filmcheck.plant.plant import Sheet, type_text
from filmcheck.plant.record import Datum, find
from filmcheck.units.quantity import Quantity, UnitFault, parse_quantity

# Text, dimension, SI value. Source of the factors: NIST SP 811, Appendix B (1 in = 0.0254 m, 1 lbf = 4.448 221 615 N).
READ = [
    ("50 FPM", "speed", 50 * 0.3048 / 60),
    ("45 M/MIN", "speed", 0.75),
    ("45 mpm", "speed", 0.75),
    ("0.8 PLI", "line tension", 0.8 * 4.4482216152605 / 0.0254),
    ("23 my", "length", 23e-6),
    ("330 MM", "length", 0.33),
    ("1/8 CP", "length", 0.003175),
    ('13"', "length", 0.3302),
    ("5 ft 6 in", "length", 66 * 0.0254),
    ("5' 6 1/2\"", "length", 66.5 * 0.0254),
]


@pytest.mark.parametrize(("text", "dimension", "value"), READ)
def test_units_are_read_as_people_write_them(text: str, dimension: str, value: float) -> None:
    read = parse_quantity(text, (dimension,))
    assert isinstance(read, Quantity)
    assert read.low == pytest.approx(value, rel=1e-9)


@pytest.mark.parametrize(
    ("text", "dimension"), [("2 mpa", "pressure"), ("5 ft 14 in", "length"), ("1/8 CP", "speed"), ("3 my", "speed")]
)
def test_what_can_mean_two_things_or_nothing_is_not_guessed(text: str, dimension: str) -> None:
    assert isinstance(parse_quantity(text, (dimension,)), UnitFault)


def sheet(text: str) -> Sheet:
    return type_text(f"job: A-1\nstage: planned\n{text}\n", "a.yaml", "job-sheet")


@pytest.mark.parametrize("text", ["UV flexo", "uv-flexo", "Uv Flexo"])
def test_words_are_read_in_any_case(text: str) -> None:
    read = sheet(f"settings: {{print: {{ink: {text}}}}}")
    assert read.faults == ()
    ink = find(read.record, ("settings", "print", "ink"))
    assert isinstance(ink, Datum)
    assert (ink.content, ink.text) == ("uv flexo", text)


# What is written, where the message stands (line, column), what it says, what it proposes.
ASKED = [
    ("web: {length: 4.200 m}", (3, 15), "4.200 m can be read as 4.2 m or as 4200 m", "Write 4200 m without the point"),
    ("layout: {label: 60 x 98.4 mm}", (3, 17), "`label` must be a group of keys", "{across: 60 mm, around: 98.4 mm}"),
    ("layout: {gap: 3mm}", (3, 15), "`gap` must be a group of keys", "{around: 3 mm, across: 3 mm}`, if it is"),
    ("web: {proved_tension: 0,8 lbf/in}", (3, 23), "`0,8 lbf/in` has a decimal comma", "Write 0.8 lbf/in."),
    (
        "deviations: [{rule: lamp-at-maximum, reason: late, again so}]",
        (3, 46),
        "`again so` stands behind a comma, which in braces ends the entry",
        "write `reason: 'late, again so'`.",
    ),
    ("web:\n  proved_tension: 0,8 lbf/in", (4, 19), "'0,8 lbf/in' has a decimal comma", "Did you mean 0.8 lbf/in?"),
    (
        "layout: {lanes: 3, labels around 4}",
        (3, 20),
        "`labels around 4` has no colon after its key",
        "`labels_around: 4`",
    ),
    ("web: {width: 330}", (3, 14), "330 has no unit; a length needs one", "Did you mean 330 mm?"),
]


@pytest.mark.parametrize(("text", "at", "says", "hint"), ASKED)
def test_a_slip_is_told_once_with_what_to_write(text: str, at: tuple[int, int], says: str, hint: str) -> None:
    (fault,) = sheet(text).faults
    assert fault.span[:2] == at
    assert fault.says.startswith(says)
    assert hint in fault.hint


@pytest.mark.parametrize(("name", "word"), [("glassine", "paper"), ("PET", "film"), ("kraft", "paper")])
def test_names_of_the_trade_point_to_the_fields_own_words(name: str, word: str) -> None:
    read = type_text(f"a: {{liner: {{material: {name}}}}}\n", "stocks.yaml", "stocks")
    assert [fault.hint for fault in read.faults] == [f"Here `{name}` is written `{word}`."]


@pytest.mark.parametrize("text", ["web: {width: 330}", "web: {width: 0.33}", "web: {speed: 50}", "web: {length: 4200}"])
def test_no_proposal_is_refused_by_the_next_run(text: str) -> None:
    (fault,) = sheet(text).faults
    key, _, number = text.removeprefix("web: {").removesuffix("}").partition(": ")
    ways = fault.hint.removeprefix("Did you mean ").removesuffix("?").split(" or ")
    assert all(way.startswith(number) for way in ways)
    assert [sheet(f"web: {{{key}: {way}}}").faults for way in ways] == [()] * len(ways)


@pytest.mark.parametrize(
    ("written", "days"),
    [
        ("3.12.2026", "2026-12-03"),
        ("12/03/2026", "2026-03-12 or 2026-12-03"),
        ("13/3/2026", "2026-03-13"),
        ("2026/12/3", "2026-12-03"),
        ("Dec 8, 2026", "2026-12-08"),
        ("8. December 2026", "2026-12-08"),
    ],
)
def test_a_date_in_another_form_is_answered_with_the_day_to_write(written: str, days: str) -> None:
    (fault,) = sheet(f'date: "{written}"').faults
    assert fault.hint == f"Write {days}."


@pytest.mark.parametrize(
    ("written", "moment"),
    [
        ("2026-12-08 6am", "2026-12-08 06:00"),
        ("2026-12-08 12 am", "2026-12-08 00:00"),
        ("8.12.2026 6.15 PM", "2026-12-08 18:15"),
        ("2026-12-08T06:00:00", "2026-12-08 06:00"),
    ],
)
def test_a_time_in_another_form_is_answered_with_the_moment_to_write(written: str, moment: str) -> None:
    (fault,) = sheet(f'press_time: {{from: "{written}"}}').faults
    assert fault.hint == f"Write {moment}."
    assert sheet(f"press_time: {{from: {moment}}}").faults == ()


@pytest.mark.parametrize(
    ("written", "ways"),
    [("3,600 m", ("3.6 m", "3600 m")), ("3,625 m", ("3.6250 m", "3625 m")), ("3.625 m", ("3625 m", "3.6250 m"))],
)
def test_what_may_be_thousands_is_answered_with_two_ways_that_are_read(written: str, ways: tuple[str, str]) -> None:
    for text in (f"web: {{length: {written}}}", f"web:\n  length: {written}"):
        (fault,) = sheet(text).faults
        assert [way in fault.hint for way in ways] == [True, True]
    assert [sheet(f"web: {{length: {way}}}").faults for way in ways] == [(), ()]


@pytest.mark.parametrize(("digits", "meant"), [("412", "d-0412"), ("112 teeth", "m-112"), ("X 98", "")])
def test_a_name_is_known_by_its_number(digits: str, meant: str) -> None:
    from filmcheck.plant.nearest import nearest

    assert nearest(digits, ["d-0412", "m-96", "m-112"]) == meant
