"""Generic materials: taken over where a stock says so, carried as ranges, named in findings."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from filmcheck.cli.main import filmcheck
from filmcheck.plant.generic import GENERIC, _parts, generic_entries
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


@pytest.mark.parametrize("register", GENERIC)
def test_the_shipped_entries_are_in_the_shape_of_their_register_and_say_their_basis(register: str) -> None:
    text = (shipped_folder("rules") / "materials" / f"{register}.yaml").read_text()
    assert type_text(text, f"{register}.yaml", register).faults == ()
    for name, entry in generic_entries(register).items():
        assert isinstance(entry.fields["basis"], Datum), name
        contents = [
            field.content
            for _, part in _parts(entry)
            for key, field in part.fields.items()
            if isinstance(field, Datum) and key != "basis"
        ]
        assert contents, name
        assert [c for c in contents if isinstance(c, Quantity) and not c.low < c.high] == [], name


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
        ("generic rubber", "adhesive", "viscosity", 1e3 / 0.01),  # Chang, J. Adhesion 34 (1991) 189: G of 1 kPa
        ("generic rubber", "adhesive", "viscosity", 1e6 / 0.01),  # to 1 MPa, at 0.01 rad/s the lowest
        ("generic film on film", "stack", "friction", 0.2),  # the ends of medium slip, ASTM D1894
        ("generic film on film", "stack", "friction", 0.5),
        ("generic paper on paper", "stack", "roughness", 2**0.5 * 1.7e-6),  # the same, printing paper, two sides
    ],
)
def test_published_values_lie_within_the_ranges(material: str, part: str, field: str, published: float) -> None:
    entry = generic_entries("stocks")[material]
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
    assert (stack.fields["k2"].file, "like" in stack.fields) == (GENERIC["stocks"], False)


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
    named = {each.text for each in finding.related if each.place.file == GENERIC["stocks"]}
    assert {"stack.k1: 5 to 40 kPa", "stack.k2: 40 to 120"} <= named
    assert any("stack.k1 is generic, not of this plant" in line for line in finding.arithmetic)

    done = CliRunner().invoke(filmcheck, ["figures", str(plant / SHEET), "--wanting"])
    assert done.exit_code == 0
    assert "stack.k1: 5 to 40 kPa (filmcheck/rules/materials/stocks.yaml:" in done.output


@pytest.mark.parametrize(("own", "told"), [("", False), ("yield: 15 to 45 MPa", True)])
def test_generic_ranges_are_never_held_against_each_other(plant: Path, own: str, told: bool) -> None:
    """Paper yields at 15 to 45 MPa and breaks at 23 to 80 MPa: the ranges overlap, and no plant can mend them."""
    put(plant, "stocks", "modulus: 5.5 GPa, density: 1.0 g/cm^3, specific_heat: 1400 J/(kg K), yield: 40 MPa", own)
    put(plant, "stocks", "face: {material: paper,", "face: {like: generic paper, material: paper,")
    found = lint([plant / "jobs/sound/qm-3104-running-oat-biscuits.yaml"]).findings
    assert ("face-unlike-material" in {f.rule for f in found}) is told


SHARES = "absorbed: 6 %, cold_side_takes: 40 %"


def with_generic_lamps(plant: Path) -> None:
    register = plant / "registers" / "presses.yaml"
    register.write_text(register.read_text().replace(SHARES, "like: generic mercury lamp with cold mirror"))


def test_a_press_without_laboratory_numbers_gets_verdicts(plant: Path) -> None:
    """0.8 × 20 % of 58 % of 140 W/cm warm a web of 153 J/(m² K) at 50 m/min by 10 K a lamp: far from 70 °C."""
    with_generic_lamps(plant)
    assert [f.rule for f in lint([plant / SHEET]).findings if f.kind in ("open", "review", "fail")] == []


def test_a_wide_share_gives_a_borderline_verdict_that_names_the_generic_lamp(plant: Path) -> None:
    """At 6 m/min the same lamps warm it by 85 K, or with 4 %, of which the mirror keeps 60 % off, by 8 K."""
    with_generic_lamps(plant)
    put(plant, "set-ups", "speed: 50 m/min, register", "speed: 6 m/min, register")
    finding = next(f for f in lint([plant / SHEET]).findings if f.rule == "web-too-hot")
    assert finding.kind == "review"
    assert any(each.text.endswith(": absorbed: 4 to 20 %") for each in finding.related)
    assert any(": absorbed is generic, not of this plant" in line for line in finding.arithmetic)


def test_what_the_press_writes_itself_counts_first(plant: Path) -> None:
    put(plant, "presses", SHARES, "like: generic mercury lamp, absorbed: 6 %")
    press = load_plant(plant / "plant.yaml").entries("presses")["alder"]
    stations = find(press if isinstance(press, Record) else None, ("stations",))
    lamp = next(each for each in stations.items if "uv lamp" in each.fields).fields["uv lamp"]  # type: ignore[union-attr]
    assert (lamp.fields["absorbed"].text, "like" in lamp.fields) == ("6 %", False)


@pytest.mark.slow
def test_wanting_ranks_what_is_missing(plant: Path) -> None:
    put(plant, "stocks", MEASURED, "{k1: 20 kPa, k2: 60, roughness: 1.2 µm}")
    lines = CliRunner().invoke(filmcheck, ["figures", str(plant / SHEET), "--wanting"]).output.splitlines()
    first = next(line for line in lines if "missing" in line)
    assert first.split(maxsplit=2)[2].startswith("stack.friction: missing")
    put(plant, "stocks", "k2: 60, roughness", "k2: 60, friction: 25 %, roughness")
    done = CliRunner().invoke(filmcheck, ["figures", str(plant / SHEET), "--wanting"])
    assert done.output.endswith("What is open still waits for a fault or rests on the model.\n")


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        (MEASURED, "{like: generic film on films}", "generic film on films is no generic entry for the stack."),
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
