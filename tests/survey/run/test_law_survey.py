"""L11, one judgement: what a survey says of a record is what the judge says of it alone, for every shipped table."""

from __future__ import annotations

import csv
from pathlib import Path
from random import Random

import pytest

from selector.answers.assumed_facts import assumed_fact_texts
from selector.survey.board.surveyed_table import surveyed
from selector.survey.columns import read_parquet
from selector.survey.run.survey import SurveyOptions, survey
from selector.table.library.library import load
from tests.helpers.survey_plainly import judged_plainly
from tests.helpers.survey_records import random_record, rows_of

TABLES = sorted(p.stem for p in (Path(__file__).parents[3] / "tables").glob("*.yaml"))
EACH = 24


@pytest.mark.parametrize("assumed", [True, False])
def test_a_survey_is_the_plain_loop(tmp_path: Path, assumed: bool) -> None:
    """Records of all tables, in chunks that cut them anywhere: verdict, figure, airflows and order."""
    random = Random(f"survey {assumed}")
    records = [random_record(random, load(name)[0]) for name in TABLES for _ in range(EACH)]
    random.shuffle(records)
    path = tmp_path / "records.csv"
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, list(records[0]))
        writer.writeheader()
        writer.writerows(records)
    out = str(tmp_path / "out.parquet")
    done = survey(SurveyOptions(records=str(path), out=out, assumed=assumed, chunk=200))
    assert done.records == len(records)
    found = read_parquet(out)
    names = found.column_names
    seen = set()
    for n, (record, row) in enumerate(zip(records, rows_of(found), strict=True), 1):
        got = dict(zip(names, row, strict=True))
        assert got["record"] == n
        assert {k: got[k] for k in record} == record
        table, _ = load(record["table"])
        facts = {
            "model": record["model"],
            "outdoor tons": record["tons"],
            "static pressure": record["static"],
            **dict(p.split("=") for p in record["facts"].split("; ") if p),
        }
        limits = surveyed(table).limits if assumed else ()
        want, judgement = judged_plainly(table, record["marks"], facts, limits)
        seen.add(want.verdict)
        assert got["verdict"] == want.verdict or {got["verdict"], want.verdict} == {"odd marks", "odd fact"}, (
            str(record),
            got["reason"],
        )
        if want.by is not None:
            assert got["beyond"] == pytest.approx(float(want.by), abs=0.00051), record
        if judgement is None or got["verdict"] == "odd fact":
            continue
        assert (got["assumed"] or "") == "; ".join(assumed_fact_texts(judgement.assumed_facts)), record
        for name in ("cooling", "fan"):
            stages = [s for (call, _), s in judgement.stages.items() if call == name]
            if stages and len(stages[-1].airflows) == 1 and not stages[-1].noes:
                assert got[f"{name} airflow"] == pytest.approx(float(stages[-1].airflows[0]), abs=0.5)
            elif stages and stages[-1].airflows:
                assert got[f"{name} airflow"] is None
                assert got[f"{name} least"] == pytest.approx(float(stages[-1].airflows[0]), abs=0.5)
                assert got[f"{name} most"] == pytest.approx(float(stages[-1].airflows[-1]), abs=0.5)
    assert seen >= {"danger", "not usable", "outside limits", "depends", "OK", "odd marks", "odd fact"}
