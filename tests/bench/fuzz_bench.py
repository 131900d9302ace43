"""No file and no line may end in anything but an answer or a refusal in words. Inputs are grown by what they reach.

Run: python -m tests.bench.fuzz_bench TARGET [--seconds 600] [--keep FOLDER]

Targets: table, marks, facts, page, records. Needs atheris (`pip install atheris`), in an environment that has the
program's own libraries. An input that ends otherwise is written into FOLDER; it becomes a written case of the tests.
The examples of the tests are where it begins.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
import traceback
from collections.abc import Callable
from contextlib import suppress
from functools import cache
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[2]
# where each target's inputs begin
SEEDS: dict[str, list[str]] = {
    "table": ["tables/*.yaml", "tests/examples/good/*.yaml", "tests/examples/bad/*.yaml"],
    "marks": [],
    "facts": ["tests/examples/jobs/*.yaml"],
    "page": ["tests/examples/ragged/*", "tests/examples/producers/*"],
    "records": ["tests/examples/records/*.csv", "tests/examples/surveys/*.csv"],
}


LINES: dict[str, list[str]] = {
    "marks": [
        "SW1=00011000",
        "SW1=0001?000\nSW1-3=on",
        "M1-Y1=5\nM1-Y2=4",
        "M1-W=? M1-G=3",
        "SW1-2=off SW1-3=x",
        "M1=5 4 2 3",
    ],
    "facts": [
        "table=corvane-k14\nmodel=080\ntons=3.5\nfound SW1=00111110",
        "table=wickerby-5\ntons=3.5\nstatic pressure=100 Pa\nfound M1-Y1=5\nfound M1-Y2=4",
        "input first=56 MBH\nefficiency=95 %\nsupply voltage=235 V\naltitude=5,000 ft\nrise=35 to 65 F",
        "measured=cooling second rise 50 F 10 min return 70 F\nseen=gas smell",
    ],
}


def _table(data: bytes) -> None:
    from selector.judge.decode import decode
    from selector.solve.engine.engine import Engine
    from selector.solve.search.typed_facts import read_facts
    from selector.table.from_file.build import build_table
    from selector.table.source import source_from_bytes

    table, _ = build_table(source_from_bytes(data, "fuzz.yaml"), "fuzz")
    decode(Engine(table, read_facts([], table)), tuple(None for _ in table.parts))


@cache
def _table_of(name: str) -> Any:
    from selector.table.library.library import load

    return load(name)[0]


def _marks(data: bytes) -> None:
    from selector.problems import Refused
    from selector.solve.board.marks import read_marks

    words = data.decode("utf-8", "replace").split("\n")
    for name in ("corvane-k14", "wickerby-5"):
        with suppress(Refused):
            read_marks(words, _table_of(name))


def _facts(data: bytes) -> None:
    from selector.job.line.typed import job_from_pairs

    lines = data.decode("utf-8", "replace").split("\n")
    job_from_pairs([(name, value) for name, _, value in (line.partition("=") for line in lines)])


def _page(data: bytes) -> None:
    from selector.transcribe.import_page.blocks import blocks_of
    from selector.transcribe.import_page.heads import Hints
    from selector.transcribe.import_page.import_page import page_from_bytes
    from selector.transcribe.import_page.understand import understand

    for block in blocks_of(page_from_bytes(data, "fuzz.txt")):
        understand(block, Hints())


def _records(data: bytes) -> None:
    from selector.survey.records.source import source_of

    with tempfile.NamedTemporaryFile(suffix=".csv") as file:
        file.write(data)
        file.flush()
        for _ in source_of(file.name).chunks(1000, 0):
            pass


TARGETS: dict[str, Callable[[bytes], None]] = {
    "table": _table,
    "marks": _marks,
    "facts": _facts,
    "page": _page,
    "records": _records,
}


def main() -> None:
    """One target for so long; inputs that end otherwise are kept."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("target", choices=sorted(TARGETS))
    parser.add_argument("--seconds", type=int, default=600)
    parser.add_argument("--keep", default="fuzz-found")
    given = parser.parse_args()
    import atheris  # not among the test libraries: see above

    with atheris.instrument_imports(include=["selector"]):
        from selector.problems import Refused

        with suppress(Exception):  # so that what a target imports is watched too
            TARGETS[given.target](b"\n")
    Path(given.keep).mkdir(parents=True, exist_ok=True)
    target = TARGETS[given.target]

    def one(data: bytes) -> None:
        try:
            target(data)
        except Refused:
            return
        except Exception as fault:  # kept once a place, and on with the next
            frame = traceback.extract_tb(fault.__traceback__)[-1]
            place = f"{type(fault).__name__}-{Path(frame.filename).stem}-{frame.lineno}"
            kept = Path(given.keep, f"{given.target}-{place}")
            if not kept.exists():
                kept.write_bytes(data)
                sys.stderr.write(f"kept {kept}: {fault}\n")

    with tempfile.TemporaryDirectory() as corpus:
        for n, path in enumerate(path for pattern in SEEDS[given.target] for path in sorted(ROOT.glob(pattern))):
            if path.is_file():
                (Path(corpus) / str(n)).write_bytes(path.read_bytes())
        for n, line in enumerate(LINES.get(given.target, ())):
            (Path(corpus) / f"line-{n}").write_text(line, encoding="utf-8")
        options = [
            f"-max_total_time={given.seconds}",
            f"-artifact_prefix={given.keep}/",
            "-timeout=20",
            "-rss_limit_mb=2000",
        ]
        atheris.Setup([sys.argv[0], *options, corpus], one)
        atheris.Fuzz()


if __name__ == "__main__":
    main()
