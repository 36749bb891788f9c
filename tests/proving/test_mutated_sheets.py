"""Every rule fires where its proof says, on the text of a real plant, and no other rule fires without business.

The proofs themselves run on the tree that the package reads. Here each case is made anew with an independent YAML
library: the text of the proving plant is edited, written to a folder and linted through the public door. The line
and column that a finding must bear are those which that library gives for the address of the case.
"""

from __future__ import annotations

import os
import re
import shutil
from copy import deepcopy
from datetime import date
from functools import cache
from io import StringIO
from pathlib import Path
from typing import Any, NamedTuple

import pytest
from ruamel.yaml import YAML
from ruamel.yaml.resolver import VersionedResolver

from filmcheck import Finding, lint
from filmcheck.reading.shipped import shipped_folder
from filmcheck.run import Options

DAY = date(2026, 11, 25)
RULES = shipped_folder("rules")
PROVING = RULES / "proving"
SHEET = "sheets/film-label.yaml"
SETTINGS = "plant.yaml"
IN_REGISTER = {
    "name-twice": "registers/finishing.yaml",
    "press-out-of-order": "registers/presses.yaml",
    "press-station-twice": "registers/presses.yaml",
}
"""Rules on faults of reading that lie in a register."""
KIND = {"fail": "fail", "open": "open", "review": "review"}
"""Kind of the finding that each verdict makes; the others make none."""

EVERY_CASE = bool(os.environ.get("FILMCHECK_EVERY_CASE"))
"""All cases take minutes: ``FILMCHECK_EVERY_CASE=1 python -m pytest -n auto tests/proving/test_mutated_sheets.py``."""

NO_CASE = {
    "repository": "told by many sheets together, so no case can be made of one; tested by sheets beside each other"
}
"""How a rule that has no case is found, and why it has none."""

KEY_AT_FAULT = ("key-unknown",)
"""Rules that point at the key of an address and not at its value."""

# For cases without an address: what stands in the changed file where the finding points; the text before it, if any,
# tells it from its like. Each was picked by hand as what a reader would mend.
WHERE = {
    ("file-unreadable", "control character in the text"): ("", "\x01"),
    ("yaml-broken", "bracket left open"): ("", "{width"),
    ("yaml-broken", "tab in front of a line"): ("", "\twidth"),
    ("file-empty", "nothing but a remark"): ("", "# to be filled in"),
    ("no-sheet", "other notes"): ("", "phone list"),
    ("key-twice", "job number twice"): ("planned\n", "job"),
    ("key-not-a-word", "key missing"): ("planned\n", ":"),
    ("key-not-a-word", "list as a key"): ("", "[a, b]"),
    ("several-documents", "two sheets"): ("", "---"),
    ("alias-loop", "group within itself"): ("", "*web"),
    ("alias-not-known", "star in a text"): ("", "*new"),
    ("station-webbed-again", "only what this job leaves out besides"): ("leave_out: ", "[print"),
    ("station-webbed-again", "one of the list forgotten"): ("leave_out: ", "[splice"),
    ("too-deep", "seventy brackets"): ("checks: " + 59 * "[", "["),  # the sheet itself is the first level
    # a has 10 entries, b 110, c 1110 and d 11 110, which makes 12 340 with their keys and more; e passes at its eighth.
    ("too-many-nodes", "repetitions of repetitions"): ("e: [" + 7 * "*d, ", "*d"),
    ("merge-key", "merge key"): ("", "<<"),
    ("tag-not-known", "mark on a value"): ("", "!rush"),
    ("more-faults", "a hundred and one empty checks"): ("checks: [" + 100 * "{}, ", "{}"),
    ("key-unknown", "kind of station not known"): ("", "corona"),
    ("key-missing", "no job number"): ("", "title"),
    ("key-missing", "result of no check"): ("results:\n  - {", "at"),
    ("path-order", "no unwind"): ("", "path"),
    ("path-order", "no rewind"): ("", "path"),
    ("name-twice", "name of another machine"): ("table-1:\n  name: ", "Rewinding table without taper"),
    ("name-twice", "written otherwise"): ("table-1:\n  name: ", "Rewinding table without taper"),
    ("press-out-of-order", "slit behind the rewind"): ("- unwind: {}\n    - ", "rewind"),
    ("press-out-of-order", "guide before the unwind"): ("- edge guide: {}\n    - ", "unwind"),
    ("press-out-of-order", "strip before the die"): ("- unwind: {}\n    - ", "matrix strip"),
    ("press-station-twice", "two units of one number"): ("unit: 1\n    - print:\n        unit: ", "1"),
    ("press-station-twice", "two nips of one name"): ("name: infeed\n    - nip:\n        name: ", "infeed"),
    ("settings-wrong", "limit misspelt"): ("", "film_unwind_tensoin"),
    ("settings-wrong", "limit in a wrong unit"): ("", "0.8 mm"),
    ("settings-wrong", "rule misspelt"): ("", "air-to-dry"),
    ("settings-wrong", "dimension misspelt"): ("", "line tensoin"),
    ("settings-wrong", "unit of another dimension"): ("line tension: ", "mm"),
    ("limit-far-from-shipped", "three times"): ("", "film_unwind_tension"),
    ("limit-far-from-shipped", "a third"): ("", "film_unwind_tension"),
    ("safety-loosened", "switched off"): ("", "shocks-reported"),
    ("safety-loosened", "level lowered"): ("", "shocks-reported"),
    ("safety-loosened", "limit of a safety rule"): ("", "ground_path"),
}

