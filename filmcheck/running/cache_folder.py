"""Where filmcheck keeps what it has worked out: a folder of the user's own, never in the job repository."""

from __future__ import annotations

import os
import re
import sys
from collections.abc import Iterator
from contextlib import suppress
from functools import lru_cache
from hashlib import sha256
from pathlib import Path

from filmcheck.plant.plant import SETTINGS_FILE
from filmcheck.reading.shipped import PACKAGE, shipped_folder
from filmcheck.records.version import VERSION

_MARKS = (".git", SETTINGS_FILE)
"""What lies at the top of a repository, and of a plant."""

_LIBRARY = re.compile(
    r"(?:attrs|click|flexcache|flexparser|jsonschema|jsonschema_rs|jsonschema_specifications|pint|referencing|rpds_py"
    r"|ruamel[._]yaml|ruamel[._]yaml[._]clib|typing_extensions)-[^-]*\.(?:dist|egg)-info"
)


def cache_folder() -> Path | None:
    """Give the folder, made if need be; None where there can be none, or it is not the user's own.

    FILMCHECK_CACHE names another folder, and set to nothing it switches the cache off. A folder within the repository
    that the command runs in is refused: what lies there comes with the tree, and goes with it to others.
    """
    named = os.environ.get("FILMCHECK_CACHE")
    if named == "":
        return None
    try:
        folder = Path(named) if named else user_folder("filmcheck", "Caches", "XDG_CACHE_HOME", ".cache")
        if _is_in_the_tree(folder):
            return None
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        return folder if is_ours(folder) else None
    except (OSError, RuntimeError, ValueError):  # RuntimeError: no HOME, and a user that the system does not know
        return None


def _is_in_the_tree(folder: Path) -> bool:
    """Whether a folder lies in the plant or repository of the working folder. A home kept in git is none."""
    here, real = Path.cwd(), Path(os.path.realpath(folder))
    home = os.path.realpath(os.path.expanduser("~"))
    marked = (above for above in (here, *here.parents) if any(os.path.lexists(above / name) for name in _MARKS))
    tops = {os.path.realpath(above) for above in marked} - {home}
    return any(os.fspath(above) in tops for above in (real, *real.parents))


def user_folder(windows: str, mac: str, variable: str, usual: str) -> Path:
    """Give a folder of filmcheck's among those of the user. Raises RuntimeError where there is no home."""
    if sys.platform == "win32":
        return Path(os.environ.get("LOCALAPPDATA") or Path.home() / "AppData" / "Local") / windows
    if sys.platform == "darwin":
        return Path.home() / "Library" / mac / "filmcheck"
    return Path(os.environ.get(variable) or Path.home() / usual) / "filmcheck"


def is_ours(path: Path) -> bool:
    """Refuse a folder or file that others may write to: what is read back from it is trusted."""
    if sys.platform == "win32":
        return True
    status = path.stat()
    return status.st_uid == os.getuid() and not status.st_mode & 0o022


@lru_cache(maxsize=1)
def code_mark() -> bytes:
    """Give a mark of the code that works things out, so that no result outlives a change of it."""
    mark = sha256(f"{VERSION} {sys.version}".encode())
    mark.update("\n".join(_library_versions()).encode("utf-8", "surrogateescape"))
    for path, changed, size in sorted(_stamps([PACKAGE, shipped_folder("schemas")])):
        mark.update(f"{path} {changed} {size}\n".encode("utf-8", "surrogateescape"))
    return mark.digest()


def _library_versions() -> list[str]:
    """Give the libraries that have a part in a result, with their versions, by the names of their folders."""
    found = set()
    for folder in {path for path in sys.path if path and os.path.isdir(path)}:
        with suppress(OSError), os.scandir(folder) as entries:
            found |= {entry.name for entry in entries if _LIBRARY.match(entry.name.lower())}
    return sorted(found)


def _stamps(folders: list[Path]) -> Iterator[tuple[str, int, int]]:
    """Give path, time of change and size of the code and the schemas. Rule packs are marked by content, apart."""
    waiting = [os.fspath(folder) for folder in folders]
    while waiting:
        with os.scandir(waiting.pop()) as entries:
            for entry in entries:
                if entry.name.endswith((".py", ".json")):
                    status = entry.stat()
                    yield entry.path, status.st_mtime_ns, status.st_size
                elif entry.is_dir(follow_symlinks=False) and entry.name != "__pycache__":
                    waiting.append(entry.path)
