"""The command line as a person meets it: exit codes, what goes where, odd input, the shapes of --json."""

from __future__ import annotations

import json
import os
import pty
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from selector.card.code import card_code
from selector.cli.main import COMMANDS
from selector.solve.board.marks import read_marks, setting_of
from selector.table.library.library import load

ROOT = Path(__file__).parents[2]
TABLES = sorted((ROOT / "tables").glob("*.yaml"))


def run(
    *words: str, stdin: str | None = None, env: dict[str, str] | None = None, cwd: Path | None = None
) -> subprocess.CompletedProcess[str]:
    """The program in a process of its own, as a person starts it."""
    return subprocess.run(
        [sys.executable, "-m", "selector", *words],
        input=stdin,
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
        env={**os.environ, **(env or {})},
        cwd=cwd or ROOT,
    )


def answer(name: str, *words: str, code: int = 0) -> Any:
    """The JSON answer of a command, held to its published schema."""
    done = run(name, *words, "--json")
    assert done.returncode == code, done.stderr
    found = json.loads(done.stdout)
    schema = json.loads((ROOT / "schemas" / f"{name}.json").read_text(encoding="utf-8"))
    Draft202012Validator.check_schema(schema)
    Draft202012Validator(schema).validate(found)
    return found


def test_find_and_decode_agree_with_the_page() -> None:
    found = answer("find", "corvane-k14", "cooling=1200", "--model", "080", "--hold", "SW1-1=off", "--near", "0")
    assert [f["setting"]["marks"] for f in found["found"]] == ["SW1=00011000", "SW1=00001100", "SW1=00010000"]
    back = answer("decode", "corvane-k14", found["found"][0]["setting"]["marks"], "--model", "080")
    cooling = next(c for c in back["calls"] if c["call"] == "cooling")
    assert [s["airflow"] for s in cooling["stages"]] == pytest.approx([790.548, 1197.8])
    assert [d["seconds"] for d in cooling["timing"] if d["what"] == "off delay"] == [60, 60]


def test_nothing_fits_is_exit_1_with_the_limit_and_who_is_to_blame() -> None:
    found = answer(
        "find", "fenwarren-4m", "cooling=1000", "--model", "F30", "--hold", "SW1-4=on SW1-5=on SW1-6=on J1=A", code=1
    )
    assert found["found"] == []
    assert {b["limit"]["limit"] for b in found["nothing_fits"]["broken"]} == {"rise on the rating plate"}
    assert found["nothing_fits"]["held"] == ["SW1-4", "SW1-5", "SW1-6", "J1"]


def test_find_says_which_positions_were_not_read_and_counts_only_moves_from_what_was_seen() -> None:
    """Corvane page 23: 1,130 cfm and + 6 % are SW1 = 00110; switch 4 was seen off, 5 and 6 weren't seen."""
    found = answer("find", "corvane-k14", "cooling=1200", "--model", "080", "--first", "1", "--found", "SW1=?0010?00")[
        "found"
    ][0]
    assert found["setting"]["marks"] == "SW1=00011000"
    assert found["moves"] == [{"selector": "SW1-5", "was": "OFF", "to": "ON"}]
    unread = [{"selector": "SW1-1", "was": None, "to": "OFF"}, {"selector": "SW1-6", "was": None, "to": "OFF"}]
    assert found["to_set"] == unread
    said = run(
        "find", "corvane-k14", "cooling=1200", "--model", "080", "--first", "1", "--found", "SW1=?0010?00"
    ).stdout
    assert "1. Set SW1-5: OFF -> ON" in said
    assert "Unreadable as found; set before the power goes on: SW1-1 OFF, SW1-6 OFF" in said


def test_find_gives_a_lead_that_nobody_could_read_a_tap_of_its_own() -> None:
    said = run(
        "find", "wickerby-5", "cooling high=480", "heat=400", "--static", "100", "--found", "M1=? 4 3 1", "--first", "1"
    ).stdout
    assert "M1-Y1=2" in said


