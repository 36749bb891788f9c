"""A proof that misses a condition is found, and the one case more that closes the gap is enough."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from ruamel.yaml import YAML

from filmcheck.judging.house import House
from filmcheck.packs.pack import load_packs
from filmcheck.proving.proof import Prover

TABLE: dict[str, Any] = YAML(typ="safe").load(Path(__file__).with_name("unproved.yaml"))
SENTENCE = {
    "rule": "gap",
    "title": "A gap",
    "level": "warning",
    "says": "Something is wrong",
    "because": "Things happen",
    "basis": "House.",
}
START = "unproved condition: no case notices when this is "


def unproved(gap: dict[str, Any], proof: list[Any], folder: Path) -> list[str]:
    """Prove a rule with these cases; give what is not proved."""
    pack = folder / "pack.yaml"
    rule = {**SENTENCE, **gap["rule"], "proof": proof}
    with pack.open("w", encoding="utf-8") as stream:
        YAML(typ="safe").dump({"pack": "Gaps", "limits": TABLE["limits"], "rules": [rule]}, stream)
    packs = load_packs([pack])
    return [failure.says for failure in Prover(packs.rules, House(packs.limits)).prove(packs.rules)]


@pytest.mark.parametrize("gap", TABLE["gaps"], ids=lambda gap: gap["gap"].replace(" ", "-"))
def test_a_planted_gap_is_found(gap: dict[str, Any], tmp_path: Path) -> None:
    told = unproved(gap, gap["proof"], tmp_path)
    assert all(says.startswith(START) for says in told)
    assert {says.removeprefix(START) for says in told} >= set(gap["told"])


@pytest.mark.parametrize("gap", TABLE["gaps"], ids=lambda gap: gap["gap"].replace(" ", "-"))
def test_its_proved_twin_passes(gap: dict[str, Any], tmp_path: Path) -> None:
    assert unproved(gap, gap["proof"] + gap["closed_by"], tmp_path) == []


def test_there_are_ten_gaps_or_more() -> None:
    assert len({gap["gap"] for gap in TABLE["gaps"]}) >= 10


def test_a_case_with_the_wrong_verdict_is_told_first(tmp_path: Path) -> None:
    gap = TABLE["gaps"][0]
    wrong = [
        {"case": "slow", "verdict": "fail"},
        {"case": "fast", "change": {"web.speed": "60 m/min"}, "verdict": "pass"},
    ]
    assert [says.split(":")[0] for says in unproved(gap, wrong, tmp_path)] == ["case 'slow'", "case 'fast'"]


@pytest.mark.parametrize(
    ("address", "told"),
    [
        ("uv lamp 7.setting", "the path has no uv lamp 7; it has unwind, static control (1 of 2), web cleaner"),
        ("press.uv lamp 7.maximum", "the press has no uv lamp 7; it has unwind, splice table, edge guide"),
        ("results.9.lanes", "there is no item 9; there are 6"),
    ],
)
def test_a_case_that_cannot_be_made_is_told(address: str, told: str, tmp_path: Path) -> None:
    gap = TABLE["gaps"][0]
    lost = {"case": "lost", "change": {address: "10 %"}, "verdict": "pass"}
    says = unproved(gap, [*gap["proof"], *gap["closed_by"], lost], tmp_path)
    assert [text[: len("case 'lost' cannot be made: ") + len(told)] for text in says] == [
        f"case 'lost' cannot be made: {told}"
    ]
