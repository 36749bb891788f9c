"""A baseline: the findings that a SARIF log of an earlier run knows, held against those of this one."""

from __future__ import annotations

import json
from collections import defaultdict
from dataclasses import replace
from pathlib import Path
from typing import Any, cast
from urllib.parse import unquote

from filmcheck.errors import UseError
from filmcheck.finding import LEVELS, Finding, Level, Report
from filmcheck.position import Place, Span
from filmcheck.reports.sarif import FINGERPRINT, fingerprint

Known = dict[str, list[Finding]]
LARGEST = 400_000_000
"""Bytes of a log that is still read."""


def read_baseline(path: Path) -> Known:
    """Read the faults of a SARIF log by their fingerprint. Raises UseError for what is no log of filmcheck."""
    log = _json(path)
    runs = log.get("runs") if isinstance(log, dict) else None
    if not isinstance(runs, list):
        raise _unfit(path, "it is no SARIF log: it has no runs")
    known: Known = defaultdict(list)
    for run in runs:
        for result in _dicts(run, "results"):
            prints = result.get("partialFingerprints")
            mark = prints.get(FINGERPRINT) if isinstance(prints, dict) else None
            if (
                isinstance(mark, str)
                and result.get("kind", "fail") == "fail"
                and result.get("baselineState") != "absent"
            ):
                known[mark].append(_finding(result))
    if not known and any(_dicts(run, "results") for run in runs) and not _is_ours(runs):
        raise _unfit(path, "it is the log of another tool, so its results cannot be compared")
    return known


def compare(report: Report, known: Known) -> Report:
    """Give the report with the state of each fault: new, unchanged, or updated where level or place differ.

    A fault whose numbers have changed is a new one. What the baseline knows and this run does not is absent.
    """
    left = {mark: list(findings) for mark, findings in known.items()}
    findings = tuple(_stated(finding, left) if finding.kind == "fail" else finding for finding in report.findings)
    gone = [replace(finding, baseline="absent") for findings_left in left.values() for finding in findings_left]
    absent = tuple(sorted(gone, key=lambda finding: (finding.place, finding.rule, finding.says)))
    return replace(report, findings=findings, absent=absent)


def _stated(finding: Finding, left: Known) -> Finding:
    twins = left.get(fingerprint(finding))
    if not twins:
        return replace(finding, baseline="new")
    same = next((twin for twin in twins if twin.place == finding.place and twin.level == finding.level), None)
    twins.remove(same or twins[0])
    return replace(finding, baseline="unchanged" if same else "updated")


def _json(path: Path) -> object:
    try:
        if path.stat().st_size > LARGEST:
            raise _unfit(path, "it is larger than 400 MB")
        return json.loads(path.read_text(encoding="utf-8"))
    except OSError as error:
        raise _unfit(path, f"it cannot be read: {error.strerror}") from error
    except (ValueError, RecursionError) as error:
        raise _unfit(path, "it is no JSON") from error


def _unfit(path: Path, why: str) -> UseError:
    way_out = "Write one with: filmcheck lint JOBS --format sarif --to baseline.sarif"
    return UseError(f"the baseline {path} cannot be used: {why}", way_out=way_out)


def _is_ours(runs: list[Any]) -> bool:
    drivers = [run["tool"]["driver"] for run in runs if isinstance(run, dict) and isinstance(run.get("tool"), dict)]
    return any(isinstance(driver, dict) and driver.get("name") == "filmcheck" for driver in drivers)


def _dicts(holder: object, name: str) -> list[dict[str, Any]]:
    found = holder.get(name) if isinstance(holder, dict) else None
    return [item for item in found if isinstance(item, dict)] if isinstance(found, list) else []


def _finding(result: dict[str, Any]) -> Finding:
    """Give back as much of a finding as a report of absent ones needs."""
    level = result.get("level")
    message = result.get("message")
    text = message.get("text", "") if isinstance(message, dict) else ""
    locations = _dicts(result, "locations")
    logical = _dicts(locations[0], "logicalLocations") if locations else []
    name = str(logical[0].get("fullyQualifiedName", "")) if logical else ""
    job, _, address = name.partition("/")
    return Finding(
        rule=str(result.get("ruleId", "")),
        level=cast(Level, level) if level in LEVELS else "warning",
        kind="fail",
        place=_place(locations[0] if locations else {}),
        says=str(text).split("\n", 1)[0],
        address=address,
        job=job,
    )


def _place(location: dict[str, Any]) -> Place:
    physical = location.get("physicalLocation")
    parts = physical if isinstance(physical, dict) else {}
    artifact, region = parts.get("artifactLocation"), parts.get("region")
    uri = artifact.get("uri", "") if isinstance(artifact, dict) else ""
    numbers = region if isinstance(region, dict) else {}
    line, column = _whole(numbers, "startLine", 1), _whole(numbers, "startColumn", 1)
    span = Span(line, column, _whole(numbers, "endLine", line), _whole(numbers, "endColumn", column))
    return Place(unquote(str(uri)), span)


def _whole(numbers: dict[str, Any], name: str, otherwise: int) -> int:
    value = numbers.get(name)
    return value if isinstance(value, int) and value > 0 else otherwise
