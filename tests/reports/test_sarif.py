"""The SARIF report: against the schema of OASIS, an independent reader, and the words of the standard."""

from __future__ import annotations

import gzip
import hashlib
import json
import os
import random
import subprocess
import sys
from collections import Counter
from dataclasses import replace
from pathlib import Path
from typing import Any
from urllib.parse import unquote, urljoin

import jsonschema
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from filmcheck.records.finding import Edit, Finding, Kind, Level, Permit, Related, Report, RuleText, Trouble
from filmcheck.records.place import Place, Span
from filmcheck.reports import sarif, sarif_choice
from filmcheck.reports.baseline import compare, read_baseline
from filmcheck.reports.sarif import FINGERPRINT, LINE_HASH, fingerprint, sarif_text
from filmcheck.reports.sarif_choice import EVERY_KIND, UNSETTLED

SHEET = "jobs/Größe 40 %/hb-2041.yaml"


def at(line: int, column: int, file: str = SHEET, length: int = 4) -> Place:
    return Place(file, Span(line, column, line, column + length))


RULES = (
    RuleText(
        id="unwind-tension-high",
        title="Unwind tension is too high for a film liner",
        family="unwind and tension",
        level="error",
        from_stage="planned",
        because="Film is wound *softly*; pulled hard, the turns slide.",
        instead="Hold the unwind at or below {unwind.total_tension.allowed}.",
        basis="common practice",
    ),
    RuleText(
        id="ground-unchecked",
        title="The ground path was not checked",
        family="static",
        level="error",
        from_stage="set-up",
        because="Film charges.",
        instead="Check the ground path.",
        basis="published",
        caution="Shocks near flammable vapour can start a fire.",
    ),
)
TENSION = Finding(
    rule="unwind-tension-high",
    level="error",
    kind="fail",
    place=at(12, 24),
    says="The unwind pulls 1.21 lbf/in; a film roll slides above 1.00 lbf/in.",
    address="path/unwind/tension",
    job="HB-2041",
    arithmetic=("70 N ÷ 330 mm = 1.21 lbf/in",),
    instead="Hold the unwind at or below 57.8 N.",
    because="The turns slide.",
    basis="common practice",
    related=(Related(at(7, 14), "web width [330 mm](1) {x}"), Related(at(4, 3, "limits.yaml"), "limit")),
    edits=(Edit(at(12, 24), "57.8 N"), Edit(at(13, 1, length=0), "  note: x\n"), Edit(at(14, 1), "")),
)
GROUND = Finding(
    "ground-unchecked",
    "error",
    "open",
    at(3, 8),
    "Nobody knows.",
    job="HB-2041",
    caution="Fire.",
    missing=("date of the ground check",),
)
UNREGISTERED = Finding("syntax", "error", "fail", at(9, 1, "jobs/b.yaml"), "A bracket is not closed.")
REVIEW = replace(TENSION, kind="review", level="none", place=at(13, 2), edits=())
PASS = replace(TENSION, kind="pass", place=at(20, 2), related=(), edits=())
IDLE = replace(PASS, kind="notApplicable", place=at(21, 2))
WARNING = replace(TENSION, level="warning", place=at(30, 2), address="path/rewind/tension")
REPORT = Report(
    (TENSION, GROUND, UNREGISTERED, REVIEW, PASS, IDLE, WARNING),
    RULES,
    (SHEET, "jobs/b.yaml"),
    (Trouble("jobs/c.yaml", "not UTF-8"),),
    "0.1.0",
)
EMPTY = Report((), (), ())
FOLLOWING = replace(WARNING, place=at(31, 2), follows_from=TENSION.name)
LED = replace(REPORT, findings=(*REPORT.findings, FOLLOWING))
REPORTS = {"everything": REPORT, "empty": EMPTY, "findings without rules": replace(REPORT, rules=()), "led": LED}


def run_of(report: Report, **options: Any) -> dict[str, Any]:
    runs: list[dict[str, Any]] = json.loads(sarif_text(report, **{"kinds": EVERY_KIND, **options}))["runs"]
    assert len(runs) == 1
    return runs[0]


