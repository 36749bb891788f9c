"""From text to typed fields: each value once, in SI, with its place; what is wrong is told and kept apart.

Conversions: 1 in = 25.4 mm, 1 ft = 0.3048 m, 1 lbf/in = 175.1268 N/m (NIST SP 811); columns count code points.
"""

from __future__ import annotations

from datetime import date

import pytest

from filmcheck.plant.plant import Sheet, type_text
from filmcheck.plant.record import Datum, Listing, Record, Unusable, find
from filmcheck.units.quantity import Quantity

HEAD = "job: A\nstage: planned\n"


def typed(text: str, schema: str = "job-sheet") -> Sheet:
    return type_text(text, "a.yaml", schema)


def datum(sheet: Sheet, *path: str) -> Datum:
    field = find(sheet.record, path)
    assert isinstance(field, Datum)
    return field


QUANTITIES = [
    ("web: {width: 330 mm}", ("web", "width"), 0.330),
    ("web: {width: 13 in}", ("web", "width"), 0.3302),
    ("web: {width: 13in}", ("web", "width"), 0.3302),
    ("web: {speed: 150 ft/min}", ("web", "speed"), 0.762),
    ("web: {length: 4 200 m}", ("web", "length"), 4200.0),
    ("web: {proved_tension: 0.8 lbf/in}", ("web", "proved_tension"), 140.1015),
    ("finishing: {taper: 30 %}", ("finishing", "taper"), 0.3),
    ("finishing: {after: 2 h}", ("finishing", "after"), 7200.0),
    ("preparation: {air: {temperature: 22 degC}}", ("preparation", "air", "temperature"), 295.15),
]


@pytest.mark.parametrize(("line", "path", "si"), QUANTITIES)
def test_quantity(line: str, path: tuple[str, ...], si: float) -> None:
    sheet = typed(HEAD + line + "\n")
    assert sheet.faults == ()
    found = datum(sheet, *path)
    assert isinstance(found.content, Quantity)
    assert (found.content.low, found.content.high) == pytest.approx((si, si), rel=1e-6)
    written = line.rpartition(": ")[2].rstrip("}")
    assert found.text == written
    start = line.index(written) + 1
    assert found.place == ("a.yaml", (3, start, 3, start + len(written)))


def test_place_of_key_and_value_count_code_points() -> None:
    sheet = typed('job: "𝄞µ"\nstage: planned\n"web": { "width": 330 mm, speed: 45 m/min }\n')
    width = datum(sheet, "web", "width")
    assert width.key_place == ("a.yaml", (3, 10, 3, 17))
    assert width.place == ("a.yaml", (3, 19, 3, 25))
    assert datum(sheet, "job").place == ("a.yaml", (1, 6, 1, 10))
    web = find(sheet.record, ("web",))
    assert isinstance(web, Record)
    assert (web.key_place.span, web.place.span) == ((3, 1, 3, 6), (3, 8, 3, 44))


def test_range_keeps_both_ends() -> None:
    content = datum(typed(HEAD + "web: {width: 320 to 330 mm}\n"), "web", "width").content
    assert isinstance(content, Quantity)
    assert (content.low, content.high) == pytest.approx((0.320, 0.330))


SORTS = [
    ("job: 1001", ("job",), "1001"),
    ("job: 007", ("job",), "007"),
    ("job: 0x10", ("job",), "0x10"),
    ("date: 2026-11-25", ("date",), date(2026, 11, 25)),
    ('date: "2026-11-25"', ("date",), date(2026, 11, 25)),
    ("first_film_job: true", ("first_film_job",), True),
    ("layout: {lanes: 5}", ("layout", "lanes"), 5),
    ("title: no", ("title",), "no"),
]


@pytest.mark.parametrize(("line", "path", "content"), SORTS)
def test_other_sorts(line: str, path: tuple[str, ...], content: object) -> None:
    sheet = typed(("" if line.startswith("job") else "job: A\n") + "stage: planned\n" + line + "\n")
    assert datum(sheet, *path).content == content
    assert type(datum(sheet, *path).content) is type(content)


FAULTY = [
    ("web: {width: 330}", ("web", "width"), "unit-missing", (3, 14, 3, 17)),
    ("web: {width: 330 mmm}", ("web", "width"), "unit-unknown", (3, 14, 3, 21)),
    ("web: {width: 330 N}", ("web", "width"), "dimension-wrong", (3, 14, 3, 19)),
    ("web: {width: wide}", ("web", "width"), "value-wrong", (3, 14, 3, 18)),
    ("web: {width: 330 m}", ("web", "width"), "size-implausible", (3, 14, 3, 19)),
    ("web: {width: 10 to 330 mm}", ("web", "width"), "size-implausible", (3, 14, 3, 26)),
    ("layout: {lanes: 1000000000001}", ("layout", "lanes"), "size-implausible", (3, 17, 3, 30)),
    ("layout: {lanes: " + "9" * 390 + "}", ("layout", "lanes"), "size-implausible", (3, 17, 3, 407)),
    ("date: 2026-02-29", ("date",), "value-wrong", (3, 7, 3, 17)),
]


@pytest.mark.parametrize(("line", "path", "name", "span"), FAULTY)
def test_what_cannot_be_used_is_told_and_kept(line: str, path: tuple[str, ...], name: str, span: tuple) -> None:
    """A figure that needs the field can then say why it cannot tell."""
    sheet = typed(HEAD + line + "\n")
    assert [(fault.id, tuple(fault.span)) for fault in sheet.faults] == [(name, span)]
    field = find(sheet.record, path)
    assert isinstance(field, Unusable)
    assert (tuple(field.place.span), field.says) == (span, sheet.faults[0].says)


