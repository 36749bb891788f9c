"""Change the code in one place at random and ask whether a test notices: what no test notices is a gap in the tests.

Each mutant is tried in a clone of what is committed: first the tests of its own room, then all quick ones, then the
slow ones of its room. A change after which the tests do not end counts as noticed. Takes a minute a mutant or more.

    python tests/mutants/code_mutants.py [HOW_MANY [SEED [ROOM ...]]]    # 20 mutants where left out

Where the variable COVERED names a data file of coverage.py that tells tests apart, each mutant meets only the tests
that execute its line, which takes seconds: `pytest -m 'not slow' --cov=filmcheck --cov-context=test` makes one.
"""

from __future__ import annotations

import ast
import os
import random
import re
import subprocess
import sys
import tempfile
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).parents[2]
ROOMS = ("judging", "packs", "figures", "formulas", "reports", "running")
MOST_SECONDS = 900
FIRST, MOST = 60, 600
"""Of the tests that execute a line: how many are tried first, and how many in all."""

Covered = dict[str, dict[int, list[str]]]
"""The tests that execute a line, by file and line."""

OTHER_OPERATOR: dict[type[ast.AST], type[ast.AST]] = {
    ast.Lt: ast.LtE,
    ast.LtE: ast.Lt,
    ast.Gt: ast.GtE,
    ast.GtE: ast.Gt,
    ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq,
    ast.Is: ast.IsNot,
    ast.IsNot: ast.Is,
    ast.In: ast.NotIn,
    ast.NotIn: ast.In,
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Div,
    ast.Div: ast.Mult,
    ast.And: ast.Or,
    ast.Or: ast.And,
}


class Mutant(NamedTuple):
    """One change: the file, the line, what stands there, and what is put in its place."""

    file: str
    line: int
    start: int
    end: int
    was: str
    now: str


def mutants(file: str, text: str) -> Iterator[Mutant]:
    """Give every change of a module that is tried."""
    lines = [0]
    for line in text.encode().splitlines(keepends=True):
        lines.append(lines[-1] + len(line))
    tree = ast.parse(text)
    for node in _of_functions(tree):
        for changed in _changed(node):
            start = lines[node.lineno - 1] + node.col_offset  # type: ignore[attr-defined]
            end = lines[node.end_lineno - 1] + node.end_col_offset  # type: ignore[attr-defined]
            was = text.encode()[start:end].decode()
            now = ast.unparse(changed)
            if isinstance(changed, ast.expr) and not isinstance(changed, ast.Constant):
                now = f"({now})"
            yield Mutant(file, node.lineno, start, end, was, now)  # type: ignore[attr-defined]


def _of_functions(tree: ast.AST) -> Iterator[ast.AST]:
    """Give the nodes inside functions, but for annotations, decorators and the arithmetic inside of format strings."""
    waiting: list[tuple[ast.AST, bool]] = [(tree, False)]
    while waiting:
        node, inside = waiting.pop()
        if isinstance(node, ast.arg | ast.JoinedStr):
            continue
        if inside:
            yield node
        body = isinstance(node, ast.FunctionDef)
        for name, value in ast.iter_fields(node):
            if name in ("annotation", "returns", "decorator_list"):
                continue
            waiting += [
                (child, inside or (body and name == "body"))
                for child in (value if isinstance(value, list) else [value])
                if isinstance(child, ast.AST)
            ]


def _changed(node: ast.AST) -> Iterator[ast.AST]:
    if isinstance(node, ast.Compare) and len(node.ops) == 1 and type(node.ops[0]) in OTHER_OPERATOR:
        yield ast.Compare(node.left, [OTHER_OPERATOR[type(node.ops[0])]()], node.comparators)  # type: ignore[list-item]
    elif isinstance(node, ast.BinOp) and type(node.op) in OTHER_OPERATOR:
        yield ast.BinOp(node.left, OTHER_OPERATOR[type(node.op)](), node.right)  # type: ignore[arg-type]
    elif isinstance(node, ast.BoolOp):
        yield ast.BoolOp(OTHER_OPERATOR[type(node.op)](), node.values)  # type: ignore[arg-type]
    elif isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not):
        yield node.operand
    elif isinstance(node, ast.Constant) and isinstance(node.value, bool):
        yield ast.Constant(not node.value)
    elif isinstance(node, ast.Constant) and isinstance(node.value, int | float):
        yield ast.Constant(node.value + 1)
    elif isinstance(node, ast.IfExp):
        yield ast.IfExp(ast.UnaryOp(ast.Not(), node.test), node.body, node.orelse)
    elif isinstance(node, ast.Return) and node.value is not None and not _is_none(node.value):
        yield ast.Return(ast.Constant(None))


