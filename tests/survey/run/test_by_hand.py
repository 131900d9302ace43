"""Verdicts worked by hand from the Corvane page (tables/corvane-k14.md) for model 080.

SW1-2 ON and SW1-4 ON: 1,520 cfm; SW1-5 ON: + 6 %, 1,611.2 cfm; without it 1,520. Heating, SW1-1 OFF: 1,350 cfm, with
the trim 1,431; 76,000 Btu/h / (1.08 x 1,431) = 49.2 F, inside the plate's 35 to 65 F. Heating ON: 1,180, - 12 %
(SW1-5 and SW1-6 ON) 1,038.4; 67.8 F, 2.768 over 65. The usual window is 300 to 450 cfm for each ton.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from selector.survey.columns import read_parquet
from selector.survey.run.answer import answer_of
from selector.survey.run.survey import SurveyOptions, survey
from tests.helpers.survey_records import rows_of

HEAD = "id,table,model,marks,tons"


def surveyed_rows(tmp_path: Path, lines: list[str], head: str = HEAD, **more: Any) -> list[dict[str, Any]]:
    """The verdicts on records typed as CSV."""
    path = tmp_path / "records.csv"
    path.write_text("\n".join([head, *lines]) + "\n", encoding="utf-8")
    out = str(tmp_path / "out.parquet")
    survey(SurveyOptions(records=str(path), out=out, **more))
    found = read_parquet(out)
    return [dict(zip(found.column_names, row, strict=True)) for row in rows_of(found)]


@pytest.mark.parametrize(
    ("marks", "tons", "verdict", "where", "beyond", "unit", "reason"),
    [
        # 1,611.2 / 3 = 537.067 cfm/ton, 87.067 over 450
        ("SW1=01011000", "3", "outside limits", "cooling second", 87.067, "cfm/ton", "over the assumed 450 cfm/ton"),
        # 1,611.2 / 4 = 402.8
        ("SW1=01011000", "4 tons", "OK", "", None, "", "as set, within the limits that could be checked"),
        # 1,611.2 / 6 = 268.533, 31.467 below 300
        ("SW1=01011000", "6", "outside limits", "cooling second", -31.467, "cfm/ton", "below the assumed 300 cfm/ton"),
        # SW1-5 not read: 1,520 / 3 = 506.667 or 537.067, over in both cases, by 56.667 at least
        ("SW1=0101?000", "3", "outside limits", "cooling second", 56.667, "cfm/ton", "over the assumed 450 cfm/ton"),
        # 1,520 / 3.5 = 434.3 inside, 1,611.2 / 3.5 = 460.3 over: it hangs on SW1-5
        ("SW1=0101?000", "3.5", "depends", "cooling second", None, "", "depends on SW1-5"),
        # 1,380 cfm (all off) at the very end of the window: 1,380 / 450 = 3.0666..; a hair less capacity is over it
        ("SW1=00000000", "3.066667", "OK", "", None, "", "as set, within the limits that could be checked"),
        ("SW1=00000000", "3.066666", "outside limits", "cooling second", 0, "cfm/ton", "over the assumed 450 cfm/ton"),
        # a danger comes before the window: 67.768 F, 2.768 over
        ("SW1=10001100", "1", "danger", "heating first", 2.768, "F", "rise over the plate's 65 F"),
        ("SW1=00110000", "3", "not usable", "cooling first", None, "", "page 23, `cooling airflow`: do not use"),
        ("SW1=0101", "3", "odd marks", "", None, "", None),
        ("SW1=01011000", "nine", "odd fact", "", None, "", None),
        ("", "3", "odd marks", "", None, "", None),
    ],
)
def test_one_record(
    tmp_path: Path,
    marks: str,
    tons: str,
    verdict: str,
    where: str,
    beyond: float | None,
    unit: str,
    reason: str | None,
) -> None:
    """Verdict, where, how far beyond and in which unit."""
    (row,) = surveyed_rows(tmp_path, [f"a,corvane-k14,080,{marks},{tons}"])
    assert (row["verdict"], row["where"], row["unit"]) == (verdict, where, unit)
    assert row["beyond"] == (None if beyond is None else pytest.approx(beyond, abs=0.0006))
    if reason is not None:
        assert row["reason"] == reason


def test_airflows(tmp_path: Path) -> None:
    """1,611.2 cooling (1,611), 1,431 heating, 45 % of cooling 725.04; unread: least and most instead."""
    rows = surveyed_rows(tmp_path, ["a,corvane-k14,080,SW1=01011000,4", "b,corvane-k14,080,SW1=0101?000,4"])
    assert [rows[0][f"{call} airflow"] for call in ("cooling", "heating", "fan")] == [1611, 1431, 725]
    assert rows[0]["cooling per ton"] == pytest.approx(402.8)
    assert rows[0]["heating per ton"] is None
    assert rows[1]["cooling airflow"] is None
    assert [rows[1][f"cooling {end}"] for end in ("least", "most")] == [1520, 1611]


def test_names_and_models_that_nobody_knows(tmp_path: Path) -> None:
    rows = surveyed_rows(
        tmp_path,
        ["a,corvane-k41,080,SW1=01011000,3", "b,corvane-k14,090,SW1=01011000,3", "c,CORVANE-K14,,SW1=01011000,3"],
    )
    assert [r["verdict"] for r in rows] == ["unknown table", "odd fact", "depends"]
    assert rows[0]["reason"] == "there is no table `corvane-k41`; did you mean `corvane-k14`?"
    assert rows[2]["reason"] == "depends on model"


def test_the_assumed_window_can_be_left_out(tmp_path: Path) -> None:
    """The rise is inside the plate's, the page has no window of its own."""
    (row,) = surveyed_rows(tmp_path, ["a,corvane-k14,080,SW1=01011000,3"], assumed=False)
    assert row["verdict"] == "OK"