def result_of(finding: Finding) -> dict[str, Any]:
    result: dict[str, Any] = run_of(replace(REPORT, findings=(finding,)))["results"][0]
    return result


# --- against others' word


@pytest.fixture(scope="module")
def oasis() -> jsonschema.protocols.Validator:
    beside = Path(__file__).parents[2] / ".." / "shared" / "standards" / "sarif-schema-2.1.0.json"
    path = Path(os.environ.get("FILMCHECK_SARIF_SCHEMA") or beside)
    if not path.is_file():
        pytest.skip("the OASIS schema is not here; set FILMCHECK_SARIF_SCHEMA to sarif-schema-2.1.0.json")
    schema = json.loads(path.read_text(encoding="utf-8"))
    return jsonschema.Draft4Validator(schema, format_checker=jsonschema.Draft4Validator.FORMAT_CHECKER)


@pytest.mark.parametrize("report", REPORTS.values(), ids=REPORTS)
@pytest.mark.parametrize(
    "options", [{}, {"root": "/plants/hollin", "automation_id": "press/lint/", "kinds": EVERY_KIND}]
)
def test_the_log_obeys_the_schema(
    report: Report, options: dict[str, Any], oasis: jsonschema.protocols.Validator
) -> None:
    log = json.loads(sarif_text(report, **options))
    assert [error.message for error in oasis.iter_errors(log)] == []


def test_the_schema_would_notice(oasis: jsonschema.protocols.Validator) -> None:
    log = json.loads(sarif_text(REPORT))
    assert list(oasis.iter_errors(log)) == []
    log["runs"][0]["results"][0]["kind"] = "cannot tell"
    assert list(oasis.iter_errors(log))


READER = """
import json, sys
from sarif.loader import load_sarif_file
log = load_sarif_file(sys.argv[1])
print(json.dumps([log.get_distinct_tool_names(), log.get_result_count(), log.get_records()]))
"""


def test_an_independent_reader_finds_the_same(tmp_path: Path) -> None:
    # sarif-tools, in a process of its own: what it imports may warn, and here warnings are errors.
    file = tmp_path / "report.sarif"
    file.write_text(sarif_text(REPORT, kinds=EVERY_KIND), encoding="utf-8")
    asked = subprocess.run([sys.executable, "-c", READER, str(file)], capture_output=True, check=True, encoding="utf-8")
    tools, count, records = json.loads(asked.stdout)
    assert tools == ["filmcheck"]
    assert count == len(REPORT.findings)
    read = [
        (r["Code"], r["Severity"], unquote(r["Location"]), r["Line"], r["Description"].splitlines()[0]) for r in records
    ]
    ours = [
        (f.rule, f.level if f.kind == "fail" else "none", f.place.file, f.place.span.line, f.says)
        for f in REPORT.findings
    ]
    assert sorted(read) == sorted(ours)


# --- bytes


def test_the_bytes_do_not_hang_on_the_order_of_findings_rules_or_files() -> None:
    dice = random.Random(7)  # noqa: S311 - shuffling, not secrecy
    texts = set()
    for _ in range(5):
        shuffled = replace(
            REPORT,
            findings=tuple(dice.sample(REPORT.findings, len(REPORT.findings))),
            rules=tuple(dice.sample(REPORT.rules, len(REPORT.rules))),
            files=tuple(dice.sample(REPORT.files, len(REPORT.files))),
        )
        texts.add(sarif_text(shuffled))
    assert texts == {sarif_text(REPORT)}


def test_the_text_is_indented_by_two_and_ends_with_one_line_end() -> None:
    text = sarif_text(REPORT)
    assert text.startswith('{\n  "version": "2.1.0",\n  "$schema": "https://docs.oasis-open.org/')
    assert text.endswith("\n}\n")
    assert "\r" not in text


def test_a_file_name_that_is_no_utf8_can_still_be_written() -> None:
    odd = "jobs/\udce9.yaml"
    text = sarif_text(Report((replace(TENSION, place=at(1, 1, odd)),), RULES, (odd,), (Trouble(odd, odd),)))
    assert "jobs/%E9.yaml" in text
    assert text.encode("utf-8")


# --- results


