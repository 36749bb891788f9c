"""``filmcheck rules``: what the rules are, and whether they prove."""

from __future__ import annotations

import json
import re
import sys
from pathlib import Path

import click

from filmcheck.cli.streams import put
from filmcheck.judging.house import House
from filmcheck.judging.limit import Limit
from filmcheck.judging.rule import Rule
from filmcheck.judging.rule_head import STAGES
from filmcheck.packs.loaded import Packs
from filmcheck.packs.pack import load_packs
from filmcheck.packs.pack_files import pack_files
from filmcheck.packs.rule_entries import rule_entry
from filmcheck.plant.nearest import nearest_hint
from filmcheck.plant.plant import shown
from filmcheck.proving.proof import Prover
from filmcheck.reading.shipped import shipped_folder
from filmcheck.records.errors import PackError, UseError
from filmcheck.reports.rule_pages import rule_pages, rule_table
from filmcheck.reports.rule_reference import rule_reference, rule_section

PACKS = click.argument("packs", nargs=-1, type=click.Path(path_type=Path, exists=True))


@click.group("rules")
def rules_command() -> None:
    """See what the rules are, and prove them."""


@rules_command.command("list", short_help="List the rules, and count them by level and stage.")
@PACKS
@click.option("--stage", type=click.Choice(STAGES), help="Only rules whose data are owed from this stage.")
@click.option("--family", help="Only rules of this family, such as Static.")
@click.option("--level", type=click.Choice(["error", "warning", "note"]), help="Only rules of this level.")
@click.option("--safety", is_flag=True, help="Only rules for safety.")
def list_command(
    packs: tuple[Path, ...], stage: str | None, family: str | None, level: str | None, safety: bool
) -> None:
    """List the shipped rules, and those of house PACKS beside them, and count them by level and stage."""
    loaded = _loaded(packs)[0]
    known = {rule.text.family.casefold(): rule.text.family for rule in loaded.rules}
    if family is not None and family.casefold() not in known:
        raise UseError(f"there is no family {family}", way_out=f"Known: {', '.join(known.values())}.")
    wanted = [
        rule
        for rule in loaded.rules
        if stage in (None, rule.text.from_stage)
        and (family is None or rule.text.family.casefold() == family.casefold())
        and level in (None, rule.level)
        and (rule.safety or not safety)
    ]
    put(rule_table(rule_entry(rule, loaded.limits) for rule in wanted))


@rules_command.command("show", short_help="Show rules whole: what each asks, its limits, and why.")
@click.argument("names", nargs=-1, metavar="[RULE | PACK]...")
@click.option(
    "--format",
    "form",
    type=click.Choice(["text", "markdown"]),
    default="text",
    help="text is for the screen; markdown makes pages.",
)
def show_command(names: tuple[str, ...], form: str) -> None:
    """Show rules whole: what each asks in plain words, its limits and their basis, why, its data, its proving cases.

    A name that is a file or folder is a house pack; without any rule, all rules of the packs are shown. As markdown,
    several rules make a reference with a table of contents.
    """
    packs = tuple(Path(name) for name in names if Path(name).exists())
    loaded, chosen = _loaded(packs)
    ids = [name for name in names if not Path(name).exists()]
    wanted = [_named(one, loaded) for one in ids] if ids else chosen
    entries = [rule_entry(rule, loaded.limits) for rule in wanted]
    if form == "text":
        put(rule_pages(entries), form)
    else:
        put(rule_section(entries[0]) if len(ids) == 1 else rule_reference(entries), form)


def _named(rule_id: str, loaded: Packs) -> Rule:
    rules = {rule.id: rule for rule in loaded.rules}
    if rule_id not in rules:
        raise UseError(f"there is no rule {rule_id}", way_out=nearest_hint(rule_id, rules, "See: filmcheck rules list"))
    return rules[rule_id]


@rules_command.command("prove", short_help="Prove rules by their cases, condition by condition.")
@PACKS
def prove_command(packs: tuple[Path, ...]) -> None:
    """Prove the rules of PACKS, or the shipped ones: run every case, and look for conditions that none notices.

    A case must stay silent on the other rules of PACKS. The shipped rules are held against shipped packs only, so
    that house rules stay proved when new shipped rules come; those that a case names under also are looked at.
    """
    loaded, chosen = _loaded(packs)
    _refuse_empty(packs, loaded, chosen)
    prover = Prover(_beside(loaded, chosen), House(loaded.limits), loaded.condition_keys, loaded.rules)
    failures = prover.prove(chosen)
    lines = [f"{failure.place}: error: {failure.says}  [{failure.rule}]" for failure in failures]
    lines += [
        f"{limit.place}: error: no rule cites limit {limit.name}  [pack-broken]" for limit in _idle(packs, loaded)
    ]
    cases = sum(len(rule.cases) for rule in chosen)
    told = f"{len(lines)} not proved" if lines else "all proved"
    put("".join(f"{line}\n" for line in (*lines, f"{len(chosen)} rules, {cases} cases: {told}")))
    sys.exit(1 if lines else 0)


