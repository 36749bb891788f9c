"""The report for machines: SARIF 2.1.0 with errata 01 (OASIS, 2023); section numbers are from memory."""

from __future__ import annotations

import hashlib
import json
import re
import zlib
from collections import Counter
from collections.abc import Iterable, Iterator, Set
from itertools import chain
from pathlib import PurePath
from urllib.parse import quote

from filmcheck.records.finding import LEVELS, Edit, Finding, Kind, Notice, Report
from filmcheck.records.place import SHIPPED, Place, Span
from filmcheck.reports.json_text import json_pieces
from filmcheck.reports.sarif_choice import FAULTS, MOST_RESULTS, Chosen, chosen
from filmcheck.reports.sarif_rules import Json, driver, given, message_text

SCHEMA = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
BASE_ID = "PLANT"
SHIPPED_ID = "FILMCHECK"
"""The base that every relative address hangs on: the folder in which filmcheck ran."""

FINGERPRINT = "filmcheckAddress/v1"
LINE_HASH = "primaryLocationLineHash"
"""The mark by which services that host code know a result again; they ask for no more than that it stays the same."""
LEFT_OUT = "leftOut"
"""Property of the run: the marks of the faults that it has no room for, so that a baseline knows them all the same."""

MOST_PACKED = 10_000_000
"""Bytes that a log has at most when packed: services that host code take no more (from memory of their manuals)."""
_LEVELS_IN_PIECES = 4
"""The log, its runs, the run, and its lists: each result and each artifact is one piece."""
MOST_NAMED = 100
"""Files that one notification names; its text counts all of them."""


def sarif_text(
    report: Report,
    *,
    root: str | None = None,
    invocation_ok: bool = True,
    automation_id: str | None = None,
    kinds: Set[Kind] = FAULTS,
) -> str:
    """Write ``report`` as a SARIF log with one run, indented by two spaces: the same report gives the same bytes.

    ``root`` is the absolute path of the plant's folder; without it no path of the machine gets into the log
    (§3.14.14). A relative one raises ``ValueError``. ``invocation_ok`` says whether the run came to its end.
    ``automation_id`` names the run among its like (§3.17.3). Results, rules and artifacts are sorted. ``kinds`` says
    what becomes a result; of what a permit accepts everything does, and no more than ``MOST_RESULTS`` of all, fewer
    where the log would still be too large when packed. The rest is counted in notifications.
    """
    most = MOST_RESULTS
    while True:
        run = _run(chosen(report, kinds, most), root, invocation_ok, automation_id)
        pieces = json_pieces({"version": "2.1.0", "$schema": SCHEMA, "runs": [run]}, _LEVELS_IN_PIECES)
        # A file name that is no UTF-8 brings lone surrogates, which no JSON file may hold (RFC 8259 §8.1).
        text = b"".join(piece.encode("utf-8", "replace") for piece in chain(pieces, "\n"))
        if most <= 1 or len(text) <= MOST_PACKED or len(zlib.compress(text)) <= MOST_PACKED:
            return text.decode("utf-8")
        most //= 2


def _run(taken: Chosen, root: str | None, invocation_ok: bool, automation_id: str | None) -> Json:
    """Describe the run; its artifacts and results are made one by one as they are written."""
    report, files = taken.report, _files(taken)
    targets = {*report.files, *(trouble.file for trouble in report.troubles)}
    rules = sorted(report.rules, key=lambda rule: rule.id)
    places = _Places({file: index for index, file in enumerate(files)})
    run: Json = {
        "tool": {"driver": driver(report.version, rules)},
        "invocations": [_invocation(report, invocation_ok, places)],
        "originalUriBaseIds": {BASE_ID: _base(root), SHIPPED_ID: _SHIPPED_BASE},
        "columnKind": "unicodeCodePoints",
        "artifacts": (_artifact(file, file in targets, places) for file in files),
        "results": _results(taken, {rule.id: number for number, rule in enumerate(rules)}, places),
    }
    if automation_id:
        run["automationDetails"] = {"id": automation_id}
    if taken.left_out:
        run["properties"] = {LEFT_OUT: sorted(map(fingerprint, taken.left_out))}
    return run


