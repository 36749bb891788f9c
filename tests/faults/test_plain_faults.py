"""What the trade would catch is caught: a sample of the plain faults; ``plain_faults.py`` beside it tries all."""

from __future__ import annotations

import runpy
from collections import Counter
from pathlib import Path

MADE = runpy.run_path(str(Path(__file__).with_name("plain_faults.py")))
ONE_IN = 12


def test_the_list_is_long_and_varied() -> None:
    words = Counter(key for fault in MADE["faults"]() for key in ("rule", "open", "silent") if key in fault.entries)
    rules = {MADE["text"](fault, "rule") for fault in MADE["faults"]()} - {""}
    assert words["rule"] >= 300
    assert len(rules) >= 100
    assert words["silent"] <= 25


def test_a_plain_fault_is_told_by_its_rule() -> None:
    assert [says for says in map(MADE["wrong"], MADE["faults"]()[::ONE_IN]) if says] == []