# First word of an address: field of the sheet that names the entry, register, section of the register.
REGISTERS = {
    "press": ("press", "presses", ""),
    "stock": ("stock", "stocks", ""),
    "customer": ("customer", "customers", ""),
    "die": ("tooling.die", "tooling", "dies"),
    "magnetic_cylinder": ("tooling.magnetic_cylinder", "tooling", "magnetic_cylinders"),
    "anvil": ("tooling.anvil", "tooling", "anvils"),
    "print_cylinder": ("tooling.print_cylinder", "tooling", "print_cylinders"),
    "finisher": ("finishing.machine", "finishing", ""),
}

Step = str | int


class _PlainDates(VersionedResolver):
    """Leaves dates as they are written, for cases write some that no calendar has."""

    def add_version_implicit_resolver(self, version: Any, tag: Any, regexp: Any, first: Any) -> None:
        if not str(tag).endswith("timestamp"):
            super().add_version_implicit_resolver(version, tag, regexp, first)


def _yaml() -> Any:
    yaml = YAML()
    yaml.Resolver = _PlainDates
    yaml.width = 1_000_000
    yaml.preserve_quotes = True
    yaml.indent(mapping=2, sequence=4, offset=2)
    return yaml


@cache
def _sound(name: str) -> Any:
    return _yaml().load(PROVING / name)


class Spot(NamedTuple):
    """Where an address leads: a file of the plant, and the steps within it."""

    file: str
    steps: tuple[Step, ...]


def _labels(stations: list[Any]) -> dict[str, int]:
    """Name the stations of a path: by unit or name, else by number among their like."""
    kinds = [next(iter(station)) for station in stations]
    found = {}
    for index, (kind, station) in enumerate(zip(kinds, stations, strict=True)):
        body = station[kind] or {}
        own = body.get("unit", body.get("name"))
        count = f" ({kinds[: index + 1].count(kind)} of {kinds.count(kind)})" if kinds.count(kind) > 1 else ""
        found[f"{kind} {own}" if own is not None else kind + count] = index
    return found


def _steps(words: str) -> tuple[Step, ...]:
    return tuple(int(word) - 1 if word.isdigit() else word for word in words.split(".") if word)


def _in_path(address: str, stations: list[Any], labels: dict[str, int], lead: tuple[Step, ...]) -> tuple[Step, ...]:
    """Give the steps to a station or a field of it; nothing where the address names no station."""
    for label, index in labels.items():
        if address == label:
            return (*lead, index)
        if address.startswith(f"{label}."):
            return (*lead, index, next(iter(stations[index])), *_steps(address[len(label) + 1 :]))
    return ()


