"""Apache Spark on one machine, in several partitions, says of every record what DuckDB says, in every column."""

from __future__ import annotations

import csv
import subprocess
import sys
from pathlib import Path
from random import Random

import pytest

from selector.problems import Refused
from selector.survey.columns import parquet_count, read_parquet
from selector.survey.run.cluster import survey_on_cluster
from selector.survey.run.survey import SurveyOptions, survey
from selector.table.library.library import load
from tests.helpers.survey_records import random_record, rows_of

ROOT = Path(__file__).parents[3]
CODE = """
import sys
from selector.survey.run.cluster import survey_on_cluster
from selector.survey.run.survey import SurveyOptions
done = survey_on_cluster(SurveyOptions(records=sys.argv[1], out=sys.argv[2]), "local[2]", partitions=3)
print(done.records, done.written, sum(n for _, n in done.counts["verdicts"]))
"""


def test_row_for_row(tmp_path: Path) -> None:
    """Records at random of every shipped table; the process is one of its own, as Spark's are."""
    random = Random("cluster")
    tables = [load(p.stem)[0] for p in sorted((ROOT / "tables").glob("*.yaml"))]
    records = [random_record(random, random.choice(tables)) for _ in range(300)]
    path, out = tmp_path / "records.csv", tmp_path / "verdicts"
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, list(records[0]))
        writer.writeheader()
        writer.writerows(records)
    done = subprocess.run(
        [sys.executable, "-W", "ignore", "-c", CODE, str(path), str(out)],
        capture_output=True,
        text=True,
        check=False,
        cwd=ROOT,
    )
    assert done.returncode == 0, done.stderr
    assert done.stdout.split() == ["300"] * 3
    parts = [str(p) for p in sorted(out.glob("*.parquet"))]
    assert sum(parquet_count(p) > 0 for p in parts) > 1
    single = str(tmp_path / "single.parquet")
    survey(SurveyOptions(records=str(path), out=single))
    want = read_parquet(single)
    got = [row for part in parts for row in rows_of(read_parquet(part))]
    assert read_parquet(parts[0]).column_names == want.column_names
    assert got == list(rows_of(want))


def test_a_folder_that_is_there_is_not_written_to(tmp_path: Path) -> None:
    records = str(ROOT / "tests" / "examples" / "surveys" / "boards.csv")
    with pytest.raises(Refused) as refused:
        survey_on_cluster(SurveyOptions(records=records, out=str(tmp_path)), "local[1]")
    assert "a folder that isn't there" in refused.value.problems[0].help