@pytest.mark.parametrize("level", ["error", "warning", "note", "none"])
@pytest.mark.parametrize("kind", ["fail", "pass", "open", "review", "notApplicable"])
def test_a_level_goes_with_a_fault_only(kind: Kind, level: Level) -> None:
    # SARIF 2.1.0 §3.27.10
    result = result_of(replace(TENSION, kind=kind, level=level))
    assert (result["kind"], result["level"]) == (kind, level if kind == "fail" else "none")


def test_the_region_is_the_span_in_code_points_with_the_end_behind_the_last() -> None:
    line = "  - unwind: {tension: 70 N}   # 𝛍 is one code point"
    start = line.index("70 N") + 1
    result = result_of(replace(TENSION, place=Place(SHEET, Span(12, start, 12, start + 4))))
    region = result["locations"][0]["physicalLocation"]["region"]
    assert region == {"startLine": 12, "startColumn": start, "endLine": 12, "endColumn": start + 4}
    assert line[region["startColumn"] - 1 : region["endColumn"] - 1] == "70 N"
    assert run_of(REPORT)["columnKind"] == "unicodeCodePoints"


def test_rule_index_and_id_agree_and_an_unregistered_rule_has_no_index() -> None:
    run = run_of(REPORT)
    names = [rule["id"] for rule in run["tool"]["driver"]["rules"]]
    assert names == sorted(rule.id for rule in RULES)
    indexed = [result for result in run["results"] if "ruleIndex" in result]
    assert all(names[result["ruleIndex"]] == result["ruleId"] for result in indexed)
    assert [r["ruleId"] for r in run["results"] if "ruleIndex" not in r] == ["syntax"]


def test_the_message_begins_with_the_sentence_and_goes_on_with_the_sum_and_the_way_out() -> None:
    assert result_of(TENSION)["message"]["text"].splitlines() == [
        TENSION.says,
        "70 N ÷ 330 mm = 1.21 lbf/in",
        "Do: Hold the unwind at or below 57.8 N.",
    ]


def test_what_is_missing_stands_in_the_message_and_for_machines() -> None:
    result = result_of(GROUND)
    assert result["message"]["text"].splitlines()[1:] == [
        "Missing: date of the ground check",
        "Caution: Fire.",
    ]
    assert result["properties"]["missing"] == ["date of the ground check"]


def test_every_number_used_has_a_related_location_with_its_own_id() -> None:
    related = result_of(TENSION)["relatedLocations"]
    assert [location["id"] for location in related] == [1, 2]
    assert related[1]["physicalLocation"]["artifactLocation"]["uri"] == "limits.yaml"
    # §3.11.5: braces outside placeholders are doubled; §3.11.6: brackets that would make a link are escaped.
    assert related[0]["message"]["text"] == r"web width \[330 mm\](1) {{x}}"


def test_the_logical_location_is_the_datum_within_its_job() -> None:
    logical = result_of(TENSION)["locations"][0]["logicalLocations"]
    assert logical == [{"name": "tension", "fullyQualifiedName": "HB-2041/path/unwind/tension"}]
    assert "logicalLocations" not in result_of(UNREGISTERED)["locations"][0]


def test_a_fix_replaces_inserts_and_deletes() -> None:
    (fix,) = result_of(TENSION)["fixes"]
    (change,) = fix["artifactChanges"]
    put = [(r["deletedRegion"]["startLine"], r.get("insertedContent", {}).get("text")) for r in change["replacements"]]
    assert put == [(12, "57.8 N"), (13, "  note: x\n"), (14, None)]
    inserted = change["replacements"][1]["deletedRegion"]
    assert inserted["startColumn"] == inserted["endColumn"]
    assert fix["description"]["text"] == TENSION.instead
    assert "fixes" not in result_of(GROUND)


def test_the_fixes_of_two_files_are_one_correction() -> None:
    both = replace(TENSION, edits=(Edit(at(1, 1), "a"), Edit(at(1, 1, "jobs/b.yaml"), "b")))
    (fix,) = result_of(both)["fixes"]
    assert [change["artifactLocation"]["uri"] for change in fix["artifactChanges"]] == [
        "jobs/Gr%C3%B6%C3%9Fe%2040%20%25/hb-2041.yaml",
        "jobs/b.yaml",
    ]


