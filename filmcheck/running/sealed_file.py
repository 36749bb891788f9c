"""A file of the cache folder: read only where it bears this user's seal, and always replaced whole."""

from __future__ import annotations

import os
import pickle
from contextlib import suppress
from os.path import isfile
from pathlib import Path
from typing import Any

from filmcheck.running.cache_folder import cache_folder, is_ours
from filmcheck.running.cache_key import cache_key, is_sealed, seal

LARGEST = 20_000_000
"""Bytes of a kept form; nothing larger is kept."""


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