def fingerprint(finding: Finding) -> str:
    """Give 64 hex digits that stay when lines move, files are renamed and keys change places.

    They change with the rule, the job, the datum or the sentence: a tension that has gone from 60 N to 90 N
    is another fault, so a baseline that knows the first does not hide the second.
    """
    parts = [finding.rule, finding.job, finding.address, _placeless(finding)]
    return hashlib.sha256(json.dumps(parts).encode("ascii")).hexdigest()


def _placeless(finding: Finding) -> str:
    """Give the sentence without the numbers of the lines that it names."""
    return re.sub(r"\bline [0-9]+", "line …", " ".join(finding.says.split()))


def _order(finding: Finding) -> tuple[Place, int, str, str, str, str]:
    grade = LEVELS.index(finding.level)
    return finding.place, grade, finding.rule, finding.address, finding.kind, finding.says


# --- run


def _invocation(report: Report, successful: bool, places: _Places) -> Json:
    notes = [
        _notification("error", trouble.text, (trouble.file,), places)
        for trouble in sorted(report.troubles, key=lambda trouble: (trouble.file, trouble.text))
    ]
    notes += [
        {"descriptor": {"id": notice.id}, **_notification("note", _counted(notice), notice.files[:MOST_NAMED], places)}
        for notice in report.notices
    ]
    return {"executionSuccessful": successful, **given(toolExecutionNotifications=notes)}


def _counted(notice: Notice) -> str:
    return f"{notice.text} ({len(notice.files)})" if notice.files else notice.text


def _notification(level: str, text: str, files: tuple[str, ...], places: _Places) -> Json:
    where = [{"physicalLocation": {"artifactLocation": places.artifact(file)}} for file in files]
    return {"level": level, "message": {"text": message_text(text)}, **given(locations=where)}


_SHIPPED_BASE: Json = {"description": {"text": "What came with filmcheck, wherever that is installed."}}


def _base(root: str | None) -> Json:
    told = "The folder in which filmcheck ran: the root of the plant's repository, as a rule."
    described: Json = {"description": {"text": told}}
    if root is None:
        return described
    # The address of a base must end with a slash (§3.14.14).
    return {"uri": PurePath(root).as_uri().rstrip("/") + "/", **described}


def _files(taken: Chosen) -> list[str]:
    report = taken.report
    named = {*report.files, *(trouble.file for trouble in report.troubles)}
    named |= {file for notice in report.notices for file in notice.files[:MOST_NAMED]}
    for finding in (*report.findings, *report.absent):
        named.add(finding.place.file)
        named |= {finding.permit.place.file} if finding.permit else set()
        named |= {related.place.file for related in finding.related}
        named |= {edit.place.file for edit in finding.edits}
        cause = taken.cause(finding)
        named |= {cause.place.file} if cause else set()
    return sorted(named)


def _artifact(file: str, target: bool, places: _Places) -> Json:
    """Describe a file. One that is only referred to has no role that SARIF names (§3.24.6)."""
    location = {key: value for key, value in places.artifact(file).items() if key != "index"}
    return {"location": location, **given(roles=["analysisTarget"] * target)}


# --- results


def _results(taken: Chosen, index: dict[str, int], places: _Places) -> Iterator[Json]:
    twins: Counter[tuple[str, str]] = Counter()
    for finding in sorted((*taken.report.findings, *taken.report.absent), key=_order):
        result = _result(finding, taken.cause(finding), index, places)
        mark = fingerprint(finding)
        twins[mark, finding.place.file] += 1
        # Of two that read alike in one file each needs a mark of its own, or a service shows but one.
        line_hash = f"{mark[:16]}:{twins[mark, finding.place.file]}"
        result["partialFingerprints"] = {FINGERPRINT: mark, LINE_HASH: line_hash}
        yield result


def _result(finding: Finding, cause: Finding | None, index: dict[str, int], places: _Places) -> Json:
    known = {"ruleIndex": index[finding.rule]} if finding.rule in index else {}
    logical = _logical(finding)
    return {
        "ruleId": finding.rule,
        **known,
        "kind": finding.kind,
        # A level goes with a fault only (§3.27.10).
        "level": finding.level if finding.kind == "fail" else "none",
        "message": {"text": _message(finding, cause)},
        "locations": [{**places.location(finding.place), **given(logicalLocations=logical)}],
        **given(relatedLocations=_related(finding, cause, places), fixes=_fixes(finding, places)),
        **given(suppressions=_suppressions(finding, places), baselineState=finding.baseline),
        **given(properties=given(missing=list(finding.missing), because=finding.because, basis=finding.basis)),
    }


