"""``filmcheck take``: sheets from a table of jobs, row by row, and what people wrote on them stays."""

from __future__ import annotations

import shutil
from datetime import date
from pathlib import Path
from zipfile import ZIP_DEFLATED, ZipFile

import pytest
from click.testing import CliRunner, Result

from filmcheck.cli.main import filmcheck
from filmcheck.plant.sheet_merge import MergeError, merged
from filmcheck.reading.table_file import read_table
from filmcheck.records.errors import UseError
from filmcheck.run import lint

EXAMPLES = Path(__file__).parents[2] / "examples"
HEADER = "Order;Article;Customer;Made as;Due;Length;Label along;Label across;Gap along;Gap across;Lanes;Die;Remark"
GOOD = "QM-{};Plum cordial {};Mossgill;clear-film-on-alder;3.12.2026;3.600,5;98,4;60;3,2;3;5;d-0412;by van"

# A bad row by its number from 0: the cells to change, and the cell and reason that must be told.
BAD: dict[int, tuple[dict[int, str], str]] = {
    20: ({1: "=HYPERLINK(\"a\")"}, "B22: row 22, Article: the cell holds a formula"),
    40: ({1: "x" * 1_000_000}, "B42: row 42, Article: the cell holds 1000000 letters"),
    60: ({1: '"two\nlines"'}, "B62: row 62, Article: the cell holds a line break or a control character"),
    80: ({2: "Mossgil"}, "C83: row 83, Customer: 'Mossgil' is not among the words of the mapping. Nearest word"),
    100: ({3: "clear-film"}, "D103: row 103, job QM-100: set-up clear-film is not in the register of set-ups"),
    120: ({4: "31.02.2026"}, "E123: row 123, Due: '31.02.2026' is no date written as DD.MM.YYYY"),
    140: ({5: "long"}, "F143: row 143, job QM-140: 'long' is not a number with a unit"),
    160: ({0: "../../plant"}, "A163: row 163, job ../../plant: a job number is letters, digits, dashes and points"),
    180: ({0: "QM-001"}, "A183: row 183, job QM-001: the job number stands in the table twice; the first is taken"),
    190: ({0: ""}, "A193: row 193: there is no job number"),
    200: ({10: "five"}, "K203: row 203, Lanes: 'five' is not a number"),
}  # fmt: skip


def rows(length: str = "3.600,5") -> list[list[str]]:
    made = [GOOD.format(f"{number:03}", number).replace("3.600,5", length).split(";") for number in range(300)]
    for number, (cells, _) in BAD.items():
        for column, text in cells.items():
            made[number][column] = text
    return made


def table(made: list[list[str]]) -> str:
    quoted = [[cell.replace('"a"', '""a""') for cell in row] for row in made]
    return "\n".join([HEADER, *(";".join(f'"{c}"' if "HYPER" in c else c for c in row) for row in quoted)]) + "\n"


@pytest.fixture(scope="module")
def plant(tmp_path_factory: pytest.TempPathFactory) -> Path:
    root = tmp_path_factory.mktemp("take") / "plant"
    shutil.copytree(EXAMPLES, root, ignore=shutil.ignore_patterns("jobs", "house-rules"))
    (root / "jobs").mkdir()
    settings = root / "plant.yaml"
    settings.write_text(settings.read_text().replace("rules: [house-rules]", "rules: []"))
    return root


def take(plant: Path, text: str, name: str = "book.csv") -> Result:
    (plant / name).write_text(text)
    return CliRunner().invoke(filmcheck, ["take", str(plant / name), "--with", str(plant / "mappings/order-book.yaml")])


