"""``filmcheck rules``: what the rules are, and whether they prove."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from filmcheck.errors import UseError
from filmcheck.judging.judge import House
from filmcheck.judging.pack import Packs, load_packs
from filmcheck.judging.pack_files import pack_files
from filmcheck.judging.proof import Prover
from filmcheck.judging.rule import Rule
from filmcheck.plant.nearest import nearest
from filmcheck.plant.plant import shown
from filmcheck.reports.rule_pages import rule_page, rule_table
from filmcheck.shipped import shipped_folder

PACKS = click.argument("packs", nargs=-1, type=click.Path(path_type=Path, exists=True))


@click.group("rules")
def rules_command() -> None:
    """See what the rules are, and prove them."""


@rules_command.command("list")
@PACKS
@click.option("--stage", help="Only rules whose data are owed from this stage.")
@click.option("--family", help="Only rules of this family, such as Static.")
@click.option("--level", type=click.Choice(["error", "warning", "note"]), help="Only rules of this level.")
def list_command(packs: tuple[Path, ...], stage: str | None, family: str | None, level: str | None) -> None:
    """List the shipped rules, and those of house PACKS beside them."""
    wanted = [
        rule.text
        for rule in _loaded(packs)[0].rules
        if (stage is None or rule.text.from_stage == stage)
        and (family is None or rule.text.family.casefold() == family.casefold())
        and (level is None or rule.level == level)
    ]
    click.echo(rule_table(wanted), nl=False)


@rules_command.command("show")
@click.argument("rule_id")
@PACKS
def show_command(rule_id: str, packs: tuple[Path, ...]) -> None:
    """Show one rule whole: its sentence, its limits and their basis, why, and its proving cases."""
    rules = {rule.id: rule for rule in _loaded(packs)[0].rules}
    if rule_id not in rules:
        near = nearest(rule_id, rules)
        raise UseError(
            f"there is no rule {rule_id}", way_out=f"Nearest: {near}." if near else "See: filmcheck rules list"
        )
    rule = rules[rule_id]
    click.echo(rule_page(rule.text, str(rule.place), [(case.name, case.verdict) for case in rule.cases]), nl=False)


@rules_command.command("prove")
@PACKS
def prove_command(packs: tuple[Path, ...]) -> None:
    """Prove the rules of PACKS, or the shipped ones: run every case, and look for conditions that none notices.

    A case must stay silent on the other rules of PACKS. The shipped rules are held against shipped packs only, so
    that house rules stay proved when new shipped rules come; those that a case names under also are looked at.
    """
    loaded, chosen = _loaded(packs)
    prover = Prover(_beside(loaded, chosen), House(loaded.limits))
    failures = prover.prove(chosen)
    for failure in failures:
        click.echo(f"{failure.place}: error: {failure.says}  [{failure.rule}]")
    cases = sum(len(rule.cases) for rule in chosen)
    told = f"{len(failures)} not proved" if failures else "all proved"
    click.echo(f"{len(chosen)} rules, {cases} cases: {told}")
    sys.exit(1 if failures else 0)


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
    loaded = load_packs([*shipped, *[path for path in named if path.resolve() not in known]])
    files = {shown(path) for path in named}
    own = {shown(path) for path in shipped if path.resolve() in {other.resolve() for other in named}}
    chosen = [rule for rule in loaded.rules if not named or rule.place.file in files | own]
    return loaded, chosen
