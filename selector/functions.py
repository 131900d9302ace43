"""What a notebook or a program asks: the commands as functions, with their records. `import selector` gives each of
them; nothing is imported before the first call.

Facts, targets and marks are typed as on the command line; figures come back exact (`fractions.Fraction`), in the
table's own units. What can't be read is `selector.problems.Refused`, with every problem in it.
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Mapping
from fractions import Fraction
from types import MappingProxyType

from selector.answers.flat.flat_records import to_records as to_records
from selector.answers.identify import IdentifyAnswer
from selector.answers.identify import identify as identified
from selector.answers.survey.summary import SurveyAnswer
from selector.job.as_found.as_found import as_found
from selector.job.as_found.record import AsFound
from selector.job.file.model import Job
from selector.job.file.read import load_job
from selector.job.identify.identify import ChartCandidate
from selector.job.identify.library import possible_tables
from selector.job.line.typed import job_from_pairs
from selector.job.plan.plan import Plan
from selector.job.plan.plan import plan as planned
from selector.job.targets.house import house_of, table_of
from selector.job.verify.verify import Verified, verified
from selector.job.visits.owed import UnitRecord, unit_record
from selector.judge.decode import Decoded
from selector.judge.decode import decode as decoded
from selector.judge.floors_and_ceilings import engine_of
from selector.judge.judge import judge
from selector.judge.judgement import Judgement
from selector.judge.known_facts import BoardMarks
from selector.solve.board.marks import half_read, marks_of, read_marks, setting_of, unread_in
from selector.solve.search.find import FindResult, Request
from selector.solve.search.read_back import checked_find
from selector.solve.search.typed_facts import call_named, read_facts, read_target
from selector.table.library import library
from selector.table.model.table import Setting, Table

Typed = Mapping[str, str]
_NONE: Typed = MappingProxyType({})


def load(name: str | os.PathLike[str]) -> Table:
    """A table by its name or path. Raises Refused with every problem of the file.

    >>> load("pellmere-si").unit.title
    'Ducted gas heater with cooling coil'
    """
    return library.load(os.fspath(name))[0]


def marks(table: Table, setting: Setting) -> str:
    """A setting as marks that `decode` reads.

    >>> table = load("pellmere-si")
    >>> marks(table, table.delivered(None))
    'D1=C D2=3 J1=2 SW1=00'
    """
    return marks_of(setting, table)


def decode(table: Table, board: str | Iterable[str], facts: Typed = _NONE) -> Decoded:
    """What a board does as it is set. `judgement` as of `judge_board`; `values` has its calls and stages: their
    airflows, certain where there is one, and the noes; `answers` the steps and rises.

    >>> found = decode(load("pellmere-si"), "D1=D D2=2 J1=3 SW1=10", {"static pressure": "120 Pa"})
    >>> [float(x) for x in found.values["cooling", ""].airflows]
    [475.2]
    >>> found = decode(load("pellmere-si"), "D1=D D2=2 J1=3 SW1=1?", {"static pressure": "120 Pa"})
    >>> [float(x) for x in found.values["cooling", ""].airflows]
    [374.0, 475.2]
    """
    read = read_marks(_words(board), table)
    table = table.half_read(half_read(_words(board), table))
    return decoded(engine_of(table, read_facts(facts.items(), table)), setting_of(read, table), unread_in(read))


def judge_board(table: Table, board: str | Iterable[str], facts: Typed = _NONE) -> Judgement:
    """How a board stands: for each call and stage its airflow or why it has none, every limit kept, broken, depending
    or not judged, and the notes; what contradicts, what is shared.

    >>> judgement = judge_board(load("pellmere-si"), "D1=D D2=2 J1=3 SW1=10", {"static pressure": "120 Pa"})
    >>> [(check.limit.quantity, check.state) for check in judgement.stages["heating", "high"].checks][:1]
    [('temperature rise', 'kept')]
    """
    read = read_marks(_words(board), table)
    table = table.half_read(half_read(_words(board), table))
    engine = engine_of(table, read_facts(facts.items(), table))
    return judge(engine, BoardMarks(setting=setting_of(read, table), unread=unread_in(read)))


def find(
    table: Table,
    targets: Typed,
    facts: Typed = _NONE,
    *,
    found: str | Iterable[str] = (),
    hold: str | Iterable[str] = (),
    first: int = 3,
    near: Fraction | int = 1,
) -> FindResult:
    """The settings nearest to the targets, checked by decoding each. `near` is in percentage points: deviations this
    close count as one. Raises ValueError where `first` or `near` is out of range.

    >>> table = load("pellmere-si")
    >>> wanted = {"cooling": "430", "heating": "rise 30"}
    >>> best = find(table, wanted, {"static pressure": "130 Pa"}, near=0).found[0]
    >>> marks(table, best.setting), round(float(best.deviation), 4)
    ('D1=E D2=4 J1=2 SW1=11', 0.0253)
    """
    if first < 1 or near < 0:
        raise ValueError("first is 1 or more, near is 0 or more")
    standing = setting_of(read_marks(_words(found), table), table) if found else None
    request = Request(
        targets=tuple(read_target(call, text, table) for call, text in targets.items()),
        held={p: at for p, at in read_marks(_words(hold), table).items() if at is not None},
        found=standing,
        first=first,
        near=Fraction(near),
    )
    return checked_find(engine_of(table, read_facts(facts.items(), table)), request)


def plan(job: str | os.PathLike[str] | Typed) -> Plan:
    """One setting for the whole board, from a job file or facts typed with a table's name.

    >>> found = plan({"table": "pellmere-si", "tons": "2", "static pressure": "130 Pa"})
    >>> found.solution.best is not None
    True
    """
    return planned(house_of(_job(job)))


def verify(job: str | os.PathLike[str] | Typed, stage: str = "") -> Verified:
    """What was measured, judged; of one call's stage where it is named."""
    house = house_of(_job(job))
    return verified(house, call_named(stage, house.table) if stage else None)