def _refuse_empty(packs: tuple[Path, ...], loaded: Packs, chosen: list[Rule]) -> None:
    """Refuse to call proved what holds no rule, nor a limit for others."""
    held = {rule.place.file for rule in chosen} | {limit.place.file for limit in loaded.limits.values()}
    for path in packs:
        if held.isdisjoint(shown(file) for file in pack_files([path])):
            way_out = "Write one under rules: in the pack, or name another."
            raise UseError(f"there is no rule to prove in {shown(path)}", way_out=way_out)


def _idle(packs: tuple[Path, ...], loaded: Packs) -> list[Limit]:
    """Give the limits of these packs that nothing cites."""
    files = pack_files(packs or [shipped_folder("rules")])
    beside = {*files, *(near for file in files for near in pack_files([file.parent]))}
    cited = {name for file in beside for name in re.findall(r"limit\.(\w+)", file.read_text(encoding="utf-8"))}
    own = {shown(file) for file in files}
    return [one for one in loaded.limits.values() if one.place.file in own and one.name not in cited]


def _beside(loaded: Packs, chosen: list[Rule]) -> tuple[Rule, ...]:
    """Give the rules that a case must stay silent on, or must name."""
    shipped = {shown(path) for path in pack_files([shipped_folder("rules")])}
    if any(rule.place.file in shipped for rule in chosen):
        return loaded.rules
    wanted = {rule.id for rule in chosen} | {name for rule in chosen for case in rule.cases for name in case.also}
    return tuple(rule for rule in loaded.rules if rule.id in wanted)


def _loaded(packs: tuple[Path, ...]) -> tuple[Packs, list[Rule]]:
    """Load the shipped packs and house packs; give all, and the rules of the ones named (or all, if none is)."""
    shipped = pack_files([shipped_folder("rules")])
    known = {path.resolve() for path in shipped}
    named = pack_files(packs)
    loaded = _with_siblings(shipped, [path for path in named if path.resolve() not in known])
    files = {shown(path) for path in named}
    own = {shown(path) for path in shipped if path.resolve() in {other.resolve() for other in named}}
    chosen = [rule for rule in loaded.rules if not named or rule.place.file in files | own]
    return loaded, chosen


def _with_siblings(shipped: list[Path], named: list[Path]) -> Packs:
    """Load packs; those that only load together with others of their folders, which they name, with these."""
    try:
        return load_packs([*shipped, *named])
    except PackError:
        folders = dict.fromkeys(path.parent for path in named)
        beside = [path for path in pack_files(folders) if path.resolve() not in {one.resolve() for one in named}]
        if not beside:
            raise
        try:
            return load_packs([*shipped, *named, *beside])
        except PackError:
            pass  # the packs by themselves say what is wrong with them
        raise


@rules_command.command("words", short_help="Look up the words that a rule can use.")
@click.argument("text", nargs=-1)
@click.option(
    "--format",
    "form",
    type=click.Choice(["text", "markdown", "schema"]),
    default="text",
    help="markdown is a page; schema is the pack schema with every word in it, for an editor.",
)
@click.option(
    "--rules",
    "packs",
    multiple=True,
    type=click.Path(path_type=Path, exists=True),
    help="House pack whose words are listed too.",
)
def words_command(text: tuple[str, ...], form: str, packs: tuple[Path, ...]) -> None:
    """Look up the words that a rule can use: figures, kinds of things, places, tests, functions, keys.

    TEXT is part of a name, or what you would call it: thickness finds the calipers. Each word comes with its
    dimension, its meaning, an example, and the rules that use it. Without TEXT all words are listed.
    """
    from filmcheck.packs.dictionary import dictionary, editor_schema, look_up
    from filmcheck.reports.word_table import word_page, word_table

    entries = dictionary(_loaded(packs)[0].rules if form == "text" else ())
    found = look_up(" ".join(text), entries) if text else entries
    if not found:
        raise UseError(f"nothing is called {' '.join(text)}, or near it", way_out="See all: filmcheck rules words")
    if form == "schema":
        click.echo(json.dumps(editor_schema(entries), indent=1, ensure_ascii=False))
    else:
        click.echo(word_page(found) if form == "markdown" else word_table(found), nl=False)
