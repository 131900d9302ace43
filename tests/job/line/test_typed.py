"""Facts of a job typed on a line: every natural spelling, on top of a job file, and messages whose examples can be
typed as they are printed."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest

from selector.answers.house.plan import plan_report
from selector.answers.verify.answer import verify
from selector.job.file import fields
from selector.job.file.example import EXAMPLE
from selector.job.file.read import job_from_text, load_job
from selector.job.file.text import job_text
from selector.job.line.typed import job_from_pairs, job_with_pairs
from selector.job.line.typed_line import typed_reading
from selector.job.plan.plan import plan
from selector.job.targets.house import house_of
from selector.problems import Problem, Refused
from selector.solve.search.typed_facts import call_named
from selector.table.library.library import ASKED_UNITS, load
from selector.table.source import source_from_text
from tests.helpers.program import program

ROOT = Path(__file__).parents[3]
EXAMPLES = sorted((ROOT / "tests" / "examples" / "jobs").glob("[!n]*.yaml"))
HOUSE = [("table", "corvane-k14"), ("model", "080"), ("tons", "3")]


# -- stages

SEVENTY = [
    ("stages", "70 %"),
    ("stages", "70%"),
    ("stages first", "70 %"),
    ("First stage", "70 %"),
    ("stage first", "70"),
    ("outdoor unit stages first", "70 %"),
    ("stages", "{first: 70 %, second: 100 %}"),
    ("stages", "first: 70 %, second: 100 %"),
    ("stages", "first 70 % second 100 %"),
    ("stages", "first=70, second=100"),
    ("stages", "first 70 % and second 100 %"),
    ("stages", "70 % first, 100 % second"),
    ("stages", "70 / 100 %"),
    ("stages", "70/100"),
    ("stages", "70 %, 100 %"),
    ("stages", "70 % 100 %"),
    ("stages", "FIRST 70 %"),
    ("stages", "2.1 tons"),
    ("stages", "first: 2.1 tons, second: 3 tons"),
    ("stages", "2.1 / 3 tons"),
    ("stages first", "25.2 MBH"),
]


@pytest.mark.parametrize(("name", "text"), SEVENTY, ids=[f"{n}={t}" for n, t in SEVENTY])
def test_the_share_of_a_stage_in_every_natural_spelling(name: str, text: str) -> None:
    """3 tons x 70 % = 2.1 tons in the first stage (25,200 Btu/h), 3 in the second."""
    house = house_of(job_from_pairs([*HOUSE, (name, text)])[0])
    first, second = house.aim("cooling", "first").tons, house.aim("cooling", "second").tons
    assert first is not None
    assert second is not None
    assert (float(first.value), float(second.value)) == (2.1, 3)


def test_a_file_may_give_one_share_too() -> None:
    text = "format: selector job 1\ntable: corvane-k14\nmodel: 080\noutdoor unit: {capacity: 3 tons, stages: 70 %}\n"
    tons = house_of(job_from_text(text)[0]).aim("cooling", "first").tons
    assert tons is not None
    assert float(tons.value) == 2.1


@pytest.mark.parametrize(
    ("name", "text"),
    [("heat input", "56/80 MBH"), ("heat input", "first 56 MBH, second 80 MBH"), ("input first", "56 MBH")],
)
def test_other_figures_by_stage_too(name: str, text: str) -> None:
    heat = job_from_pairs([*HOUSE, (name, text)])[0].heat
    assert heat is not None
    assert heat.input["first"].value == 56_000


@pytest.mark.parametrize("name", ["stages third", "stages low", "heat input third", "heat aim low", "rise low"])
def test_a_stage_the_table_does_not_have_is_a_problem_that_lists_its_stages(name: str) -> None:
    text = {"heat input third": "80 MBH", "heat aim low": "50 F", "rise low": "35 to 65 F"}.get(name, "70 %")
    with pytest.raises(Refused) as refused:
        house_of(job_from_pairs([*HOUSE, (name, text)])[0])
    (problem,) = refused.value.problems
    assert (problem.code, problem.line) == ("unknown-stage", 4)
    assert "first second" in problem.message


OF_MARROWDALE = (("table", "marrowdale-t"), ("tons", "4"))
"""Its stages are low and high."""


@pytest.mark.parametrize(
    ("house", "typed", "helps"),
    [
        (OF_MARROWDALE, "{first: 70 %, second: 100 %}", ["type low: 70 %", "type high: 100 %"]),
        (OF_MARROWDALE, "{low: 70 %, second: 100 %}", ["type high: 100 %"]),
        (OF_MARROWDALE, "{second: 100 %}", ["type high: 100 %"]),
        (OF_MARROWDALE, "{third: 100 %}", ["type low: 100 % or high: 100 %"]),
        (HOUSE, "{low: 70 %, high: 100 %}", ["type first: 70 %", "type second: 100 %"]),
        (HOUSE, "{high: 100 %}", ["type second: 100 %"]),
    ],
)
def test_another_name_of_a_stage_is_told_by_its_place(
    house: tuple[tuple[str, str], ...], typed: str, helps: list[str]
) -> None:
    text = "format: selector job 1\n" + "".join(
        f"{name}: {value}\n" for name, value in house if name in ("table", "model")
    )
    with pytest.raises(Refused) as refused:
        house_of(job_from_text(f"{text}outdoor unit: {{capacity: 4 tons, stages: {typed}}}\n")[0])
    assert [problem.help for problem in refused.value.problems] == helps


def test_how_many_stages_there_are_is_not_a_share() -> None:
    with pytest.raises(Refused) as refused:
        job_from_pairs([*HOUSE, ("stages", "2")])
    assert "how many stages" in refused.value.problems[0].help


def test_one_share_for_a_unit_of_one_stage_is_refused() -> None:
    with pytest.raises(Refused) as refused:
        house_of(job_from_pairs([("table", "saltmarsh-12"), ("tons", "3"), ("stages", "70 %")])[0])
    assert "one stage" in refused.value.problems[0].message


# -- examples in messages

FIELDS = [(f"{s.key} {f.key}", f.example) for s in fields.SECTIONS for f in s.fields] + [
    (f"{s.key} {p.key} {f.key}", f.example) for s in fields.SECTIONS for p in s.parts for f in p.fields
]
BESIDE = [("clocked volume", "2 ft3"), ("clocked time", "90 s"), ("clocked heat of gas", "1037 Btu/ft3")]


@pytest.mark.parametrize(("name", "example"), FIELDS, ids=[n for n, _ in FIELDS])
def test_the_example_of_every_key_can_be_typed_as_it_is_printed(name: str, example: str) -> None:
    beside = [pair for pair in BESIDE if "clocked" in name and pair[0] not in name]
    house = [pair for pair in HOUSE if not (pair[0] == "tons" and name == "outdoor unit capacity")]
    job, _ = job_from_pairs([*house, (name, example), *beside])
    assert job_from_text(job_text(job))[0] == job


SLIPS = [
    ("found", "?"),
    ("found", "10010100"),
    ("SW1", "10010100"),
    ("SW1-4", "ON"),
    ("cooling", "7 kW"),
    ("cooling", "1200 cfm"),
    ("heating", "40 kW"),
    ("fan", "400 cfm"),
    ("blah", "3"),
    ("altitud", "5,000 ft"),
    ("stages", "2"),
    ("stages third", "70 %"),
    ("heat input", "80"),
    ("static pressure", "5 in. w.c."),
]
_TYPED = re.compile(r'"([^"=]+=[^"]+)"|(\b\w+=[^\s",;]+)')


@pytest.mark.parametrize(("name", "text"), SLIPS, ids=[f"{n}={t}" for n, t in SLIPS])
def test_what_a_message_says_to_type_can_be_typed(name: str, text: str) -> None:
    with pytest.raises(Refused) as refused:
        house_of(job_from_pairs([*HOUSE, (name, text)])[0])
    (problem,) = refused.value.problems
    said = [quoted or bare for quoted, bare in _TYPED.findall(problem.help) if not (quoted or bare).endswith("..")]
    if problem.code == "unknown-stage":
        said = [f"stages {one.replace(': ', '=')}" for one in problem.help.removeprefix("type ").split(" or ")]
    elif problem.code == "unknown-key":
        said += [f"{near}={text}" for near in re.findall(r"did you mean `([^`]+)`", problem.help)]
    else:
        figures = re.findall(r"(?:^type|did you mean|for example) ([^?=]*\d[^?]*)", problem.help)
        said = [f"{name}={figure}" for one in figures for figure in one.split(" or ")]
    assert said, problem.help
    for one in said:
        pair = one.split("=", 1)
        kept = [known for known in HOUSE if known[0] != pair[0].replace("capacity", "tons")]
        house_of(job_from_pairs([*kept, (pair[0], pair[1])])[0])


def test_the_heat_of_the_gas_is_known_by_its_own_name_and_what_it_lacks_is_told() -> None:
    with pytest.raises(Refused) as refused:
        job_from_pairs([*HOUSE, ("heat of gas", "830 Btu/ft3")])
    (problem,) = refused.value.problems
    pairs = [part.split(": ", 1) for part in problem.help.removeprefix("for example ").split(" and ")]
    job, _ = job_from_pairs([*HOUSE, ("heat of gas", "830 Btu/ft3"), *((name, text) for name, text in pairs)])
    assert job.heat is not None
    assert job.heat.clocked is not None
    assert job.heat.clocked.time is not None


def test_a_fact_of_the_table_typed_bare_is_told_with_its_word() -> None:
    with pytest.raises(Refused) as refused:
        job_from_pairs([("table", "quillhaven-p"), ("motor", "M"), ("reduced", "on")])
    assert all(p.help for p in refused.value.problems)


def test_marks_may_stand_behind_found_whole() -> None:
    job, _ = job_from_pairs([("table", "lindmarrow-j"), ("found", "J1=A J2=B")])
    assert [(m.selector, m.text) for m in job.found] == [("J1", "A"), ("J2", "B")]
    job, _ = job_from_pairs([("table", "wickerby-5"), ("found", "M1=Y1=2 Y2=5 W=3 G=1")])
    assert [(m.selector, m.text) for m in job.found] == [("M1", "Y1=2 Y2=5 W=3 G=1")]


# -- on top of a file

FILE = """\
format: selector job 1
table: corvane-k14
model: 080
site: {climate: humid, altitude: "5,000 ft"}
outdoor unit:
  capacity: 3 tons
  stages: {first: 70 %, second: 100 %}
