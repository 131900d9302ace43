"""A survey that is stopped at any moment and taken up again writes the same bytes as one that nobody disturbed."""

from __future__ import annotations

import csv
import os
import signal
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from random import Random
from time import sleep

import pytest

from selector.problems import Refused
from selector.survey.run import survey as running
from selector.survey.run.parts import Parts
from selector.survey.run.survey import SurveyOptions, survey
from selector.table.library.library import load
from tests.helpers.survey_records import random_record

ROOT = Path(__file__).parents[3]
RECORDS = 120
CHUNK = 40
KILLS = 3
"""A hundred were made once, by `python -m tests.survey.run.test_resume 100`."""


def write_records(path: Path, count: int) -> None:
    """Records of three tables, with ragged rows and blank lines between."""
    random = Random(count)
    tables = [load(name)[0] for name in ("corvane-k14", "garrowby-r", "saltmarsh-12")]
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(["table", "model", "marks", "tons", "static", "facts"])
        for n in range(count):
            writer.writerow([*random_record(random, random.choice(tables)).values()][: 5 if n % 17 == 0 else 6])
            if n % 31 == 0:
                file.write("\n")


def options(folder: Path, name: str, *, resume: bool = False, chunk: int = CHUNK) -> SurveyOptions:
    """A survey of the records in a folder, with a file of stages."""
    return SurveyOptions(
        records=str(folder / "records.csv"),
        out=str(folder / f"{name}.parquet"),
        stages=str(folder / f"{name}-stages.csv"),
        resume=resume,
        chunk=chunk,
    )


def written(folder: Path, name: str) -> tuple[bytes, bytes]:
    """Both files."""
    return (folder / f"{name}.parquet").read_bytes(), (folder / f"{name}-stages.csv").read_bytes()


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Records, and the files of an undisturbed survey called `whole`."""
    write_records(tmp_path / "records.csv", RECORDS)
    survey(options(tmp_path, "whole"))
    return tmp_path


class _Stopped(BaseException):
    """The power went."""


def test_stopped_at_every_file_in_turn(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Before one of the files that get their name, or after it; then taken up."""
    replace, wanted, count = os.replace, [0], [0]

    def stopping(source: str, target: str) -> None:
        count[0] += 1
        if count[0] == wanted[0]:
            raise _Stopped
        replace(source, target)
        if count[0] == -wanted[0]:
            raise _Stopped

    monkeypatch.setattr(os, "replace", stopping)
    survey(options(folder, "counted"))
    every = count[0]
    assert every > 3 * RECORDS // CHUNK
    for n in range(1, every + 1, 8):
        at = n if n % 16 == 1 else -n
        name = f"at{at}"
        wanted[0], count[0] = at, 0
        with pytest.raises(_Stopped):
            survey(options(folder, name))
        wanted[0] = 0
        done = survey(options(folder, name, resume=True))
        assert done.records == RECORDS
        assert written(folder, name) == written(folder, "whole")
        assert not (folder / f"{name}.parquet.parts").exists()


def killed(folder: Path, kills: int, random: Random, longest: float, chunk: int) -> Iterator[int]:
    """Parts that were whole at each new start, until a survey in processes of its own is done."""
    code = (
        "import sys; from selector.survey.run.survey import SurveyOptions as O, survey\n"
        "r, o, s, n = sys.argv[1:]\n"
        "print(survey(O(records=r, out=o, stages=s, chunk=int(n), resume=True)).again)"
    )
    one = options(folder, "killed")
    words = [sys.executable, "-c", code, one.records, one.out, one.stages, str(chunk)]
    for _ in range(kills):
        process = subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, cwd=ROOT)
        sleep(random.uniform(0.2, longest))
        process.send_signal(signal.SIGKILL)
        said = process.communicate()[1]
        assert process.returncode in (0, -signal.SIGKILL), said
        parts = Parts(one.out)
        if os.path.exists(one.out) and not os.path.exists(parts.folder):
            return  # all was written; at most the process was still ending
        yield parts.whole(stages=True)
    done = subprocess.run(words, capture_output=True, text=True, check=False, cwd=ROOT)
    assert done.returncode == 0, done.stderr
    yield int(done.stdout)


