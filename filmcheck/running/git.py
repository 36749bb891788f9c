"""Asks git what has changed, such that nothing in the tree or in its repository runs, is fetched, or leads elsewhere.

The tree comes from strangers: a bare repository that lies committed in it, and the repository's own configuration, may
name programs. So the repository is the one whose ``.git`` lies nearest above, git looks at no other folder, the
variables that lead it elsewhere are taken out of its environment, and every setting that names a program is set aside.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from filmcheck.records.errors import UseError

OLDEST = (2, 38)
"""The git that first could be told to leave bare repositories within a tree alone (``safe.bareRepository``)."""

LONGEST_WAIT = 600
"""Seconds after which git is given up."""

_NO_PROGRAMS = {
    "core.alternateRefsCommand": "",
    "core.askPass": "",
    "core.attributesFile": os.devnull,
    "core.editor": "false",
    "core.fsmonitor": "false",
    "core.gitProxy": "",
    "core.hooksPath": os.devnull,
    "core.pager": "cat",
    "core.sshCommand": "false",
    "core.untrackedCache": "false",
    "credential.helper": "",
    "diff.external": "",
    "gc.auto": "0",
    "maintenance.auto": "false",
    "protocol.allow": "never",
    "safe.bareRepository": "explicit",
}
"""Settings that name a program or have one started, each with the value that does neither."""

_NAMED_PROGRAM = re.compile(
    r"(?:filter\..*\.(?:clean|smudge|process|required)|diff\..*\.(?:textconv|command|cachetextconv)|merge\..*\.driver"
    r"|remote\..*\.(?:promisor|vcs|uploadpack|proxy)|extensions\.partialclone)",
    re.IGNORECASE | re.DOTALL,
)
"""The same, where a name of the repository's choice stands in the middle."""

_ENVIRONMENT = {
    "GIT_ALLOW_PROTOCOL": "none",
    "GIT_NO_LAZY_FETCH": "1",
    "GIT_NO_REPLACE_OBJECTS": "1",
    "GIT_OPTIONAL_LOCKS": "0",
    "GIT_PAGER": "cat",
    "GIT_TERMINAL_PROMPT": "0",
}

_LEADS_ELSEWHERE = {"GIT_DIR": ".git", "GIT_WORK_TREE": "."}
"""Variables that name another repository, with what they hold where they name the one that lies here."""


class UnsafeGitError(UseError):
    """Git is there, but cannot be kept from doing what the tree tells it to."""


@dataclass(frozen=True, slots=True)
class GitTree:
    """The files that one repository keeps, and how it is asked about them."""

    top: Path
    settings: tuple[tuple[str, str], ...]

    @classmethod
    def above(cls, folder: Path) -> GitTree:
        """Find the repository that a folder belongs to. Raises UseError where there is none, or git cannot be had."""
        top = _top(folder)
        _refuse_old(top)
        tree = cls(top, tuple(_NO_PROGRAMS.items()))
        names = set(tree.ask("config", "--list", "--name-only", "-z").split("\0"))
        found = sorted(name for name in names if _NAMED_PROGRAM.fullmatch(name))
        return cls(top, (*tree.settings, *((name, _nothing(name)) for name in found)))

    def commit(self, revision: str) -> str:
        """Give the commit that a revision means. Raises UseError."""
        return self.ask("rev-parse", "--verify", "--end-of-options", f"{revision}^{{commit}}").strip()

    def changed(self, commit: str) -> Iterator[Path]:
        """Give what differs from a commit: files, and folders of which git cannot tell what has changed in them."""
        # Of a file that was renamed, the old name counts too: settings may still name it.
        how = ("--name-only", "--no-renames", "--no-ext-diff", "--no-textconv", "--ignore-submodules=dirty", "-z")
        names = self.ask("diff", *how, commit, "--").split("\0")
        yield from (self.top / name for name in names if name)
        yield from self.untracked()

    def untracked(self) -> list[Path]:
        """Give the files that git does not keep, save those that it was told to ignore."""
        names = self.ask("ls-files", "--others", "--exclude-standard", "-z").split("\0")
        return [self.top / name for name in names if name]

    def unwatched(self) -> tuple[list[Path], list[Path]]:
        """Give the files that git was told to take for unchanged, and the folders of other repositories within."""
        told, folders = [], []
        for line in self.ask("ls-files", "--stage", "-v", "-z").split("\0"):
            about, _, name = line.partition("\t")
            tag, _, mode = about.partition(" ")
            if mode.startswith("160000 "):
                folders.append(self.top / name)
            elif tag.islower() or tag == "S":
                told.append(self.top / name)
        return [path for path in told if os.path.lexists(path)], folders

    def text(self, commit: str, name: str, longest: int) -> bytes | None:
        """Give a file as a commit holds it; None where it holds none, or one that is too long."""
        size = self.ask("cat-file", "-s", f"{commit}:{name}").strip()
        blob = ("cat-file", "blob", f"{commit}:{name}")
        return _run(self.top, blob, self.settings) if int(size) <= longest else None

    def ask(self, *words: str) -> str:
        """Run git with some words. Raises UseError with what git says."""
        return _run(self.top, words, self.settings).decode("utf-8", "surrogateescape")


