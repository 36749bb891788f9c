"""Loads rule packs: schema, limits, own figures, rules; whatever is wrong stops the lint and is told with its place."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import cast

from filmcheck.errors import PackError
from filmcheck.figures.dimensions import job_dimensions
from filmcheck.figures.scopes import kinds_in
from filmcheck.finding import Level, RuleText
from filmcheck.judging.arithmetic import Words
from filmcheck.judging.condition_reader import ConditionReader
from filmcheck.judging.conditions import Condition
from filmcheck.judging.expression import Expression
from filmcheck.judging.limit import Limit
from filmcheck.judging.limit_reader import read_limit
from filmcheck.judging.names import NameFaultError
from filmcheck.judging.rule import Case, Pack, Rule
from filmcheck.judging.template import Template, read_template
from filmcheck.plant.nearest import nearest
from filmcheck.plant.plant import shown
from filmcheck.position import Place
from filmcheck.reading.nodes import Fault, Mapping, Node, Scalar, Sequence
from filmcheck.reading.schema_check import check_schema
from filmcheck.reading.text_file import read_text
from filmcheck.reading.yaml_tree import read_tree
from filmcheck.shipped import shipped_schema

PackFaults = list[tuple[str, Fault]]


class Packs:
    """All packs of a run, with the limits that they share."""

    def __init__(self) -> None:
        """Start empty."""
        self.packs: list[Pack] = []
        self.limits: dict[str, Limit] = {}
        self.faults: PackFaults = []
        self._trees: list[tuple[str, Mapping]] = []

    @property
    def rules(self) -> tuple[Rule, ...]:
        """Every rule, in the order of the packs."""
        return tuple(rule for pack in self.packs for rule in pack.rules)


def pack_files(paths: Iterable[Path]) -> list[Path]:
    """List the pack files of some files and folders, sorted within each folder."""
    files: list[Path] = []
    for path in paths:
        files += sorted(p for p in path.iterdir() if p.suffix in (".yaml", ".yml")) if path.is_dir() else [path]
    return files


def load_packs(files: Iterable[Path]) -> Packs:
    """Load packs. All limits are read before any rule, so that packs may use each other's.

    Raises PackError with every fault found, for a rule must never be dropped in silence.
    """
    packs = Packs()
    trees = [(shown(path), tree) for path in files if (tree := _tree(path, packs.faults)) is not None]
    for file, tree in trees:
        _limits(tree, file, packs)
    seen: dict[str, str] = {}
    for file, tree in trees:
        packs.packs.append(_PackReader(file, packs, seen).pack(tree))
    _check_named_rules(packs)
    if packs.faults:
        raise PackError(_told(packs.faults))
    return packs


def _told(faults: PackFaults) -> str:
    lines = []
    for file, fault in faults:
        lines.append(f"{Place(file, fault.span)}: error: {fault.says}  [{fault.id}]")
        lines += [f"    {fault.hint}"] if fault.hint else []
    return "\n".join(lines)


def _tree(path: Path, faults: PackFaults) -> Mapping | None:
    file = shown(path)
    text = read_text(path)
    if isinstance(text, Fault):
        faults.append((file, text))
        return None
    tree, tree_faults = read_tree(text)
    faults += [(file, fault) for fault in tree_faults]
    if tree is None:
        return None
    faults += [(file, fault) for fault in check_schema(tree, shipped_schema("rule-pack"))]
    return tree if isinstance(tree, Mapping) else None


def _limits(tree: Mapping, file: str, packs: Packs) -> None:
    entry = tree.entries.get("limits")
    if entry is None or not isinstance(entry.value, Mapping):
        return
    for name, (key, value) in entry.value.entries.items():
        if name in packs.limits:
            first = packs.limits[name].place
            packs.faults.append((file, Fault("pack-broken", key.span, f"limit {name} is set twice; first at {first}")))
            continue
        limit = read_limit(name, key, value, file, lambda fault: packs.faults.append((file, fault)))
        if limit is not None:
            packs.limits[name] = limit


def _check_named_rules(packs: Packs) -> None:
    known = {rule.id for rule in packs.rules}
    for rule in packs.rules:
        for case in rule.cases:
            for name in case.also:
                if name not in known:
                    near = nearest(name, known)
                    fault = Fault("pack-broken", case.place.span, f"also names {name}, which is no known rule")
                    packs.faults.append((case.place.file, fault._replace(hint=f"Nearest: {near}." if near else "")))


class _PackReader:
    """Reads the rules of one pack."""

    def __init__(self, file: str, packs: Packs, seen: dict[str, str]) -> None:
        self.file = file
        self.limits = packs.limits
        self.seen = seen
        self.conditions = ConditionReader(lambda fault: packs.faults.append((file, fault)))
        self.own: dict[str, Expression] = {}

    def pack(self, tree: Mapping) -> Pack:
        title = _text(tree, "pack")
        self._figures(_inner(tree, "figures"))
        listed = tree.entries.get("rules")
        items = listed.value.items if listed is not None and isinstance(listed.value, Sequence) else []
        rules = [self._rule(item, title) for item in items if isinstance(item, Mapping)]
        return Pack(title, self.file, tuple(rule for rule in rules if rule is not None))

    def _figures(self, node: Mapping | None) -> None:
        for name, (key, value) in node.entries.items() if node else ():
            if job_dimensions(name) or name in self.own or "." not in name:
                why = "has no dot in it" if "." not in name else "is a figure already"
                self.conditions.fault(key, f"{name} {why}; a new figure is named like roll.mass_with_core")
                continue
            text = value.entries.get("is") if isinstance(value, Mapping) else None
            if text is None or not isinstance(text.value, Scalar):
                continue
            read = self.conditions.expression(text.value, text.value.text, Words(self.limits, self.own))
            if read is not None:
                self.own[name] = read

    def _rule(self, node: Mapping, family: str) -> Rule | None:
        name = _text(node, "rule")
        if not name:
            return None
        if name in self.seen:
            self.conditions.fault(node.entries["rule"].value, f"rule {name} is there twice; first at {self.seen[name]}")
            return None
        place = Place(self.file, node.entries["rule"].value.span)
        self.seen[name] = str(place)
        words = self._words(node)
        requires = self._condition(node, "requires", words)
        applies = self._condition(node, "applies", words)
        says, instead = self._template(node, "says", words), self._template(node, "instead", words)
        cited = _cited(node)
        self._check_sentence(node, cited, requires)
        cases = self._cases(node, name)
        text = RuleText(
            id=name,
            title=_text(node, "title"),
            family=family,
            level=cast(Level, _text(node, "level") or "error"),
            from_stage=_text(node, "from_stage") or "planned",
            because=_text(node, "because"),
            instead=_text(node, "instead"),
            basis=self._basis(node, cited),
            caution=_text(node, "caution"),
        )
        return Rule(
            text=text,
            place=place,
            says=says,
            instead=instead,
            requires=requires,
            applies=applies,
            for_each=_text(node, "for_each"),
            at=_text(node, "at"),
            found_by=_text(node, "found_by") or "judging",
            safety=_text(node, "safety") == "true",
            limits=cited,
            cases=cases,
        )

    def _words(self, node: Mapping) -> Words:
        words = Words(self.limits, self.own)
        entry = node.entries.get("for_each")
        if entry is None:
            return words
        kind = self.conditions.kind(entry.value)
        return words.inside(kinds_in(kind)) if kind else words

    def _condition(self, node: Mapping, key: str, words: Words) -> Condition | None:
        entry = node.entries.get(key)
        return self.conditions.read(entry.value, words) if entry is not None else None

    def _template(self, node: Mapping, key: str, words: Words) -> Template:
        entry = node.entries.get(key)
        if entry is None or not isinstance(entry.value, Scalar):
            return ()
        try:
            return read_template(" ".join(entry.value.text.split()), words)
        except NameFaultError as fault:
            self.conditions.fault(entry.value, f"in {key}: {fault.says}", fault.hint)
            return ()

    def _check_sentence(self, node: Mapping, cited: tuple[str, ...], requires: Condition | None) -> None:
        key = node.entries["rule"].value
        if _text(node, "found_by"):
            if "requires" in node.entries:
                self.conditions.fault(
                    node.entries["requires"].key, "a rule found by reading or resolving has no requires"
                )
            return
        if "requires" not in node.entries:
            self.conditions.fault(key, f"rule {_text(node, 'rule')} requires nothing, so it can never fail")
        if "says" not in node.entries:
            self.conditions.fault(key, f"rule {_text(node, 'rule')} lacks says: what is wrong on this job")
        if not cited and not _text(node, "basis"):
            self.conditions.fault(key, f"rule {_text(node, 'rule')} cites no limit, so it needs a basis")
        if _text(node, "safety") == "true" and not _text(node, "caution"):
            self.conditions.fault(key, f"rule {_text(node, 'rule')} is for safety, so it needs a caution")

    def _basis(self, node: Mapping, cited: tuple[str, ...]) -> str:
        own = _text(node, "basis")
        if own:
            return own
        bases = [self.limits[name].basis_text for name in cited if name in self.limits]
        return "; ".join(dict.fromkeys(bases))

    def _cases(self, node: Mapping, rule: str) -> tuple[Case, ...]:
        entry = node.entries.get("proof")
        items = entry.value.items if entry is not None and isinstance(entry.value, Sequence) else []
        cases = tuple(self._case(item) for item in items if isinstance(item, Mapping) and "verdict" in item.entries)
        verdicts = {case.verdict for case in cases}
        for needed in ("fail", "pass"):
            if needed not in verdicts:
                says = f"rule {rule} has no case that must {needed}, so nothing proves it"
                self.conditions.fault(node.entries["rule"].value, says, "Add one under proof.")
        return cases

    def _case(self, node: Mapping) -> Case:
        change = _inner(node, "change")
        inserts = node.entries.get("insert")
        inserted = inserts.value.items if inserts is not None and isinstance(inserts.value, Sequence) else []
        return Case(
            name=_text(node, "case"),
            verdict=_text(node, "verdict"),
            place=Place(self.file, node.span),
            sheet=_text(node, "sheet") or "film-label",
            sheet_text=_raw(node, "sheet_text"),
            settings_text=_raw(node, "settings_text"),
            change=change,
            without=_texts(node, "without"),
            insert=tuple(item for item in inserted if isinstance(item, Mapping)),
            at=_text(node, "at"),
            says=_text(node, "says"),
            also=_texts(node, "also"),
        )


def _text(node: Mapping, key: str) -> str:
    entry = node.entries.get(key)
    return " ".join(entry.value.text.split()) if entry is not None and isinstance(entry.value, Scalar) else ""


def _raw(node: Mapping, key: str) -> str:
    entry = node.entries.get(key)
    return entry.value.text if entry is not None and isinstance(entry.value, Scalar) else ""


def _texts(node: Mapping, key: str) -> tuple[str, ...]:
    entry = node.entries.get(key)
    items = entry.value.items if entry is not None and isinstance(entry.value, Sequence) else []
    return tuple(item.text for item in items if isinstance(item, Scalar))


def _inner(node: Mapping, key: str) -> Mapping | None:
    entry = node.entries.get(key)
    return entry.value if entry is not None and isinstance(entry.value, Mapping) else None


def _cited(node: Mapping) -> tuple[str, ...]:
    """Find the limits that the conditions of a rule cite, in the order in which they stand."""
    found: dict[str, None] = {}
    for key in ("requires", "applies"):
        if key in node.entries:
            _search(node.entries[key].value, found)
    return tuple(found)


def _search(node: Node, found: dict[str, None]) -> None:
    if isinstance(node, Scalar):
        for word in node.text.replace("(", " ").replace(")", " ").split():
            if word.startswith("limit."):
                found.setdefault(word[6:].strip(",*/"))
    elif isinstance(node, Sequence):
        for item in node.items:
            _search(item, found)
    else:
        for key, value in node.entries.values():
            _search(key, found)
            _search(value, found)
