"""Generic materials: taken over where a stock says so, carried as ranges, named in findings."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from filmcheck.cli.main import filmcheck
from filmcheck.plant.generic import GENERIC_FILE, PARTS, generic_materials
from filmcheck.plant.plant import load_plant, type_text
from filmcheck.plant.record import Datum, Record, find
from filmcheck.reading.shipped import shipped_folder
from filmcheck.records.finding import Finding
from filmcheck.run import lint
from filmcheck.units.quantity import Quantity

EXAMPLES = Path(__file__).parents[2] / "examples"
SHEET = "jobs/sound/qm-3101-planned-ginger-cordial.yaml"
MEASURED = (
    "{k1: 20 kPa, k2: 60, friction: 25 %, roughness: 1.2 µm, "
    'basis: "measured (invented): stack test of 2026-02-11, mean of three"}'
)


@pytest.fixture
def plant(tmp_path: Path) -> Path:
    shutil.copytree(EXAMPLES, tmp_path / "plant")
    return tmp_path / "plant"


def put(plant: Path, register: str, old: str, new: str) -> None:
    file = plant / "registers" / f"{register}.yaml"
    text = file.read_text()
    assert old in text
    file.write_text(text.replace(old, new, 1))


def test_the_shipped_materials_are_in_the_shape_of_stocks_and_say_their_basis() -> None:
    text = (shipped_folder("rules") / "materials" / "generic.yaml").read_text()
    assert type_text(text, "generic.yaml", "stocks").faults == ()
    for name, entry in generic_materials().items():
        assert isinstance(entry, Record)
        assert isinstance(entry.fields["basis"], Datum), name
        parts = [part for part in PARTS if part in entry.fields]
        for part in parts:
            fields = {key: field for key, field in entry.fields[part].fields.items() if key != "basis"}  # type: ignore[union-attr]
            contents = [field.content for field in fields.values() if isinstance(field, Datum)]
            assert [c for c in contents if not (isinstance(c, Quantity) and c.low < c.high)] == [], (name, part)


@pytest.mark.parametrize(
    ("material", "part", "field", "published"),
    [  # source beside each
        ("generic pet film", "liner", "modulus", 4.5e9),  # m-petfilm.de, comparative data, ISO 527: 4500 N/mm²
        ("generic pet film", "liner", "modulus", 490 * 9.80665e6),  # bulletin H-37232: 490 kg/mm² along the web
        ("generic pet film", "liner", "specific_heat", 0.28 * 4184),  # the same: 0.28 cal/(g K)
        ("generic pet film", "liner", "expansion", 17e-6),  # the same
        ("generic pp film", "face", "modulus", 2.5e9),  # m-petfilm.de, comparative data, ISO 527: 2500 N/mm²
        ("generic pp film", "face", "modulus", 350e3 * 6894.757),  # copolinternational.com: 350 kpsi
        # Springer Handbook of Materials Data, table 3.3-6: 1.68 kJ/(kg K) at 20 °C, 1.92 at 50 °C
        ("generic pp film", "face", "specific_heat", 1680),
        ("generic pp film", "face", "specific_heat", 1920),
        ("generic pe film", "face", "modulus", 0.3e9),  # makeitfrom.com: 0.3 GPa
        ("generic paper", "face", "modulus", 3.78e9),  # doi 10.1038/srep06275, table 2, newsprint
        ("generic paper on paper", "stack", "roughness", 2**0.5 * 1.7e-6),  # the same, printing paper, two sides
    ],
)
def test_published_values_lie_within_the_ranges(material: str, part: str, field: str, published: float) -> None:
    entry = generic_materials()[material]
    found = find(entry if isinstance(entry, Record) else None, (part, field))
    assert isinstance(found, Datum)
    assert isinstance(found.content, Quantity)
    assert found.content.low <= published <= found.content.high


def test_what_the_stock_writes_itself_counts_first(plant: Path) -> None:
    put(plant, "stocks", MEASURED, "{like: generic film on film, friction: 25 %}")
    stock = load_plant(plant / "plant.yaml").entries("stocks")["pp50-clear-film23"]
    stack = find(stock if isinstance(stock, Record) else None, ("stack",))
    assert isinstance(stack, Record)
    assert stack.fields["friction"].file.endswith("stocks.yaml")
    assert (stack.fields["k2"].file, "like" in stack.fields) == (GENERIC_FILE, False)


def test_nothing_is_taken_over_unasked(plant: Path) -> None:
    put(plant, "stocks", f"  stack: {MEASURED}\n", "")
    (lacking,) = {text.split(" ")[0] for f in lint([plant / SHEET]).findings for text in f.missing} & {"stack.k1"}
    assert lacking == "stack.k1"


def borderline(plant: Path) -> Finding:
    return next(f for f in lint([plant / SHEET]).findings if f.rule == "roll-too-soft")


def test_a_range_gives_a_borderline_verdict_that_names_the_generic_material(plant: Path) -> None:
    """10 kPa half way to the outside is the limit; K1 and K2 of the range give 4.6 to 24 kPa at 0.25 lbf/in."""
    put(plant, "stocks", MEASURED, "{like: generic film on film}")
    put(plant, "set-ups", "start_tension: 0.8 lbf/in", "start_tension: 0.25 lbf/in")
    finding = borderline(plant)
    assert finding.kind == "review"
    named = {each.text for each in finding.related if each.place.file == GENERIC_FILE}
    assert {"stack.k1: 5 to 40 kPa", "stack.k2: 40 to 120"} <= named
    assert any("stack.k1 is generic, not of this stock" in line for line in finding.arithmetic)

    done = CliRunner().invoke(filmcheck, ["figures", str(plant / SHEET), "--wanting"])
    assert done.exit_code == 0
    assert "stack.k1: 5 to 40 kPa (filmcheck/rules/materials/generic.yaml:" in done.output


def test_wanting_ranks_what_is_missing(plant: Path) -> None:
    put(plant, "stocks", MEASURED, "{k1: 20 kPa, k2: 60, roughness: 1.2 µm}")
    lines = CliRunner().invoke(filmcheck, ["figures", str(plant / SHEET), "--wanting"]).output.splitlines()
    first = next(line for line in lines if "missing" in line)
    assert first.split(maxsplit=2)[2].startswith("stack.friction: missing")
    put(plant, "stocks", "k2: 60, roughness", "k2: 60, friction: 25 %, roughness")
    done = CliRunner().invoke(filmcheck, ["figures", str(plant / SHEET), "--wanting"])
    assert done.output.endswith("every check that applies comes to a verdict.\n")


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        (MEASURED, "{like: generic film on films}", "generic film on films is no generic material for the stack."),
        (
            "{material: pp, caliper: 50 µm",
            "{like: generic glassine, material: pp, caliper: 50 µm",
            "generic glassine is",
        ),
    ],
)
def test_an_unknown_material_is_told_where_it_stands(plant: Path, old: str, new: str, says: str) -> None:
    put(plant, "stocks", old, new)
    (finding,) = [f for f in lint([plant / SHEET]).findings if f.rule == "name-unknown"]
    assert finding.says.startswith(says)
    assert finding.place.file.endswith("stocks.yaml")
    assert "generic" in finding.instead


@pytest.mark.parametrize(("text", "ends"), [("60", (60, 60)), ("40 to 120", (40.0, 120.0)), ("'soft'", None)])
def test_a_plain_number_may_be_a_range(text: str, ends: tuple[float, float] | None) -> None:
    sheet = type_text(f"a: {{stack: {{k2: {text}}}}}\n", "stocks.yaml", "stocks")
    found = find(sheet.record, ("a", "stack", "k2"))
    content = found.content if isinstance(found, Datum) else None
    assert (content[:2] if isinstance(content, Quantity) else content and (content, content)) == ends
    assert bool(sheet.faults) == (ends is None)
