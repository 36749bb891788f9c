"""The store of typed settings and registers: it gives what reading them gives, and never answers for what changed."""

from __future__ import annotations

import os
import random
from collections.abc import Iterator
from pathlib import Path

import pytest

import filmcheck.plant.generic as generic_module
import filmcheck.running.cache_folder
import filmcheck.running.plant_store as store_module
from filmcheck.plant.entries import all_entries, placed_mark
from filmcheck.plant.generic import generic_entries
from filmcheck.plant.plant import Plant, load_plant
from filmcheck.plant.record import Datum, Field, Listing, Record
from filmcheck.running.cache_folder import code_mark
from filmcheck.running.plant_store import stored_plant

DEMO = Path(__file__).parents[2] / "examples"
REGISTERS = ("presses", "stocks", "tooling", "finishing", "customers", "set-ups")


class Stored:
    """The plant in the working folder, as the store gives it, and the files that were typed for it."""

    def __init__(self) -> None:
        self.typed: list[str] = []

    def give(self) -> object:
        self.typed.clear()
        return written(stored_plant(Path("plant.yaml").absolute()))


def written(plant: Plant) -> object:
    """Write out all that a plant holds, places and trees too."""
    registers = [(name, placed(record)) for name, record in plant.registers.items()]
    files = [(name, sheet.text, sheet.faults, repr(sheet.tree)) for name, sheet in plant.files.items()]
    trees = [sheet.tree.plain() for sheet in plant.files.values() if sheet.tree is not None]
    marks = [placed_mark(plant, entry[:3]) for entry in (*all_entries(plant), ("stocks", "", "no such stock", None))]
    what = (plant.root, placed(plant.settings), registers, files, trees, marks)
    return (*what, plant.faults, plant.own_files, plant.fence)


def placed(field: Field) -> object:
    here = (field.place, field.key_place)
    if isinstance(field, Record):
        keys = {name: field.key_written(name) for name in field.fields}
        return here, keys, {name: placed(inner) for name, inner in field.fields.items()}
    if isinstance(field, Listing):
        return here, list(map(placed, field.items))
    return here, (field.content, field.text) if isinstance(field, Datum) else (field.says, field.pressure)


def fresh() -> object:
    return written(load_plant(Path("plant.yaml").absolute()))