heat: {input: 80 MBH, aim: mid rise}
as found:
  SW1: OFF OFF ON OFF ON ON OFF OFF
"""


def on_top(*pairs: tuple[str, str]) -> str:
    return job_text(job_with_pairs(source_from_text(FILE, "house.yaml"), pairs)[0])


@pytest.mark.parametrize(
    ("pair", "was", "now"),
    [
        (("heat aim", "high rise"), "aim: mid rise", "aim: high rise"),
        (("tons", "4"), "capacity: 3 tons", "capacity: 4 tons"),
        (("stages first", "60 %"), "first: 70 %", "first: 60 %"),
        (("found SW1", "00000000"), "SW1: OFF OFF ON OFF ON ON OFF OFF", "SW1: 00000000"),
        (("model", "110"), "model: 080", "model: 110"),
    ],
)
def test_a_fact_on_the_line_replaces_that_of_the_file(pair: tuple[str, str], was: str, now: str) -> None:
    whole = job_text(job_from_text(FILE)[0])
    assert was in whole
    assert on_top(pair) == whole.replace(was, now)


def test_a_fact_on_the_line_is_added_where_the_file_has_none() -> None:
    assert "efficiency: 95 %" in on_top(("efficiency", "95 %"))
    assert "static pressure: 0.5 in. w.c." in on_top(("static pressure", "0.5 in. w.c."))


def test_one_figure_for_all_stages_replaces_those_by_stage() -> None:
    assert "stages: 60 %" in on_top(("stages", "60 %"))


def test_a_slip_on_the_line_is_named_as_one_of_the_line() -> None:
    with pytest.raises(Refused) as refused:
        on_top(("tons", "3"), ("efficiency", "9.5"))
    (problem,) = refused.value.problems
    assert problem.file == "house.yaml + command line"
    assert problem.source == "efficiency: 9.5"


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
def test_a_file_with_its_own_facts_on_top_is_the_same_job(path: Path) -> None:
    job, _ = load_job(str(path))
    source = source_from_text(path.read_text(encoding="utf-8"), str(path))
    table = job.table.text if job.table is not None else ""
    assert job_with_pairs(source, [("table", table)])[0] == job


# -- from an empty folder


def test_the_example_is_a_job_that_every_command_takes() -> None:
    job, remarks = job_from_text(EXAMPLE)
    assert not remarks
    assert plan_report(plan(house_of(job))).exit_code == 0
    assert verify(house_of(job)).exit_code == 0
    assert job.found
    assert job.left
    assert len(job.measurements) == 2


@pytest.mark.parametrize("command", ["plan", "verify", "found", "identify"])
def test_each_command_prints_the_example(command: str) -> None:
    done = program(command, "--example")
    assert (done.returncode, done.stdout) == (0, EXAMPLE)


def test_a_job_from_an_empty_folder(tmp_path: Path) -> None:
    (tmp_path / "my-job.yaml").write_text(program("plan", "--example").stdout, encoding="utf-8")
    changed = program("plan", "my-job.yaml", "heat aim=low rise", "--json", folder=tmp_path)
    assert changed.returncode == 0, changed.stderr
    assert '"rise": 40,' in changed.stdout  # the plate's 35 F and 5 F
    assert "nothing is aimed at" not in program("plan", "corvane-k14", folder=tmp_path).stderr
    assert program("identify", "found SW1=10010100", folder=tmp_path).returncode == 1


@pytest.mark.parametrize(("text", "said"), [("tons 3\nmodel 080\n", "A job is made of lines"), ("", "selector job 1")])
def test_a_file_of_another_kind_is_told_in_the_words_of_a_job(tmp_path: Path, text: str, said: str) -> None:
    path = tmp_path / "note.yaml"
    path.write_text(text, encoding="utf-8")
    done = program("plan", str(path))
    assert said in done.stderr
    assert "table 1" not in done.stderr
    assert "--example" in done.stderr


def test_words_on_a_line_that_shell_took_apart_are_told() -> None:
    done = program("plan", *shlex.split("corvane-k14 tons 3"))
    assert done.returncode == 2
    assert "needs a name, = and a value" in done.stderr


# -- other words for a key or a word


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("propane", "gas"),
        ("LP", "gas"),
        ("Natural gas", "gas"),
        ("fuel oil", "oil"),
        ("hot water", "hydronic"),
        ("gass", "gas"),
    ],
)
def test_another_word_for_what_heats_is_told(typed: str, meant: str) -> None:
    with pytest.raises(Refused) as refused:
        job_from_pairs([*HOUSE, ("kind", typed)])
    (problem,) = refused.value.problems
    assert problem.help == f"did you mean `{meant}`?"


@pytest.mark.parametrize(
    ("typed", "meant"),
    [("supply voltage", "volts"), ("Voltage", "volts"), ("current", "amps"), ("suply static", "supply static")],
)
def test_another_name_for_what_was_read_is_told(typed: str, meant: str) -> None:
    with pytest.raises(Refused) as refused:
        job_from_text(f"format: selector job 1\nmeasurements:\n- {{call: heater, method: electric, {typed}: 236 V}}\n")
    (problem,) = refused.value.problems
    assert (problem.code, problem.help) == ("unknown-key", f"did you mean `{meant}`?")


# -- readings


def test_readings_on_the_line_are_those_of_a_file() -> None:
    pairs = [
        *HOUSE,
        ("measured", "cooling second hood=1180 cfm return=-0.22 in. w.c. supply=0.30 in. w.c. minutes=20"),
        ("measured", "cooling second return=75 F supply=56 F wet bulb=63 F minutes=20 seen=high head pressure"),
        ("measured", "W1 G return=68 F supply=120 F minutes=12"),
    ]
    job = job_from_pairs(pairs)[0]
    assert [one.method.text for one in job.measurements] == ["hood", "split", "rise"]
    assert set(job.measurements[0].values) == {"airflow", "return static", "supply static"}
    assert [one.text for one in job.seen] == ["high head pressure"]
    assert job_from_text(job_text(job))[0] == job
    more = job_with_pairs(source_from_text(job_text(job), "job.yaml"), [("measured", "fan watts=300")])[0]
    assert [one.method.text for one in more.measurements] == ["hood", "split", "rise", "watts"]


def test_a_reading_on_the_line_that_can_t_be_read_is_told_at_its_place() -> None:
    with pytest.raises(Refused) as refused:
        job_from_pairs([*HOUSE, ("measured", "cooling second"), ("measured", "rise=52 F")])
    assert [(p.line, p.code) for p in refused.value.problems] == [(4, "nothing-read"), (5, "call-missing")]


def test_a_profile_and_a_traverse_on_the_line() -> None:
    text = "cooling second before filter=-0.1 in. w.c. after filter=-70 Pa before coil=0.35 in. w.c. minutes=20"
    around = "cooling second velocities=620 655 fpm duct=20 x 12 in minutes=20"
    job = job_from_pairs([*HOUSE, ("measured", text), ("measured", around)])[0]
    assert [one.method.text for one in job.measurements] == ["static", "traverse"]
    assert len(job.measurements[1].velocities) == 2
    assert job_from_text(job_text(job))[0] == job


def test_a_filter_with_its_chart() -> None:
    job = job_from_pairs(
        [
            *HOUSE,
            ("ceiling filter area", "16 x 25 in"),
            ("ceiling filter drop", "0.10 in. w.c. at 800 cfm, 0.22 at 1,200"),
        ]
    )[0]
    (one,) = job.ceilings
    assert one.area is not None
    assert round(float(one.area.value * 144), 6) == 400
    assert one.drop is not None
    assert [(float(q), float(p)) for q, p in one.drop.points] == [(800, 0.1), (1200, 0.22)]
    assert job_from_text(job_text(job))[0] == job
    for wrong in ("0.10 in. w.c.", "0.2 in. w.c. at 800 cfm, 0.1 at 1200", "0.1 in. w.c. at 800 F"):
        with pytest.raises(Refused):
            job_from_pairs([*HOUSE, ("ceiling filter drop", wrong)])


def test_what_people_type_of_a_clocked_input_an_aim_and_a_bank_is_understood() -> None:
    """`clocked` with the input alone, `aim` per ton, `all off` of a bank, on the line as in a file."""
    pairs = [("table", "corvane-k14"), ("model", "080"), ("tons", "3"), ("clocked", "79,000 Btu/h")]
    job, _ = job_from_pairs([*pairs, ("aim", "350 cfm/ton"), ("found SW1", "all off")])
    assert job.heat is not None
    assert job.heat.clocked is not None
    assert job.heat.clocked.input is not None
    assert job.heat.clocked.input.value == 79_000
    own = house_of(job)
    assert own.known.found == (0,) * 8
    # 3 tons x 350 cfm/ton; 79,000 x 95 % / (1.08 x 50 F)
    aims = {at: own.aim(*at).aim.charted for at in (("cooling", "second"), ("heating", "second"))}
    assert {at: round(float(aim.value)) for at, aim in aims.items() if aim is not None} == {
        ("cooling", "second"): 1050,
        ("heating", "second"): 1390,
    }
    filed, problems = job_from_text(job_text(job))
    assert not problems
    assert filed.heat is not None
    assert filed.heat.clocked == job.heat.clocked or filed.heat.clocked is not None


def test_a_reading_without_its_place_is_told_how_to_be_typed() -> None:
    done = program("verify", "corvane-k14", "model=080", "heating second rise=52 F minutes=12")
    assert done.returncode == 1
    assert '"measured=heating second rise=52 F minutes=12"; selector measure' in done.stderr


def test_a_job_without_a_reading_is_not_saved_by_verify(tmp_path: Path) -> None:
    words = ("verify", "corvane-k14", "model=080", "left SW1=10010100", "--save", str(tmp_path / "job.yaml"))
    assert program(*words).returncode == 1
    assert not (tmp_path / "job.yaml").exists()
    assert program(*words, "measured=heating second rise=52 F minutes=12").returncode in (0, 1)
    assert (tmp_path / "job.yaml").exists()


@pytest.mark.parametrize("command", ["plan", "found"])
def test_a_job_of_mistakes_does_not_block_the_name_it_was_to_have(tmp_path: Path, command: str) -> None:
    saved = tmp_path / "job.yaml"
    words = (command, "corvane-k14", "model=080", "found SW1=10010100", "--save", str(saved))
    assert program(*words, "kind=electric").returncode == 1  # a gas furnace
    assert not saved.exists()
    assert program(*words, "kind=gas", "tons=3").returncode in (0, 1)
    assert saved.exists()


@pytest.mark.parametrize(
    "line",
    [
        "heating second rise=52 F minutes=15",
        "rise=52 F minutes=15 heating second",
        "minutes=15 rise=52 F heating second",
        "minutes=15 heating second rise=52 F",
    ],
)
def test_a_reading_is_read_in_any_order(line: str) -> None:
    read = typed_reading(line)
    assert not isinstance(read, Problem)
    assert (read.call, dict(read.keys)) == ("heating second", {"minutes": "15", "method": "rise", "rise": "52 F"})


def test_a_bare_figure_is_in_the_units_asked_for() -> None:
    """20 C is 68 F and 56 C 132.8 F; 200 m is 656.17 ft; 10.55 kW is 3 tons."""
    before = ASKED_UNITS.set("metric")
    try:
        read = typed_reading("heating return=20 supply=56 static=90 minutes=15")
        assert not isinstance(read, Problem)
        assert {k: v for k, v in read.keys.items() if k != "method"} == {
            "minutes": "15",
            "return air": "20 C",
            "supply air": "56 C",
            "static pressure": "90 Pa",
        }
        job, _ = job_from_pairs([("table", "eskerby-oil"), ("altitude", "200"), ("capacity", "10.55")])
    finally:
        ASKED_UNITS.reset(before)
    assert job.site.altitude is not None
    assert float(job.site.altitude.value) == pytest.approx(656.17, abs=0.01)
    assert job.outdoor is not None
    assert job.outdoor.capacity is not None
    assert float(job.outdoor.capacity.value) == pytest.approx(36_000, rel=1e-3)


def test_minutes_as_people_say_them() -> None:
    read = typed_reading("heating second rise=69 F after 12 min")
    assert not isinstance(read, Problem)
    assert (read.call, read.keys["rise"], read.keys["minutes"]) == ("heating second", "69 F", "12")


@pytest.mark.parametrize(
    ("table", "model", "text", "marks"),
    [
        ("corvane-k14", "080", "never set", {"SW1": "00000000"}),
        ("pellmere-w", "", "factory", None),
        ("corvane-k14", "080", "lost", None),
    ],
)
def test_a_board_that_nobody_ever_set(table: str, model: str, text: str, marks: dict[str, str] | None) -> None:
    """Its marks are those of the factory, as the page prints them; other words are refused as they were."""
    pairs = [("table", table), *([("model", model)] if model else []), ("found", text)]
    if text == "lost":
        with pytest.raises(Refused, match="needs the selector"):
            job_from_pairs(pairs)
        return
    job, _ = job_from_pairs(pairs)
    found = {one.selector: one.text for one in job.found}
    assert found if marks is None else found == marks


def test_a_figure_without_a_unit_says_that_the_command_may_have_them() -> None:
    """Where it is typed on the line; a file has to say its units."""
    facts = [("table", "corvane-k14"), ("return air", "68")]
    with pytest.raises(Refused) as typed:
        job_from_pairs(facts)
    assert typed.value.problems[0].help == "type 68 F"
    assert typed.value.problems[0].message.endswith("has no unit, and the command names none (--units us or metric)")
    with pytest.raises(Refused) as written:
        job_from_text("format: selector job 1\ntable: corvane-k14\nsite: {return air: 68}\n")
    assert written.value.problems[0].message.endswith("has no unit")


@pytest.mark.parametrize(
    ("typed", "meant"), [("heat 2", "heating second"), ("cool 1", "cooling first"), ("heat 3", "heating")]
)
def test_a_stage_by_its_number_is_offered_by_its_name(typed: str, meant: str) -> None:
    with pytest.raises(Refused) as refused:
        call_named(typed, load("corvane-k14")[0])
    assert refused.value.problems[0].help == f"did you mean `{meant}`?"
