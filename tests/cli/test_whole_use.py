"""A whole use, in any order a person may take it: a table is checked, a setting found and read back, marks are moved, a
job written, readings added, judged, a card printed. No command fails by itself, contradicts another or changes a file
that was there."""

from __future__ import annotations

import contextlib
import io
import json
import shlex
import tempfile
from pathlib import Path
from typing import Any

from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from selector.cli.main import run
from tests.helpers.generate import Case, Wish, cases
from tests.helpers.ready import Ready, ready, target_text, typed
from tests.helpers.write import written

READINGS = ("airflow=900 cfm", "airflow=425 L/s", "static=0.45 in. w.c.", "watts=400 W", "rise=48 F", "seen=gas smell")


def _airflows(answer: dict[str, Any]) -> dict[tuple[str, str], Any]:
    """Call, stage -> the exact airflow, or the code of why there is none. A position that nobody told is printed `?`,
    which typed means looked at and not readable: the two are one here."""
    stages = [s for call in answer["calls"] for s in call["stages"]]
    codes = {(s["call"], s["stage"]): s["exact"] if s["no"] is None else s["no"]["code"] for s in stages}
    return {at: "open" if code in ("not_known", "unreadable") else code for at, code in codes.items()}


class WholeUse(RuleBasedStateMachine):
    """One board and one house, from the typed page to the card."""

    def __init__(self) -> None:
        super().__init__()
        self._folder = tempfile.TemporaryDirectory()
        self.folder = Path(self._folder.name)
        self.table = self.folder / "drawn.yaml"
        self.case: Case | None = None
        self.ready: Ready | None = None
        self.marks: list[str] = []
        self.job: Path | None = None
        self.kept: dict[Path, bytes] = {}
        self.count = 0

    def teardown(self) -> None:
        self._folder.cleanup()

    def run(self, *arguments: str | Path, codes: tuple[int, ...] = (0, 1)) -> tuple[int, str]:
        """One command: its exit code, one of `codes`, and what it answered."""
        out, err = io.StringIO(), io.StringIO()
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
            code = run([str(a) for a in arguments])
        assert code in codes, (arguments, code, out.getvalue(), err.getvalue())
        return code, out.getvalue()

    def data(self, *arguments: str | Path) -> dict[str, Any]:
        """The JSON of one command."""
        answer: dict[str, Any] = json.loads(self.run(*arguments, "--json")[1])
        assert answer["version"] == 2
        return answer

    def facts(self) -> list[str]:
        """The facts of the house, as decode and find take them."""
        assert self.case is not None
        facts = self.case.ask.facts
        named = [f"--model={typed(value)}" for name, value in facts.items() if name == "model"]
        return named + [f"--fact={name}={typed(value)}" for name, value in facts.items() if name != "model"]

    @initialize(case=cases(Wish(most=60, calls=3)))
    def a_page_is_typed(self, case: Case) -> None:
        """The table as a person typed it is a table."""
        self.case, self.ready = case, ready(case)
        self.table.write_text(written(case.table, case.layout).text, encoding="utf-8")
        self.run("check", self.table, codes=(0,))
        self.kept[self.table] = self.table.read_bytes()

    @rule()
    def a_setting_is_found_and_read_back(self) -> None:
        """What find proposes first decodes to the airflow that it promised."""
        assert self.case is not None
        aim = self.case.ask.aims[0]
        name = f"{aim.call} {aim.stage}".strip()
        if aim.quantity == "airflow per ton" or aim.of is not None:
            return  # needs tons, or another target beside it
        answer = self.data("find", self.table, f"{name}={target_text(aim)}", *self.facts(), "--first", "1")
        if not answer["found"]:
            return
        best = answer["found"][0]
        self.marks = shlex.split(best["setting"]["marks"])
        told = self.data("decode", self.table, *self.marks, *self.facts())
        assert told["setting"] == best["setting"]
        assert _airflows(told) == _airflows(best)

    @rule(seed=st.randoms(use_true_random=False))
    def marks_are_moved(self, seed: Any) -> None:
        """Somebody moves selectors; the board decodes all the same, and its marks read back as themselves."""
        assert self.ready is not None
        table = self.ready.table
        parts = [p for p in table.parts if p.positions]
        self.marks = [f"{p.name}={seed.choice(p.positions)}" for p in parts if seed.random() < 0.8]
        if self.marks:
            told = self.data("decode", self.table, *self.marks, *self.facts())
            again = self.data("decode", self.table, *shlex.split(told["setting"]["marks"]), *self.facts())
            assert again["setting"] == told["setting"]
            assert _airflows(again) == _airflows(told)

    @precondition(lambda self: self.job is None)
    @rule(tons=st.sampled_from(["2", "3.5", "36000 Btu/h"]), climate=st.sampled_from(["humid", "usual", "dry"]))
    def a_job_is_written(self, tons: str, climate: str) -> None:
        """Facts of the house become a job file."""
        assert self.case is not None
        job = self.folder / "house.yaml"
        facts = [f"{name}={typed(value)}" for name, value in self.case.ask.facts.items() if name == "model"]
        self.run("plan", self.table, *facts, f"tons={tons}", f"climate={climate}", "--save", job, codes=(0, 1, 2))
        if job.exists():
            self.job = job
            self.kept[job] = job.read_bytes()

    @precondition(lambda self: self.job is not None)
    @rule(reading=st.lists(st.sampled_from(READINGS), min_size=1, max_size=2, unique=True), minutes=st.integers(1, 20))
    def readings_are_added(self, reading: list[str], minutes: int) -> None:
        """A new version holds them; the earlier one is as it was."""
        assert self.ready is not None
        assert self.job is not None
        call = next(iter(self.ready.table.calls.values()))
        words = [r for r in reading if not r.startswith("seen")]
        seen = [r for r in reading if r.startswith("seen")]
        line = [f"{call.name} {call.stages[-1]} {' '.join(words)} minutes={minutes}"] if words else []
        self.count += 1
        new = self.folder / f"house-{self.count}.yaml"
        self.run("measure", self.job, *line, *seen, "--out", new, codes=(0, 1, 2))
        if new.exists():
            self.job = new
            self.kept[new] = new.read_bytes()

    @precondition(lambda self: self.job is not None)
    @rule(command=st.sampled_from(["plan", "verify"]))
    def the_job_is_judged(self, command: str) -> None:
        """A danger that was seen comes first."""
        assert self.job is not None
        _, text = self.run(command, self.job, codes=(0, 1, 2))
        if text and "gas smell" in self.job.read_text(encoding="utf-8"):
            assert text.startswith("DANGER"), text

    @precondition(lambda self: self.job is not None)
    @rule()
    def a_card_is_printed(self) -> None:
        """The card is written whole."""
        self.count += 1
        card = self.folder / f"card-{self.count}.html"
        code, _ = self.run("card", str(self.job), "--out", card, codes=(0, 1, 2))
        if code == 0:
            assert card.read_text(encoding="utf-8").rstrip().endswith("</html>")

    @invariant()
    def no_file_is_changed(self) -> None:
        """What was there is as it was."""
        for path, was in self.kept.items():
            assert path.read_bytes() == was, path


TestWholeUse = WholeUse.TestCase
TestWholeUse.settings = settings(
    max_examples=12, stateful_step_count=8, deadline=None, suppress_health_check=list(HealthCheck)
)
