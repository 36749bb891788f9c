"""The page and the card in a real browser: nothing loaded, nothing complained of, all reached by keyboard and reader.

Needs chromium and node on the path, and playwright-core and axe-core in the folder that NODE_PATH names:
``npm install --prefix FOLDER playwright-core axe-core``, then ``NODE_PATH=FOLDER/node_modules``.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest

from filmcheck.records.job_view import PlantView
from filmcheck.reports.card.html import card_html
from filmcheck.reports.card.set_up import make_card
from filmcheck.reports.page.html import page_html

CHROMIUM, NODE = shutil.which("chromium"), shutil.which("node")
MODULES = Path(os.environ.get("NODE_PATH", "node_modules"))

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(
        not (CHROMIUM and NODE and (MODULES / "playwright-core").is_dir() and (MODULES / "axe-core").is_dir()),
        reason="chromium, node, or playwright-core and axe-core under NODE_PATH are not there",
    ),
]


@pytest.fixture(scope="module")
def found(plant: PlantView, tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    """Give what the browser saw."""
    folder = tmp_path_factory.mktemp("browser")
    page, card = folder / "page.html", folder / "card.html"
    view = next(one.view for one in plant.sheets if one.job == "QM-3201")
    assert view is not None
    page.write_text(page_html(plant), encoding="utf-8")
    card.write_text(card_html(make_card(view)), encoding="utf-8")
    run = [str(NODE), str(Path(__file__).with_name("in_browser.js")), str(CHROMIUM), page, card, folder / "profile"]
    done = subprocess.run(run, capture_output=True, text=True, timeout=300, check=False)
    assert done.returncode == 0, done.stderr
    told: dict[str, Any] = json.loads(done.stdout)
    return told


@pytest.mark.parametrize("what", ["console", "requests", "violations", "overflow", "unreached"])
def test_the_browser_finds_nothing(found: dict[str, Any], what: str) -> None:
    assert found[what] == []


def test_the_card_prints_on_two_sheets(found: dict[str, Any]) -> None:
    assert set(found["pages"]) == {"A4", "Letter"}
    assert set(found["pages"].values()) <= {1, 2}


def test_there_were_findings_to_reach(found: dict[str, Any]) -> None:
    assert found["findings"] > 5
