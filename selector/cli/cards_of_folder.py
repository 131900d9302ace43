"""The cards of a folder of jobs, in one go: every card is made before the first is written, and none over a file that
is there."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

import click

from selector.cli.common import within_bounds

if TYPE_CHECKING:
    from selector.card.content import Card
    from selector.card.html import Paper


def cards_of_folder(folder: str, out: str, ending: str, paper: Paper, *, force: bool) -> int:
    """Write a card for each job of a folder that says how its board is left. 1 where a job has none, with its reason on
    standard error. UsageError where a file can't be written; then none is."""
    from selector.card.from_job import job_card
    from selector.cli.files import refuse_unwritable, write_new
    from selector.job.file.read import load_job
    from selector.job.folder.job_files import jobs_of
    from selector.problems import Refused

    jobs = jobs_of(folder)
    made: list[tuple[str, bytes]] = []
    missing = 0
    for name in jobs.names:
        path = os.path.join(out, f"{os.path.splitext(name)[0]}.{ending}")
        try:
            with within_bounds():
                card = job_card(load_job(jobs.path(name))[0])
        except Refused as refused:
            click.echo(f"{name}: no card: {refused.problems[0].message}", err=True)
            missing += 1
            continue
        made.append((path, _printed(card, ending, paper)))
    _make_folder(out)
    for path, _ in made:
        refuse_unwritable(path, force=force, inputs=[jobs.path(name) for name in jobs.names])
    for path, data in made:
        write_new(path, data, force=force)
    click.echo(f"{len(made)} of {len(jobs.names)} cards", err=True)
    return 1 if missing else 0


def _printed(card: Card, ending: str, paper: Paper) -> bytes:
    if ending == "pdf":
        try:
            from selector.card.pdf import card_pdf
        except ImportError as missing:
            raise click.UsageError(
                f'a PDF needs {missing.name}: pip install "blower-selector[card]", or add --type html'
            ) from missing
        return card_pdf(card, paper)
    from selector.card.html import card_html

    return card_html(card, paper).encode("utf-8")


def _make_folder(out: str) -> None:
    try:
        os.makedirs(out, exist_ok=True)
    except OSError as error:
        raise click.UsageError(f"{out} can't be made a folder: {(error.strerror or 'no').lower()}") from error
