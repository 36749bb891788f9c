"""A proof that proves nothing is refused, and one that does not come out says why and where."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from filmcheck.cli.rules import rules_command
from filmcheck.plant.plant import shown

EXAMPLES = Path(__file__).parents[2] / "examples"
PACK = """\
pack: P
rules:
  - rule: wide
    title: The web is wide
    level: note
    requires: {web.width: {at_most: 335 mm}}
    says: The web is {web.width} wide
    because: So it is.
    basis: a test
    proof:
      - {case: wide, change: {web.width: 340 mm}, verdict: fail}
      - {case: narrow, verdict: pass}
"""
CASE = "      - {case: narrow, verdict: pass}\n"


@pytest.fixture(autouse=True)
def no_shipped_packs(monkeypatch: pytest.MonkeyPatch, tmp_path_factory: pytest.TempPathFactory) -> None:
    """The shipped packs have no part in this, and take long to load."""
    nothing = tmp_path_factory.mktemp("no packs")
    monkeypatch.setattr("filmcheck.cli.rules.shipped_folder", lambda _: nothing)


def proved(folder: Path, *names: str) -> tuple[int, str]:
    result = CliRunner().invoke(rules_command, ["prove", *(str(folder / name) for name in names)])
    return result.exit_code, f"{result.output}{result.exception}"


def write(folder: Path, text: str, name: str = "pack.yaml") -> None:
    (folder / name).write_text(text, encoding="utf-8")


def test_a_pack_that_is_proved(tmp_path: Path) -> None:
    write(tmp_path, PACK)
    assert proved(tmp_path, "pack.yaml")[0] == 0


@pytest.mark.parametrize("name", ["empty", "none.yaml"])
def test_what_holds_no_rules_is_not_proved(name: str, tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()
    write(tmp_path, "pack: P\n", "none.yaml")
    write(tmp_path, PACK)
    status, said = proved(tmp_path, "pack.yaml", name)
    assert status != 0
    assert f"there is no rule to prove in {shown(tmp_path / name)}" in said


def test_a_limit_that_nothing_cites_is_told(tmp_path: Path) -> None:
    write(tmp_path, PACK.replace("rules:", "limits:\n  unused: {value: 5 m, basis: house}\nrules:"))
    status, said = proved(tmp_path, "pack.yaml")
    assert status == 1
    assert "pack.yaml:3:3: error: no rule cites limit unused  [pack-broken]" in said


def test_a_limit_may_be_there_for_another_pack(tmp_path: Path) -> None:
    write(tmp_path, "pack: L\nlimits:\n  most: {value: 335 mm, basis: house}\n", "limits.yaml")
    write(tmp_path, PACK.replace("at_most: 335 mm", "at_most: limit.most"))
    for name in ("pack.yaml", "limits.yaml", "."):
        assert proved(tmp_path, name)[0] == 0


def test_packs_that_name_each_other_are_proved_alone(tmp_path: Path) -> None:
    write(tmp_path, PACK.replace("verdict: fail}", "verdict: fail, also: [other]}"), "one.yaml")
    write(tmp_path, PACK.replace("rule: wide", "rule: other").replace("fail}", "fail, also: [wide]}"), "other.yaml")
    for name in ("one.yaml", "other.yaml", "."):
        assert proved(tmp_path, name)[0] == 0


SLIP = "the changed sheet is at fault: 'wide' is not a number with a unit (value-wrong)"
OTHERWISE = {
    "{case: c, without: [web.width], verdict: fail}": (
        "wanted fail, came open: cannot tell: the web is wide ; lacks web.width"
    ),
    "{case: c, change: {web.width: wide}, verdict: fail}": f"wanted fail, came open: {SLIP}",
    "{case: c, change: {web.width: wide}, verdict: open}": SLIP,
    "{case: c, verdict: not applicable}": "wanted not applicable, came pass",
}


@pytest.mark.parametrize("case", OTHERWISE)
def test_what_came_out_otherwise_says_why(case: str, tmp_path: Path) -> None:
    write(tmp_path, PACK.replace(CASE, f"{CASE}      - {case}\n"))
    status, said = proved(tmp_path, "pack.yaml")
    assert status == 1
    assert f"pack.yaml:13:9: error: case 'c': {OTHERWISE[case]}" in said


def test_what_a_change_makes_unknown_need_not_be_named(tmp_path: Path) -> None:
    cases = ("change: {press: none-such}", "without: [job]")
    write(tmp_path, PACK + "".join(f"      - {{case: '{case}', {case}, verdict: pass}}\n" for case in cases))
    assert proved(tmp_path, "pack.yaml")[0] == 0


def test_an_unproved_condition_is_pointed_at(tmp_path: Path) -> None:
    conditions = (
        "requires:\n      - {web.width: {at_most: 335 mm}}\n      - {web.speed: {at_least: 5 m/min, at_most: 99 m/min}}"
    )
    write(tmp_path, PACK.replace("requires: {web.width: {at_most: 335 mm}}", conditions))
    told = [line.partition(" error: unproved condition: no case notices when this is ") for line in
            proved(tmp_path, "pack.yaml")[1].splitlines()]  # fmt: skip
    at = {line[2].partition("  [")[0]: line[0].rpartition("pack.yaml:")[2] for line in told if line[1]}
    assert at["dropped: web.speed at_least 5 m/min"] == "8:22:"
    assert at["dropped: web.speed at_most 99 m/min"] == "8:41:"
    assert at["dropped: web.speed at_least 5 m/min and web.speed at_most 99 m/min"] == "8:10:"


def test_a_plants_own_short_sheet_can_be_changed(tmp_path: Path) -> None:
    for name in ("registers", "house-rules", "mappings"):
        shutil.copytree(EXAMPLES / name, tmp_path / name)
    shutil.copy(EXAMPLES / "plant.yaml", tmp_path)
    (tmp_path / "jobs").mkdir()
    shutil.copy(EXAMPLES / "jobs/sound/qm-3101-planned-ginger-cordial.yaml", tmp_path / "jobs/short.yaml")
    cases = """\
      - {case: as it is, sheet: ../jobs/short.yaml, verdict: pass}
      - {case: wide here, sheet: ../jobs/short.yaml, change: {web.width: 340 mm}, verdict: fail, at: web.width}
      - {case: not given, sheet: ../jobs/short.yaml, without: [web.width], verdict: open}
  - rule: too-much-on-unit-2
    title: Lamp 2 is set high, or nothing cools it
    level: note
    requires:
      - {every: uv lamp, has: {its.share_of_maximum: {at_most: 60 %}}}
      - {some: chill roll, after: uv lamp 2}
      - {finishing.core: 6 in}
    says: "{reason}"
    because: So it is.
    basis: a test
    proof:
      - {case: as it is, sheet: ../jobs/short.yaml, verdict: pass}
      - {case: high, sheet: ../jobs/short.yaml, change: {uv lamp 2.setting: 70 %}, verdict: fail, at: uv lamp 2.setting}
      - {case: not cooled, sheet: ../jobs/short.yaml, without: [chill roll (2 of 2)], verdict: fail}
      - {case: small core, sheet: ../jobs/short.yaml, change: {customer.core: 3 in}, verdict: fail}
      - case: another unit
        sheet: ../jobs/short.yaml
        insert: [{station: {uv lamp: {unit: 3, setting: 70 %}}, before: die cut}]
        verdict: fail
      - {case: another set-up, sheet: ../jobs/short.yaml, change: {set_up: none-such}, verdict: open}
"""
    write(tmp_path / "house-rules", PACK + cases, "short.yaml")
    assert proved(tmp_path, "house-rules/short.yaml")[1].partition("\n")[0] == "2 rules, 11 cases: all proved"
