"""The dictionary of the rule language knows every word that a pack can use, and finds it by what people call it."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from click.testing import CliRunner

from filmcheck.cli.rules import rules_command
from filmcheck.figures import name_tables
from filmcheck.figures.catalogue import CATALOGUE, field_dimensions, job_dimensions
from filmcheck.figures.scopes import all_words, kinds_in
from filmcheck.packs.arithmetic import CHOOSING, GATHERING
from filmcheck.packs.condition_reader import JOINERS, OWN_WORDS, QUANTITIES, TESTS
from filmcheck.packs.dictionary import dictionary, look_up
from filmcheck.packs.language_words import NEAR_WORDS
from filmcheck.packs.pack import load_packs
from filmcheck.packs.pack_files import pack_files
from filmcheck.packs.place_reader import PLACES, WHICH
from filmcheck.reading.nodes import Mapping, Node, Sequence
from filmcheck.reading.shipped import shipped_folder
from filmcheck.reading.text_file import decode
from filmcheck.reading.yaml_tree import read_tree
from filmcheck.records.rule_entry import WordEntry

ENTRIES = dictionary()
BY_SORT: dict[str, set[str]] = {}
for entry in ENTRIES:
    BY_SORT.setdefault(entry.sort, set()).add(entry.name)


def names(text: str) -> list[str]:
    return [entry.name for entry in look_up(text, ENTRIES)]


def test_every_word_of_the_language_is_listed() -> None:
    assert BY_SORT["test"] == set(TESTS)
    assert BY_SORT["function"] == {*CHOOSING, *GATHERING}
    assert {*JOINERS, *QUANTITIES, OWN_WORDS, "where", "has"} - {"not"} == BY_SORT["condition"]
    assert {*PLACES, *WHICH, "this", "within"} == BY_SORT["place"]
    assert BY_SORT["kind"] == set(all_words())
    assert set(CATALOGUE) <= BY_SORT["figure"]


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("thickness", "liner.caliper"),
        ("unwind.line_tension", "unwind.line_tension"),
        ("if", "when"),
        ("any", "some"),
        ("starts with", "begins_with"),
        ("velocity", "web.speed"),
    ],
)
def test_a_word_is_found_by_what_people_call_it(text: str, found: str) -> None:
    assert found in names(text)


def test_a_slip_of_the_pen_finds_the_nearest() -> None:
    assert "web.width" in names("web.widht")


def test_nothing_is_found_for_nonsense() -> None:
    assert names("qqqqqq") == []
    result = CliRunner().invoke(rules_command, ["words", "qqqqqq"])
    assert result.exit_code != 0


def test_what_people_say_leads_to_words_that_there_are() -> None:
    everything = " ".join(entry.name.replace("_", " ") for entry in ENTRIES)
    lost = [said for said, meant in NEAR_WORDS.items() if meant.replace("_", " ").split(".")[-1] not in everything]
    assert lost == []


CONDITIONS = [entry for entry in ENTRIES if entry.example and entry.sort != "function"]


@pytest.mark.parametrize("entry", CONDITIONS, ids=lambda one: f"{one.sort}-{one.name}")
def test_every_example_can_be_written(entry: WordEntry, tmp_path_factory: pytest.TempPathFactory) -> None:
    needs_hand = "its." in entry.example and not entry.example.startswith("{every")
    hand = any(word in entry.example for word in ("this", "next ", "previous "))
    head = entry.name.partition(".")[0].replace("_", " ")
    kind = head if entry.sort == "figure" and needs_hand else "uv lamp" if hand else ""
    pack = tmp_path_factory.mktemp("words") / "pack.yaml"
    each = f"    for_each: {kind}\n" if kind else ""
    pack.write_text(
        f"pack: P\nrules:\n  - rule: r\n    title: T\n    level: note\n{each}    requires: {entry.example}\n"
        "    says: 'its. {job.press}'\n    because: b\n    basis: b\n"
        "    proof: [{case: a, verdict: fail}, {case: b, verdict: pass}]\n",
        encoding="utf-8",
    )
    assert load_packs([pack]).rules


def test_rules_that_use_a_figure_are_told() -> None:
    rules = load_packs(pack_files([shipped_folder("rules")])).rules
    known = {entry.name: entry.used_by for entry in dictionary(rules) if entry.sort == "figure"}
    assert "small-core-thin-liner" in known["liner.caliper"]


def plain(node: Node) -> Any:
    """Give a tree as JSON has it."""
    if isinstance(node, Mapping):
        return {name: plain(entry.value) for name, entry in node.entries.items()}
    return [plain(item) for item in node.items] if isinstance(node, Sequence) else node.value


ROOT = Path(__file__).parents[2]
MADE = [("markdown", "rules/WORDS.md"), ("schema", "schemas/rule-pack.editor.schema.json")]


@pytest.mark.parametrize(("form", "file"), MADE, ids=["page", "schema"])
def test_what_is_made_of_the_dictionary_is_current(form: str, file: str) -> None:
    made = CliRunner().invoke(rules_command, ["words", "--format", form]).output
    # Compared as a truth value: a difference of thousands of lines helps nobody.
    same = (ROOT / file).read_text(encoding="utf-8") == made
    assert same, f"{file} is not what the words are now. Renew it: filmcheck rules words --format {form} > {file}"


def test_every_pack_names_the_schema_for_editors() -> None:
    folders = ("rules", "examples/house-rules", "filmcheck/skeleton/house-rules", "tests/packs/house_rules")
    for path in pack_files([ROOT / folder for folder in (*folders, "tests/packs/more_house_rules")]):
        first = path.read_text(encoding="utf-8").partition("\n")[0]
        named = first.removeprefix("# yaml-language-server: $schema=")
        beside = path.parent / named  # the skeleton's comes to lie beside it when the plant is started
        assert beside.is_file() or named == MADE[1][1].removeprefix("schemas/"), path


@pytest.fixture(scope="module")
def schema() -> dict[str, Any]:
    result = CliRunner().invoke(rules_command, ["words", "--format", "schema"])
    made: dict[str, Any] = json.loads(result.output)
    jsonschema.Draft202012Validator.check_schema(made)
    return made


@pytest.mark.parametrize("path", pack_files([shipped_folder("rules")]), ids=lambda path: path.stem)
def test_the_shipped_packs_are_valid_in_an_editor(path: Path, schema: dict[str, Any]) -> None:
    tree, faults = read_tree(decode(path.read_bytes()))
    assert faults == ()
    assert tree is not None
    pack = plain(tree)
    assert [error.message for error in jsonschema.Draft202012Validator(schema).iter_errors(pack)] == []


def test_an_editor_refuses_an_unknown_test_and_kind(schema: dict[str, Any]) -> None:
    validator = jsonschema.Draft202012Validator(schema)
    rule = {"rule": "r", "title": "t", "level": "note", "because": "b"}
    for requires in ({"web.width": {"at_mots": "1 m"}}, {"some": "niip"}):
        assert not validator.is_valid({"pack": "P", "rules": [{**rule, "requires": requires}]})
    assert validator.is_valid({"pack": "P", "rules": [{**rule, "requires": {"some": "nip"}}]})


@pytest.mark.parametrize("name", [*name_tables.OF_JOB, *name_tables.OF_THINGS, *name_tables.TRUTHS])
def test_every_plain_name_is_that_of_a_figure(name: str) -> None:
    head, _, field = name.partition(".")
    assert job_dimensions(name) or any(field_dimensions(kind, field) for kind in kinds_in(head.replace("_", " ")))