class Edited:
    """The proving plant while a case changes it. Cases name the stations of the sound sheet throughout."""

    def __init__(self) -> None:
        self.trees: dict[str, Any] = {SHEET: deepcopy(_sound(SHEET))}
        self.changed: set[str] = set()
        path = self.sheet["path"]
        self.stations = {label: path[index] for label, index in _labels(path).items()}

    @property
    def sheet(self) -> Any:
        return self.trees[SHEET]

    def tree(self, file: str) -> Any:
        """Give a file to be changed."""
        if file not in self.trees:
            self.trees[file] = deepcopy(_sound(file))
        self.changed.add(file)
        return self.trees[file]

    def spot(self, address: str) -> Spot:
        """Find where an address leads by now; a station put in is known by the label that it has on the new path."""
        path = self.sheet.get("path", [])
        return self._spot(address, _labels(path)) or self._sound_spot(address)

    def _sound_spot(self, address: str) -> Spot:
        path = self.sheet.get("path", [])
        places = {id(station): index for index, station in enumerate(path)}
        sound = {label: places[id(station)] for label, station in self.stations.items() if id(station) in places}
        return self._spot(address, sound) or Spot(SHEET, _steps(address))

    def _spot(self, address: str, labels: dict[str, int]) -> Spot | None:
        """Give the place of an address in a register or at a station of a path."""
        head, _, rest = address.partition(".")
        if head in REGISTERS and rest:
            return self._register(*REGISTERS[head], rest)
        steps = _in_path(address, self.sheet.get("path", []), labels, ("path",))
        return Spot(SHEET, steps) if steps else None

    def _register(self, naming: str, register: str, section: str, rest: str) -> Spot:
        name: Any = _sound(SHEET)
        for step in _steps(naming):
            name = name[step]
        file = f"registers/{register}.yaml"
        lead: tuple[Step, ...] = (section, name) if section else (name,)
        if register == "presses":
            stations = self.trees.get(file, _sound(file))[name].get("stations", [])
            steps = _in_path(rest, stations, _labels(stations), (*lead, "stations"))
            return Spot(file, steps or (*lead, *_steps(rest)))
        return Spot(file, (*lead, *_steps(rest)))

    def put(self, address: str, value: Any) -> None:
        file, steps = self._sound_spot(address)
        here = self.tree(file)
        for step in steps[:-1]:
            here = here.setdefault(step, type(here)()) if isinstance(step, str) else here[step]
        here[steps[-1]] = value

    def leave_out(self, address: str) -> None:
        file, steps = self._sound_spot(address)
        here = self.tree(file)
        for step in steps[:-1]:
            here = here[step]
        del here[steps[-1]]

    def insert(self, station: Any, before: str = "", after: str = "") -> None:
        beside = self.stations[before or after]
        at = next(index for index, item in enumerate(self.sheet["path"]) if item is beside)
        self.tree(SHEET)["path"].insert(at if before else at + 1, station)

    def write(self, plant: Path) -> None:
        """Write what was changed; the other files lie there as they are."""
        for file in self.changed:
            with (plant / file).open("w", encoding="utf-8") as stream:
                _yaml().dump(self.trees[file], stream)


def make(case: Any, plant: Path) -> Edited | None:
    """Write the plant of a case; give what was edited, or nothing where the case brings a whole text."""
    shutil.copytree(PROVING, plant)
    if "sheet_text" in case:
        (plant / SHEET).write_text(case["sheet_text"], encoding="utf-8")
    if "settings_text" in case:
        (plant / SETTINGS).write_text(
            case["settings_text"] + _rest_of_settings(case["settings_text"]), encoding="utf-8"
        )
    if "sheet_text" in case or "settings_text" in case:
        return None
    edited = Edited()
    for address, value in case.get("change", {}).items():
        edited.put(address, deepcopy(value))
    for insert in case.get("insert", []):
        edited.insert(**deepcopy(insert))
    for address in case.get("without", []):
        edited.leave_out(address)
    edited.write(plant)
    return edited


def _rest_of_settings(text: str) -> str:
    """Give what the settings of a case leave out, such as the registers, without which no name is known."""
    given = _yaml().load(text)
    rest = deepcopy(_sound(SETTINGS))
    for key in given:
        rest.pop(key, None)
    stream = StringIO()
    _yaml().dump(rest, stream)
    return stream.getvalue()


@cache
def _tree(text: str) -> Any:
    """Read a text; many cases leave a file of the plant as another left it."""
    return _yaml().load(text)


def place(plant: Path, spot: Spot, *, of_key: bool) -> tuple[str, int, int]:
    """Give file, line and column of a value; of a group its key, and of what is not there the group it belongs to."""
    here = _tree((plant / spot.file).read_text(encoding="utf-8"))
    found = (0, 0)
    for step in spot.steps:
        if step not in (here if isinstance(step, str) else range(len(here))):
            break
        below = here[step]
        if isinstance(step, int):
            found = here.lc.item(step)
        else:
            found = here.lc.key(step) if of_key or isinstance(below, dict | list) else here.lc.value(step)
        here = below
    if isinstance(spot.steps[-1], int) and len(here) == 1:
        found = here.lc.key(next(iter(here)))  # a station, which is known by its kind
    return spot.file, found[0] + 1, found[1] + 1


def place_of_text(plant: Path, rule: str, case: Any) -> tuple[str, int, int]:
    """Give file, line and column of what the table says stands where the finding points."""
    file = IN_REGISTER.get(rule, SETTINGS if "settings_text" in case else SHEET)
    text = (plant / file).read_text(encoding="utf-8")
    before, here = WHERE[rule, case["case"]]
    assert len(re.findall(re.escape(before + here) + r"(?![\w-])", text)) == 1, "the table must leave no doubt"
    index = text.index(before + here) + len(before)
    return file, text.count("\n", 0, index) + 1, index - text.rfind("\n", 0, index)