def _is_none(node: ast.AST) -> bool:
    return isinstance(node, ast.Constant) and node.value is None


def covered(data_file: Path) -> Covered:
    """Read which tests execute a line, those first that execute the fewest lines: they are quick and look closely."""
    from coverage import CoverageData  # asked for only where there is such a file

    data = CoverageData(str(data_file.absolute()))
    data.read()
    tests = {file: data.contexts_by_lineno(file) for file in data.measured_files()}
    executed = Counter(test for lines in tests.values() for of_line in lines.values() for test in of_line)
    return {
        Path(file).relative_to(ROOT).as_posix(): {
            line: [
                re.sub(r"\|(setup|run|teardown)$", "", test) for test in sorted(filter(None, of_line), key=executed.get)
            ]
            for line, of_line in lines.items()
        }
        for file, lines in tests.items()
    }


def is_noticed(mutant: Mutant, copy: Path, known: Covered) -> bool:
    """Put the change into a clone of the project, run the tests until one fails, and take the change back."""
    path = copy / mutant.file
    text = path.read_bytes()
    path.write_bytes(text[: mutant.start] + mutant.now.encode() + text[mutant.end :])
    room = f"tests/{Path(mutant.file).parts[1]}"
    near = [room, "tests/test_demo_plant.py"] if (copy / room).is_dir() else ["tests/gate", "tests/test_demo_plant.py"]
    tries = [["-m", "not slow", *near], ["-m", "not slow", "tests"], ["-m", "slow", near[0]]]
    if known:
        lines = range(mutant.line, mutant.line + mutant.was.count("\n") + 1)
        tests = dict.fromkeys(test for line in lines for test in known.get(mutant.file, {}).get(line, ()))
        ordered = sorted(tests, key=lambda test: not test.startswith(room))
        tries = [part for part in (ordered[:FIRST], ordered[FIRST:MOST]) if part]
    try:
        return any(_fails(copy, *chosen) for chosen in tries)
    finally:
        path.write_bytes(text)


def _fails(copy: Path, *chosen: str) -> bool:
    surroundings = {**os.environ, "PYTHONPATH": str(copy), "PYTHONDONTWRITEBYTECODE": "1"}
    left_out = ("tests/test_structure.py", "tests/test_packaging.py", "tests/test_precommit.py")  # they read, not run
    command = [sys.executable, "-m", "pytest", "-x", "-q", "-p", "no:cacheprovider", *chosen]
    command += [f"--deselect={file}" for file in left_out]
    try:
        run = subprocess.run(command, cwd=copy, env=surroundings, capture_output=True, timeout=MOST_SECONDS)
    except subprocess.TimeoutExpired:
        return True
    return run.returncode not in (0, 5)  # 5: none was chosen


def main(how_many: int = 20, seed: int = 1, rooms: tuple[str, ...] = ROOMS) -> None:
    """Draw mutants, try them, and tell those that nothing notices."""
    noticed = tried = 0
    known = covered(Path(os.environ["COVERED"])) if "COVERED" in os.environ else {}
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder) / "copy"
        subprocess.run(["git", "clone", "--quiet", str(ROOT), str(copy)], check=True)
        tests = {test for lines in known.values() for of_line in lines.values() for test in of_line} or {"tests"}
        if _fails(copy, "-m", "not slow", *sorted(tests)):
            sys.exit("the tests fail on the code as it is, or COVERED names tests that there are no longer")
        drawn = [
            mutant
            for room in rooms
            for path in sorted((copy / "filmcheck" / room).rglob("*.py"))
            for mutant in mutants(str(path.relative_to(copy)), path.read_text("utf-8"))
        ]
        random.Random(seed).shuffle(drawn)  # noqa: S311  nothing secret: the same seed draws the same mutants
        for mutant in drawn[:how_many]:
            found = is_noticed(mutant, copy, known)
            tried += 1
            noticed += found
            print(
                f"{'noticed' if found else 'SILENT ':8} {mutant.file}:{mutant.line}: {mutant.was} -> {mutant.now}",
                flush=True,
            )
    print(f"{noticed} of {tried} noticed, of {len(drawn)} that can be drawn")


if __name__ == "__main__":
    main(*map(int, sys.argv[1:3]), *([tuple(sys.argv[3:])] if sys.argv[3:] else []))
