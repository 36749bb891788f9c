"""A broken rule pack is refused with every fault at its exact place; none is ignored or ends in a traceback."""

from __future__ import annotations

import random
import re
from pathlib import Path
from typing import Any

import pytest
from ruamel.yaml import YAML

from filmcheck.packs.pack import load_packs
from filmcheck.plant.plant import shown
from filmcheck.records.errors import PackError

TABLE: dict[str, Any] = YAML(typ="safe").load(Path(__file__).with_name("broken_rules.yaml"))
SOUND: str = TABLE["sound"]
_LINE = re.compile(r"(?P<at>\d+:\d+): error: (?P<says>.*)  \[(?P<id>[a-z-]+)\]")


def told(path: Path) -> list[dict[str, str]]:
    """Load a broken pack and give what is told of it."""
    with pytest.raises(PackError) as error:
        load_packs([path])
    faults: list[dict[str, str]] = []
    for line in str(error.value).replace(shown(path), "PACK").split("\n"):
        match = _LINE.fullmatch(line.removeprefix("PACK:"))
        if match:
            faults.append(match.groupdict())
        else:
            assert line.startswith("    ")
            faults[-1]["hint"] = line.strip()
    return faults


def broken_text(case: dict[str, Any]) -> str:
    text: str = case.get("whole", SOUND)
    for old, new in case.get("swap", {}).items():
        assert text.count(old) == 1, f"'{old}' must stand once in the sound pack"
        text = text.replace(old, new)
    return text


def test_the_sound_pack_is_sound(tmp_path: Path) -> None:
    pack = tmp_path / "pack.yaml"
    pack.write_text(SOUND, encoding="utf-8")
    assert [rule.id for rule in load_packs([pack]).rules] == ["too-fast"]


@pytest.mark.parametrize(
    "condition",
    [
        "{some: print, where: {some: print, where: {that.ink: uv flexo}}}",  # that. is the first of the two
        "{some: print, where: {its.ink: uv flexo}}",
        "{web.hottest: {at_most: liner.maximum_temperature + limit.top_speed}}",  # in K below, a difference
    ],
)
def test_what_speaks_of_things_and_differences_rightly_is_sound(condition: str, tmp_path: Path) -> None:
    pack = tmp_path / "pack.yaml"
    text = SOUND.replace("{web.speed: {at_most: limit.top_speed}}", condition)
    text = text.replace("value: 80 m/min", "value: 8 K") if "web.hottest" in condition else text
    pack.write_text(text, encoding="utf-8")
    assert [rule.id for rule in load_packs([pack]).rules] == ["too-fast"]


@pytest.mark.parametrize("case", TABLE["broken"], ids=lambda case: case["case"].replace(" ", "-"))
def test_every_fault_is_told_at_its_place(case: dict[str, Any], tmp_path: Path) -> None:
    pack = tmp_path / "pack.yaml"
    pack.write_text(broken_text(case), encoding="utf-8")
    assert told(pack) == case["told"]


def test_no_way_to_break_a_pack_is_named_twice() -> None:
    names = [case["case"] for case in TABLE["broken"]]
    assert len(names) == len(set(names)) >= 100


def test_a_rule_of_another_pack_is_not_named_again(tmp_path: Path) -> None:
    first, second = tmp_path / "first.yaml", tmp_path / "second.yaml"
    first.write_text(SOUND, encoding="utf-8")
    second.write_text(SOUND, encoding="utf-8")
    with pytest.raises(PackError) as error:
        load_packs([first, second])
    lines = str(error.value).split("\n")
    one, other = shown(first), shown(second)
    assert f"{other}:3:3: error: limit top_speed is set twice; first at {one}:3:3  [pack-broken]" in lines
    assert f"{other}:9:11: error: rule too-fast is there twice; first at {one}:9:11  [pack-broken]" in lines


def test_bytes_that_are_no_text(tmp_path: Path) -> None:
    pack = tmp_path / "pack.yaml"
    pack.write_bytes(b"pack: \xff\xfe rules\n")
    assert [fault["at"] for fault in told(pack)] == ["1:7"]


def test_a_pack_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(PackError, match=r"absent\.yaml"):
        load_packs([tmp_path / "absent.yaml"])


@pytest.mark.parametrize("seed", range(150))
def test_whatever_is_torn_from_a_pack_no_traceback_comes(seed: int, tmp_path: Path) -> None:
    """Words of the pack change places, vanish or are doubled: the pack loads or is refused, nothing else."""
    chance = random.Random(seed)  # noqa: S311  a seed for a test, no secret
    words = re.split(r"(\W)", SOUND)
    for _ in range(chance.randint(1, 4)):
        at, other = chance.randrange(len(words)), chance.randrange(len(words))
        match chance.randrange(3):
            case 0:
                words[at] = ""
            case 1:
                words[at], words[other] = words[other], words[at]
            case _:
                words[at] += words[other]
    pack = tmp_path / "pack.yaml"
    pack.write_text("".join(words), encoding="utf-8")
    try:
        load_packs([pack])
    except PackError as error:
        first = str(error).split("\n")[0]
        assert re.match(rf"{re.escape(shown(pack))}:\d+:\d+: error: \S", first)