def _cases() -> dict[str, tuple[str, list[Any]]]:
    """Give how each rule is found, and its cases."""
    yaml = YAML(typ="safe")
    yaml.Resolver = _PlainDates
    rules = [rule for pack in sorted(RULES.glob("*.yaml")) for rule in yaml.load(pack)["rules"]]
    return {rule["rule"]: (rule.get("found_by", "judging"), rule.get("proof", [])) for rule in rules}


CASES = _cases()
OF_ENTRIES = {rule["rule"] for rule in YAML(typ="safe").load(RULES / "register-entries.yaml")["rules"]}
"""Rules on register entries by themselves: a case that makes an entry odd is told so there as well."""


def wrong_with(rule: str, case: Any, plant: Path) -> list[str]:
    """Make a case and say what does not come out."""
    edited = make(case, plant)
    findings = lint([plant / SHEET], Options(today=DAY)).findings
    kind = KIND.get(case["verdict"], "")
    own = [finding for finding in findings if finding.rule == rule]
    told = [finding for finding in own if finding.kind == kind]
    wrong = []
    if {finding.kind for finding in own} != ({kind} if kind else set()):
        wrong.append(f"wanted {kind or 'silence'}, came {[finding.kind for finding in own]}")
    wanted = {*case.get("also", []), *([rule] if kind == "fail" else [])}
    fired = {finding.rule for finding in findings if finding.kind == "fail"} - (OF_ENTRIES - wanted)
    if fired != wanted:
        wrong.append(f"wanted {sorted(wanted)} to fire, came {sorted(fired)}")
    if case.get("says", "") not in "\n".join(f"{finding.says} {finding.instead}" for finding in told):
        wrong.append(f"wanted the words '{case['says']}', came {[finding.says for finding in told]}")
    if kind == "open" and not all(finding.missing for finding in told):
        wrong.append("does not say what is missing")
    if kind == "fail":
        here = place_of_text(plant, rule, case) if "at" not in case else None
        if edited and "at" in case:
            here = place(plant, edited.spot(case["at"]), of_key=rule in KEY_AT_FAULT)
        came = [_relative(finding, plant) for finding in told]
        wrong += [f"wanted it at {here}, came at {came}"] if here not in came else []
    return wrong


def _relative(finding: Finding, plant: Path) -> tuple[str, int, int]:
    file = Path(finding.place.file).resolve().relative_to(plant.resolve()).as_posix()
    return file, finding.place.span.line, finding.place.span.column


def _sample(cases: list[Any]) -> list[Any]:
    """Give the first case of each verdict that makes a finding."""
    firsts = {case["verdict"]: case for case in reversed(cases) if case["verdict"] in KIND}
    return [case for case in cases if case is firsts.get(case["verdict"])]


@pytest.fixture(autouse=True)
def no_advice(monkeypatch: pytest.MonkeyPatch) -> None:
    """Advice takes the place of a rule's own way out, whose words the cases look at; and it takes most of the time."""
    monkeypatch.setattr("filmcheck.windows.advice.Adviser.advise", lambda adviser: list(adviser.before))


@pytest.mark.sample(8)
@pytest.mark.parametrize("rule", [rule for rule, (_, cases) in CASES.items() if cases])
def test_a_rule_speaks_on_real_text_as_its_proof_says(rule: str, tmp_path: Path) -> None:
    cases = CASES[rule][1] if EVERY_CASE else _sample(CASES[rule][1])
    wrong = {case["case"]: wrong_with(rule, case, tmp_path / str(index)) for index, case in enumerate(cases)}
    assert {name: says for name, says in wrong.items() if says} == {}


def test_only_rules_of_the_whole_repository_have_no_case() -> None:
    assert {found_by for found_by, cases in CASES.values() if not cases} == set(NO_CASE)


def test_every_case_that_must_fail_says_where() -> None:
    nowhere = {
        (rule, case["case"])
        for rule, (_, cases) in CASES.items()
        for case in cases
        if case["verdict"] == "fail" and "at" not in case
    }
    assert nowhere == set(WHERE)


def test_the_sound_sheet_fires_nothing_and_is_written_as_it_was_read(tmp_path: Path) -> None:
    edited = make({}, tmp_path / "plant")
    assert edited is not None
    edited.tree(SHEET)
    edited.write(tmp_path / "plant")
    assert (tmp_path / "plant" / SHEET).read_bytes() == (PROVING / SHEET).read_bytes()
    assert lint([tmp_path / "plant" / SHEET], Options(today=DAY)).findings == ()