@pytest.fixture
def demo(tmp_path: Path, cache: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Give a copy of the settings and registers of the demo plant, some of them wrong."""
    folder = tmp_path / "demo"
    (folder / "jobs").mkdir(parents=True)
    for path in (DEMO / "plant.yaml", *(DEMO / "registers").glob("*.yaml")):
        target = folder / path.relative_to(DEMO)
        target.parent.mkdir(exist_ok=True)
        target.write_text(path.read_text("utf-8"), "utf-8")
    (folder / "registers/finishing.yaml").write_text("wrong: [ # here\n", "utf-8")
    with (folder / "registers/stocks.yaml").open("a", encoding="utf-8") as stocks:
        stocks.write("zz-odd: {liner: {like: no such film}, face: {like: generic pp film, caliper: 50}}\n")
    monkeypatch.chdir(folder)
    return folder


@pytest.fixture
def stored(demo: Path, monkeypatch: pytest.MonkeyPatch) -> Stored:
    made, real = Stored(), store_module.type_plant_file

    def counted(text: str, file: str, schema: str) -> object:
        made.typed.append(schema)
        return real(text, file, schema)

    monkeypatch.setattr(store_module, "type_plant_file", counted)
    return made


@pytest.fixture
def _other_code() -> Iterator[None]:
    code_mark.cache_clear()
    generic_entries.cache_clear()
    yield
    code_mark.cache_clear()
    generic_entries.cache_clear()


def test_it_gives_what_reading_gives(stored: Stored) -> None:
    assert stored.give() == fresh()
    assert len(stored.typed) == 7
    assert stored.give() == fresh()
    assert stored.typed == []
    assert len(stored_plant(Path("plant.yaml").absolute()).placed_marks) > 20, "marks are worked out on every start"


@pytest.mark.sample(3)
@pytest.mark.parametrize("name", ["plant", *(f"registers/{name}" for name in REGISTERS)])
def test_a_changed_file_is_typed_anew_and_no_other(stored: Stored, demo: Path, name: str) -> None:
    """Of the same size and time, so that only its content tells."""
    first = stored.give()
    path = demo / f"{name}.yaml"
    before, status = path.read_text("utf-8"), path.stat()
    at = before.rindex("e")
    path.write_text(f"{before[:at]}o{before[at + 1 :]}", "utf-8")
    os.utime(path, ns=(status.st_atime_ns, status.st_mtime_ns))
    assert stored.give() == fresh() != first
    assert len(stored.typed) == 1
    path.write_text(before, "utf-8")
    assert stored.give() == first


def test_a_register_that_is_gone_or_lies_elsewhere(stored: Stored, demo: Path, tmp_path: Path) -> None:
    first = stored.give()
    stocks = demo / "registers/stocks.yaml"
    stocks.rename(tmp_path / "stocks.yaml")
    assert stored.give() == fresh() != first
    stocks.symlink_to(tmp_path / "stocks.yaml")
    assert stored.give() == fresh() != first, "what lies outside of the plant was taken from the store"


@pytest.mark.parametrize("others", [("customers", "tooling"), ("tooling", "buyers")])
def test_the_same_texts_as_other_registers_or_files(stored: Stored, demo: Path, others: tuple[str, str]) -> None:
    stored.give()
    settings = (demo / "plant.yaml").read_text("utf-8")
    for name, other in zip(("tooling", "customers"), others, strict=True):
        assert f"{name}: registers/{name}.yaml" in settings
        settings = settings.replace(f"{name}: registers/{name}.yaml", f"{name}: registers/{other}.yaml")
    (demo / "plant.yaml").write_text(settings, "utf-8")
    if others[1] == "buyers":
        (demo / "registers/customers.yaml").rename(demo / "registers/buyers.yaml")
    assert stored.give() == fresh()


def test_seen_from_another_folder_its_files_have_other_names(
    stored: Stored, demo: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    stored.give()
    monkeypatch.chdir(demo / "jobs")
    settings = demo / "plant.yaml"
    assert written(stored_plant(settings)) == written(load_plant(settings))


@pytest.mark.usefixtures("_other_code")
def test_other_generic_entries_are_taken_over(stored: Stored, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    first = stored.give()
    real = generic_module.generic_file("stocks")
    assert real is not None
    (tmp_path / "stocks.yaml").write_text("# one line more\n" + real.read_text("utf-8"), "utf-8")
    changed = {"stocks": tmp_path / "stocks.yaml"}
    for module in (generic_module, store_module):
        monkeypatch.setattr(module, "generic_file", changed.get)
    generic_entries.cache_clear()
    assert stored.give() == fresh() != first


@pytest.mark.usefixtures("_other_code")
def test_another_version_types_all_anew(stored: Stored, monkeypatch: pytest.MonkeyPatch) -> None:
    stored.give()
    monkeypatch.setattr(filmcheck.running.cache_folder, "VERSION", "0.0.0")
    code_mark.cache_clear()
    stored.give()
    assert len(stored.typed) == 7


@pytest.mark.usefixtures("_other_code")
def test_another_schema_types_all_anew(stored: Stored, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    stored.give()
    (tmp_path / "stocks.schema.json").write_text("{}", "utf-8")
    monkeypatch.setattr(filmcheck.running.cache_folder, "shipped_folder", lambda _: tmp_path)
    code_mark.cache_clear()
    stored.give()
    assert len(stored.typed) == 7


@pytest.mark.sample(3)
@pytest.mark.parametrize("seed", range(10))
def test_flipped_bytes(stored: Stored, cache: Path, seed: int) -> None:
    first = stored.give()
    (kept,) = cache.glob("plant-*")
    rng = random.Random(seed)  # noqa: S311  a seed, so that a failure comes again
    data = bytearray(kept.read_bytes())
    data[rng.randrange(len(data))] ^= rng.randrange(1, 256)
    kept.write_bytes(data)
    assert stored.give() == first
    assert len(stored.typed) == 7
    assert stored.give() == first
    assert stored.typed == [], "the damaged form was not replaced"


def test_what_is_sealed_for_another_plant_is_not_taken(stored: Stored, cache: Path, demo: Path) -> None:
    stored.give()
    (kept,) = cache.glob("plant-*")
    (demo / "inner").mkdir()
    (demo / "inner/plant.yaml").write_text((demo / "plant.yaml").read_text("utf-8"), "utf-8")
    inner = demo / "inner/plant.yaml"
    stored_plant(inner)
    (other,) = set(cache.glob("plant-*")) - {kept}
    kept.write_bytes(other.read_bytes())
    stored.give()
    assert len(stored.typed) == 7


def test_the_store_does_not_grow_without_end(
    stored: Stored, cache: Path, demo: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(store_module, "MOST", 3)
    for number in range(6):
        (demo / f"{number}").mkdir()
        (demo / f"{number}/plant.yaml").write_text("", "utf-8")
        stored_plant(demo / f"{number}/plant.yaml")
    assert len(list(cache.glob("plant-*"))) == 3
    (demo / "plant.yaml").write_text("jobs: [.]\n", "utf-8")
    stored.give()
    (demo / "plant.yaml").write_text("jobs: [jobs]\n", "utf-8")
    stored.give()
    assert len(list(cache.glob("plant-*"))) == 3, "an edit left another file behind"


def test_no_folder_no_store(stored: Stored, cache: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("FILMCHECK_CACHE", "")
    assert stored.give() == stored.give() == fresh()
    assert (len(stored.typed), list(cache.iterdir())) == (7, [])