def visits(job: str | os.PathLike[str] | Typed) -> UnitRecord:
    """A unit over its visits: what each measured, which stages are verified, what is owed when it's cold or warm.

    >>> unit = visits({"table": "pellmere-si", "tons": "2", "static pressure": "130 Pa", "left D1": "E"})
    >>> sorted({one.season for one in unit.owed})
    ['cold', 'warm']
    """
    typed = _job(job)
    return unit_record(typed, table_of(typed))


def found(job: str | os.PathLike[str] | Typed) -> AsFound:
    """Whether a board as found suits the house, and the fewest moves that put it right.

    >>> job = {"table": "pellmere-si", "tons": "2", "static pressure": "130 Pa"}
    >>> found({**job, "found SW1": "11", "found D1": "E", "found D2": "4", "found J1": "2"}).right
    True
    """
    return as_found(house_of(_job(job)))


def identify(job: str | os.PathLike[str] | Typed, tables: Iterable[Table] | None = None) -> IdentifyAnswer:
    """Which charts fit the marks and measurements of a board whose chart is not at hand; of all tables that can be
    read where none are given. Raises Refused for a job without marks and measurements.

    >>> job = {"found D1": "E", "found D2": "4", "found J1": "2", "found SW1": "11"}
    >>> [chart.table for chart in identify(job, [load("pellmere-si"), load("corvane-k14")]).may_fit]
    ['pellmere-si']
    """
    known = _job(job)
    return identified(known, _of_library(known) if tables is None else tables)


def survey_records(
    records: str | os.PathLike[str],
    out: str | os.PathLike[str] = "",
    *,
    columns: Typed = _NONE,
    tables: Iterable[str] = (),
    assumed: bool = True,
    moves: bool = False,
) -> SurveyAnswer:
    """The verdicts on many records (CSV, Parquet, xlsx), counted; with `out` (CSV or Parquet) a row for each is
    written. `columns`: what is meant to the name of its column. Needs the extra `survey`.

    >>> counted = survey_records("tests/examples/surveys/boards.csv")
    >>> counted.records, to_records(counted)[0]
    (12, {'table': 'corvane-k14', 'verdict': 'danger', 'records': 1})
    """
    from selector.survey.run.answer import answer_of
    from selector.survey.run.survey import SurveyOptions
    from selector.survey.run.survey import survey as surveyed

    options = SurveyOptions(
        records=os.fspath(records),
        out=os.fspath(out),
        columns=tuple(f"{what}={name}" for what, name in columns.items()),
        tables=tuple(tables),
        assumed=assumed,
        moves=moves,
    )
    return answer_of(options, surveyed(options))


def _of_library(job: Job) -> Iterable[Table | ChartCandidate]:
    paths = [path for found in library.listed().values() for path in found]
    return possible_tables(job, paths, refused=lambda _: None)


def _words(typed: str | Iterable[str]) -> list[str]:
    return [typed] if isinstance(typed, str) else list(typed)


def _job(job: str | os.PathLike[str] | Typed) -> Job:
    return (job_from_pairs(job.items()) if isinstance(job, Mapping) else load_job(os.fspath(job)))[0]
