"""The key that seals what filmcheck keeps, so that only what this user's filmcheck has written is believed.

A cache folder may have been filled by somebody else: restored by a build service, shared, or named by a variable. The
key lies elsewhere, in the folder for the user's own state, and only the user may read it.
"""

from __future__ import annotations

import hmac
import os
import secrets
import stat
import sys
from contextlib import suppress
from functools import lru_cache
from pathlib import Path

_LENGTH = 32


def cache_key() -> bytes | None:
    """Give the key, made if need be; None where there can be none that is the user's alone."""
    folder = _state_folder()
    return _key(folder / "cache-key") if folder is not None else None


def seal(key: bytes, content: bytes) -> bytes:
    """Give the 32 bytes that go with a content (HMAC with SHA-256, RFC 2104)."""
    return hmac.digest(key, content, "sha256")


def is_sealed(key: bytes, mark: bytes, content: bytes) -> bool:
    """Whether a content bears its seal; the time that it takes tells nothing of where they differ."""
    return hmac.compare_digest(mark, seal(key, content))


def _state_folder() -> Path | None:
    try:
        if sys.platform == "win32":
            return Path(os.environ.get("LOCALAPPDATA") or Path.home() / "AppData" / "Local") / "filmcheck-state"
        if sys.platform == "darwin":
            return Path.home() / "Library" / "Application Support" / "filmcheck"
        return Path(os.environ.get("XDG_STATE_HOME") or Path.home() / ".local" / "state") / "filmcheck"
    except RuntimeError:  # no HOME, and a user that the system does not know
        return None


@lru_cache(maxsize=1)
def _key(path: Path) -> bytes | None:
    with suppress(OSError):
        return _read(path)
    try:
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        # Written beside and linked into place, so that of several runs that begin at once one key is everybody's.
        beside = path.with_name(f"{path.name}.{secrets.token_hex(8)}")
        handle = os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_NOFOLLOW", 0), 0o600)
        try:
            with open(handle, "wb") as file:
                file.write(secrets.token_bytes(_LENGTH))
            with suppress(FileExistsError):
                os.link(beside, path)
        finally:
            beside.unlink(missing_ok=True)
        return _read(path)
    except OSError:
        return None


def _read(path: Path) -> bytes | None:
    """Read the key; one that others could read or write, or of another length, is none. Raises OSError."""
    handle = os.open(path, os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0))
    with open(handle, "rb") as file:
        status = os.fstat(handle)
        if sys.platform != "win32" and (status.st_uid != os.getuid() or status.st_mode & 0o077):
            return None
        if not stat.S_ISREG(status.st_mode):
            return None
        key = file.read(_LENGTH + 1)
        return key if len(key) == _LENGTH else None