def redirections(top: Path) -> list[str]:
    """Give the variables of the environment that would have git look at another repository than that of ``top``."""
    found = []
    for name, usual in _LEADS_ELSEWHERE.items():
        value = os.environ.get(name)
        if value and real_path(Path.cwd() / value) not in _same_repository(top, usual):
            found.append(name)
    return found


def _same_repository(top: Path, usual: str) -> set[Path]:
    place = top / usual
    known = {real_path(place)}
    if usual == ".git" and place.is_file():  # a further working tree, or a submodule: its .git names the place
        known.add(_named_place(place))
    return known


def _top(folder: Path) -> Path:
    real = real_path(folder)
    for above in (real, *real.parents):
        place = above / ".git"
        if os.path.lexists(place):
            inner = _named_place(place) if place.is_file() else real_path(place)
            if inner != place and above in inner.parents:
                raise UnsafeGitError(
                    f"{above} is no git repository to be trusted: its .git leads into its own files",
                    way_out="Take a fresh clone.",
                )
            return above
    raise UseError(
        "git cannot tell what has changed: not a git repository, nor is any folder above it",
        way_out="Give a folder that git keeps.",
    )


def real_path(path: Path) -> Path:
    """Follow the links of a path; unlike ``Path.resolve``, this bears those that lead in a circle."""
    return Path(os.path.realpath(path))


def _named_place(file: Path) -> Path:
    """Give the folder that a ``.git`` file names."""
    try:
        with file.open(encoding="utf-8", errors="surrogateescape") as lines:
            named = lines.readline(5000).removeprefix("gitdir:").strip()
        return real_path(file.parent / named)
    except (OSError, ValueError):
        return file


def _refuse_old(top: Path) -> None:
    found = re.search(rb"(\d+)\.(\d+)", _run(top, ("--version",), ()))
    version = (int(found[1]), int(found[2])) if found else (0, 0)
    if version < OLDEST:
        have, want = (".".join(map(str, each)) for each in (version, OLDEST))
        raise UnsafeGitError(
            f"git {have} is too old to be run safely on files from others",
            expected=f"git {want} or newer",
            way_out="Install a newer git, or lint without asking it what has changed.",
        )


def _nothing(name: str) -> str:
    return "false" if name.lower().endswith((".required", ".promisor", ".cachetextconv")) else ""


@cache
def _program(search: str) -> str | None:
    """Find git on the search path, in folders that are given in full: a folder ``.`` may be the stranger's tree."""
    folders = [folder for folder in search.split(os.pathsep) if os.path.isabs(folder)]
    return shutil.which("git", path=os.pathsep.join(folders)) if folders else None


def _run(top: Path, words: tuple[str, ...], settings: tuple[tuple[str, str], ...]) -> bytes:
    program = _program(os.environ.get("PATH", os.defpath))
    if program is None or top in Path(program).parents:
        raise UseError("git is not there, so nothing can be told of changes", way_out="Install git.")
    try:
        done = subprocess.run(  # noqa: S603  fixed words; the revision is checked by git itself
            [program, "--no-pager", *words],
            cwd=top,
            env=_environment(top, settings),
            stdin=subprocess.DEVNULL,
            capture_output=True,
            timeout=LONGEST_WAIT,
            check=False,
        )
    except subprocess.TimeoutExpired as error:
        raise UseError(f"git did not answer within {LONGEST_WAIT} s") from error
    except OSError as error:
        raise UseError(f"git cannot be run: {error.strerror}", way_out="Look at the installation of git.") from error
    if done.returncode != 0:
        told = done.stderr.decode("utf-8", "replace").strip().splitlines()
        says = told[0] if told else f"git knows no {words[-1]}"
        raise UseError(f"git cannot tell what has changed: {says}", way_out="Give a revision that git knows.")
    return done.stdout


def _environment(top: Path, settings: tuple[tuple[str, str], ...]) -> dict[str, str]:
    """Give the environment of the user without what steers git, and with our own settings on top of all others."""
    kept = {name: value for name, value in os.environ.items() if not name.upper().startswith(("GIT_", "SSH_ASKPASS"))}
    own = {**_ENVIRONMENT, "GIT_CEILING_DIRECTORIES": str(top.parent), "GIT_WORK_TREE": str(top), "LC_ALL": "C"}
    for number, (name, value) in enumerate(settings):
        own |= {f"GIT_CONFIG_KEY_{number}": name, f"GIT_CONFIG_VALUE_{number}": value}
    return {**kept, **own, "GIT_CONFIG_COUNT": str(len(settings))}
