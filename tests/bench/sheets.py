"""Makes a plant with as many job sheets as wanted, each different, from the demo plant; the same seed, the same bytes.

The demo's jobs are the patterns. A sound pattern is varied within what its tools and stock bear, so that most sheets
stay silent, as those of a plant do that lints every change; about one sheet in ten comes from a spoiled pattern and
keeps its defect.

On every sheet every quantity varies by up to one per cent, and customers and dies go by several names: no two sheets
share what could be worked out once for both. What tools and cores fix stays (``FIXED``), for another number there is
another finding; so do counts. Jobs are spread over days, ten a day, and few still stand before the press: so a sheet
has as many neighbours in a small plant as in a large one, and what is asked of all jobs together grows with their
number alone. Times of day stand in block style, for the compiled parsers refuse a colon within braces.

    python tests/bench/sheets.py FOLDER COUNT [SEED]
"""

from __future__ import annotations

import random
import re
import shutil
import sys
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path

DEMO = Path(__file__).parents[2] / "examples"
SPOILED_SHARE = 0.1
TO_COME_SHARE = 0.125
JOBS_A_DAY = 10
SMALLER_ROLLS = (80, 90)
"""Hundredths of the labels on a roll of the pattern."""
SHEETS_A_FOLDER = 1000
NAMESAKES = ("", "-b", "-c", "-d")
"""What names of customers and dies end with; the entries are the same."""
SHARE_OF_NUMBERS = 0.01
"""How far a number may lie from that of the pattern."""
FIXED = ("around", "core")
"""Fields that tools and cores fix: the repeat of a die, the bore of a roll."""
NOT_VARIED = ("qm-3226", "qm-3235")
"""Patterns whose defect lies between two sheets, or in their hours, which are set anew: none carries it alone."""

GOODS = (
    *("Ginger cordial", "Pear cider", "Mint mouthwash", "Oat biscuits", "Hand cream", "Wood soap", "Face tonic"),
    *("Cough syrup", "Throat spray", "Lime cordial", "Beard oil", "Floor polish", "Apple vinegar", "Rose water"),
)
NUMBER = re.compile(r"(\w+): (\d+(?:\.\d+)?)(?= ?(?:mm|m|m/min|N|lbf/in|%|degC|K|kN|h|µm|in|psi)\b|%)")
"""A field with a quantity: a number with a unit; not in ohm, for one check of the ground serves many sheets."""

SIZES = ("30 ml", "75 ml", "100 ml", "250 ml", "330 ml", "500 ml", "750 ml", "1 l")
KINDS = ("clear front label", "white back label", "neck label", "clear wrap", "cap seal", "collar label")
REMARKS = (
    *(
        "# colour to the approved proof",
        "# as last time",
        "# customer asks for a sample",
        "# see the card at the press",
    ),
    *("# agreed with the planner", "# checked by two", "# new plates", "# same as the run in spring"),
)

Choice = random.Random
Edit = Callable[[str, Choice], str]


def make_plant(folder: Path, count: int, seed: int = 1) -> list[Path]:
    """Make the plant in a new folder; give its sheets."""
    shutil.copytree(DEMO, folder, ignore=shutil.ignore_patterns("jobs", "README.md"))
    _more_entries(folder / "registers")
    sound, spoiled = patterns("sound"), patterns("spoiled")
    to_come = [text for text in sound if _stage(text) in ("planned", "set-up", "running")]
    done = [text for text in sound if text not in to_come]
    choice = random.Random(seed)  # noqa: S311  nothing secret: the same seed is to give the same plant
    sheets = []
    for number in range(count):
        path = folder / "jobs" / f"{number // SHEETS_A_FOLDER:03}" / f"qm-{number:06}.yaml"
        path.parent.mkdir(parents=True, exist_ok=True)
        if choice.random() < SPOILED_SHARE:
            text = varied(choice.choice(spoiled), number, choice, EVERYWHERE)
        else:
            pattern = choice.choice(to_come if choice.random() < TO_COME_SHARE else done)
            text = varied(pattern, number, choice, SHORT if _is_short(pattern) else SOUND)
        path.write_text(text, encoding="utf-8", newline="\n")
        sheets.append(path)
    return sheets


