"""One state that was measured, with its verdict and what to do next."""

from __future__ import annotations

from selector.job.verify.next_step import NextStep
from selector.job.verify.verdict import Verdict
from selector.value import Struct


class JudgedState(Struct, frozen=True, kw_only=True):
    """One state with its verdict and the next step."""

    verdict: Verdict
    step: NextStep
