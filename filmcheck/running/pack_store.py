"""Keeps loaded packs by the content of their files, so that a start need not read and check them anew."""

from __future__ import annotations

import pickle
from collections.abc import Iterable
from dataclasses import replace
from functools import cached_property
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING

from filmcheck.judging.limit import Limit
from filmcheck.judging.rule_head import RuleHead
from filmcheck.plant.plant import shown
from filmcheck.reading.shipped import shipped_folder
from filmcheck.running.cache_folder import code_mark
from filmcheck.running.sealed_file import SealedFile

if TYPE_CHECKING:
    from filmcheck.judging.rule import Rule
    from filmcheck.packs.loaded import Packs

LARGEST = 20_000_000
"""Bytes of a pack file; of larger ones nothing is kept."""

MOST = 12
"""Sets of packs that are kept: every edit of a house pack leaves one behind."""


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
    kept = SealedFile("rules", mark) if mark else None
    known = kept.read() if kept is not None else None
    if known is not None:
        heads, limits, packed = known
        return RuleSet(heads, limits, mark, packed)
    made = _made(listed, mark)
    if kept is not None and made.mark:
        kept.keep((made.heads, made.limits, _packed(made.rules)), most=MOST)
    return made


def _made(files: list[Path], mark: bytes) -> RuleSet:
    from filmcheck.packs.pack import load_packs  # needed at a first start only, and slow to import

    onto, own = _shipped(files)
    packs = load_packs(own, to_prove=False, onto=onto)
    rules = tuple(replace(rule, cases=()) for rule in packs.rules)
    heads = {rule.id: rule.head for rule in rules}
    return RuleSet(heads, packs.limits, mark if mark == _mark(files) else b"", rules)


def _shipped(files: list[Path]) -> tuple[Packs | None, list[Path]]:
    """Give the shipped packs as they are kept, and the plant's own, which change more often and are loaded onto them.

    Where there are no others, the shipped ones are what is to be loaded.
    """
    from filmcheck.judging.rule import Pack
    from filmcheck.packs.loaded import Packs

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
    rules: tuple[Rule, ...] = pickle.loads(packed)  # noqa: S301  its seal was looked at when it was read
    return rules


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