def test_a_target_far_from_the_board_is_said_with_what_the_board_gives() -> None:
    """Corvane page 23, model 080: least 720 x 88 % = 633.6, most 1,520 x 106 % = 1,611.2 cfm; 4,000 asked, (4000 -
    1611.2) / 4000 = 59.7 %."""
    said = run("find", "corvane-k14", "cooling=4000", "--model", "080", "--first", "1").stdout
    assert "cooling second: target 4,000; best is 59.7 % low, range 634 to 1,611 cfm" in said
    said = run("find", "corvane-k14", "cooling=380", "--model", "080", "--tons", "3", "--first", "1").stdout
    assert 'For an airflow per ton type cooling="380 per ton"' in said
    assert "best is" not in run("find", "corvane-k14", "cooling=1200", "--model", "080", "--tons", "3").stdout
    missing = run("find", "corvane-k14", "cooling=380 per ton", "--model", "080")
    assert "No setting can be worked out yet." in missing.stdout
    assert "(outdoor tons are not given: add --tons .. (from the outdoor unit))" in " ".join(missing.stdout.split())
    assert missing.returncode == 1


def test_a_delay_whose_switch_is_not_read_is_none_or_what_the_page_prints() -> None:
    """Brindlemoor page 33: the wait before cooling is none or 30 s."""
    said = run("decode", "brindlemoor-16s", "SW1=???????????????0", "--model", "S100").stdout
    assert "cooling first: blower-on delay 0 s or 30 s" in said
    assert "Word" not in said


def test_a_cards_code_brings_its_model() -> None:
    """Corvane page 23, model 080: SW1 = 001011 is 1,130 x 94 % = 1,062.2 cfm."""
    table = load("corvane-k14")[0]
    code = card_code(table, setting_of(read_marks(["SW1=10010100"], table), table), [("model", "080")])
    for words in (("corvane-k14", code), (code,)):
        done = run("decode", *words)
        assert "1,062 cfm" in done.stdout
        assert "the card's code agrees with this table" in done.stderr
    assert run("decode", code, "SW1=00000000").returncode == 2
    other = run("decode", "corvane-k14", code, "--model", "110")
    assert other.returncode == 2
    assert "written for model 080, not 110" in other.stderr


def test_a_cards_code_brings_its_altitude() -> None:
    """At 5,000 ft, with 4 % per 1,000 ft from sea level: 76,000 x 0.8 = 60,800 Btu/h / (1.08 x 1,109 cfm of standard
    air) = 50.8 F; without them 76,000 Btu/h would give 63.4 F."""
    table = load("corvane-k14")[0]
    facts = [("model", "080"), ("motor", "constant airflow"), ("altitude", "5,000 ft"), ("derate", "from sea level")]
    code = card_code(table, setting_of(read_marks(["SW1=10010100"], table), table), facts)
    assert "heating second  1,109 cfm  rise 50.8 F" in run("decode", code).stdout
    assert (
        "heating second  1,109 cfm  rise 63.4 F"
        in run("decode", "corvane-k14", "SW1=10010100", "--model", "080").stdout
    )
    assert "leave the options out" in run("decode", code, "--tons", "3").stderr


def test_refused_call_is_exit_1_and_says_where() -> None:
    found = answer("decode", "corvane-k14", "SW1=00110000", "--model", "110", code=1)
    cooling = next(c for c in found["calls"] if c["call"] == "cooling")
    assert cooling["stages"][1]["airflow"] is None
    assert cooling["stages"][1]["no"]["code"] == "not_usable"
    assert cooling["stages"][1]["no"]["why"] == "page 23, `cooling airflow`: do not use"


def test_unread_switch_gives_both_airflows() -> None:
    found = answer("decode", "corvane-k14", "SW1=1001?000", "--model", "080")
    values = {(v["call"], v["stage"]): v for v in found["possible"]}
    assert values["cooling", "second"]["airflows"] == pytest.approx([1130, 1197.8])
    assert not values["cooling", "second"]["certain"]


def test_terminals_name_what_runs_together() -> None:
    found = answer("decode", "saltmarsh-12", "J1=2 J2=b J3=3 J4=none J5=1 LK1=whole", "--terminals", "Y G")
    assert {s["call"] for s in found["running"]["stages"]} == {"heat pump", "fan"}
    assert found["running"]["airflow"] == 890


