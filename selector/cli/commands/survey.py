"""`selector survey`."""

from __future__ import annotations

import sys
from collections.abc import Callable
from typing import TYPE_CHECKING

import click

from selector.cli.common import columns, print_blocks, print_record

if TYPE_CHECKING:
    from selector.survey.run.survey import Progress


@click.command("survey")
@click.argument("records", metavar="RECORDS")
@click.option("--out", default="", metavar="FILE", help="Write a row for every record here: .csv or .parquet.")
@click.option("--stages", default="", metavar="FILE", help="Write a row for each call's stage here too.")
@click.option(
    "--columns",
    "told",
    multiple=True,
    metavar="NAME=COLUMN",
    help='Which column is what: "marks=Dip switches"; table, model, marks, tons, static, facts, cooling measured, '
    "or a fact's name.",
)
@click.option("--tables", multiple=True, metavar="FILE|FOLDER", help="Tables beside those that `list` shows.")
@click.option("--page-limits", is_flag=True, help="Leave out the assumed window of airflow per ton.")
@click.option("--moves", is_flag=True, help="Work out the fewest moves for boards that are wrong (slow).")
@click.option("--picture", metavar="FILE", help="Write the picture here: .svg.")
@click.option("--resume", is_flag=True, help="Take up a survey that was stopped.")
@click.option("--memory", default="", metavar="SIZE", help="Let the engine take so much, such as 2GB.")
@click.option("--cluster", metavar="MASTER", help="Let Apache Spark do it, such as local[2] or spark://host:7077.")
@click.option("--json", "as_json", is_flag=True, help="Print the answer as JSON.")
def command(
    records: str,
    out: str,
    stages: str,
    told: tuple[str, ...],
    tables: tuple[str, ...],
    page_limits: bool,
    moves: bool,
    picture: str | None,
    resume: bool,
    memory: str,
    cluster: str | None,
    as_json: bool,
) -> int:
    """\b
    Example: selector survey boards.csv --out verdicts.csv

    Judge many recorded boards. RECORDS is CSV, Parquet or xlsx with the columns table and marks, perhaps model, tons,
    static, facts, and measured airflows as cooling measured, heating measured, fan measured (1180, 560 L/s,
    flow plate=1180: as the chart counts the air; a flow hood's where no way is named); other columns are passed on.
    With --out every record gets a row, in its place: verdict, where, how far beyond, why, airflows. No file that is
    there is replaced.
    """
    from selector.answers.plots.survey import survey_plots
    from selector.answers.survey.summary import exit_code, lines
    from selector.cli.files import ending_of, refuse_unwritable, write_new
    from selector.draw.plots.plots import plot_as_figure, plots_text, stacked
    from selector.survey.run.answer import answer_of
    from selector.survey.run.survey import SurveyOptions, survey

    if picture:
        ending_of(picture, "svg")
        refuse_unwritable(picture, inputs=(records,))
    options = SurveyOptions(
        records=records,
        out=out,
        stages=stages,
        columns=told,
        tables=tables,
        assumed=not page_limits,
        moves=moves,
        resume=resume,
        memory=memory,
    )
    try:
        if cluster:
            from selector.survey.run.cluster import survey_on_cluster

            done = survey_on_cluster(options, cluster)
        else:
            done = survey(options, told=_bar() if sys.stderr.isatty() else None)
    except OSError as error:
        why = (error.strerror or type(error).__name__).lower()
        raise click.UsageError(
            f"{out or 'The survey'} can't be written: {why}. What is done is kept: type the same with --resume."
        ) from error
    answer = answer_of(options, done)
    shown = survey_plots(answer)
    if picture:
        from selector.draw.parts.svg import figure_svg

        svg = figure_svg(stacked([plot_as_figure(one, 480) for one in shown]))
        write_new(picture, svg.encode("utf-8"))
    if as_json:
        print_record(answer)
    else:
        print_blocks(lines(answer))
        click.echo("\n" + "\n".join(plots_text(shown, columns=columns())))
    return exit_code(answer)


def _bar() -> Callable[[Progress], None]:
    """Says on standard error how far it is: records, boards judged, time left."""

    def say(at: Progress) -> None:
        left = ""
        if at.count:
            seconds = at.seconds / at.done * (at.count - at.done)
            left = f" of {at.count:,}, about {seconds / 60:.0f} min left" if seconds >= 60 else f" of {at.count:,}"
        end = "\n" if at.count is not None and at.done >= at.count else ""
        click.echo(f"\r{at.done:,} records{left}, {at.boards:,} boards judged", err=True, nl=False)
        click.echo(end, err=True, nl=False)

    return say
