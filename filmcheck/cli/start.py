"""``filmcheck start``: a new plant to fill in."""

from __future__ import annotations

from os.path import lexists
from pathlib import Path

import click

from filmcheck.cli.streams import put
from filmcheck.plant.plant import REGISTER_TEXTS
from filmcheck.reading.shipped import PACKAGE, shipped_folder
from filmcheck.records.errors import UseError
from filmcheck.running.safe_write import check_place, write_new

SKELETON = PACKAGE / "skeleton"
EDITOR_SCHEMA = "rule-pack.editor.schema.json"
"""Completes words in an editor. It goes beside the house rules, which name it in their first line."""
SCHEMAS = ("job-sheet", "plant", "permits", "mapping", *REGISTER_TEXTS)
"""Schemas of the plant's files, which name them in their first line for editors."""
LONG = "jobs/every-field.yaml"
"""The sheet that is written on demand alone."""
DOTTED = ("gitignore", "pre-commit-config.yaml")
"""Files that are kept without their leading dot, so that they do not work on this repository itself."""


@click.command("start", short_help="Write a new plant to fill in.")
@click.argument("folder", metavar="DIR", type=click.Path(path_type=Path))
@click.option("--long", "with_long", is_flag=True, help="Write a job sheet with every field besides.")
def start_command(folder: Path, with_long: bool) -> None:
    """Write a new plant into DIR, to fill in: settings, registers, a first job sheet, a house rule.

    The folder is made where it is not there. Nothing that is there already is written over.
    """
    files = skeleton_files()
    if not with_long:
        del files[LONG]
    _refuse_to_overwrite(folder, files)
    for target, source in files.items():
        write_new(folder / target, source.read_bytes(), below=folder)
    put("\n".join([f"A new plant is in {folder}:", *(f"    {target}" for target in files), *_next_steps(folder), ""]))


def skeleton_files() -> dict[str, Path]:
    """Give the files of a new plant, by where each goes below its folder."""
    sources = [path for path in SKELETON.rglob("*") if path.is_file()]
    files = {_target(source.relative_to(SKELETON)): source for source in sources}
    files |= {f"schemas/{name}.schema.json": shipped_folder("schemas") / f"{name}.schema.json" for name in SCHEMAS}
    files |= {f"house-rules/{EDITOR_SCHEMA}": shipped_folder("schemas") / EDITOR_SCHEMA}
    if not sources:
        raise UseError(
            "the files of a new plant are missing from this installation", way_out="Install filmcheck again."
        )
    return dict(sorted(files.items()))


def _target(path: Path) -> str:
    name = f".{path.name}" if path.name in DOTTED else path.name
    return path.with_name(name).as_posix()


def _refuse_to_overwrite(folder: Path, files: dict[str, Path]) -> None:
    """Raise UseError where a file of the new plant, or a file in the place of one of its folders, is there."""
    wanted = [folder / target for target in files]
    folders = {above for path in wanted for above in path.parents if above == folder or folder in above.parents}
    in_the_way = [path for path in wanted if lexists(path)]
    in_the_way += [path for path in folders if lexists(path) and not path.is_dir()]
    if in_the_way:
        listed = ", ".join(sorted(path.as_posix() for path in in_the_way))
        raise UseError(
            f"{listed}: there already, so nothing was written",
            way_out="Name a folder that is new or empty, or move these away first.",
        )
    for path in wanted:
        check_place(path, below=folder)


def _next_steps(folder: Path) -> list[str]:
    shown = folder.as_posix()
    place = f'"{shown}"' if " " in shown else shown
    return [
        "",
        "Next:",
        f"    filmcheck lint {place}/jobs",
        f"    filmcheck rules prove {place}/house-rules",
        "",
        "What the registers hold is invented: put your own presses, stocks and tools there instead.",
    ]
