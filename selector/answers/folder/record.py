"""What `jobs` answers under --json."""

from __future__ import annotations

from fractions import Fraction
from typing import Literal

from selector.answers.danger import DangerData
from selector.answers.verify.record import Word
from selector.answers.visits.record import OwedData
from selector.job.folder.unit_status import State
from selector.value import Published


class HouseRowData(Published, frozen=True, kw_only=True):
    """One stage of a house, in the airflow unit of its table: what is aimed at, allowed, expected and measured.

    Null is open or not known; `no` says why there is no airflow.
    """

    call: str
    stage: str
    target: Fraction | None
    low: Fraction | None
    high: Fraction | None
    expected: Fraction | None
    no: str
    measured: Fraction | None
    date: str
    verdict: Word | None


class JobData(Published, frozen=True, kw_only=True):
    """One job. `file` is its name in the folder; `problems` say why it can't be read."""

    file: str
    state: State
    table: str
    model: str | None
    place: str
    airflow_unit: str
    dangers: tuple[DangerData, ...]
    stages: tuple[HouseRowData, ...]
    owed: tuple[OwedData, ...]
    problems: tuple[str, ...]


class OtherFileData(Published, frozen=True, kw_only=True):
    """A file that isn't counted: an older version of `instead`, or no job."""

    file: str
    why: Literal["older", "no job"]
    instead: str


class JobsAnswer(Published, frozen=True, kw_only=True):
    """Answer of selector jobs: how far each unit of a folder has come. `counts`: the number of jobs in each state."""

    version: Literal[2]
    folder: str
    counts: dict[str, int]
    jobs: tuple[JobData, ...]
    left_out: tuple[OtherFileData, ...]
