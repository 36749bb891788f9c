"""Every snippet of the guide for rule authors is true, and every word of the language has its example there."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner
from ruamel.yaml import YAML

from filmcheck.cli.rules import rules_command
from filmcheck.figures.figures import Figures
from filmcheck.figures.scopes import CLASSES, LISTED, NUMBERED, WALKED, WOUND
from filmcheck.judging.house import House
from filmcheck.judging.judge import judge_job
from filmcheck.judging.limit import BASES
from filmcheck.judging.phrases import Telling
from filmcheck.judging.rule import VERDICTS
from filmcheck.judging.rule_head import STAGES
from filmcheck.packs.arithmetic import CHOOSING, GATHERING
from filmcheck.packs.condition_reader import JOINERS, OWN_WORDS, TESTS, THINGS_KEYS
from filmcheck.packs.house import settle
from filmcheck.packs.pack import load_packs
from filmcheck.packs.pack_files import pack_files
from filmcheck.packs.rule_entries import rule_entry
from filmcheck.plant.job import resolve
from filmcheck.plant.plant import load_plant, read_sheet, type_text
from filmcheck.reading.shipped import shipped_folder, shipped_schema
from filmcheck.records.finding import LEVELS

RULES = shipped_folder("rules")
GUIDE = (RULES / "README.md").read_text(encoding="utf-8")
SNIPPETS = re.findall(r"^```yaml\n(.*?)^```$", GUIDE, re.DOTALL | re.MULTILINE)
PACKS = [snippet for snippet in SNIPPETS if snippet.startswith("pack:")]
SETTINGS = [snippet for snippet in SNIPPETS if snippet.startswith("plant:")]
PARTS = [snippet for snippet in SNIPPETS if snippet.startswith(("limits:", "figures:"))]
LISTS = [snippet for snippet in SNIPPETS if snippet.startswith("- ")]
CONDITIONS: list[dict[str, Any]] = [item for snippet in LISTS for item in YAML(typ="safe").load(snippet)]
DAY = date(2026, 11, 25)


def test_every_snippet_is_tried() -> None:
    assert sorted([*PACKS, *SETTINGS, *PARTS, *LISTS]) == sorted(SNIPPETS)
    assert all(part for part in (PACKS, SETTINGS, PARTS, LISTS))
    assert GUIDE.count("```yaml") == len(SNIPPETS)


@pytest.mark.sample(3)
@pytest.mark.parametrize("snippet", PACKS, ids=lambda snippet: snippet.splitlines()[0])
def test_a_whole_pack_is_proved(snippet: str, tmp_path: Path) -> None:
    pack = tmp_path / "pack.yaml"
    pack.write_text(snippet, encoding="utf-8")
    result = CliRunner().invoke(rules_command, ["prove", str(pack)])
    assert result.exit_code == 0, result.output


@pytest.mark.slow
def test_the_proof_misses_the_case_that_the_guide_says(tmp_path: Path) -> None:
    shorter = re.sub(r"      - case: paper liner\n(        .*\n)+", "", PACKS[0])
    assert shorter != PACKS[0]
    pack = tmp_path / "pack.yaml"
    pack.write_text(shorter, encoding="utf-8")
    told = CliRunner().invoke(rules_command, ["prove", str(pack)]).output
    (said,) = re.findall(r"\*(unproved condition: [^*]+)\*", GUIDE)
    assert " ".join(said.split()) in told


@pytest.mark.parametrize("snippet", PARTS, ids=lambda snippet: snippet.splitlines()[0])
def test_a_part_of_a_pack_loads(snippet: str, tmp_path: Path) -> None:
    pack = tmp_path / "pack.yaml"
    pack.write_text(f"pack: Part\n{snippet}", encoding="utf-8")
    load_packs([pack])


@pytest.mark.sample(5)
@pytest.mark.parametrize("condition", CONDITIONS, ids=str)
def test_a_condition_loads_and_can_be_told_of_the_sound_sheet(condition: dict[str, Any], tmp_path: Path) -> None:
    body = condition if "requires" in condition else {"requires": condition}
    words = {"rule": "it", "title": "It", "level": "note", "says": "It is so", "because": "It is.", "basis": "None."}
    proof = [{"case": verdict, "verdict": verdict} for verdict in ("fail", "pass")]
    pack = tmp_path / "pack.yaml"
    with pack.open("w", encoding="utf-8") as stream:
        YAML(typ="safe").dump({"pack": "Condition", "rules": [{**words, **body, "proof": proof}]}, stream)
    # Only a permit names a rule, which must then be there.
    packs = load_packs([*(pack_files([RULES]) if "its.rule" in str(condition) else []), pack])
    sheet = read_sheet(RULES / "proving" / "sheets" / "film-label.yaml", "job-sheet")
    job, _ = resolve(sheet.record, sheet.file, load_plant(RULES / "proving" / "plant.yaml"))
    own = [rule for rule in packs.rules if rule.id == "it"]
    kinds = {finding.kind for finding in judge_job(Figures(job, DAY), own, House(packs.limits), passes=True)}
    assert kinds in ({"pass"}, {"fail"})


@pytest.mark.slow
@pytest.mark.parametrize("snippet", SETTINGS)
def test_the_settings_of_a_plant_are_taken(snippet: str) -> None:
    packs = load_packs(pack_files([RULES]))
    settings = type_text(snippet, "plant.yaml", "plant")
    house, told = settle(settings.record, [rule.head for rule in packs.rules], packs.limits)
    assert settings.faults == told == ()
    assert house.limits["film_unwind_tension"].source == "trials on press 1 in spring"
    assert house.levels == {"unwind-tension-high": "warning"}
    assert house.switched_off == {"small-core-thin-liner"}


def schema_words(part: dict[str, Any]) -> set[str]:
    inner = [*part.get("properties", {}).values(), part.get("items"), part.get("additionalProperties")]
    return set(part.get("properties", {})).union(*(schema_words(one) for one in inner if isinstance(one, dict)))


WORDS = {
    *THINGS_KEYS,
    *TESTS,
    *JOINERS,
    OWN_WORDS,
    *CHOOSING,
    *GATHERING,
    *STAGES,
    *VERDICTS,
    *LEVELS,
    *BASES,
    *CLASSES,
    *LISTED,
    *WALKED,
    *NUMBERED,
    *WOUND,
    *schema_words(shipped_schema("rule-pack")),
    *("its.", "that.", "this", "first", "last", "limit.", "{it}", "{reason}", "[["),
}


@pytest.mark.parametrize("word", sorted(WORDS - {"none"}))
def test_every_word_is_in_the_guide(word: str) -> None:
    assert re.search(rf"(?<![a-z_]){re.escape(word)}(?![a-z_])", GUIDE) or (word[-1] in ".[" and word in GUIDE)


def test_no_code_lies_beside_the_rules() -> None:
    assert [path for path in RULES.rglob("*") if path.suffix in (".py", ".pyc")] == []


@pytest.mark.parametrize(
    ("asked", "told"),
    [
        (
            "{same: press, before: this, within: 1 h, where: {some: print, where: {its.ink: solvent flexo}}}",
            "no other job with the same press is on press within 1 h before this one, where on that job WHERE",
        ),
        (
            "{same: die, not_same: press, within: 2 d}",
            "no other job with the same die but not the same press is on press within 2 d of this one",
        ),
        (
            "{same: anvil, after: this, within: 0 d}",
            "no other job with the same anvil is on press within 0 d after this one",
        ),
    ],
)
def test_a_rule_on_other_jobs_is_told_as_it_is_asked(asked: str, told: str, tmp_path: Path) -> None:
    """The page of a rule says each part that the guide explains; how a condition is told is tested with conditions."""
    (snippet,) = (one for one in PACKS if "no_other_job" in one)
    pack = tmp_path / "pack.yaml"
    pack.write_text(re.sub(r"no_other_job: .*", lambda _: f"no_other_job: {asked}", snippet), encoding="utf-8")
    (rule,) = load_packs([pack]).rules
    assert rule.beside is not None
    where = rule.beside.where.describe(Telling({})) if rule.beside.where is not None else ""
    assert rule_entry(rule, {}).requires == (told.replace("WHERE", where),)
    assert not where or "solvent flexo" in where