# --- what becomes a result


def notes_of(run: dict[str, Any]) -> dict[str, str]:
    notes = run["invocations"][0].get("toolExecutionNotifications", [])
    return {note["descriptor"]["id"]: note["message"]["text"] for note in notes if "descriptor" in note}


PERMITTED = replace(REVIEW, place=at(40, 2), permit=Permit(REVIEW.rule, "trial", "quality", "2027-01-31", at(50, 1)))
NOT_JUDGED = "Not judged for want of data: 1; borderline: 2."


@pytest.mark.parametrize(
    ("options", "kinds", "note"),
    [
        ({}, {"fail": 3, "review": 1}, f"{NOT_JUDGED} With --kinds they are among the results."),
        ({"kinds": {"fail", *UNSETTLED}}, {"fail": 3, "review": 2, "open": 1}, NOT_JUDGED),
    ],
)
def test_a_log_holds_faults_and_what_is_accepted_and_counts_the_rest(
    options: dict[str, Any], kinds: dict[str, int], note: str
) -> None:
    report = replace(REPORT, findings=(*REPORT.findings, PERMITTED))
    (run,) = json.loads(sarif_text(report, **options))["runs"]
    assert Counter(result["kind"] for result in run["results"]) == kinds
    assert [result["kind"] for result in run["results"] if "suppressions" in result] == ["review"]
    assert notes_of(run)["not-judged"] == note


def test_what_follows_links_to_its_cause() -> None:
    (result,) = (one for one in run_of(LED)["results"] if "Follows from" in one["message"]["text"])
    cause = result["relatedLocations"][-1]
    assert result["message"]["text"].splitlines()[-1] == f"Follows from [unwind-tension-high]({cause['id']})."
    assert cause["physicalLocation"]["region"]["startLine"] == TENSION.place.span.line
    assert TENSION.says in cause["message"]["text"]


def test_a_cause_that_is_not_there_is_not_linked() -> None:
    assert "Follows from" not in sarif_text(replace(REPORT, findings=(FOLLOWING,)))


