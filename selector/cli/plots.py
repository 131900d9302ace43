"""The options that draw an answer's plots, on the terminal and as a picture."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import wraps
from typing import TYPE_CHECKING, Any

import click

from selector.cli.streams import terminal_columns
from selector.value import Struct

if TYPE_CHECKING:
    from selector.draw.plots.plots import Shown

MOST_COLUMNS = 80
PICTURE_WIDTH = 720
"""Of a picture that is looked at on a screen."""


class Plots(Struct, frozen=True, kw_only=True):
    """What was asked for: `drawn` on the terminal, as a picture in a `file`."""

    drawn: bool
    file: str | None

    def give(self, made: Callable[[], Sequence[Shown]], *, wide: bool = False) -> None:
        """Print and write the plots that `made` returns; where none were asked for it isn't called."""
        if not self.drawn and self.file is None:
            return
        from selector.cli.files import ending_of, write_new
        from selector.draw.parts.svg import figure_svg
        from selector.draw.plots.plots import plot_as_figure, plots_text, stacked

        if self.file is not None:
            ending_of(self.file, "svg")
        shown = made()
        if not shown:
            click.echo("there is nothing to plot", err=True)
            return
        if self.drawn:
            click.echo("\n" + "\n".join(plots_text(shown, columns=columns(), wide=wide)))
        if self.file is not None:
            whole = stacked([plot_as_figure(one, PICTURE_WIDTH) for one in shown])
            write_new(self.file, figure_svg(whole).encode("utf-8"))


def plot_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """--plot and --svg FILE; the command gets them as `plots`."""

    @wraps(command)
    def with_plots(*, plot: bool, svg: str | None, as_json: bool, **rest: Any) -> Any:
        if plot and as_json:
            raise click.UsageError(
                "--plot draws for people: leave out --json, or write the plots as a picture with --svg FILE"
            )
        return command(plots=Plots(drawn=plot, file=svg), as_json=as_json, **rest)

    wrapped: Callable[..., Any] = with_plots
    for option in reversed(
        (
            click.option("--plot", is_flag=True, help="Draw the answer's plots under it."),
            click.option(
                "--svg",
                metavar="FILE",
                help="Write the same plots as a picture; a file that is there is never replaced.",
            ),
        )
    ):
        wrapped = option(wrapped)
    return wrapped


def columns() -> int:
    """Columns that a drawing may take: those of the terminal, at most 80."""
    return min(terminal_columns(), MOST_COLUMNS)
