"""What lies where in the repository, what ships, and what the public names are."""

from __future__ import annotations

import ast
import json
import re
import shutil
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import Any

import jsonschema
import pytest

import filmcheck

ROOT = Path(__file__).parents[1]
PACKAGE = Path(str(filmcheck.__file__)).parent
TOP = {"README.md", "DEVELOPERS.md", "pyproject.toml", "filmcheck", "rules", "schemas", "tests", "examples"}
SCHEMAS = sorted((ROOT / "schemas").glob("*.schema.json"))
WORDS = "properties", "patternProperties", "$defs"
"""Keywords of JSON Schema that map names to schemas."""


@pytest.fixture(scope="module")
def tracked() -> list[str]:
    if shutil.which("git") is None or not (ROOT / ".git").exists():
        pytest.skip("not a git repository, so nothing is tracked")
    command = ["git", "ls-files", "-z"]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, encoding="utf-8", check=True)
    return [name for name in done.stdout.split("\0") if name]


# The tree


def test_top_level_is_as_agreed(tracked: list[str]) -> None:
    top = {name.partition("/")[0] for name in tracked}
    assert {name for name in top if not name.startswith(".")} == TOP


def test_no_code_among_rules_and_schemas(tracked: list[str]) -> None:
    data = [name for name in tracked if name.startswith(("rules/", "schemas/"))]
    assert data
    assert [name for name in data if not name.endswith((".yaml", ".json", ".md"))] == []


def test_no_machine_paths(tracked: list[str]) -> None:
    """A path from the root of the machine that wrote it is of no use to any other."""
    homes = "home", "root", "tmp", "work", "Users", "mnt"
    machine_path = re.compile(rf"(?<![\w.~)/}}-])/(?:{'|'.join(homes)})/[\w.]")
    found = []
    for name in tracked:
        text = (ROOT / name).read_text(encoding="utf-8", errors="replace") if (ROOT / name).is_file() else ""
        found += [f"{name}: {line.strip()}" for line in text.splitlines() if machine_path.search(line)]
    assert found == []


def test_tests_are_no_package(tracked: list[str]) -> None:
    assert [name for name in tracked if name.startswith("tests/") and name.endswith("__init__.py")] == []


# What the READMEs show


def readme_blocks(language: str, readme: str = "README.md") -> list[str]:
    text = (ROOT / readme).read_text(encoding="utf-8")
    return re.findall(rf"^```{language}\n(.*?)^```$", text, flags=re.DOTALL | re.MULTILINE)


def test_each_of_the_first_two_commands_sets_itself_up() -> None:
    lint, tests = readme_blocks("sh")[:2]
    assert lint.splitlines()[-1] == ".venv/bin/filmcheck lint examples/jobs"
    assert tests.splitlines()[-1] == ".venv/bin/python -m pytest -n auto --dist loadfile"
    for block in (lint, tests):
        assert block.startswith("python3 -m venv .venv\n.venv/bin/python -m pip install ")


@pytest.mark.slow
def test_the_finding_shown_is_the_one_that_comes() -> None:
    command, _, shown = readme_blocks("console")[0].partition("\n")
    program, *arguments = command.removeprefix("$ ").split()
    assert program == "filmcheck"
    run = [sys.executable, "-m", "filmcheck", *arguments]
    done = subprocess.run(run, cwd=ROOT, capture_output=True, text=True, encoding="utf-8")
    assert done.returncode == 1
    assert shown in done.stdout


def test_every_command_has_a_line() -> None:
    from filmcheck.cli.main import COMMANDS

    text = (ROOT / "README.md").read_text(encoding="utf-8")
    assert [name for name in COMMANDS if f"| `filmcheck {name} " not in text] == []


@pytest.mark.slow
def test_the_pack_shown_to_rule_authors_proves(tmp_path: Path) -> None:
    (tmp_path / "shown.yaml").write_text(readme_blocks("yaml", "rules/README.md")[0], encoding="utf-8")
    run = [sys.executable, "-m", "filmcheck", "rules", "prove", str(tmp_path / "shown.yaml")]
    done = subprocess.run(run, cwd=ROOT, capture_output=True, text=True, encoding="utf-8")
    assert (done.returncode, done.stdout) == (0, "1 rules, 6 cases: all proved\n")


def test_links_lead_somewhere() -> None:
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    links = [link for link in re.findall(r"\]\(([^)]+)\)", text) if "://" not in link]
    assert links
    assert [link for link in links if not (ROOT / link).is_file()] == []


# What ships


def test_is_typed() -> None:
    """PEP 561: the marker file lies in the package."""
    assert (PACKAGE / "py.typed").is_file()


