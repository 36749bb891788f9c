"""A file of the cache folder: read only where it bears this user's seal, and always replaced whole.

A cache folder may have been filled by somebody else: restored by a build service, shared, or named by a variable. The
key of the seal lies elsewhere, in the folder for the user's own state, and only the user may read it.
"""

from __future__ import annotations

import hmac
import os
import pickle
import secrets
import stat
import sys
from contextlib import suppress
from functools import lru_cache
from os.path import isfile
from pathlib import Path
from typing import Any

from filmcheck.running.cache_folder import cache_folder, is_ours, user_folder

LARGEST = 20_000_000
"""Bytes of a kept form; nothing larger is kept."""
_LENGTH = 32
"""Bytes of the key."""


class SealedFile:
    """What is kept under a mark; without a folder or a key that are the user's alone, nothing is."""

    def __init__(self, stem: str, mark: bytes) -> None:
        folder = cache_folder()
        self._key = cache_key() if folder is not None else None
        self._path = (folder or Path()) / f"{stem}-{mark.hex()[:32]}"
        self._mark = mark

    def read(self) -> Any:
        """Give what is kept, else None. It is a pickle, which could run code, so one without our seal is not opened."""
        try:
            if self._key is None or not isfile(self._path) or not is_ours(self._path):
                return None
            if self._path.stat().st_size > LARGEST:
                return None
            kept = self._path.read_bytes()
            sealed = is_sealed(self._key, kept[:32], self._mark + kept[32:])
            return pickle.loads(kept[32:]) if sealed else None  # noqa: S301  sealed with the user's own key
        except Exception:  # whatever is wrong with it, to work it out anew is the way out
            return None

    def keep(self, content: object, *, most: int) -> None:
        """Write beside, then move into place, so that a run that is stopped or goes on at the same time does no harm.

        Of the files of its stem the latest stay, ``most`` of them.
        """
        from tempfile import NamedTemporaryFile  # brings half a dozen modules, which most starts can spare

        payload = pickle.dumps(content, protocol=pickle.HIGHEST_PROTOCOL) if self._key is not None else b""
        if self._key is None or len(payload) > LARGEST - 32:
            return
        stem, folder = self._path.name.partition("-")[0], self._path.parent
        try:
            with NamedTemporaryFile(dir=folder, prefix=f"{stem}-", suffix=".part", delete=False) as part:
                part.write(seal(self._key, self._mark + payload) + payload)
            os.replace(part.name, self._path)
            for path in sorted(folder.glob(f"{stem}-*"), key=lambda path: path.stat().st_mtime, reverse=True)[most:]:
                path.unlink(missing_ok=True)
        except OSError:
            with suppress(OSError, UnboundLocalError):
                Path(part.name).unlink(missing_ok=True)


def cache_key() -> bytes | None:
    """Give the key, made if need be; None where there can be none that is the user's alone."""
    try:
        folder = user_folder("filmcheck-state", "Application Support", "XDG_STATE_HOME", ".local/state")
    except RuntimeError:  # no HOME, and a user that the system does not know
        return None
    return _key(folder / "cache-key")


def seal(key: bytes, content: bytes) -> bytes:
    """Give the 32 bytes that go with a content (HMAC with SHA-256, RFC 2104)."""
    return hmac.digest(key, content, "sha256")


def is_sealed(key: bytes, mark: bytes, content: bytes) -> bool:
    """Whether a content bears its seal; the time that it takes tells nothing of where they differ."""
    return hmac.compare_digest(mark, seal(key, content))


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
