"""The report for machines: SARIF 2.1.0 with errata 01 (OASIS, 2023); section numbers are from memory."""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Iterable
from pathlib import PurePath
from typing import Any
from urllib.parse import quote

from filmcheck.records.finding import LEVELS, Edit, Finding, Notice, Report, RuleText
from filmcheck.records.place import SHIPPED, Place, Span

SCHEMA = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
BASE_ID = "PLANT"
SHIPPED_ID = "FILMCHECK"
"""The base that every relative address hangs on: the folder in which filmcheck ran."""

FINGERPRINT = "filmcheckAddress/v1"

Json = dict[str, Any]

MOST_NAMED = 100
"""Files that one notification names; its text counts all of them."""


def sarif_text(
    report: Report, *, root: str | None = None, invocation_ok: bool = True, automation_id: str | None = None
) -> str:
    """Write ``sarif_report`` as JSON, indented by two spaces: the same report gives the same bytes."""
    log = sarif_report(report, root=root, invocation_ok=invocation_ok, automation_id=automation_id)
    text = json.dumps(log, ensure_ascii=False, indent=2) + "\n"
    # A file name that is no UTF-8 brings lone surrogates, which no JSON file may hold (RFC 8259 §8.1).
    return text.encode("utf-8", "replace").decode("utf-8")


def sarif_report(
    report: Report, *, root: str | None = None, invocation_ok: bool = True, automation_id: str | None = None
) -> Json:
    """Turn ``report`` into a SARIF log with one run.

    ``root`` is the absolute path of the plant's folder; without it no path of the machine gets into the log
    (§3.14.14). A relative one raises ``ValueError``. ``invocation_ok`` says whether the run came to its end.
    ``automation_id`` names the run among its like (§3.17.3). Results, rules and artifacts are sorted.
    """
    files = _files(report)
    targets = {*report.files, *(trouble.file for trouble in report.troubles)}
    rules = sorted(report.rules, key=lambda rule: rule.id)
    places = _Places({file: index for index, file in enumerate(files)})
    index = {rule.id: number for number, rule in enumerate(rules)}
    run: Json = {
        "tool": {"driver": _driver(report.version, rules)},
        "invocations": [_invocation(report, invocation_ok, places)],
        "originalUriBaseIds": {BASE_ID: _base(root), SHIPPED_ID: _SHIPPED_BASE},
        "columnKind": "unicodeCodePoints",
        "artifacts": [_artifact(file, file in targets, places) for file in files],
        "results": [
            _result(finding, index, places) for finding in sorted((*report.findings, *report.absent), key=_order)
        ],
    }
    if automation_id:
        run["automationDetails"] = {"id": automation_id}
    return {"version": "2.1.0", "$schema": SCHEMA, "runs": [run]}


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


# --- tool


def _driver(version: str, rules: list[RuleText]) -> Json:
    return {
        "name": "filmcheck",
        **_given(version=version),
        "rules": [_descriptor(rule) for rule in rules],
    }


def _descriptor(rule: RuleText) -> Json:
    return {
        "id": rule.id,
        "shortDescription": {"text": _message_text(_figures_named(rule.title or rule.id))},
        "fullDescription": {"text": _message_text(_figures_named(rule.because or rule.title or rule.id))},
        "help": _help(rule),
        "defaultConfiguration": {"level": rule.level},
        "properties": {"family": rule.family, **_given(fromStage=rule.from_stage)},
    }


def _help(rule: RuleText) -> Json:
    rows = [
        ("Why", rule.because),
        ("Do instead", rule.instead),
        ("Basis", rule.basis),
        ("Caution", rule.caution),
    ]
    named = [(label, _figures_named(text)) for label, text in rows if text]
    plain = [_figures_named(rule.title or rule.id), *(f"{label}: {text}" for label, text in named)]
    marked = [f"## {_markdown(plain[0])}", *(f"**{label}:** {_markdown(text)}" for label, text in named)]
    return {"text": _message_text("\n\n".join(plain)), "markdown": _doubled("\n\n".join(marked))}


def _figures_named(text: str) -> str:
    """Show the name of a figure that a rule puts into its sentence: outside a job there is no number yet."""
    return re.sub(r"\{([^{}]*)\}", r"‹\1›", text)


def _markdown(text: str) -> str:
    return re.sub(r"([\\`*_<>\[\]#|~])", r"\\\1", text)


def _doubled(text: str) -> str:
    """Double braces, which would else stand for an argument (§3.11.5)."""
    return text.replace("{", "{{").replace("}", "}}")


def _message_text(text: str) -> str:
    """Escape what a plain text message gives a meaning: arguments (§3.11.5) and embedded links (§3.11.6)."""
    return re.sub(r"\[([^\[\]]*)\]\(", r"\\[\1\\](", _doubled(text))


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
    return {"executionSuccessful": successful, **_given(toolExecutionNotifications=notes)}