def test_static_over_its_limit(tmp_path: Path) -> None:
    """The Brindlemoor page holds its airflow up to 0.8 in. w.c.; 0.95 is 0.15 over, and comes before the other limits;
    249.08891 Pa are 1 in. w.c. (NIST SP 811), so that 199 Pa are 0.7989 and 200 Pa 0.8029 in. w.c."""
    marks = 'SW1=0000000000000000 SW2="OPEN OPEN OPEN OPEN"'.replace('"', '""')
    lines = [f'a,brindlemoor-16s,S70,"{marks}",{s}' for s in ("0.95 in. w.c.", "200 Pa", "199 Pa", "0.8")]
    rows = surveyed_rows(tmp_path, lines, "id,table,model,marks,static")
    assert [r["reason"] for r in rows[:2]] == ["static over the manual's 0.8 in. w.c."] * 2
    assert rows[0]["beyond"] == pytest.approx(0.15)
    assert rows[1]["beyond"] == pytest.approx(0.003, abs=0.0006)
    assert not [r for r in rows[2:] if "static" in r["reason"]]


def test_stages_on_request(tmp_path: Path) -> None:
    """One row for each stage of a board that could be judged, in the order of records and of the page."""
    out = str(tmp_path / "stages.parquet")
    surveyed_rows(tmp_path, ["a,corvane-k14,080,SW1=01011000,3", "b,nobody,080,SW1=1,3"], stages=out)
    found = read_parquet(out)
    rows = [dict(zip(found.column_names, row, strict=True)) for row in rows_of(found)]
    assert [(r["record"], f"{r['call']} {r['stage']}".strip()) for r in rows] == [
        (1, "cooling first"),
        (1, "cooling second"),
        (1, "heating first"),
        (1, "heating second"),
        (1, "fan"),
    ]
    assert rows[1]["verdict"] == "outside limits"
    # 66 % of 1,611.2 = 1,063.39
    assert [r["airflow"] for r in rows] == [1063, 1611, 1002, 1431, 725]


def test_so_much_a_ton_in_a_step(tmp_path: Path) -> None:
    """The Ostrandel air handler dehumidifies with 85 % of cooling, at least with 280 cfm/ton: V24 at R1=0 cools with
    600 cfm, 510 cfm are 85 %; 280 x 3 = 840, 280 x 5 = 1,400 though the page prints no 5 tons, 280 x 1.5 = 420."""
    out = str(tmp_path / "stages.parquet")
    marks = "R1=0 S1=0 SW1=00 J1=none J2=none D2=0 N1=30"
    lines = [
        f'{tons},ostrandel-v,V24,"{marks}",{tons},"outdoor kind=air conditioner"' for tons in ("3", "5", "1.5", "")
    ]
    surveyed_rows(tmp_path, lines, f"{HEAD},facts", stages=out)
    found = read_parquet(out)
    rows = [dict(zip(found.column_names, row, strict=True)) for row in rows_of(found)]
    assert [r["airflow"] for r in rows if r["call"] == "dehumidify"] == [840, 1400, 510, None]