def _more_entries(registers: Path) -> None:
    """Add to each customer one who takes smaller rolls, to each die one of a lane less, and namesakes to all."""
    customers, tooling = registers / "customers.yaml", registers / "tooling.yaml"
    text = customers.read_text(encoding="utf-8")
    pattern = r"^([a-z-]+):\n((?:  .*\n)+)"
    for name, entry in re.findall(pattern, text, re.MULTILINE):
        labels = int(_first(r"labels_per_roll: (\d+)", entry))
        smaller = {
            f"{name}-{share}": entry.replace(f"labels_per_roll: {labels}", f"labels_per_roll: {labels * share // 100}")
            for share in SMALLER_ROLLS
        }
        with customers.open("a", encoding="utf-8") as more:
            more.writelines(
                f"{one}{ending}:\n" + re.sub(r"name: (.*)", rf"name: \1 {one}{ending}", own)
                for one, own in {name: entry, **smaller}.items()
                for ending in NAMESAKES
                if one + ending != name
            )
    # A label of another size would need a die of its own, so those of the made plant do not say what label they cut.
    text = re.sub(r"^    (?:label|gap): .*\n", "", tooling.read_text(encoding="utf-8"), flags=re.MULTILINE)
    dies = re.findall(r"^  (d-\d+):.*\n((?:    .*\n)+)", text, re.MULTILINE)
    narrow = [
        (f"{name}-narrow", re.sub(r"lanes: (\d+)", lambda lanes: f"lanes: {int(lanes[1]) - 1}", entry))
        for name, entry in dies
    ]
    added = "".join(
        f"  {name}{ending}:\n{entry}"
        for name, entry in (*dies, *narrow)
        for ending in NAMESAKES
        if ending or name.endswith("-narrow")
    )
    tooling.write_text(text.replace("dies:\n", f"dies:\n{added}", 1), encoding="utf-8")


def patterns(kind: str) -> list[str]:
    """Give the texts of the demo's jobs of one kind, in the order of their names."""
    paths = sorted((DEMO / "jobs" / kind).glob("*.yaml"))
    return [path.read_text(encoding="utf-8") for path in paths if not path.name.startswith(NOT_VARIED)]