def test_the_wheel_takes_what_is_not_code_along() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    wheel = project["tool"]["hatch"]["build"]["targets"]["wheel"]
    assert set(wheel["only-include"]) == {"filmcheck", *wheel["sources"]}
    assert wheel["sources"] == {name: f"filmcheck/_shipped/{name}" for name in ("rules", "schemas")}


def test_compiled_roads_are_the_same_for_a_commit_hook() -> None:
    """pre-commit cannot ask for an extra, so the hooks name the packages themselves."""
    from ruamel.yaml import YAML

    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    hooks = YAML(typ="safe").load(ROOT / ".pre-commit-hooks.yaml")
    assert [hook["id"] for hook in hooks] == ["filmcheck", "filmcheck-rules"]
    for hook in hooks:
        assert hook["additional_dependencies"] == project["project"]["optional-dependencies"]["fast"]


# Public names


def test_the_version_is_that_of_the_installation() -> None:
    try:
        installed = version("filmcheck")
    except PackageNotFoundError:
        pytest.skip("filmcheck is not installed here, it only lies here")
    assert filmcheck.__version__ == installed


def test_public_names() -> None:
    records = ["FigureSheet", "FilmcheckError", "Finding", "Options", "Place", "Report", "Span"]
    functions = ["figure_table", "lint", "lint_text", "sarif_text", "text_report", "work_out"]
    assert filmcheck.__all__ == [*records, "__version__", *functions]
    assert all(getattr(filmcheck, name) is not None for name in filmcheck.__all__)


def test_public_names_are_typed_where_they_are_looked_up_late() -> None:
    """Type checkers read the branch that never runs; it must know the same names."""
    tree = ast.parse((PACKAGE / "__init__.py").read_text(encoding="utf-8"))
    branch = next(node for node in tree.body if isinstance(node, ast.If))
    assert ast.unparse(branch.test) == "TYPE_CHECKING"
    imported = {alias.name for node in branch.body if isinstance(node, ast.ImportFrom) for alias in node.names}
    assert imported == set(filmcheck.__all__) - {"__version__"}


def test_an_unknown_name_is_none_of_ours() -> None:
    with pytest.raises(AttributeError, match="module 'filmcheck' has no attribute 'lnt'"):
        filmcheck.lnt  # type: ignore[attr-defined]  # noqa: B018


def test_the_package_itself_loads_nothing_of_weight() -> None:
    code = "import sys; had = set(sys.modules); import filmcheck; print(*sorted(set(sys.modules) - had))"
    done = subprocess.run([sys.executable, "-c", code], cwd=PACKAGE.parent, capture_output=True, text=True, check=True)
    tops = {name.partition(".")[0] for name in done.stdout.split()}
    assert "filmcheck" in tops
    assert tops - {"filmcheck"} <= set(sys.stdlib_module_names)
    own = {name for name in done.stdout.split() if name.startswith("filmcheck.")}
    assert own == {"filmcheck.records", "filmcheck.records.version"}


# Schemas


@pytest.mark.parametrize("path", SCHEMAS, ids=lambda path: path.name)
def test_schema_is_valid(path: Path) -> None:
    schema = json.loads(path.read_text(encoding="utf-8"))
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    jsonschema.Draft202012Validator.check_schema(schema)
    assert schema["$id"] == path.name


@pytest.mark.parametrize("path", SCHEMAS, ids=lambda path: path.name)
def test_every_property_is_described(path: Path) -> None:
    schema = json.loads(path.read_text(encoding="utf-8"))
    described = dict(properties(schema, path.name, schema))
    assert described
    assert [where for where, has_words in described.items() if not has_words] == []


def properties(schema: Any, where: str, root: dict[str, Any]) -> Iterator[tuple[str, bool]]:
    """Give every property of a schema, and whether a description says what it is, in itself or in what it refers to."""
    for keyword in WORDS:
        allowed = {name: inner for name, inner in schema.get(keyword, {}).items() if inner is not False}
        for name, inner in allowed.items():
            yield f"{where}/{name}", bool(described(inner, root))
            yield from properties(inner, f"{where}/{name}", root)
    for keyword in ("items", "additionalProperties"):
        if isinstance(schema.get(keyword), dict):
            yield from properties(schema[keyword], f"{where}/{keyword}", root)
    for keyword in ("anyOf", "oneOf", "allOf"):
        for i, inner in enumerate(schema.get(keyword, [])):
            yield from properties(inner, f"{where}/{keyword}/{i}", root)


def described(schema: dict[str, Any], root: dict[str, Any]) -> str:
    if "$ref" not in schema or schema.get("description"):
        return str(schema.get("description", ""))
    file, _, pointer = schema["$ref"].partition("#/")
    target: Any = json.loads((ROOT / "schemas" / file.rstrip("#")).read_text(encoding="utf-8")) if file else root
    for step in pointer.split("/") if pointer else ():
        target = target[step.replace("~1", "/").replace("~0", "~")]
    return str(target.get("description", ""))
