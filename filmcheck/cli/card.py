"""``filmcheck card``: the set-up card of a job for the press."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import click

from filmcheck.cli.option_types import TODAY
from filmcheck.cli.streams import check_target, put, write_report


@click.command("card", short_help="Make the set-up card that the crew takes to the press.")
@click.argument("job", type=click.Path(path_type=Path))
@click.option(
    "--format",
    "form",
    type=click.Choice(["text", "markdown", "html"]),
    default="text",
    show_default=True,
    help="html is for the printer: one or two sheets of A4 or letter.",
)
@click.option("--to", "target", type=click.Path(path_type=Path, dir_okay=False), help="Write the card to this file.")
@TODAY
def card_command(job: Path, form: str, target: Path | None, today: date) -> None:
    """Make the set-up card of the job sheet JOB, which the crew takes to the press.

    It tells what to set, within which window, what to look at along the path, and has lines for what is read and
    signed. A job with errors is not cleared: they stand on top.
    """
    from filmcheck.reports.card.html import card_html
    from filmcheck.reports.card.markdown import card_markdown
    from filmcheck.reports.card.set_up import make_card
    from filmcheck.reports.card.text import card_text
    from filmcheck.running.job_view import view_job

    check_target(target)
    view, of_plant, read = view_job(job, today)
    card = make_card(view, sum(finding.level == "error" for finding in of_plant))
    text = {"text": card_text, "markdown": card_markdown, "html": card_html}[form](card)
    if target is None:
        put(text, form)
    else:
        write_report(target, text, form, read)
