"""A baseline: the findings that a SARIF log of an earlier run knows, held against those of this one."""

from __future__ import annotations

import json
import os
import stat
from collections import defaultdict
from dataclasses import replace
from pathlib import Path
from typing import Any, cast
from urllib.parse import unquote

from filmcheck.records.errors import UseError
from filmcheck.records.finding import LEVELS, Finding, Level, Permit, Report
from filmcheck.records.place import Place, Span
from filmcheck.reports.sarif import FINGERPRINT, LEFT_OUT, fingerprint

Known = dict[str, list[Finding]]
LARGEST = 100_000_000
"""Bytes of a log that is still read: room for 5,000 results and a million marks of others."""
UNSHOWN = Finding("", "none", "fail", Place("", Span(1, 1, 1, 1)), "")
"""A fault that the log had no room for: nothing but its mark is known."""


def read_baseline(path: Path) -> Known:
    """Read the faults of a SARIF log by their fingerprint. Raises UseError for what is no log of filmcheck."""
    runs = _at(_json(path), "runs")
    if not isinstance(runs, list):
        raise _unfit(path, "it is no SARIF log: it has no runs")
    if runs and not any(map(_is_ours, runs)):
        raise _unfit(path, "it is the log of another tool, so its results cannot be compared")
    known: Known = defaultdict(list)
    for result in (result for run in runs for result in _dicts(run, "results") if _is_ours(run)):
        if result.get("kind", "fail") == "fail" and result.get("baselineState") != "absent":
            mark = _at(result, "partialFingerprints", FINGERPRINT)
            if not isinstance(mark, str):
                raise _unfit(path, "a fault in it has no mark to know it by")
            known[mark].append(_finding(result))
    for mark in (mark for run in runs if _is_ours(run) for mark in _left_out(run)):
        known[mark].append(UNSHOWN)
    return known


def _left_out(run: dict[str, Any]) -> list[str]:
    marks = _at(run, "properties", LEFT_OUT)
    return [mark for mark in marks if isinstance(mark, str)] if isinstance(marks, list) else []


def compare(report: Report, known: Known) -> Report:
    """Give the report with the state of each fault: new, unchanged, or updated where level or place differ.

    A fault whose numbers have changed is a new one, and so is one that was accepted by a permit and no longer is.
    What the baseline knows and a run over the whole plant does not is absent; a lesser run cannot tell. Of what the
    log had no room for nobody can say where it stood: it is unchanged where it is still there, and else not told.
    """
    left = {mark: list(findings) for mark, findings in known.items()}
    findings = tuple(_stated(finding, left) if finding.kind == "fail" else finding for finding in report.findings)
    rest = (finding for findings_left in left.values() for finding in findings_left) if report.whole else ()
    gone = [replace(finding, baseline="absent", permit=None) for finding in rest if finding is not UNSHOWN]
    absent = tuple(sorted(gone, key=lambda finding: (finding.place, finding.rule, finding.says)))
    return replace(report, findings=findings, absent=absent)


def _stated(finding: Finding, left: Known) -> Finding:
    twins = left.get(fingerprint(finding))
    if not twins:
        return replace(finding, baseline="new")
    twin = min(twins, key=lambda twin: _unlike(twin, finding))
    twins.remove(twin)
    if twin.permit is not None and finding.permit is None:
        return replace(finding, baseline="new")
    same = twin is UNSHOWN or (twin.place == finding.place and twin.level == finding.level)
    return replace(finding, baseline="unchanged" if same else "updated")


def _unlike(twin: Finding, finding: Finding) -> tuple[bool, bool, bool]:
    accepted = (twin.permit is None, finding.permit is None)
    return accepted[0] != accepted[1], twin.place != finding.place, twin.level != finding.level


def _json(path: Path) -> object:
    try:
        return json.loads(_content(path).decode("utf-8-sig"))
    except OSError as error:
        raise _unfit(path, f"it cannot be read: {error.strerror}") from error
    except (ValueError, RecursionError) as error:
        raise _unfit(path, "it is no JSON") from error


def _content(path: Path) -> bytes:
    """Read an ordinary file of bounded size: a pipe may never give anything, a device never end."""
    handle = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
    with open(handle, "rb") as file:
        if not stat.S_ISREG(os.fstat(handle).st_mode):
            raise _unfit(path, "it is no ordinary file")
        content = file.read(LARGEST + 1)
    if len(content) > LARGEST:
        raise _unfit(path, f"it is larger than {LARGEST / 1e6:.0f} MB")
    return content


def _unfit(path: Path, why: str) -> UseError:
    way_out = "Write one with: filmcheck lint JOBS --format sarif --to baseline.sarif"
    return UseError(f"the baseline {path} cannot be used: {why}", way_out=way_out)


def _is_ours(run: object) -> bool:
    return bool(_at(run, "tool", "driver", "name") == "filmcheck")


def _at(holder: Any, *names: str) -> Any:
    """Follow names down; None where one leads nowhere."""
    for name in names:
        holder = holder.get(name) if isinstance(holder, dict) else None
    return holder


def _text(holder: object, *names: str) -> str:
    found = _at(holder, *names)
    return found if isinstance(found, str) else ""


def _dicts(holder: object, name: str) -> list[dict[str, Any]]:
    found = _at(holder, name)
    return [item for item in found if isinstance(item, dict)] if isinstance(found, list) else []


def _finding(result: dict[str, Any]) -> Finding:
    """Give back as much of a finding as a report of absent ones needs."""
    level = result.get("level")
    location = next(iter(_dicts(result, "locations")), {})
    logical = next(iter(_dicts(location, "logicalLocations")), {})
    job, _, address = _text(logical, "fullyQualifiedName").partition("/")
    place = _place(location)
    accepted = any(each.get("status", "accepted") == "accepted" for each in _dicts(result, "suppressions"))
    rule = _text(result, "ruleId")
    return Finding(
        rule=rule,
        level=cast(Level, level) if level in LEVELS else "warning",
        kind="fail",
        place=place,
        says=_text(result, "message", "text").split("\n", 1)[0],
        address=address,
        job=job,
        permit=Permit(rule, "", "", "", place) if accepted else None,
    )


def _place(location: dict[str, Any]) -> Place:
    region = _at(location, "physicalLocation", "region")
    line, column = _whole(region, "startLine", 1), _whole(region, "startColumn", 1)
    span = Span(line, column, _whole(region, "endLine", line), _whole(region, "endColumn", column))
    return Place(unquote(_text(location, "physicalLocation", "artifactLocation", "uri")), span)


def _whole(region: object, name: str, otherwise: int) -> int:
    value = _at(region, name)
    return value if isinstance(value, int) and value > 0 else otherwise
