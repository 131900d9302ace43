"""The fewest moves that put a board right, as `found` works them out."""

from __future__ import annotations

from selector.answers.words.move import set_text
from selector.job.as_found.as_found import as_found
from selector.job.line.typed import job_from_pairs
from selector.job.targets.house import house_of
from selector.problems import Refused
from selector.solve.board.marks import split_marks
from selector.solve.engine.open_cases import too_much_open
from selector.solve.rank.rank import TooLarge
from selector.survey.board.lookup import RawBoard, facts_typed
from selector.table.model.table import Table

NONE_FITS = "no setting fits"


def fewest_moves(raw: RawBoard, table: Table) -> tuple[int | None, str]:
    """How many, and what to set; (None, why not) where no setting is offered."""
    try:
        pairs = [("table", table.name), ("model", raw.model), ("tons", raw.tons), *facts_typed(raw.facts)]
        marks = [(f"found {name}", text) for name, text in split_marks([raw.marks], table)]
        job, _ = job_from_pairs([(name, text) for name, text in (*pairs, *marks) if text])
        found = as_found(house_of(job, table))
    except Refused as refused:
        return None, refused.problems[0].message
    except TooLarge as large:
        return None, too_much_open(large.variables or large.factors)
    best = found.solution.best
    if best is None or not found.offered:
        return None, NONE_FITS
    return best.counted, set_text(table, found.solution.before, best.setting)
