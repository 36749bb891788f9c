"""The line read, resolve, compute, judge, report: every import leads towards its front, and none in a circle."""

from __future__ import annotations

import ast
from collections.abc import Mapping
from functools import cache
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest

import filmcheck

PACKAGE = Path(str(filmcheck.__file__)).parent
LONGEST_MODULE = 400

LINE = [
    # what all may know
    "records",
    "units",
    # read, resolve
    "reading",
    "plant",
    # compute
    "formulas",
    "web",
    "figures",
    # judge
    "judging",
    "packs",
    "proving",
    "windows",
    # report
    "reports",
    # the whole run
    "running",
    "run",
    *("cli", "__init__", "__main__"),
]
"""The rooms of the package, from the front of the line to its end. A room may know itself and those before it."""

KNOWS_ONLY = {
    "records": {"records"},
    "formulas": {"formulas"},
    "reports": {"reports", "records"},
}
"""Rooms that may know no more than these, whatever else stands before them."""

ONLY_IN = {
    "pint": "units",
    "ruamel": "reading",
    "_ruamel_yaml": "reading",
    "jsonschema": "reading",
    "jsonschema_rs": "reading",
    "click": "cli",
}
"""The one room that may know a library."""

Imports = Mapping[str, frozenset[str]]


def modules() -> dict[str, Path]:
    """Give every module by its dotted name below the package; a package by that of its folder."""
    found = {}
    for path in sorted(PACKAGE.rglob("*.py")):
        parts = path.relative_to(PACKAGE).with_suffix("").parts
        found[".".join(parts[:-1] if len(parts) > 1 and parts[-1] == "__init__" else parts)] = path
    return found


@cache
def imported(path: Path) -> tuple[str, ...]:
    """Give the dotted names that a module imports, those within functions and for types alone too."""
    found: list[str] = []
    for node in ast.walk(parsed(path)):
        if isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path} imports in steps; write the whole name"
            found += (f"{node.module}.{name.name}" for name in node.names)
        elif isinstance(node, ast.Import):
            found += (name.name for name in node.names)
    return tuple(found)


@cache
def parsed(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


def own(name: str, known: Mapping[str, Path]) -> str | None:
    """Give the module of this package that an imported name means or lies in."""
    head, _, rest = name.partition(".")
    while head == "filmcheck" and rest and rest not in known:
        rest = rest.rpartition(".")[0]
    return (rest or "__init__") if head == "filmcheck" else None


def imports() -> Imports:
    known = modules()
    return {
        module: frozenset(found for name in imported(path) if (found := own(name, known)) is not None)
        for module, path in known.items()
    }


def room(module: str) -> str:
    return module.partition(".")[0]


def steps_back(graph: Imports) -> list[str]:
    """Find imports that lead towards the end of the line."""
    return [
        f"{module} imports {other}"
        for module, others in graph.items()
        for other in sorted(others)
        if LINE.index(room(other)) > LINE.index(room(module))
    ]


def strangers(graph: Imports) -> list[str]:
    """Find imports of rooms that a room has no business with."""
    return [
        f"{module} imports {other}"
        for module, others in graph.items()
        for other in sorted(others)
        if room(other) not in KNOWS_ONLY.get(room(module), {room(other)}) and room(module) != room(other)
    ]


def circle(graph: Imports) -> list[str]:
    """Give a circle of imports, empty where there is none."""
    try:
        TopologicalSorter({module: others - {module} for module, others in graph.items()}).prepare()
    except CycleError as found:
        return [str(module) for module in found.args[1]]
    return []


def test_every_room_has_its_place_in_the_line() -> None:
    assert {room(module) for module in modules()} - set(LINE) == set()


def test_no_import_leads_back() -> None:
    assert steps_back(imports()) == []


def test_rooms_that_know_few() -> None:
    assert strangers(imports()) == []


def test_no_circle() -> None:
    assert circle(imports()) == []


@pytest.mark.parametrize(("library", "home"), ONLY_IN.items())
def test_library_is_known_to_one_room(library: str, home: str) -> None:
    users = {room(module) for module, path in modules().items() if library in map(room, imported(path))}
    assert users == {home}


def test_modules_are_short() -> None:
    lengths = {name: len(path.read_text(encoding="utf-8").splitlines()) for name, path in modules().items()}
    assert {name: length for name, length in lengths.items() if length > LONGEST_MODULE} == {}


def public_names() -> dict[str, list[str]]:
    """Give every public function and class of a module, and where it is defined."""
    found: dict[str, list[str]] = {}
    for module, path in modules().items():
        for node in parsed(path).body:
            if isinstance(node, (ast.FunctionDef, ast.ClassDef)) and not node.name.startswith("_"):
                found.setdefault(node.name, []).append(module)
    return found


def test_one_name_one_meaning() -> None:
    """Give the newer of two functions or classes another name, or make one of them serve both."""
    names = public_names()
    assert "lint" in names
    assert {name: homes for name, homes in names.items() if len(homes) > 1} == {}


def test_the_graph_is_read_at_all() -> None:
    """The checks above would pass on an empty graph."""
    graph = imports()
    assert {"reading.nodes", "plant.shape", "units.quantity"} <= graph["plant.typed"]
    assert "formulas.roll_geometry" in graph["figures.rolls"]  # imported as a name out of its package
    assert "reports.sarif" in graph["cli.lint"]  # imported within a function


def test_the_checks_notice() -> None:
    graph = {
        "reading.tree": frozenset({"judging.judge"}),
        "judging.judge": frozenset({"reading.tree"}),
        "formulas.taper": frozenset({"records.place"}),
    }
    assert steps_back(graph) == ["reading.tree imports judging.judge"]
    assert strangers(graph) == ["formulas.taper imports records.place"]
    assert set(circle(graph)) == {"reading.tree", "judging.judge"}