def test_a_log_has_an_end_keeps_the_gravest_and_is_still_a_baseline(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(sarif, "MOST_RESULTS", 10)
    monkeypatch.setattr(sarif_choice, "MOST_RESULTS", 10)
    warnings = [replace(WARNING, place=at(line, 2), address=f"path/{line}") for line in range(1, 10)]
    errors = [replace(TENSION, place=at(line, 2), address=f"path/{line}", related=()) for line in range(20, 25)]
    many = replace(REPORT, findings=(*warnings, *errors))
    text = sarif_text(many)
    (run,) = json.loads(text)["runs"]
    assert Counter(result["level"] for result in run["results"]) == {"error": 5, "warning": 5}
    assert "10 results: warning 4." in notes_of(run)["left-out"]
    (tmp_path / "known.sarif").write_text(text, encoding="utf-8")
    known = read_baseline(tmp_path / "known.sarif")
    another = replace(TENSION, says="The unwind pulls 2 lbf/in.")
    compared = compare(replace(many, findings=(*many.findings, another)), known)
    assert Counter(one.baseline for one in compared.findings) == {"unchanged": 14, "new": 1}
    assert len(compare(replace(many, findings=()), known).absent) == 10


@pytest.mark.slow
def test_a_log_fits_where_packed_logs_go(monkeypatch: pytest.MonkeyPatch) -> None:
    """Letters in no order hardly pack, so that half of these results, and half of them again, are too many."""
    monkeypatch.setattr(sarif, "MOST_PACKED", 100_000)
    words = [hashlib.shake_256(bytes([line])).hexdigest(1000) for line in range(1, 200)]
    many = [replace(TENSION, place=at(line, 2), says=word) for line, word in enumerate(words, 1)]
    text = sarif_text(replace(REPORT, findings=tuple(many)))
    (run,) = json.loads(text)["runs"]
    assert 50_000 < len(gzip.compress(text.encode())) <= 100_000
    assert len(run["results"]) + len(run["properties"]["leftOut"]) == 199
    assert "10 MB when packed: error" in notes_of(run)["left-out"]


# --- fingerprints

moved = st.builds(
    lambda file, line, column: Place(file, Span(line, column, line, column + 1)),
    st.text(min_size=1),
    st.integers(1, 10**6),
    st.integers(1, 10**4),
)


@settings(max_examples=50, deadline=None)
@given(moved, moved)
def test_a_fingerprint_stays_when_lines_move_and_files_are_renamed(place: Place, other: Place) -> None:
    elsewhere = replace(TENSION, place=place, related=(Related(other, "x"),), edits=())
    assert fingerprint(elsewhere) == fingerprint(TENSION)


@pytest.mark.parametrize(
    "change",
    [
        {"rule": "web-tension-high"},
        {"job": "HB-2042"},
        {"address": "path/rewind/tension"},
        {"says": TENSION.says.replace("1.21", "1.81")},
        {"job": "HB-2041path", "address": "/unwind/tension"},
    ],
)
def test_a_fingerprint_changes_with_the_fault(change: dict[str, str]) -> None:
    assert fingerprint(replace(TENSION, **change)) != fingerprint(TENSION)  # type: ignore[arg-type]


def test_the_fingerprint_in_use_is_kept_for_baselines() -> None:
    # Our own frozen recipe: an old baseline is worthless if it changes without a new name.
    recipe = '["unwind-tension-high", "HB-2041", "path/unwind/tension", "' + TENSION.says + '"]'
    expected = hashlib.sha256(recipe.encode("ascii")).hexdigest()
    assert result_of(TENSION)["partialFingerprints"][FINGERPRINT] == expected
    assert FINGERPRINT == "filmcheckAddress/v1"


def test_two_that_read_alike_in_one_file_have_line_hashes_of_their_own() -> None:
    twin = replace(TENSION, place=at(90, 2))
    elsewhere = replace(TENSION, place=at(1, 2, "jobs/b.yaml"))
    results = run_of(replace(REPORT, findings=(twin, TENSION, elsewhere)))["results"]
    start = fingerprint(TENSION)[:16]
    assert [one["partialFingerprints"][LINE_HASH] for one in results] == [f"{start}:{n}" for n in (1, 2, 1)]


# --- rules


@pytest.mark.parametrize(
    ("version", "semantic"), [("0.2.0", "0.2.0"), ("1.0.0-rc.1", "1.0.0-rc.1"), ("0.2", None), ("0.2.0.dev1", None)]
)
def test_a_semantic_version_is_given_only_where_it_is_one(version: str, semantic: str | None) -> None:
    # Semantic Versioning 2.0.0, 2 and 9, from memory.
    assert run_of(replace(REPORT, version=version))["tool"]["driver"].get("semanticVersion") == semantic


def test_a_rule_has_a_name_and_no_address_that_leads_nowhere() -> None:
    rules = run_of(REPORT)["tool"]["driver"]["rules"]
    assert [rule["name"] for rule in rules] == ["GroundUnchecked", "UnwindTensionHigh"]
    assert [rule["properties"]["precision"] for rule in rules] == ["high", "medium"]
    assert not any("helpUri" in rule or "security-severity" in rule["properties"] for rule in rules)


def test_a_rule_brings_its_help_in_words_and_in_markdown() -> None:
    tension = run_of(REPORT)["tool"]["driver"]["rules"][1]
    assert tension["shortDescription"]["text"] == RULES[0].title
    assert tension["defaultConfiguration"] == {"level": "error"}
    assert tension["properties"] == {
        "family": "unwind and tension",
        "fromStage": "planned",
        "tags": ["unwind and tension", "planned"],
        "precision": "medium",
    }
    assert tension["help"]["text"].split("\n\n") == [
        "Unwind tension is too high for a film liner",
        "Why: Film is wound *softly*; pulled hard, the turns slide.",
        "Do instead: Hold the unwind at or below ‹unwind.total_tension.allowed›.",
        "Basis: common practice",
    ]
    assert r"**Why:** Film is wound \*softly\*; pulled" in tension["help"]["markdown"]


def test_the_caution_is_in_the_help() -> None:
    ground = run_of(REPORT)["tool"]["driver"]["rules"][0]
    for form in ("text", "markdown"):
        assert RULES[1].caution in ground["help"][form]


# --- addresses, artifacts, invocation


def test_addresses_are_relative_encoded_and_lead_back_to_the_file() -> None:
    location = result_of(TENSION)["locations"][0]["physicalLocation"]["artifactLocation"]
    base = run_of(REPORT, root="/plants/hollin mill")["originalUriBaseIds"][location["uriBaseId"]]["uri"]
    # RFC 3986 §5 as the standard library resolves it
    assert urljoin(base, location["uri"]) == "file:///plants/hollin%20mill/" + location["uri"]
    assert unquote(location["uri"]) == SHEET


@pytest.mark.parametrize("name", ["a:b.yaml", "jobs/#1?.yaml", "jobs/100%25.yaml"])
def test_no_file_name_can_be_taken_for_another_part_of_an_address(name: str) -> None:
    uri = result_of(replace(TENSION, place=at(1, 1, name)))["locations"][0]["physicalLocation"]
    whole = urljoin("file:///plant/", uri["artifactLocation"]["uri"])
    assert unquote(whole.removeprefix("file:///plant/")) == name
    assert not set(whole.removeprefix("file:")) & set(":#?")


def test_no_path_of_the_machine_is_told_unless_the_root_is_given() -> None:
    assert "uri" not in run_of(REPORT)["originalUriBaseIds"]["PLANT"]
    assert "file://" not in sarif_text(REPORT)
    assert str(Path.cwd()) not in sarif_text(REPORT)


def test_a_relative_root_is_refused() -> None:
    with pytest.raises(ValueError, match="relative path"):
        sarif_text(REPORT, root="plants/hollin")


def test_an_absolute_file_has_no_base() -> None:
    location = result_of(replace(TENSION, place=at(1, 1, "/elsewhere/a b.yaml")))["locations"][0]
    artifact = location["physicalLocation"]["artifactLocation"]
    assert artifact["uri"] == "file:///elsewhere/a%20b.yaml"
    assert "uriBaseId" not in artifact


def artifact_locations(node: Any) -> list[dict[str, Any]]:
    if isinstance(node, list):
        return [found for item in node for found in artifact_locations(item)]
    if not isinstance(node, dict):
        return []
    own = [node["artifactLocation"]] if "artifactLocation" in node else []
    return own + [found for item in node.values() for found in artifact_locations(item)]


def test_every_address_points_into_the_list_of_artifacts() -> None:
    run = run_of(REPORT)
    used = artifact_locations(run)
    assert len(used) > len(REPORT.findings)
    assert all(run["artifacts"][each["index"]]["location"]["uri"] == each["uri"] for each in used)
    roles = {unquote(each["location"]["uri"]): each.get("roles") for each in run["artifacts"]}
    target = ["analysisTarget"]
    assert roles == {SHEET: target, "jobs/b.yaml": target, "jobs/c.yaml": target, "limits.yaml": None}


@pytest.mark.parametrize("successful", [True, False])
def test_the_invocation_tells_its_end_and_what_could_not_be_read(successful: bool) -> None:
    (invocation,) = run_of(REPORT, invocation_ok=successful)["invocations"]
    assert invocation["executionSuccessful"] is successful
    (note,) = (each for each in invocation["toolExecutionNotifications"] if "descriptor" not in each)
    assert (note["level"], note["message"]["text"]) == ("error", "not UTF-8")
    assert note["locations"][0]["physicalLocation"]["artifactLocation"]["uri"] == "jobs/c.yaml"
    assert "toolExecutionNotifications" not in run_of(EMPTY)["invocations"][0]


def test_a_run_without_findings_still_has_results() -> None:
    # §3.14.23: an empty array says "looked and found nothing"; an absent one, "did not look".
    assert run_of(EMPTY)["results"] == []


def test_the_run_is_named_when_a_name_is_given() -> None:
    assert run_of(REPORT, automation_id="lint/night/")["automationDetails"] == {"id": "lint/night/"}
    assert "automationDetails" not in run_of(REPORT)
