"""The heavy libraries are imported when they are needed and not before."""

from __future__ import annotations

import subprocess
import sys

import pytest

READ = "from filmcheck.reading import schema_check as s, text_file, yaml_tree as y\n"
SHOW = "\nimport sys; print(*sorted({'ruamel.yaml', 'jsonschema', 'jsonschema_rs'} & set(sys.modules)))"


def imported(code: str) -> list[str]:
    done = subprocess.run([sys.executable, "-c", READ + code + SHOW], capture_output=True, text=True, check=True)
    return done.stdout.split()


def test_nothing_on_import() -> None:
    assert imported("") == []


def test_sound_sheet_does_without_the_exact_validator() -> None:
    pytest.importorskip("jsonschema_rs")
    code = "s.check_schema(y.read_tree('a: !!int 1')[0], {'properties': {'a': {'type': 'integer'}}})"
    assert imported(code) == ["jsonschema_rs", "ruamel.yaml"]


def test_spoiled_sheet_asks_the_exact_validator() -> None:
    code = "s.check_schema(y.read_tree('a: x')[0], {'properties': {'a': {'type': 'integer'}}})"
    assert "jsonschema" in imported(code)
