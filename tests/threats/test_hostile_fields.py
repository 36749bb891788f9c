"""Hostile text in every field of a sheet, from the file to every report: it stays text."""

from __future__ import annotations

import html
import json
import re
import shutil
from datetime import date
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest

from filmcheck.cli.streams import harmless
from filmcheck.reading.shipped import shipped_schema
from filmcheck.reading.yaml_tree import read_tree
from filmcheck.reports.card.html import card_html
from filmcheck.reports.card.markdown import card_markdown
from filmcheck.reports.card.set_up import make_card
from filmcheck.reports.card.text import card_text
from filmcheck.reports.markdown import markdown_report
from filmcheck.reports.page.html import page_html
from filmcheck.reports.sarif import sarif_text
from filmcheck.reports.text import text_report
from filmcheck.run import Options, lint
from filmcheck.running.page_run import view_plant

SHEET = Path(__file__).parents[2] / "filmcheck/skeleton/jobs/every-field.yaml"
PLANT = SHEET.parents[1]
DAY = date(2026, 11, 26)
HOSTILE = "</script></details><img src=x onerror=alert(1)>\"'|`[a](javascript:alert(1)) {0} ::error::x ##[group]y @all"
WORDS = ("job", "title", "name", "by", "reason", "approved_by")
"""Fields that may hold any words."""


def everywhere(part: dict[str, Any], root: dict[str, Any]) -> Any:
    """Make a sheet that has every field of its schema, each with the hostile text; a path has every kind of station."""
    if "$ref" in part:
        return everywhere(root["$defs"][part["$ref"].removeprefix("#/$defs/")], root)
    if "properties" in part:
        fields = part["properties"].items()
        return {name: everywhere(one, root) for name, one in fields if one is not False}
    if "items" in part:
        one = everywhere(part["items"], root)
        return [{kind: rest} for kind, rest in one.items()] if "unwind" in one else [one]
    return HOSTILE


def in_words(value: Any, key: str = "") -> Any:
    """Put the hostile text where any words may stand."""
    if isinstance(value, dict):
        return {name: in_words(one, name) for name, one in value.items()}
    if isinstance(value, list):
        return [in_words(one, key) for one in value]
    return HOSTILE if key in WORDS else value


class Tags(HTMLParser):
    """The tags and attributes of a page."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.found: set[str] = set()
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.found |= {tag, *(name for name, _ in attrs)}


def reports(path: Path) -> dict[str, str]:
    report = lint([path], Options(today=DAY))
    view = view_plant(report, [path], DAY, 1, 1)
    told = {depth: text_report(report, depth=depth) for depth in ("short", "usual", "full")}
    told |= {"markdown": markdown_report(report), "page": page_html(view)}
    told["sarif"] = sarif_text(report)
    seen = view.sheets[0].view
    assert seen is not None
    card = make_card(seen)
    return told | {"card": card_text(card), "card-html": card_html(card), "card-markdown": card_markdown(card)}


@pytest.mark.sample(2)
@pytest.mark.parametrize("every", [True, False], ids=["every field", "free words"])
def test_it_stays_text_in_every_report(tmp_path: Path, *, every: bool) -> None:
    """Words alone leave a sheet that is judged and drawn; all fields at once, one whose every fault cites the text."""
    folder = tmp_path / "plant"
    shutil.copytree(PLANT, folder)
    schema = shipped_schema("job-sheet")
    sound, _ = read_tree(SHEET.read_text(encoding="utf-8"))
    assert sound is not None
    text = json.dumps(everywhere(schema, schema) if every else in_words(sound.plain()), default=str)
    assert text.count("onerror") > (150 if every else 2)
    (folder / "jobs/hostile.yaml").write_text(text, encoding="utf-8")
    told = reports(folder / "jobs/hostile.yaml")
    for form in ("page", "card-html"):
        assert not Tags(told[form]).found & {"script", "img", "iframe", "onerror"}
        assert "onerror=alert(1)" in html.unescape(told[form])
    for form in ("markdown", "card-markdown"):
        bare = re.sub(r"`[^`\n]*`", "", told[form].replace("\\`", ""))  # nothing counts within a code span
        assert not re.search(r"<img|(?<!\\)\]\(|(?<![\w&])@all", bare)
    for form in ("short", "usual", "full", "card"):
        assert not re.search(r"^\s*::|##\w*\[", harmless(told[form], "text"), re.MULTILINE)
    for result in json.loads(harmless(told["sarif"], "sarif"))["runs"][0]["results"]:
        message = result["message"]["text"]
        assert not re.search(r"(?<!\{)\{0\}(?!\})|(?<!\\)\[a\]\(", message)