def test_declared_heater_other_than_the_fitted_one_comes_first() -> None:
    done = run("decode", "saltmarsh-12", "J1=2 J2=b J3=1 J4=5 J5=1 LK1=whole", "--fact", "heater=15")
    assert done.stdout.splitlines()[1] == "DANGER: J4 is set for 5 kW; 15 kW installed."
    assert done.returncode == 1


@pytest.mark.parametrize("command", ["list", "check", "show"])
def test_the_other_answers_keep_their_shape(command: str) -> None:
    found = answer(command, *([] if command == "list" else ["corvane-k14"]))
    assert found["version"] == 2


def test_every_command_has_help_that_starts_with_an_example() -> None:
    top = run("--help")
    assert top.returncode == 0
    for name in COMMANDS:
        assert name in top.stdout
        text = run(name, "--help").stdout
        after_usage = [line.strip() for line in text.splitlines() if line.strip()][1:]
        assert after_usage[0].startswith("Example:"), text


def test_help_loads_neither_yaml_nor_jsonschema() -> None:
    code = (
        "import sys; from selector.cli.main import run; run(['--help']); sys.exit(3 if {'yaml', 'jsonschema'} &"
        " set(sys.modules) else 0)"
    )
    assert subprocess.run([sys.executable, "-c", code], capture_output=True, check=False, cwd=ROOT).returncode == 0


@pytest.mark.parametrize(
    ("words", "code", "says"),
    [
        (["find", "corvane-k14", "1200"], 2, "needs a call"),
        (["find", "corvane-k14"], 2, "Missing argument"),
        (["fnd"], 2, "did you mean `find`?"),
        (["find", "corvane", "cooling=1"], 2, "did you mean corvane-k14?"),
        (["find", "corvane-k14", "coolng=1200"], 1, "did you mean `cooling`?"),
        (["find", "corvane-k14", "cooling=1,20"], 1, "1.20"),
        (["find", "corvane-k14", "cooling=-5"], 1, "above 0"),
        (["find", "corvane-k14", "cooling=1300 to 1200"], 1, "lower figure first"),
        (["find", "corvane-k14", "cooling=60 F"], 1, "60 F"),
        (["find", "corvane-k14", "cooling=1200", "--model", "081"], 1, "did you mean `080`?"),
        (["find", "corvane-k14", "cooling=1200", "--model", "080", "--near", "nan"], 2, "--near"),
        (["decode", "corvane-k14", "SW1=0011010", "--model", "080"], 1, "has 8 switches, but 7 marks"),
        (["decode", "corvane-k14", "SW2=10011000"], 1, "did you mean `SW1`?"),
        (["decode", "corvane-k14", "SW1-5=middle"], 1, "type one of off on"),
        (["decode", "corvane-k14", "00110100"], 1, "SW1=10010110"),
        (["decode", "brindlemoor-16s", "SW2=0101"], 1, "OPEN/CLOSED"),
        (["decode", "saltmarsh-12", "J1=6"], 1, "1 2 3 4 5"),
        (["decode", "corvane-k14"], 2, "Type the marks"),
        (["check", "nowhere.yaml"], 2, "nowhere.yaml"),
        (["check", "schemas"], 2, "No table in the folder schemas"),
        (["show", "tables"], 2, "folder"),
        (["decode", "corvane-k14", "SW1=10011000", "--terminals", "Q9"], 2, "Y1"),
    ],
)
def test_wrong_use_is_answered_in_words(words: list[str], code: int, says: str) -> None:
    done = run(*words, stdin="")
    assert done.returncode == code, done.stdout + done.stderr
    assert says in done.stderr + done.stdout
    assert "Traceback" not in done.stderr


def test_check_reads_standard_input_and_reports_at_line_and_column() -> None:
    text = (ROOT / "tables" / "corvane-k14.yaml").read_text(encoding="utf-8").replace("+6 %", "6 %")
    done = run("check", "-", "--output", "lines", stdin=text)
    line = text.splitlines().index("      ON  OFF  6 %") + 1
    assert done.returncode == 1
    assert done.stdout.startswith(f"-:{line}:16: unsigned-trim") or f":{line}:16: unsigned-trim" in done.stdout


def test_check_writes_sarif() -> None:
    done = run("check", "corvane-k14", "--output", "sarif")
    assert json.loads(done.stdout)["version"] == "2.1.0"


