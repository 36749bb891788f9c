"""Nothing that a stranger has written reaches a terminal or a build log as a command, in no report."""

from __future__ import annotations

import json
import os
import re
import sys
from collections.abc import Callable
from pathlib import Path

import jsonschema
import pytest

sys.path.insert(0, str(Path(__file__).parent))
from hostile_plant import make

from filmcheck.reports.plain_text import plain_json, plain_text

# Workflow commands: a line that begins with two colons; logging commands: ##word[ anywhere. From memory of the two
# services' manuals.
COMMAND = re.compile(r"^\s*::|##\w*\[", re.MULTILINE)
STEERING = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u200e\u200f\u202a-\u202e\u2066-\u2069]")
HOSTILE = "::error file=x::##vso[task.setvariable variable=a]b ##[command]c \\u202e\\u009b\\e[31m\\a"
WORDS = ["::warning::x", "##vso[task.complete]", "##[error]x", "  ::add-mask::y", "##teamcity[x]"]
FORMS = ["text", "sarif", "markdown"]


def assert_harmless(text: str) -> None:
    assert COMMAND.search(text) is None
    assert STEERING.search(text.replace("\n", "")) is None


@pytest.mark.sample(4)
@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("name", ["::error::x", "##vso[task.complete]", "a\u202eb", "\x9bx", "\x1b[31mx"])
def test_names_of_files_and_folders(plant: Path, run: Callable, form: str, name: str) -> None:
    for path in (f"jobs/{name}.yaml", f"jobs/{name}/{name}.yaml"):
        (plant / path).parent.mkdir(exist_ok=True)
        (plant / path).write_text("job: [\n")
    (plant / f"jobs/.{name}").mkdir()
    done = run("lint", "jobs", "--format", form)
    assert done.status == 1
    assert_harmless(done.out + done.err)
    (plant / "report.txt").unlink(missing_ok=True)
    run("lint", "jobs", "--format", form, "--to", "report.txt")
    assert_harmless((plant / "report.txt").read_bytes().decode())


@pytest.mark.parametrize("form", FORMS)
def test_a_plant_hostile_throughout(tmp_path: Path, run: Callable, monkeypatch: pytest.MonkeyPatch, form: str) -> None:
    make(tmp_path / "hostile")
    monkeypatch.chdir(tmp_path / "hostile")
    done = run("lint", "sheets", "--format", form)
    assert done.status == 1
    assert_harmless(done.out + done.err)
    schema = os.environ.get("FILMCHECK_SARIF_SCHEMA")
    if form == "sarif" and schema and Path(schema).is_file():
        jsonschema.Draft7Validator(json.loads(Path(schema).read_text("utf-8"))).validate(json.loads(done.out))


@pytest.mark.parametrize("form", FORMS)
def test_words_of_a_sheet_wrapped_anywhere(plant: Path, run: Callable, form: str) -> None:
    """Filled with words so that any of them may come to stand at the start of a line."""
    filling = " ".join("x" * (number % 7 + 1) + " ::error::y" for number in range(60))
    permit = f'deviations: [{{rule: "{HOSTILE}", reason: "{HOSTILE} {filling}", approved_by: "{HOSTILE}"}}]\n'
    sheet = plant / "jobs/a.yaml"
    sheet.write_text(sheet.read_text() + permit + f'"{HOSTILE}": 1\n')
    assert_harmless(run("lint", "jobs", "--format", form).out)


@pytest.mark.slow
@pytest.mark.parametrize("words", [("list",), ("show",), ("show", "--format", "markdown"), ("prove",)])
def test_words_of_a_rule_pack(plant: Path, run: Callable, words: tuple[str, ...]) -> None:
    pack = f"""pack: House
rules:
  - rule: too-fast-here
    title: "::error::{HOSTILE}"
    level: warning
    requires: {{web.speed: {{at_most: 40 m/min}}}}
    says: "{HOSTILE}"
    instead: "{HOSTILE}"
    because: "{HOSTILE}"
    basis: house
    proof:
      - {{case: "{HOSTILE}", verdict: fail, at: web.speed, change: {{web.speed: 50 m/min}}}}
      - {{case: slow, change: {{web.speed: 60 m/min}}, verdict: pass}}
"""
    (plant / "house.yaml").write_text(pack)
    done = run("rules", words[0], "house.yaml", *words[1:])
    assert done.out, done
    assert_harmless(done.out + done.err)


@pytest.mark.slow
@pytest.mark.parametrize("word", WORDS)
def test_what_is_wrong_with_the_command_line(plant: Path, run: Callable, word: str) -> None:
    for words in (["lint", word], [word], ["lint", "jobs", "--since", word], ["rules", "show", word]):
        assert_harmless(run(*words).err)


@pytest.mark.parametrize("word", [*WORDS, "a\u202eb", "\x1b[1m", "\U000e0041", "\x85", "\u2028", "µ × −"])
def test_json_says_the_same(word: str) -> None:
    text = json.dumps({word: [word]}, ensure_ascii=False, indent=1)
    assert json.loads(plain_json(text)) == {word: [word]}
    assert_harmless(plain_json(text))


def test_plain_words_stay_as_they_are() -> None:
    text = "a.yaml:1:2: error: 12 µm × 3 − 4 ′ °C, a::b, ## heading, #12 [x]\n\N{NARROW NO-BREAK SPACE}ü\n"
    assert plain_text(text) == plain_json(text) == text
    assert plain_text("\x1b[1;31merror\x1b[0m\x1b[2J", colour=True) == "\x1b[1;31merror\x1b[0m\ufffd[2J"