@pytest.mark.parametrize("written", ["25.11.2026", "2026-1-5", "20261125", "2026-W48-3", "2026-11-25T10:00", "soon"])
def test_date_in_another_form_is_told_once(written: str) -> None:
    """ISO 8601 has other forms, too; the sheet takes the extended calendar date alone."""
    sheet = typed(f"{HEAD}date: {written}\n")
    assert [(fault.id, tuple(fault.span)[:2]) for fault in sheet.faults] == [("value-wrong", (3, 7))]
    assert isinstance(find(sheet.record, ("date",)), Unusable)


@pytest.mark.parametrize("limit", ["20 mm", "1.5 m", "1500 mm", "2 cm", "0.7874015748031497 in"])
def test_bounds_of_what_is_plausible_are_plausible_themselves(limit: str) -> None:
    assert typed(HEAD + f"web: {{width: {limit}}}\n").faults == ()


WRONG_SORT = [
    ("web: 5", ("web",)),
    ("web: {width: [330 mm]}", ("web", "width")),
    ("web: {width: true}", ("web", "width")),
    ("web: {width: .nan}", ("web", "width")),
    ("path: {unwind: {}}", ("path",)),
    ("layout: {lanes: five}", ("layout", "lanes")),
    ("layout: {lanes: 5.5}", ("layout", "lanes")),
    ("first_film_job: maybe", ("first_film_job",)),
    ("stage: printed", ("stage",)),
    ("wbe: {}", ("wbe",)),
]


@pytest.mark.parametrize(("line", "path"), WRONG_SORT)
def test_field_of_the_wrong_sort_is_told_once_and_left_out(line: str, path: tuple[str, ...]) -> None:
    stage = "" if line.startswith("stage") else "stage: planned\n"
    sheet = typed("job: A\n" + stage + line + "\n")
    assert len(sheet.faults) == 1
    assert find(sheet.record, path) is None


def test_lists_keep_what_can_be_read() -> None:
    sheet = typed(HEAD + "path:\n  - unwind: {tension: 46 N}\n  - 5\n  - rewind: {}\n")
    path = find(sheet.record, ("path",))
    assert isinstance(path, Listing)
    assert [list(item.fields) for item in path.items if isinstance(item, Record)] == [["unwind"], ["rewind"]]
    assert [fault.span[:2] for fault in sheet.faults] == [(5, 5)]


@pytest.mark.parametrize("text", ["", "- a\n", "5\n", "a: [\n"])
def test_what_is_no_sheet_gives_an_empty_record(text: str) -> None:
    sheet = typed(text)
    assert sheet.record.fields == {}
    assert len(sheet.faults) == 1


@pytest.mark.parametrize("k2", [".nan", ".inf", "-.inf", "true", "sixty"])
def test_plain_number_without_an_end_is_left_out(k2: str) -> None:
    sheet = typed(f"film: {{stack: {{k2: {k2}}}}}\n", "stocks")
    assert ("value-wrong", (1, 20)) in [(fault.id, tuple(fault.span)[:2]) for fault in sheet.faults]
    assert find(sheet.record, ("film", "stack", "k2")) is None


def test_plain_number() -> None:
    assert datum(typed("film: {stack: {k2: 60.5}}\n", "stocks"), "film", "stack", "k2").content == 60.5


SAME_TEXT = [
    (["layout: {lanes: 4}", 'layout: {lanes: "4"}', "layout: {lanes: 4}"], ("layout", "lanes"), [4, None, 4]),
    (
        ["layout: {lanes: !!float 1}", "layout: {lanes: 1}", "layout: {lanes: 1.0}"],
        ("layout", "lanes"),
        [None, 1, None],
    ),
    (["first_film_job: true", 'first_film_job: "true"', "first_film_job: 1"], ("first_film_job",), [True, None, None]),
    (["press: 12", 'press: "12"', "press: null", "press: 12"], ("press",), ["12", "12", None, "12"]),
    (["date: 2026-11-25", "web: {speed: 2026-11-25}"], ("date",), [date(2026, 11, 25), None]),
]


@pytest.mark.parametrize(("lines", "path", "contents"), SAME_TEXT)
def test_what_a_text_meant_in_one_sheet_is_not_taken_for_another_sort(
    lines: list[str], path: tuple[str, ...], contents: list[object]
) -> None:
    """A text that was read is remembered; the sheet before must not colour the next."""
    found = [find(typed(f"{HEAD}{line}\n").record, path) for line in lines]
    assert [field.content if isinstance(field, Datum) else None for field in found] == contents
    assert [type(field.content) for field in found if isinstance(field, Datum)] == [
        type(content) for content in contents if content is not None
    ]


def test_same_texts_stand_at_their_own_places() -> None:
    lines = "web: {width: 330 mm}", "\n# note\nweb:\n    width: 330 mm"
    first, second = (datum(typed(HEAD + line), "web", "width") for line in lines)
    assert (first.place.span, second.place.span) == ((3, 14, 3, 20), (6, 12, 6, 18))
    assert (first.key_place.span, second.key_place.span) == ((3, 7, 3, 12), (6, 5, 6, 10))


def test_more_texts_than_are_remembered_are_read_alike() -> None:
    for _ in range(2):
        for width in range(100, 1400):
            content = datum(typed(f"{HEAD}web: {{width: {width} mm}}\n"), "web", "width").content
            assert isinstance(content, Quantity)
            assert content.low == pytest.approx(width / 1000)