@pytest.mark.slow
def test_a_table_of_300_rows_with_eleven_bad_ones_taken_twice(plant: Path) -> None:
    first = take(plant, table(rows()))
    told = first.output.splitlines()
    assert (first.exit_code, told[-1]) == (1, "book.csv: 289 new, 0 changed, 0 unchanged, 11 not taken")
    for line, (_, expected) in zip(told, BAD.values(), strict=False):
        assert line.startswith(expected)
    sheets = sorted((plant / "jobs").glob("*"))
    assert len(sheets) == 289
    assert not [path for path in plant.rglob("*") if path.name.startswith(".filmcheck")]
    assert [f.rule for f in lint([sheets[7]]).findings if f.counts and f.level == "error"] == []

    mine = (
        sheets[7].read_text().replace("web: {length: 3600.5 m}", "web: {length: 3600.5 m, speed: 45 m/min}   # slower")
    )
    mine += "# watch the left edge\n"
    sheets[7].write_text(mine)
    before = {path: path.read_bytes() for path in sheets}
    again = take(plant, table(rows()[:12]))
    assert again.output == "book.csv: 0 new, 0 changed, 12 unchanged, 0 not taken\n"
    assert {path: path.read_bytes() for path in sheets} == before

    changed = take(plant, table(rows("4000")[7:8]))
    assert changed.output.endswith(
        "qm-007.yaml: web.length: 4000 m\nbook.csv: 0 new, 1 changed, 0 unchanged, 0 not taken\n"
    )
    assert sheets[7].read_text() == mine.replace("3600.5 m", "4000 m")

    sheets[7].write_text(mine.replace("3600.5 m", "4100 m"))
    clash = take(plant, table(rows("4200")[7:8]))
    assert clash.exit_code == 1
    assert "F2: row 2, job QM-007: web.length: 4200 m in the table, 4000 m before, but 4100 m by hand" in clash.output
    assert "4100 m" in sheets[7].read_text()


def test_a_workbook_gives_what_the_csv_gives(plant: Path) -> None:
    openpyxl = pytest.importorskip("openpyxl")
    book = openpyxl.Workbook()
    book.active.append(HEADER.split(";"))
    day = date(2026, 12, 3)
    book.active.append(
        ["QM-801", "Plum", "Mossgill", "clear-film-on-alder", day, 3600.5, 98.4, 60, 3.2, 3, 5, "d-0412"]
    )
    book.active.append(
        ["QM-802", "=1+1", "Mossgill", "clear-film-on-alder", day, 3600.5, 98.4, 60, 3.2, 3, 5, "d-0412"]
    )
    book.save(plant / "book.xlsx")
    mapping = str(plant / "mappings/order-book.yaml")
    done = CliRunner().invoke(filmcheck, ["take", str(plant / "book.xlsx"), "--with", mapping])
    assert done.output == "book.xlsx: 2 new, 0 changed, 0 unchanged, 0 not taken\n"
    assert (
        "title" not in (plant / "jobs/qm-802.yaml").read_text()
    )  # a formula that was never worked out is an empty cell
    twin = take(plant, f"{HEADER}\n{GOOD.format(803, 'x').replace('Plum cordial x', 'Plum')}\n")
    assert twin.exit_code == 0
    one, other = ((plant / f"jobs/qm-{number}.yaml").read_text() for number in (801, 803))
    assert one.replace("801", "803") == other


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("field: job}", "field: jobs}", "The job sheet has no field jobs that holds one value."),
        ("field: web.length", "field: web", "The job sheet has no field web that holds one value."),
        ("unit: m}", "unit: kg}", "1 kg is a mass, not a length."),
        ("  Order: {field: job}\n", "", "No column is the job number."),
        ("Order:", "Ordr:", "has no column Ordr (nearest: Order)"),
        ("delimiter: ';'", "into: ../..", "the mapping names no folder of the plant for the sheets"),
    ],
)
def test_a_mapping_that_cannot_hold_is_told(plant: Path, old: str, new: str, says: str) -> None:
    mapping = plant / "mappings" / "other.yaml"
    text = (EXAMPLES / "mappings/order-book.yaml").read_text().replace('delimiter: ";"', "delimiter: ';'")
    assert old in text
    mapping.write_text(text.replace(old, new))
    (plant / "small.csv").write_text(f"{HEADER}\n{GOOD.format(900, '')}\n")
    done = CliRunner().invoke(filmcheck, ["take", str(plant / "small.csv"), "--with", str(mapping)])
    assert isinstance(done.exception, UseError)
    assert says in str(done.exception)
    assert not (plant / "jobs/qm-900.yaml").exists()


MESSY = """\
Orders of week 50;;;;;;;;;;;;
;;;;;;Label;;Gap;;;;
{header}
QM-811;Rosmarin-Öl – vorne;mossgill ;clear-film-on-alder;03.12.2026;4.200;98,4 mm;60;3,2;3;5;d-0412;
;;;;;;;;;;;;
QM-812;Salz;Mossgill;clear-film-on-alder;46359;3600;98,4;60;3,2;3;5;d-0412;
Sum;;;;;7.800;;;;;;;
"""