def test_a_window_by_the_tons(tmp_path: Path) -> None:
    """A fan of 300 cfm, 354 at 8,000 ft (3 % for each 1,000 ft above 2,000 ft), altitude not given: inside 250 to 400,
    46 below 400 to 600 at least. Nothing else of the page goes by the tons."""
    page = (Path(__file__).parents[3] / "tables" / "ostrandel-v.yaml").read_text(encoding="utf-8")
    page = page.replace(", at least: 280 cfm/ton", "")
    assert "/ton" not in page
    window = "    window: {airflow: {outdoor tons: {2: 250 to 400, 3: 400 to 600}}}\n"
    table = tmp_path / "by-tons.yaml"
    table.write_text(page.replace("    terminals: G\n", "    terminals: G\n" + window), encoding="utf-8")
    marks = "R1=0 S1=0 SW1=00 J1=none J2=none D2=0 N1=30"
    lines = [f'{tons},by-tons,V24,"{marks}",{tons},"outdoor kind=air conditioner"' for tons in ("2", "3", "")]
    rows = surveyed_rows(tmp_path, lines, f"{HEAD},facts", assumed=False, tables=(str(table),))
    assert [r["verdict"] for r in rows] == ["OK", "outside limits", "depends"]
    assert (rows[1]["where"], rows[1]["beyond"]) == ("fan", pytest.approx(-46))


def test_what_was_taken_for_a_voltage_that_no_record_has(tmp_path: Path) -> None:
    """Eskerby E, page 7: the heaters are rated at 240 V. Given, or with no heater fitted, nothing is taken."""
    marks = [("J1=10 J2=none", ""), ("J1=10 J2=none", "208"), ("J1=none J2=none", "")]
    lines = [f"eskerby-e,SW1=010000 {said},{volts}" for said, volts in marks]
    rows = surveyed_rows(tmp_path, lines, "table,marks,supply voltage")
    said = "supply voltage: 240 V, as the heater is rated (auxiliary and heater alone)"
    assert [row["assumed"] for row in rows] == [said, None, None]
    options = SurveyOptions(records=str(tmp_path / "records.csv"))
    assert [(one.assumed, one.records) for one in answer_of(options, survey(options)).assumed] == [(said, 1)]


@pytest.mark.parametrize(
    ("typed", "says", "off", "per_ton"),
    [
        # a flow hood is good for 5 %: 1,534.47 x 1.05 = 1,611.19, under the 1,611.2 that is set; 1,534.48 reaches it
        ("1534.47", "LOW", -4.8, 383.6),
        ("1534.48", "OK", -4.8, 383.6),
        # 1,696 x .95 = 1,611.2, still inside; 1,696.01 is not. A flow plate is good for 7 %
        ("1696", "OK", 5.3, 424.0),
        ("1696.01 cfm", "HIGH", 5.3, 424.0),
        ("flow plate=1732", "OK", 7.5, 433.0),
        # 900 L/s x 2.11888 = 1,906.99 cfm, over 4 tons 476.7 (NIST SP 811: 1 ft3/min is 0.4719474 L/s)
        ("900 L/s", "HIGH", 18.4, 476.7),
        ("lots", "'lots' has no number", None, None),
        (
            "rise=50",
            "`rise` is no way to read an airflow; known: hood, flow plate, traverse, vane, hot wire",
            None,
            None,
        ),
        ("0", "an airflow is more than 0; leave the cell empty where none was measured", None, None),
        ("", None, None, None),
    ],
)
def test_a_measured_airflow(tmp_path: Path, typed: str, says: str, off: float | None, per_ton: float | None) -> None:
    """Held against the setting's 1,611.2 cfm within the band of the way it was read, inclusive."""
    head = f"{HEAD},cooling measured"
    (row,) = surveyed_rows(tmp_path, [f"a,corvane-k14,080,SW1=01011000,4,{typed}"], head)
    assert row["verdict"] == "OK"
    assert (row["cooling against setting"], row["cooling off %"]) == (says, off)
    assert row["cooling measured per ton"] == (None if per_ton is None else pytest.approx(per_ton, abs=0.051))


def test_several_measured_airflows_are_counted_by_the_worst(tmp_path: Path) -> None:
    """Fan 45 % of cooling, 725.04 cfm: 800 is high, 650 low; unread SW1-5 leaves 1,520 or 1,611.2: not judged."""
    path = tmp_path / "records.csv"
    rows = [
        "01011000,1600,800",
        "01011000,1600,650",
        "01011000,1600,725",
        "0101?000,1600,",
        "01011000,,",
        "01011000,x,",
    ]
    head = "table,model,marks,cooling measured,fan airflow"
    lines = [head, *(f"corvane-k14,080,SW1={row}" for row in rows)]
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    options = SurveyOptions(records=str(path), columns=("measured fan=fan airflow",))
    counted = answer_of(options, survey(options)).measured
    assert {one.reading: one.records for one in counted} == {"LOW": 1, "HIGH": 1, "OK": 1, "not judged": 2}
