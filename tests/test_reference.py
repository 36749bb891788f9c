"""The reference of the shipped rules is the one that the rules give now, and reads as Markdown."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from click.testing import CliRunner

from filmcheck.cli.rules import rules_command
from filmcheck.reports.rule_reference import anchor

ROOT = Path(__file__).resolve().parent.parent
REFERENCE = ROOT / "rules" / "REFERENCE.md"
RENEW = "python -m filmcheck rules show --format markdown > rules/REFERENCE.md"


@pytest.fixture(scope="module")
def reference() -> str:
    result = CliRunner().invoke(rules_command, ["show", "--format", "markdown"])
    assert result.exit_code == 0, result.output
    return result.output


def test_the_reference_is_current(reference: str) -> None:
    # Compared as a truth value: a difference of three thousand lines helps nobody.
    same = REFERENCE.read_bytes() == reference.encode("utf-8")
    assert same, f"rules/REFERENCE.md is not what the rules say now. Renew it: {RENEW}"


def test_every_link_of_the_contents_leads_to_a_heading(reference: str) -> None:
    headings = re.findall(r"^#{2,3} (.+)$", reference, re.MULTILINE)
    links = re.findall(r"\]\(#([^)]+)\)", reference)
    assert len(links) == len(headings) - 1  # the contents themselves are not listed
    assert set(links) == {anchor(heading) for heading in headings} - {"contents"}


def test_no_machine_path_and_no_unfilled_field(reference: str) -> None:
    assert str(ROOT) not in reference
    assert not re.search(r"(?<![\w.`])/(home|work|tmp|usr|Users)\b", reference)
    assert "{" not in reference
    assert not re.search(r"yaml:\d", reference)  # lines move with every edit


def test_html_and_tables_cannot_slip_in(reference: str) -> None:
    assert not re.search(r"(?<!\\)[<>|]", re.sub(r"`[^`]*`", "", reference))
