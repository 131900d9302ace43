"""What the grammar can't see: every check over the built table, in one tuple."""

from __future__ import annotations

from collections.abc import Callable

from selector.table.checks.calls import (
    check_acts_twice,
    check_circles,
    check_leads,
    check_leads_used,
    check_limits_of_all,
    check_purposes,
    check_stage_of_call,
    check_together,
    check_unknown_ratings,
)
from selector.table.checks.charts import (
    check_blank_columns,
    check_copies,
    check_dashes_in_adjustments,
    check_large_shares,
    check_missing_rows,
    check_models,
    check_unused_charts,
    check_unused_facts,
    check_unused_parts,
)
from selector.table.checks.doubts import (
    check_free_plugs,
    check_free_tons,
    check_low_per_ton,
    check_marks_as_figures,
    check_static_unit,
    check_whose_lead,
)
from selector.table.checks.starts import check_heat_starts, check_starts
from selector.table.model.table import Table
from selector.table.text.report import FileReport

CHECKS: tuple[Callable[[Table, FileReport], None], ...] = (
    check_circles,
    check_stage_of_call,
    check_starts,
    check_heat_starts,
    check_unused_charts,
    check_unused_parts,
    check_unused_facts,
    check_copies,
    check_leads,
    check_leads_used,
    check_together,
    check_unknown_ratings,
    check_limits_of_all,
    check_purposes,
    check_missing_rows,
    check_acts_twice,
    check_models,
    check_blank_columns,
    check_dashes_in_adjustments,
    check_large_shares,
    check_free_plugs,
    check_free_tons,
    check_static_unit,
    check_whose_lead,
    check_marks_as_figures,
    check_low_per_ton,
)
"""Run in this order once the table is built."""
OF_CHARTS = (check_copies, check_dashes_in_adjustments, check_large_shares, check_blank_columns)
"""Those that look at one chart alone: they are run where other parts of the file have problems."""
OF_CALLS = (check_circles, check_starts, check_heat_starts)
"""Those that look at calls alone: where others have problems they are run over the sound ones."""
