"""Lines that a message shows to be added to a job can be added as they stand, on every table; the card takes the job
that is then whole."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest

from selector.answers.verify.answer import verify
from selector.answers.words.arithmetic import airflow, difference
from selector.job.as_found.as_found import as_found
from selector.job.board.expected import expected, judged
from selector.job.file.example import EXAMPLE
from selector.job.file.read import job_from_text
from selector.job.targets.house import House, house_of
from selector.problems import Refused
from selector.table.library.library import load

ROOT = Path(__file__).parents[3]
TABLES = sorted(p.stem for p in (ROOT / "tables").glob("*.yaml"))


def head(table: str) -> str:
    models = load(table)[0].unit.models
    return f"format: selector job 1\ntable: {table}\n" + (f"model: {models[0]}\n" if models else "")


def house(text: str) -> House:
    return house_of(job_from_text(text)[0])


def shown(help: str) -> str:
    return "".join(f"{line[2:]}\n" for line in help.splitlines() if line.startswith("  "))


@pytest.mark.parametrize("table", TABLES)
def test_marks_and_measurements_are_added_as_shown(table: str) -> None:
    text = head(table)
    with pytest.raises(Refused) as refused:
        as_found(house(text))
    (none,) = refused.value.problems
    assert none.code == "no-marks"
    found = house(text + shown(none.help))
    assert as_found(found).solution.now
    (left,) = verify(house(text)).problems
    assert left.code == "no-marks"
    text += shown(left.help)
    (unmeasured,) = verify(house(text)).problems
    assert unmeasured.code == "no-measurements"
    whole = house(text + shown(unmeasured.help))
    assert whole.known.left is not None
    assert len(whole.job.measurements) == 1


# -- the card of a job


def card(folder: Path, *words: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "selector", "card", *words], capture_output=True, text=True, check=False, cwd=folder
    )


def plain(path: Path) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", path.read_text(encoding="utf-8")).split())


def test_the_card_has_the_figures_of_plan_and_verify(tmp_path: Path) -> None:
    (tmp_path / "job.yaml").write_text(EXAMPLE, encoding="utf-8")
    done = card(tmp_path, "job.yaml", "--out", "card.html")
    assert done.returncode == 0, done.stderr
    said = plain(tmp_path / "card.html")
    own = house(EXAMPLE)
    assert own.known.left is not None
    for one in expected(own, own.search, judged(own, own.search, own.known.left)):
        for read in one.read_as:
            if read.rise is not None:
                assert f"rise {difference(read.rise.value, own.table)}".replace(" F", " \u00b0F") in said
            if read.per_ton is not None:
                assert f"{round(read.per_ton.value)} cfm/ton" in said
    for aim in own.aims:
        if aim.aim.charted is not None:
            assert airflow(aim.aim.charted.value, own.table) in said
    assert "1,083" in said  # 60,800 / (1.08 x 52) as verify says


def test_a_fact_on_the_line_stands_on_top_of_the_job(tmp_path: Path) -> None:
    (tmp_path / "job.yaml").write_text(EXAMPLE, encoding="utf-8")
    assert card(tmp_path, "job.yaml", "left SW1=10011100", "--out", "card.html").returncode == 0
    assert "SW1=10011100" in plain(tmp_path / "card.html")


@pytest.mark.parametrize("name", ["card.txt", "card", "card.docx"])
def test_another_ending_is_refused(tmp_path: Path, name: str) -> None:
    (tmp_path / "job.yaml").write_text(EXAMPLE, encoding="utf-8")
    done = card(tmp_path, "job.yaml", "--out", name)
    assert done.returncode == 2
    assert ".pdf or .html" in done.stderr
    assert not (tmp_path / name).exists()


def test_a_job_without_marks_says_which_lines_to_add(tmp_path: Path) -> None:
    (tmp_path / "job.yaml").write_text(head("corvane-k14"), encoding="utf-8")
    done = card(tmp_path, "job.yaml", "--out", "card.html")
    assert done.returncode == 1
    assert "as left:" in done.stderr