def test_two_tables_of_one_name_are_a_problem(tmp_path: Path) -> None:
    (tmp_path / "corvane-k14.yaml").write_text(
        (ROOT / "tables" / "corvane-k14.yaml").read_text(encoding="utf-8"), encoding="utf-8"
    )
    done = run("show", "corvane-k14", env={"SELECTOR_TABLES": str(tmp_path)})
    assert done.returncode == 2
    assert "two tables are called corvane-k14" in done.stderr


def test_a_table_of_ones_own_is_found_by_name(tmp_path: Path) -> None:
    (tmp_path / "mine.yaml").write_text(
        (ROOT / "tables" / "corvane-k14.yaml").read_text(encoding="utf-8"), encoding="utf-8"
    )
    assert "mine" in run("list", env={"SELECTOR_TABLES": str(tmp_path)}).stdout
    assert run("check", "mine", env={"SELECTOR_TABLES": str(tmp_path)}).returncode == 0


def test_a_closed_pipe_is_quiet() -> None:
    done = subprocess.run(
        f"{sys.executable} -m selector show lindmarrow-j | head -n 1",
        shell=True,
        capture_output=True,
        text=True,
        check=False,
        cwd=ROOT,
    )
    assert "Lindmarrow" in done.stdout
    assert done.stderr == ""


def test_no_file_changes_by_any_command() -> None:
    before = {p: (p.read_bytes(), p.stat().st_mtime_ns) for p in TABLES}
    (
        run("list"),
        run("show", "corvane-k14"),
        run("check", *map(str, TABLES)),
        run("find", "corvane-k14", "cooling=900", "--model", "060"),
    )
    assert before == {p: (p.read_bytes(), p.stat().st_mtime_ns) for p in TABLES}


def test_prompts_only_at_a_terminal() -> None:
    """At a terminal decode asks for each selector, and a mark that isn't there is asked again."""
    pid, fd = pty.fork()
    if pid == 0:
        os.chdir(ROOT)
        os.execv(sys.executable, [sys.executable, "-m", "selector", "decode", "corvane-k14", "--model", "080"])
    seen = b""

    def until(word: bytes, times: int = 1) -> None:
        nonlocal seen
        while seen.count(word) < times:
            seen += os.read(fd, 4096)

    until(b"SW1 (switches")
    os.write(fd, b"0011\n")
    until(b"has 8 switches")
    until(b"SW1 (switches", 2)
    os.write(fd, b"10011000\n")
    until(b"1,198 cfm")
    while True:
        try:
            if not os.read(fd, 4096):
                break
        except OSError:
            break
    assert os.waitstatus_to_exitcode(os.waitpid(pid, 0)[1]) == 0


def stopped_by(error: str) -> subprocess.CompletedProcess[str]:
    """`selector show x` where looking for the table raises an error."""
    code = f"""
import sys
import selector.table.library.library as library
from selector.cli.main import run

def stop(_):
    raise {error}

library.load = stop
sys.exit(run(["show", "x"]))
"""
    return subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False, cwd=ROOT)


def test_interrupted_is_130() -> None:
    assert stopped_by("KeyboardInterrupt").returncode == 130


def test_our_own_fault_is_3() -> None:
    done = stopped_by("RuntimeError")
    assert done.returncode == 3
    assert "selector failed: RuntimeError" in done.stderr


def test_no_escape_codes_reach_a_pipe() -> None:
    assert "\x1b" not in run("find", "corvane-k14", "cooling=900", "--model", "060", env={"FORCE_COLOR": "1"}).stdout


def test_a_card_is_written_once_and_its_code_is_read_back(tmp_path: Path) -> None:
    out = tmp_path / "card.html"
    words = ("card", "corvane-k14", "SW1=00011000", "--model", "080", "--out", str(out))
    assert run(*words).returncode == 0
    before = out.read_bytes()
    again = run(*words)
    assert again.returncode == 2
    assert "there already" in again.stderr
    assert out.read_bytes() == before
    code = next(
        line for line in before.decode().replace("&quot;", '"').split(">") if "edition" in line and "check" in line
    ).partition("<")[0]
    back = answer("decode", "corvane-k14", code, "--model", "080")
    assert back["setting"]["marks"] == "SW1=00011000"
    assert run("decode", "fenwarren-4m", code).returncode == 1
