"""Keeps loaded packs by the content of their files, so that a start need not read and check them anew."""

from __future__ import annotations

import gc
import os
import pickle
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import replace
from functools import cached_property
from hashlib import sha256
from os.path import isfile
from pathlib import Path
from typing import TYPE_CHECKING

from filmcheck.judging.limit import Limit
from filmcheck.judging.rule_head import RuleHead
from filmcheck.plant.plant import shown
from filmcheck.reading.shipped import shipped_folder
from filmcheck.running.cache_folder import cache_folder, code_mark, is_ours
from filmcheck.running.cache_key import cache_key, is_sealed, seal

if TYPE_CHECKING:
    from filmcheck.judging.rule import Rule
    from filmcheck.packs.pack import Packs

LARGEST = 20_000_000
"""Bytes of a pack file or of a kept form; nothing larger is kept."""


class RuleSet:
    """The rules and limits of some packs, ready to judge by; the proving cases stay behind in the packs.

    The mark changes with the packs; it is empty where they changed while they were read. The rules themselves stay
    packed until they are asked for: a run whose verdicts are all kept needs their heads alone.
    """

    def __init__(
        self, heads: dict[str, RuleHead], limits: dict[str, Limit], mark: bytes, rules: tuple[Rule, ...] | bytes
    ) -> None:
        """Take the rules as they are, or packed by ``_packed``."""
        self.heads = heads
        self.limits = limits
        self.mark = mark
        self._rules = rules

    @property
    def rules(self) -> tuple[Rule, ...]:
        """The rules, with their conditions."""
        rules = self._rules
        if isinstance(rules, bytes):
            rules = self._rules = _unpacked(rules)
        return rules

    @cached_property
    def by_id(self) -> dict[str, Rule]:
        """The rules by their ids."""
        return {rule.id: rule for rule in self.rules}


def rule_set(files: Iterable[Path]) -> RuleSet:
    """Give the rules of some packs, from the store where it has them. Raises PackError where a pack is broken."""
    listed = list(files)
    mark = _mark(listed)
    folder = cache_folder()
    key = cache_key() if folder is not None else None
    if folder is None or key is None or not mark:
        return _made(listed, mark)
    kept = folder / f"rules-{mark.hex()[:32]}"
    known = _recalled(kept, mark, key)
    if known is not None:
        return known
    made = _made(listed, mark)
    if made.mark:
        _keep(kept, made, key)
    return made


def _made(files: list[Path], mark: bytes) -> RuleSet:
    from filmcheck.packs.pack import load_packs  # needed at a first start only, and slow to import

    onto, own = _shipped(files)
    # A load makes some hundred thousand objects that all stay: to look among them for rubbish doubles its time.
    with _all_stays():
        packs = load_packs(own, to_prove=False, onto=onto)
    rules = tuple(replace(rule, cases=()) for rule in packs.rules)
    heads = {rule.id: rule.head for rule in rules}
    return RuleSet(heads, packs.limits, mark if mark == _mark(files) else b"", rules)


def _shipped(files: list[Path]) -> tuple[Packs | None, list[Path]]:
    """Give the shipped packs as they are kept, and the plant's own, which change more often and are loaded onto them.

    Where there are no others, the shipped ones are what is to be loaded.
    """
    from filmcheck.judging.rule import Pack
    from filmcheck.packs.pack import Packs

    own = [path for path in files if path.parent != shipped_folder("rules")]
    shipped = files[: len(files) - len(own)]
    if not own or not shipped or files != [*shipped, *own]:
        return None, files
    kept, packs = rule_set(shipped), Packs()
    packs.packs.append(Pack("", "", kept.rules))
    packs.limits.update(kept.limits)
    return packs, own


def _packed(rules: tuple[Rule, ...]) -> bytes:
    return pickle.dumps(rules, protocol=pickle.HIGHEST_PROTOCOL)


def _unpacked(packed: bytes) -> tuple[Rule, ...]:
    with _all_stays():
        rules: tuple[Rule, ...] = pickle.loads(packed)  # noqa: S301  its seal was looked at when it was read
    return rules


@contextmanager
def _all_stays() -> Iterator[None]:
    collecting = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if collecting:
            gc.enable()


def _mark(files: list[Path]) -> bytes:
    """Mark files by name and content; nothing where one cannot be read, for loading tells why, or is too large."""
    mark = sha256(code_mark())
    try:
        for path in files:
            if not path.is_file() or path.stat().st_size > LARGEST:  # to read a pipe or a device may never end
                return b""
            mark.update(sha256(shown(path).encode("utf-8", "surrogateescape")).digest())
            mark.update(sha256(path.read_bytes()).digest())
    except OSError:
        return b""
    return mark.digest()


def _recalled(path: Path, mark: bytes, key: bytes) -> RuleSet | None:
    """Read a kept form. It is a pickle, which could run code, so it is not looked at unless it bears our seal."""
    try:
        if not isfile(path) or path.stat().st_size > LARGEST or not is_ours(path):
            return None
        kept = path.read_bytes()
        if not is_sealed(key, kept[:32], mark + kept[32:]):
            return None
        heads, limits, of, packed = pickle.loads(kept[32:])  # noqa: S301  sealed with the user's own key
        return RuleSet(heads, limits, mark, packed) if of == mark else None
    except Exception:  # whatever is wrong with it, loading the packs is the way out
        return None


def _keep(path: Path, made: RuleSet, key: bytes) -> None:
    """Write beside, then move into place, so that a run that is stopped or goes on at the same time does no harm."""
    from tempfile import NamedTemporaryFile  # brings half a dozen modules, which a start from the store can spare

    parts = (made.heads, made.limits, made.mark, _packed(made.rules))
    payload = pickle.dumps(parts, protocol=pickle.HIGHEST_PROTOCOL)
    try:
        with NamedTemporaryFile(dir=path.parent, prefix="rules-", suffix=".part", delete=False) as part:
            part.write(seal(key, made.mark + payload) + payload)
        os.replace(part.name, path)
        _tidy(path)
    except OSError:
        with suppress(OSError, UnboundLocalError):
            Path(part.name).unlink(missing_ok=True)


def _tidy(latest: Path, most: int = 12) -> None:
    """Let the oldest forms go: every edit of a house pack leaves one behind."""
    kept = sorted(latest.parent.glob("rules-*"), key=lambda path: path.stat().st_mtime, reverse=True)
    for path in kept[most:]:
        path.unlink(missing_ok=True)
