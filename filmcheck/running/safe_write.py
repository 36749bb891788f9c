"""Writes a file whole: beside its place first, then moved there; never through a link, nor over what was read."""

from __future__ import annotations

import os
import stat
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from filmcheck.records.errors import UseError

_TEMPORARY = ".filmcheck-"
"""What the name of a file begins with while it is written; nothing reads a file whose name begins with a dot."""


def check_place(target: Path, never: Iterable[str | Path] = (), *, below: Path | None = None) -> None:
    """Raise UseError where a file may not be written: through a link, over a special file, or over one of ``never``.

    Links above the folder ``below``, by default that in which the command runs, are the user's own and may be there.
    Those below it may have come with the tree, and would lead the writing to any file of the user.
    """
    with _told(target):
        link = next((part for part in _parts_of_the_tree(target, below) if part.is_symlink()), None)
        if link is not None:
            raise UseError(f"{target} is not written: {link.name} is a link", way_out="Name a file in its own place.")
        status = _status(target)
        if status is None:
            return
        if stat.S_ISDIR(status.st_mode):
            raise UseError(f"{target} is not written: it is a folder")
        if not stat.S_ISREG(status.st_mode):
            raise UseError(f"{target} is not written: it is no ordinary file", way_out="Name a file.")
        if any(_is_same(status, other) for other in never):
            raise UseError(
                f"{target} is not written: that is a file which this run reads", way_out="Name another file."
            )


def write_whole(
    target: Path, content: bytes, *, never: Iterable[str | Path] = (), instead_of: bytes | None = None
) -> None:
    """Write a file, so that whoever looks finds it as it was or as it shall be. Raises UseError.

    ``never`` are files that must not be written over. ``instead_of`` is what the file must still hold: else somebody
    has changed it meanwhile, and it stays. A file that is replaced keeps its rights; a new one gets the usual ones.
    """
    check_place(target, never)
    with _told(target):
        beside = _written_beside(target, content)
        try:
            if instead_of is not None and target.read_bytes() != instead_of:
                raise UseError(f"{target} has changed meanwhile, so it was not written", way_out="Do it again.")
            beside.chmod(_rights(target))
            check_place(target, never)
            os.replace(beside, target)
        except BaseException:
            with suppress(OSError):
                beside.unlink(missing_ok=True)
            raise


def write_new(target: Path, content: bytes, *, below: Path | None = None) -> None:
    """Write a file that must not be there yet, making its folders. Raises UseError; half a file does not stay."""
    check_place(target, below=below)
    with _told(target):
        target.parent.mkdir(parents=True, exist_ok=True)
        with target.open("xb") as file:
            try:
                file.write(content)
                file.flush()
            except BaseException:
                with suppress(OSError):
                    target.unlink()
                raise


def _written_beside(target: Path, content: bytes) -> Path:
    from tempfile import mkstemp  # brings half a dozen modules, which a run that writes no file can spare

    handle, name = mkstemp(prefix=_TEMPORARY, dir=target.absolute().parent)
    try:
        with open(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
    except BaseException:
        with suppress(OSError):
            os.unlink(name)
        raise
    return Path(name)


def _parts_of_the_tree(target: Path, below: Path | None) -> list[Path]:
    """Give the path itself, and the folders on the way that lie below a folder."""
    absolute, top = target.absolute(), (below or Path()).absolute()
    return [absolute, *(above for above in absolute.parents if top in above.parents)]


def _status(path: Path) -> os.stat_result | None:
    try:
        return path.lstat()
    except FileNotFoundError:
        return None


def _is_same(status: os.stat_result, other: str | Path) -> bool:
    try:
        return os.path.samestat(status, os.stat(other))
    except (OSError, ValueError):
        return False


def _rights(target: Path) -> int:
    status = _status(target)
    if status is not None:
        return stat.S_IMODE(status.st_mode)
    usual = os.umask(0)  # there is no way to ask for it without setting it
    os.umask(usual)
    return 0o666 & ~usual


@contextmanager
def _told(target: Path) -> Iterator[None]:
    """Turn what the machine says against writing into an error that names the file."""
    try:
        yield
    except OSError as error:
        raise UseError(f"{target} cannot be written: {error.strerror or error}") from error