def _suppressions(finding: Finding, places: _Places) -> list[Json]:
    """Give the permit that accepts a finding (§3.35): on the sheet itself, or in the plant's file of permits."""
    permit = finding.permit
    if permit is None:
        return []
    end = f" until {permit.until}" if permit.until else ""
    word = "Concession" if permit.granted_after else "Deviation permit"
    text = f"{word} by {permit.approved_by}{end}: {permit.reason}" + (
        f" Caution: {permit.caution}" * bool(permit.caution)
    )
    return [
        {
            "kind": "inSource" if permit.on_sheet else "external",
            "status": "accepted",
            "justification": message_text(text),
            "location": places.location(permit.place),
        }
    ]


def _message(finding: Finding, cause: Finding | None) -> str:
    """Tell the finding; of one that follows from another the last line is a link to that one (§3.11.6)."""
    text = message_text(_told(finding))
    if cause is None:
        return text
    return f"{text}\nFollows from [{message_text(cause.rule)}]({len(finding.related) + 1})."


def _told(finding: Finding) -> str:
    """Tell the whole finding: the sentence alone on the first line, for some viewers show no more."""
    rest = [
        *finding.arithmetic,
        *(f"Missing: {text}" for text in finding.missing),
        *(f"{label}: {text}" for label, text in given(Do=finding.instead, Caution=finding.caution).items()),
    ]
    return "\n".join([" ".join(finding.says.split()), *rest])


def _logical(finding: Finding) -> list[Json]:
    parts = [part for part in (finding.job, finding.address) if part]
    if not parts:
        return []
    name = parts[-1].rsplit("/", 1)[-1]
    return [{"name": name, "fullyQualifiedName": "/".join(parts)}]


def _related(finding: Finding, cause: Finding | None, places: _Places) -> list[Json]:
    told = [(each.place, each.text) for each in finding.related]
    told += [(cause.place, f"The cause: {' '.join(cause.says.split())}")] if cause else []
    return [
        {"id": number, **places.location(place), "message": {"text": message_text(text)}}
        for number, (place, text) in enumerate(told, start=1)
    ]


def _fixes(finding: Finding, places: _Places) -> list[Json]:
    if not finding.edits or finding.is_past:
        return []
    by_file: dict[str, list[Edit]] = {}
    for edit in finding.edits:
        by_file.setdefault(edit.place.file, []).append(edit)
    changes = [
        {"artifactLocation": places.artifact(file), "replacements": _replacements(by_file[file])}
        for file in sorted(by_file)
    ]
    words = {"text": message_text(finding.instead)}
    return [{**given(description=words if finding.instead else None), "artifactChanges": changes}]


def _replacements(edits: Iterable[Edit]) -> list[Json]:
    """Give the edits of one file in the order given: where two insert at one place, order has a meaning."""
    return [
        {
            "deletedRegion": _region(edit.place.span),
            **given(insertedContent={"text": edit.text} if edit.text else None),
        }
        for edit in edits
    ]


# --- places


class _Places:
    """Addresses of files and stretches of text, each file with its index among the artifacts."""

    def __init__(self, index: dict[str, int]) -> None:
        self._index = index

    def artifact(self, file: str) -> Json:
        return {**_uri(file), "index": self._index[file]}

    def location(self, place: Place) -> Json:
        return {
            "physicalLocation": {
                "artifactLocation": self.artifact(place.file),
                "region": _region(place.span),
            }
        }


def _uri(file: str) -> Json:
    # Only a relative address may name a base (§3.4.4).
    if file.startswith("/"):
        return {"uri": "file://" + quote(file, errors="surrogateescape")}
    if file.startswith(SHIPPED):
        return {"uri": quote("rules/" + file.removeprefix(SHIPPED)), "uriBaseId": SHIPPED_ID}
    return {"uri": quote(file, errors="surrogateescape"), "uriBaseId": BASE_ID}


def _region(span: Span) -> Json:
    """Give the stretch as it is: SARIF too counts from 1 and sets the end behind the last one (§3.30.8)."""
    return {
        "startLine": span.line,
        "startColumn": span.column,
        "endLine": span.end_line,
        "endColumn": span.end_column,
    }