@pytest.mark.parametrize(
    ("before", "encoding", "row"),
    [("", "utf-8-sig", 6), ("", "windows-1252", 6), ("sep=;\n", "utf-8", 7)],
    ids=["byte order mark", "letters of one byte", "a line for an office program"],
)
def test_a_table_with_titles_sums_blank_rows_and_counted_days(
    plant: Path, before: str, encoding: str, row: int
) -> None:
    """An office program counts days from 1899-12-30 (ECMA-376, 18.17.4.1): 46359 is 2026-12-03."""
    mapping = plant / "mappings" / "messy.yaml"
    text = (EXAMPLES / "mappings/order-book.yaml").read_text()
    mapping.write_text(text + (f"encoding: {encoding}\n" if encoding == "windows-1252" else ""))
    (plant / "messy.csv").write_text(before + MESSY.format(header=HEADER), encoding=encoding)
    done = CliRunner().invoke(filmcheck, ["take", str(plant / "messy.csv"), "--with", str(mapping)])
    told = done.output.splitlines()
    meant = "if it counts days, it is 2026-12-03: make the column one of dates"
    assert told[0] == f"E{row}: row {row}, Due: '46359' is no date written as DD.MM.YYYY; {meant}"
    assert told[1] == f"A{row + 1}: row {row + 1}, job Sum: 2 of 12 cells are filled, so it is taken for no job"
    sheet = (plant / "jobs/qm-811.yaml").read_text()
    assert "title: 'Rosmarin-Öl – vorne'\n" in sheet
    assert "web: {length: 4200 m}\n" in sheet
    assert "date: 2026-12-03\n" in sheet


def test_letters_of_another_encoding_are_told_with_the_way_out(plant: Path) -> None:
    (plant / "latin.csv").write_bytes(f"{HEADER}\nQM-820;Crème".encode("windows-1252"))
    done = CliRunner().invoke(
        filmcheck, ["take", str(plant / "latin.csv"), "--with", str(plant / "mappings" / "order-book.yaml")]
    )
    assert "Or write `encoding: windows-1252` into the mapping." in str(done.exception)


@pytest.mark.parametrize(("part", "size"), [("xl/styles.xml", 500_000), ("xl/worksheets/sheet1.xml", 21_000_000)])
def test_a_workbook_that_is_small_only_while_packed(tmp_path: Path, part: str, size: int) -> None:
    with ZipFile(tmp_path / "book.xlsx", "w", ZIP_DEFLATED) as packed:
        packed.writestr(part, " " * size)
    with pytest.raises(UseError, match="more than 20 MB unpacked, or 400 kB of styles"):
        read_table(tmp_path / "book.xlsx")


@pytest.mark.parametrize("content", [b"", b"PK\x03\x04 no zip", b"\xff\xfe\0\0"])
@pytest.mark.parametrize("name", ["odd.csv", "odd.xlsx"])
def test_a_file_that_is_no_table_is_refused_in_words(plant: Path, name: str, content: bytes) -> None:
    (plant / name).write_bytes(content)
    mapping = str(plant / "mappings/order-book.yaml")
    done = CliRunner().invoke(filmcheck, ["take", str(plant / name), "--with", mapping])
    assert isinstance(done.exception, UseError)


@pytest.mark.parametrize(
    ("sheet", "steps", "before", "now", "expected"),
    [
        ("web: {length: 1 km}\n", "web.length", "900 m", "1000 m", "web: {length: 1 km}\n"),
        ("web: {length: 0.9 km}\n", "web.length", "900 m", "1000 m", "web: {length: 1000 m}\n"),
        ("web:\n  length: 9 m # all\n", "web.speed", None, "4 m/s", "web:\n  length: 9 m # all\n  speed: 4 m/s\n"),
        ("web: {length: 900 m}", "title", None, "Plum", "web: {length: 900 m}\ntitle: Plum\n"),
        ("job: A\r\n", "web.length", None, "9 m", "job: A\r\nweb: {length: 9 m}\r\n"),
        ("title: 'Plum'\n", "title", "Plum", "'Plum: late'", "title: 'Plum: late'\n"),
        ("job: A\n", "title", "Plum", "Pear", None),
        ("title: Mine\n", "title", "Plum", "Pear", None),
        ("title: Mine\n", "title", None, "Pear", None),
        ("title: &t Plum\nset_up: *t\n", "title", "Plum", "Pear", None),
        ("title: Plum\n", "title", "Plum", None, None),
    ],
)  # fmt: skip
def test_one_field_is_brought_up_to_date(
    sheet: str, steps: str, before: str | None, now: str | None, expected: str | None
) -> None:
    """None where a person must settle it."""
    try:
        assert merged(sheet, tuple(steps.split(".")), before, now) == expected
    except MergeError:
        assert expected is None
