"""One state that was measured, with its verdict and what to do next."""

from __future__ import annotations

from selector.job.readings.pressure_profile import Profile
from selector.job.readings.static_then import StaticThen
from selector.job.verify.cooling import CoolingVerdict
from selector.job.verify.next_step import NextStep
from selector.job.verify.verdict import Verdict
from selector.value import Struct


class JudgedState(Struct, frozen=True, kw_only=True):
    """One state with its verdict and the next step; what the coil does, static part by part, and the static to expect
    at the setting that is offered, where they were read."""

    verdict: Verdict
    step: NextStep
    cooling: CoolingVerdict | None = None
    profile: Profile | None = None
    static_then: StaticThen | None = None
