"""Reads the proving cases of a rule, and refuses those that could prove nothing."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from filmcheck.figures.scopes import station_shapes
from filmcheck.judging.rule import VERDICTS, Case
from filmcheck.packs.pack_fields import Teller, inner, items_of, raw_text, text_of, words_in
from filmcheck.packs.sheet_addresses import lost_address
from filmcheck.plant.fence import Fence
from filmcheck.plant.nearest import nearest_hint
from filmcheck.plant.plant import settings_above
from filmcheck.reading.nodes import Fault, Mapping, Scalar
from filmcheck.reading.shipped import shipped_folder
from filmcheck.records.place import Place

DEFAULT_SHEET = "film-label"


def sound_sheet(pack_file: str, sheet: str) -> Path:
    """Give the path of the sound sheet that a case names: one of the shipped ones, or a file beside the pack."""
    if sheet.endswith((".yaml", ".yml")):
        return Path(pack_file).parent / sheet
    return shipped_folder("rules") / "proving" / "sheets" / f"{sheet}.yaml"


class ProofReader(Teller):
    """Reads the cases of one pack."""

    def __init__(self, file: str, tell: Callable[[Fault], None], to_prove: bool) -> None:
        """Take the pack's file, the function that a fault is told to, and whether the cases are to be run."""
        self.file = file
        self.named: list[tuple[str, Scalar]] = []
        """Rules that cases and conditions name; whether they exist is known when all packs are read."""
        super().__init__(tell)
        self._to_prove = to_prove
        self._sheets: dict[str, bool] = {}

    def cases(self, rule: Mapping) -> tuple[Case, ...]:
        """Read the cases of a rule. It needs one that must fail and one that must pass."""
        items = [item for item in items_of(rule, "proof") if isinstance(item, Mapping)]
        cases = tuple(self._case(item) for item in items)
        verdicts = {case.verdict for case in cases}
        name = text_of(rule, "rule")
        # What is found by looking at many sheets at once cannot be proved on one.
        for needed in ("fail", "pass") if text_of(rule, "found_by") != "repository" else ():
            if needed not in verdicts and verdicts <= VERDICTS.keys():  # the schema has told of any other word
                says = f"rule {name} has no case that must {needed}, so nothing proves it"
                self.fault(rule.entries["rule"].value, says, "Add one under proof.")
        if not text_of(rule, "found_by"):
            # Rules on the reading of sheets prove themselves with addresses that lead nowhere.
            for item in items:
                self._check_addresses(item)
        seen: set[str] = set()
        for item in items:
            if "beside" in item.entries and "no_other_job" not in rule.entries:
                hint = "Leave it out: the rule looks at one job alone."
                self.fault(item.entries["beside"].key, "beside goes with no_other_job", hint)
            self._check_names(item, name)
            case = text_of(item, "case")
            if case and case in seen:
                self.fault(item.entries["case"].value, f"case '{case}' is there twice in rule {name}")
            seen.add(case)
        return cases

    def _case(self, node: Mapping) -> Case:
        return Case(
            name=text_of(node, "case"),
            verdict=text_of(node, "verdict"),
            place=Place(self.file, node.span),
            sheet=text_of(node, "sheet") or DEFAULT_SHEET,
            level=text_of(node, "level"),
            sheet_text=raw_text(node, "sheet_text"),
            settings_text=raw_text(node, "settings_text"),
            change=inner(node, "change"),
            without=tuple(word.text for word in words_in(node, "without")),
            insert=tuple(item for item in items_of(node, "insert") if isinstance(item, Mapping)),
            beside=self._beside(node),
            at=text_of(node, "at"),
            says=text_of(node, "says"),
            also=tuple(word.text for word in words_in(node, "also")),
        )

    def _beside(self, node: Mapping) -> Case | None:
        beside = inner(node, "beside")
        return (
            replace(self._case(beside), sheet=text_of(node, "sheet") or DEFAULT_SHEET) if beside is not None else None
        )

    def _check_addresses(self, case: Mapping) -> None:
        change = inner(case, "change")
        addresses = [entry.key for entry in change.entries.values()] if change else []
        addresses += words_in(case, "without")
        beside = inner(case, "beside")
        if beside is not None:
            self._check_addresses(beside)
        at = case.entries.get("at")
        if at is not None and isinstance(at.value, Scalar):
            addresses.append(at.value)
        for address in addresses:
            lost = lost_address(address.text)
            if lost is not None:
                self.fault(address, lost.says, lost.hint)
        for item in items_of(case, "insert"):
            if isinstance(item, Mapping):
                self._check_station(item)

    def _check_station(self, item: Mapping) -> None:
        station = inner(item, "station")
        for kind, entry in station.entries.items() if station else ():
            if kind not in station_shapes():
                hint = nearest_hint(kind, station_shapes(), f"Known: {', '.join(station_shapes())}.")
                self.fault(entry.key, f"{kind} is no known kind of station", hint)
        if station and "before" not in item.entries and "after" not in item.entries:
            says = f"it is not said where {next(iter(station.entries), 'the station')} goes"
            self.fault(item.entries["station"].key, says, "Write before: or after: and a station of the path.")
        if "before" in item.entries and "after" in item.entries:
            self.fault(item.entries["after"].key, "a station goes before or after another, not both")

    def _check_names(self, case: Mapping, rule: str) -> None:
        sheet = case.entries.get("sheet") if self._to_prove else None
        if sheet is not None and isinstance(sheet.value, Scalar) and not self._is_there(sheet.value.text):
            known = [path.stem for path in sound_sheet(self.file, "").parent.glob("*.yaml")]
            hint = nearest_hint(sheet.value.text, known, f"Known: {', '.join(sorted(known))}.")
            self.fault(sheet.value, f"there is no sound sheet {sheet.value.text}", hint)
        for word in words_in(case, "also"):
            if word.text == rule:
                self.fault(word, f"also names {rule} itself; what it must say is the verdict")
            else:
                self.named.append((self.file, word))

    def _is_there(self, sheet: str) -> bool:
        if sheet not in self._sheets:
            path = sound_sheet(self.file, sheet)
            folder = Path(self.file).parent
            plant = settings_above(folder)
            beside = Fence.around(folder, shipped_folder("rules"), *([plant.parent] if plant is not None else []))
            self._sheets[sheet] = beside.holds(path.absolute()) and path.is_file()
        return self._sheets[sheet]
