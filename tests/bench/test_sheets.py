"""The made plant: as many different sheets as asked for, the same ones each time, most silent, some with a defect."""

from __future__ import annotations

import random
import sys
from collections import defaultdict
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

from filmcheck.run import Options, lint

sys.path.insert(0, str(Path(__file__).parent))
from sheets import EVERYWHERE, FIXED, NUMBER, Edit, _first, _names, _numbers, make_plant, patterns, varied

COUNT = 20
BETWEEN = {"job-number-twice", "tool-booked-twice", "die-life-summed"}
"""Rules over several sheets: here each pattern stands beside its own varied self."""
RULES_OF_SPOILED = {"cure-short-at-speed", "ground-unchecked", "lamp-at-maximum", "die-repeat", "taper-rises"}


@pytest.fixture(autouse=True)
def _own_cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Let the packs be kept from one run to the next of a test; verdicts are not."""
    monkeypatch.setenv("FILMCHECK_CACHE", str(tmp_path / "cache"))


def texts(folder: Path) -> dict[str, str]:
    return {str(path.relative_to(folder)): path.read_text(encoding="utf-8") for path in sorted(folder.rglob("*.yaml"))}


def test_the_same_seed_gives_the_same_bytes(tmp_path: Path) -> None:
    for name, seed in (("a", 1), ("b", 1), ("c", 2)):
        make_plant(tmp_path / name, COUNT, seed)
    assert texts(tmp_path / "a") == texts(tmp_path / "b") != texts(tmp_path / "c")


def test_as_many_sheets_as_asked_for_and_no_two_alike(tmp_path: Path) -> None:
    sheets = make_plant(tmp_path / "plant", 300)
    assert len(sheets) == len({path.read_text(encoding="utf-8").split("\n", 3)[-1] for path in sheets}) == 300


def test_the_sheets_can_be_read_and_judged(tmp_path: Path) -> None:
    sheets = make_plant(tmp_path / "plant", COUNT, seed=3)
    report = lint([tmp_path / "plant"], Options(today=date(2026, 12, 1)))
    assert (report.jobs, len(sheets), report.troubles) == (COUNT, COUNT, ())


@pytest.mark.slow
def test_sound_patterns_stay_sound_and_spoiled_ones_keep_their_defect(tmp_path: Path) -> None:
    """Some 30 are spoiled, not all by an error; others are told at most that two stand in each other's way."""
    make_plant(tmp_path / "plant", 300)
    report = lint([tmp_path / "plant"], Options(today=date(2026, 12, 1)))
    told = {(finding.job, finding.rule) for finding in report.findings if finding.counts and finding.level == "error"}
    spoiled = {job for job, rule in told if rule != "tool-booked-twice"}
    assert 15 <= len(spoiled) <= 45
    assert {rule for _, rule in told} & RULES_OF_SPOILED


@pytest.mark.slow
def test_every_defect_survives_what_is_varied(tmp_path: Path) -> None:
    for name, before, after in before_and_after("spoiled", tmp_path / "plant", EVERYWHERE):
        assert before[1] <= after[1], name


@pytest.mark.slow
@pytest.mark.parametrize("kind", ["sound", "spoiled"])
def test_numbers_and_names_vary_without_another_finding(kind: str, tmp_path: Path) -> None:
    for name, before, after in before_and_after(kind, tmp_path / "plant", (_numbers, _names)):
        assert before[1] == after[1], name
        pairs = list(zip(quantities(before[0]), quantities(after[0]), strict=True))
        assert pairs
        assert not [one for one, other in pairs if one == other], name


Judged = tuple[str, set[str]]
"""The text of a sheet, and the rules whose findings on it count."""


def before_and_after(kind: str, plant: Path, edits: tuple[Edit, ...]) -> Iterator[tuple[str, Judged, Judged]]:
    """Give each pattern of a kind as it is and varied, judged; what lies between sheets is left aside."""
    make_plant(plant, 2)
    texts = patterns(kind)
    for number, text in enumerate(texts):
        other = varied(text, number, random.Random(number), edits)  # noqa: S311
        (plant / f"jobs/before-{number:02}.yaml").write_text(text, encoding="utf-8")
        (plant / f"jobs/after-{number:02}.yaml").write_text(other, encoding="utf-8")
    report = lint([plant], Options(today=date(2026, 12, 1)))
    rules: dict[str, set[str]] = defaultdict(set)
    for finding in report.findings:
        if finding.counts and finding.rule not in BETWEEN:
            rules[Path(finding.place.file).name].add(finding.rule)
    for number, text in enumerate(texts):
        names = f"before-{number:02}.yaml", f"after-{number:02}.yaml"
        before, after = ((plant / "jobs" / name).read_text(encoding="utf-8") for name in names)
        yield _first(r"^job: (.*)$", text), (before, rules[names[0]]), (after, rules[names[1]])


def quantities(text: str) -> list[tuple[str, str]]:
    """Give the fields of a sheet that can vary, with their numbers, in their order."""
    lines = "\n".join(line for line in text.splitlines() if not line.startswith("#"))
    return [(field, number) for field, number in NUMBER.findall(lines) if field not in FIXED]
