"""A proof that proves nothing is refused, and one that cannot tell says what it lacks."""

from __future__ import annotations

from pathlib import Path

from click.testing import CliRunner

from filmcheck.cli.rules import rules_command

PACK = """\
pack: P
rules:
  - rule: narrow
    title: The web is wide
    level: note
    requires: {web.width: {at_most: 300 mm}}
    says: The web is {web.width} wide
    because: So it is.
    basis: a test
    proof:
      - {case: wide, verdict: fail}
      - {case: narrow, change: {web.width: 290 mm}, verdict: pass}
      - {case: not given, without: [web.width], verdict: fail}
"""


def proved(text: str, folder: Path) -> tuple[int, str]:
    pack = folder / "pack.yaml"
    pack.write_text(text, encoding="utf-8")
    result = CliRunner().invoke(rules_command, ["prove", str(pack)])
    return result.exit_code, f"{result.output} {result.exception}"


def test_a_pack_without_rules_is_not_proved(tmp_path: Path) -> None:
    status, said = proved("pack: P\n", tmp_path)
    assert status != 0
    assert "there is no rule to prove" in said


def test_an_open_verdict_says_what_it_lacks(tmp_path: Path) -> None:
    status, said = proved(PACK, tmp_path)
    assert status == 1
    assert "wanted fail, came open" in said
    assert "lacks web.width" in said
