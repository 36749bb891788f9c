"""Changes of a proof reach the station that they name, however many were put in or left out before."""

from __future__ import annotations

import pytest

from filmcheck.plant.job import Job, resolve
from filmcheck.plant.plant import load_plant, read_sheet
from filmcheck.proving.sheet_edits import EditError, Workpiece
from filmcheck.reading.nodes import Mapping, Scalar
from filmcheck.reading.shipped import shipped_folder
from filmcheck.reading.yaml_tree import read_tree

PLANT = shipped_folder("rules") / "proving"
START = ["unwind", "static control (1 of 2)", "web cleaner", "static control (2 of 2)", "nip infeed"]


@pytest.fixture
def workpiece() -> Workpiece:
    plant = load_plant(PLANT / "plant.yaml")
    sheet = read_sheet(PLANT / "sheets" / "film-label.yaml", "job-sheet")
    job, _ = resolve(sheet.record, sheet.file, plant)
    return Workpiece.of(job, sheet, plant)


def station(text: str) -> Mapping:
    tree, _ = read_tree(text)
    assert isinstance(tree, Mapping)
    return tree


def finished(workpiece: Workpiece) -> Job:
    sheet, plant = workpiece.finished()
    return resolve(sheet.record, sheet.file, plant)[0]


def path(workpiece: Workpiece) -> list[str]:
    return [item.label for item in finished(workpiece).stations]


def test_the_sound_path_begins_as_the_tests_here_take_it(workpiece: Workpiece) -> None:
    assert path(workpiece)[:5] == START


def test_one_left_out_behind_one_put_in(workpiece: Workpiece) -> None:
    workpiece.insert(station("splice table: {}"), "", "unwind")
    workpiece.put("web cleaner", None)
    assert path(workpiece)[:4] == ["unwind", "splice table", "static control (1 of 2)", "static control (2 of 2)"]


def test_two_left_out_one_behind_the_other(workpiece: Workpiece) -> None:
    workpiece.put("static control (1 of 2)", None)
    workpiece.put("static control (2 of 2)", None)
    assert path(workpiece)[:3] == ["unwind", "web cleaner", "nip infeed"]


def test_two_put_in_beside_the_same_station(workpiece: Workpiece) -> None:
    workpiece.insert(station("splice table: {}"), "web cleaner", "")
    workpiece.insert(station("edge guide: {}"), "web cleaner", "")
    workpiece.insert(station("turn bar: {}"), "", "web cleaner")
    assert path(workpiece)[1:6] == [START[1], "splice table", "edge guide", "web cleaner", "turn bar"]


def test_a_field_behind_one_put_in(workpiece: Workpiece) -> None:
    workpiece.insert(station("splice table: {}"), "", "unwind")
    workpiece.put("nip infeed.tension", Scalar("50 N", "50 N", (1, 1, 1, 5)))
    nip = next(item for item in finished(workpiece).stations if item.kind == "nip")
    assert getattr(nip.records[0].fields["tension"], "text", "") == "50 N"


def test_what_is_left_out_cannot_be_changed_any_more(workpiece: Workpiece) -> None:
    workpiece.put("web cleaner", None)
    with pytest.raises(EditError, match=r"web cleaner\.kind is left out"):
        workpiece.put("web cleaner.kind", Scalar("brush", "brush", (1, 1, 1, 6)))
    with pytest.raises(EditError, match="web cleaner is left out"):
        workpiece.insert(station("splice table: {}"), "web cleaner", "")


def test_the_place_of_a_station_put_in_and_of_one_behind_it(workpiece: Workpiece) -> None:
    before = workpiece.place("nip infeed", finished(workpiece))
    workpiece.insert(station("splice table: {}"), "", "unwind")
    job = finished(workpiece)
    assert workpiece.place("nip infeed", job) == before
    assert workpiece.place("splice table", job)[0].span == (1, 1, 1, 17)