def varied(text: str, number: int, choice: Choice, edits: tuple[Edit, ...]) -> str:
    """Give a sheet of its own made after a pattern."""
    title = f"{choice.choice(GOODS)} {choice.choice(SIZES)}, {choice.choice(KINDS)}, run {number}"
    text = re.sub(r"^job: .*$", f"job: QM-{number:06}", text, count=1, flags=re.MULTILINE)
    text = re.sub(r"^title: .*$", f"title: {title}", text, count=1, flags=re.MULTILINE)
    text = _moved(text, timedelta(days=number // JOBS_A_DAY), choice)
    for edit in edits:
        text = edit(text, choice)
    return text


def _is_short(text: str) -> bool:
    """Whether a sheet takes its path from a press or a set-up, so that most of what could vary stands elsewhere."""
    return "\npath:\n" not in text


def _stage(text: str) -> str:
    return _first(r"^stage: (.*)$", text)


def _moved(text: str, back: timedelta, choice: Choice) -> str:
    """Move every day of a sheet back by the same time, and give a job that is to come its hours.

    The day on which knives were changed stays as the register has it, unless the job then ran before.
    """
    text = re.sub(r"\d{4}-\d\d-\d\d", lambda day: str(date.fromisoformat(day[0]) - back), text)
    of_job = re.search(r"^date: (\S+)$", text, re.MULTILINE)
    for there in re.findall(r"changed: (\S{10})", text) if of_job else ():
        here = min(str(date.fromisoformat(there) + back), of_job[1])
        text = text.replace(f"changed: {there}", f"changed: {here}")
    if _stage(text) not in ("planned", "set-up", "running"):
        return text
    day = re.findall(r"^date: (\S+)$", text, re.MULTILINE)[0]
    start = choice.randrange(0, 22, 2)
    # As a block: with a colon in braces the compiled parsers refuse it, and the yardstick would stop at once.
    hours = f"press_time:\n  from: {day} {start:02}:00\n  to: {day} {start + 2:02}:00"
    text = re.sub(r"^press_time: .*\n", "", text, flags=re.MULTILINE)
    return re.sub(r"^(date: .*)$", rf"\1\n{hours}", text, count=1, flags=re.MULTILINE)


# --- what can vary on every sheet


def _length(text: str, choice: Choice) -> str:
    """Run less than the pattern: what was wound fits all the more."""
    return _each(r"(?<=[ {]length: )(\d+)(?= m\b)", text, lambda metres: round(metres * choice.uniform(0.75, 1), -1))


def _finishing_time(text: str, choice: Choice) -> str:
    return re.sub(r"^  after: [1-5] h$", lambda _: f"  after: {choice.randint(1, 5)} h", text, flags=re.MULTILINE)


def _numbers(text: str, choice: Choice) -> str:
    """Vary every quantity a little, save what tools and cores fix."""

    def other(found: re.Match[str]) -> str:
        field, number = found.groups()
        if field in FIXED:
            return found[0]
        share = choice.choice((-1, 1)) * choice.uniform(SHARE_OF_NUMBERS / 10, SHARE_OF_NUMBERS)
        return f"{field}: {float(number) * (1 + share):.5g}"

    lines = text.splitlines()
    return "\n".join(line if line.lstrip().startswith("#") else NUMBER.sub(other, line) for line in lines) + "\n"


def _names(text: str, choice: Choice) -> str:
    """Name a namesake of the customer and of the die."""
    for field, name in (("customer", r"[a-z]+-[a-z0-9-]+"), ("die", r"d-\d+(?:-narrow)?")):
        text = re.sub(rf"\b({field}: {name})", rf"\1{choice.choice(NAMESAKES)}", text, count=1)
    return text


def _comments(text: str, choice: Choice) -> str:
    """Set a few remarks behind lines."""
    lines = text.splitlines()
    for at in choice.sample(range(len(lines)), k=choice.randint(0, 3)):
        if "#" not in lines[at]:
            lines[at] += "   " + choice.choice(REMARKS)
    return "\n".join(lines) + "\n"


def _key_order(text: str, choice: Choice) -> str:
    """Set the groups of the sheet, and the words of its short groups on one line, in another order."""
    head, *blocks = re.split(r"^(?=[a-z_]+:)", text, flags=re.MULTILINE)
    if choice.random() < 0.5:
        blocks = [blocks[0], *choice.sample(blocks[1:], k=len(blocks) - 1)]
    return head + "".join(re.sub(r"\{([^{}\[\]]+)\}", lambda group: _shuffled(group[1], choice), b) for b in blocks)


def _shuffled(inner: str, choice: Choice) -> str:
    pairs = inner.split(", ")
    return "{" + ", ".join(choice.sample(pairs, k=len(pairs))) + "}"


# --- what only a sound pattern bears


def _width_and_lanes(text: str, choice: Choice) -> str:
    """Take one lane off now and then, with the width that it needs; total tensions fall with the width."""
    wide = int(_first(r"width: (\d+) mm", text))
    across, gap, lanes = (
        float(_first(rf"{name}", text))
        for name in (r"label: \{[^}]*across: ([\d.]+) mm", r"gap: \{[^}]*across: ([\d.]+) mm", r"\n  lanes: (\d+)")
    )
    fewer = 1 if lanes > 2 and choice.random() < 0.3 else 0
    new = wide - fewer * (across + gap) + choice.randint(0, 6)
    text = text.replace(f"width: {wide} mm", f"width: {new:g} mm")
    text = re.sub(rf"\b(lanes|strips): {lanes:g}\b", rf"\1: {lanes - fewer:g}", text)
    text = re.sub(r"die: (d-\d+)", r"die: \1-narrow", text) if fewer else text
    share = new / wide * choice.uniform(0.98, 1.01)
    return _each(r"(?<=tension: )([\d.]+)(?= N\b(?!/))", text, lambda force: round(force * share, 1))


def _speed(text: str, choice: Choice) -> str:
    share = choice.uniform(0.96, 1.04)
    return _each(r"(?<=speed: )(\d+)(?= m/min)", text, lambda speed: round(speed * share, 1))


def _lamps(text: str, choice: Choice) -> str:
    """Turn a lamp down towards the proved minimum, by no more than a third of what is between them."""

    def lamp(found: re.Match[str]) -> str:
        setting, least = float(found[1]), float(found[3])
        return f"setting: {setting - choice.uniform(0, 0.3) * (setting - least):.1f}{found[2]}{found[3]}"

    return re.sub(r"setting: ([\d.]+)( \S+, cure_minimum: )([\d.]+)", lamp, text)


def _labels_per_roll(text: str, choice: Choice) -> str:
    """Wind smaller rolls now and then, for a customer who takes such."""
    if "deviations:" in text or choice.random() < 0.5:  # a permit may speak of the customer
        return text
    share = choice.choice(SMALLER_ROLLS)
    text = re.sub(r"^customer: (.*)$", rf"customer: \1-{share}", text, count=1, flags=re.MULTILINE)
    return _each(r"(?<=labels_per_roll: )(\d+)", text, lambda labels: labels * share // 100)


def _each(pattern: str, text: str, change: Callable[[float], float]) -> str:
    return re.sub(pattern, lambda found: f"{change(float(found[1])):g}", text)


def _first(pattern: str, text: str) -> str:
    found = re.search(pattern, text, re.MULTILINE)
    if found is None:
        raise ValueError(f"the demo has changed: nothing in a sheet looks like {pattern}")
    return found[1]


EVERYWHERE: tuple[Edit, ...] = (_finishing_time, _numbers, _names, _comments, _key_order)
SOUND: tuple[Edit, ...] = (_length, _width_and_lanes, _speed, _lamps, _labels_per_roll, *EVERYWHERE)
SHORT: tuple[Edit, ...] = (_length, _labels_per_roll, *EVERYWHERE)


if __name__ == "__main__":
    made = make_plant(Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3]) if len(sys.argv) > 3 else 1)
    print(f"{len(made)} sheets in {sys.argv[1]}")