def test_killed_at_random_moments(folder: Path) -> None:
    parts = list(killed(folder, KILLS, Random(5), 3.0, CHUNK))
    assert parts == sorted(parts), "what was whole was made again"
    assert written(folder, "killed") == written(folder, "whole")


def test_a_survey_that_is_done_is_not_taken_up(folder: Path) -> None:
    with pytest.raises(Refused) as refused:
        survey(options(folder, "whole", resume=True))
    assert refused.value.problems[0].message == "This file is there already."


def test_two_surveys_of_one_name(folder: Path) -> None:
    with Parts(str(folder / "two.parquet")).held(), pytest.raises(Refused) as refused:
        survey(options(folder, "two"))
    assert refused.value.problems[0].message == "Another survey is writing this file."


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ("records", "the records changed"),
        ("options", "the options changed"),
        ("program", "the program changed"),
        ("table", "a table changed"),
        ("not told", "was begun and not finished"),
    ],
)
def test_what_changed_is_not_taken_up(change: str, says: str, folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Half done, then one of the things it was made of is another one."""
    tables = folder / "tables"
    tables.mkdir()
    for name in ("corvane-k14", "garrowby-r", "saltmarsh-12"):
        (tables / f"{name}.yaml").write_bytes((ROOT / "tables" / f"{name}.yaml").read_bytes())
    begun = SurveyOptions(
        records=str(folder / "records.csv"), out=str(folder / "o.csv"), tables=(str(tables),), chunk=CHUNK
    )
    with monkeypatch.context() as patched:
        patched.setattr(running, "counts_of", _stop)
        with pytest.raises(_Stopped):
            survey(begun)
    resumed = SurveyOptions(
        records=begun.records,
        out=begun.out,
        tables=begun.tables,
        chunk=CHUNK,
        resume=change != "not told",
        assumed=change != "options",
    )
    if change == "records":
        with open(begun.records, "a", encoding="utf-8") as file:
            file.write("corvane-k14,080,SW1=00000000,3,,\n")
    if change == "program":
        monkeypatch.setattr(running, "program_mark", lambda: "another")
    if change == "table":
        with (tables / "garrowby-r.yaml").open("a", encoding="utf-8") as file:
            file.write("# looked over\n")
    with pytest.raises(Refused) as refused:
        survey(resumed)
    assert says in refused.value.problems[0].message
    assert not (folder / "o.csv").exists()


def _stop(*_: object) -> None:
    raise _Stopped


def test_a_full_disk(folder: Path) -> None:
    """A process that may write no file over 4 kB: said in words, exit code 2, and taken up once there is room."""
    code = (
        "import resource, sys; from selector.cli.main import run\n"
        "resource.setrlimit(resource.RLIMIT_FSIZE, (4096, 4096)); sys.exit(run(sys.argv[1:]))"
    )
    out = str(folder / "full.csv")
    words = ["survey", str(folder / "records.csv"), "--out", out]
    done = subprocess.run([sys.executable, "-c", code, *words], capture_output=True, text=True, check=False, cwd=ROOT)
    assert done.returncode == 2
    assert "can't be written" in done.stderr
    assert "--resume" in done.stderr
    assert not os.path.exists(out)
    done = subprocess.run(
        [sys.executable, "-m", "selector", *words, "--resume"], capture_output=True, text=True, check=False, cwd=ROOT
    )
    assert done.returncode == 1, done.stderr
    survey(SurveyOptions(records=str(folder / "records.csv"), out=str(folder / "plain.csv")))
    assert Path(out).read_bytes() == (folder / "plain.csv").read_bytes()


def main() -> None:
    """Kill a survey so many times at random moments, and compare."""
    import tempfile

    kills = int(sys.argv[1])
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        write_records(folder / "records.csv", 4000)
        survey(options(folder, "whole", chunk=40))
        random, count, rounds = Random(kills), 0, 0
        while count < kills:
            parts = list(killed(folder, kills - count, random, 4.0, 40))
            assert parts == sorted(parts)
            assert written(folder, "killed") == written(folder, "whole")
            count, rounds = count + max(1, len(parts) - 1), rounds + 1
            for end in (".parquet", "-stages.csv"):
                (folder / f"killed{end}").unlink()
        sys.stdout.write(f"{count} kills in {rounds} surveys: the same bytes each time\n")


if __name__ == "__main__":
    main()