def _counted(notice: Notice) -> str:
    return f"{notice.text} ({len(notice.files)})" if notice.files else notice.text


def _notification(level: str, text: str, files: tuple[str, ...], places: _Places) -> Json:
    where = [{"physicalLocation": {"artifactLocation": places.artifact(file)}} for file in files]
    return {"level": level, "message": {"text": _message_text(text)}, **_given(locations=where)}


_SHIPPED_BASE: Json = {"description": {"text": "What came with filmcheck, wherever that is installed."}}


def _base(root: str | None) -> Json:
    told = "The folder in which filmcheck ran: the root of the plant's repository, as a rule."
    described: Json = {"description": {"text": told}}
    if root is None:
        return described
    # The address of a base must end with a slash (§3.14.14).
    return {"uri": PurePath(root).as_uri().rstrip("/") + "/", **described}


def _files(report: Report) -> list[str]:
    named = {*report.files, *(trouble.file for trouble in report.troubles)}
    named |= {file for notice in report.notices for file in notice.files[:MOST_NAMED]}
    for finding in (*report.findings, *report.absent):
        named.add(finding.place.file)
        named |= {finding.permit.place.file} if finding.permit else set()
        named |= {related.place.file for related in finding.related}
        named |= {edit.place.file for edit in finding.edits}
    return sorted(named)


def _artifact(file: str, target: bool, places: _Places) -> Json:
    """Describe a file. One that is only referred to has no role that SARIF names (§3.24.6)."""
    location = {key: value for key, value in places.artifact(file).items() if key != "index"}
    return {"location": location, **_given(roles=["analysisTarget"] * target)}


# --- results


def _result(finding: Finding, index: dict[str, int], places: _Places) -> Json:
    known = {"ruleIndex": index[finding.rule]} if finding.rule in index else {}
    logical = _logical(finding)
    return {
        "ruleId": finding.rule,
        **known,
        "kind": finding.kind,
        # A level goes with a fault only (§3.27.10).
        "level": finding.level if finding.kind == "fail" else "none",
        "message": {"text": _message_text(_told(finding))},
        "locations": [{**places.location(finding.place), **_given(logicalLocations=logical)}],
        **_given(relatedLocations=_related(finding, places), fixes=_fixes(finding, places)),
        "partialFingerprints": {FINGERPRINT: fingerprint(finding)},
        **_given(suppressions=_suppressions(finding, places), baselineState=finding.baseline),
        **_given(properties=_properties(finding)),
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
            "justification": _message_text(text),
            "location": places.location(permit.place),
        }
    ]


def _told(finding: Finding) -> str:
    """Tell the whole finding: the sentence alone on the first line, for some viewers show no more."""
    rest = [
        *finding.arithmetic,
        *(f"Missing: {text}" for text in finding.missing),
        *(f"{label}: {text}" for label, text in _given(Do=finding.instead, Caution=finding.caution).items()),
    ]
    return "\n".join([" ".join(finding.says.split()), *rest])


def _logical(finding: Finding) -> list[Json]:
    parts = [part for part in (finding.job, finding.address) if part]
    if not parts:
        return []
    name = parts[-1].rsplit("/", 1)[-1]
    return [{"name": name, "fullyQualifiedName": "/".join(parts)}]


def _related(finding: Finding, places: _Places) -> list[Json]:
    return [
        {"id": number, **places.location(each.place), "message": {"text": _message_text(each.text)}}
        for number, each in enumerate(finding.related, start=1)
    ]


def _fixes(finding: Finding, places: _Places) -> list[Json]:
    if not finding.edits:
        return []
    by_file: dict[str, list[Edit]] = {}
    for edit in finding.edits:
        by_file.setdefault(edit.place.file, []).append(edit)
    changes = [
        {"artifactLocation": places.artifact(file), "replacements": _replacements(by_file[file])}
        for file in sorted(by_file)
    ]
    words = {"text": _message_text(finding.instead)}
    return [{**_given(description=words if finding.instead else None), "artifactChanges": changes}]


def _replacements(edits: Iterable[Edit]) -> list[Json]:
    """Give the edits of one file in the order given: where two insert at one place, order has a meaning."""
    return [
        {
            "deletedRegion": _region(edit.place.span),
            **_given(insertedContent={"text": edit.text} if edit.text else None),
        }
        for edit in edits
    ]


def _properties(finding: Finding) -> Json:
    return _given(missing=list(finding.missing), because=finding.because, basis=finding.basis)


def _given(**members: Any) -> Json:
    """Keep the members that hold something: SARIF would rather have none than an empty one."""
    return {name: member for name, member in members.items() if member}


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
