"""The code of a card: written, read back, and refused where the table, its edition or a letter is another."""

from __future__ import annotations

from random import Random

import pytest

from selector.card.code import SIGNS, card_code, check_of, code_facts, parsed_code, setting_of_code, table_of_code
from selector.problems import Refused
from selector.solve.board.marks import read_marks, setting_of
from selector.table.from_file.build import build_table
from selector.table.library.library import listed, load, shipped_text
from selector.table.model.edition import edition
from selector.table.model.table import Setting, Table
from selector.table.source import source_from_text
from tests.helpers.random_boards import random_board, random_setting


def built(text: str, name: str = "corvane-k14") -> Table:
    """A table from its text."""
    return build_table(source_from_text(text, f"{name}.yaml"), name)[0]


@pytest.fixture(scope="module")
def text() -> str:
    """The shipped Corvane table as it is written."""
    found = shipped_text("tables", "corvane-k14.yaml")
    assert found is not None
    return found


def marked(table: Table, marks: str) -> Setting:
    """A setting as typed."""
    return setting_of(read_marks([marks], table), table)


def read_card_code(text: str, table: Table) -> Setting:
    """The setting of a code."""
    return setting_of_code(parsed_code(text), table)


def model(name: str) -> list[tuple[str, str]]:
    """The facts of a code that knows the model alone."""
    return [("model", name)]


def refused(text: str, table: Table) -> str:
    """The code of the problem."""
    with pytest.raises(Refused) as raised:
        read_card_code(text, table)
    return raised.value.problems[0].code


@pytest.mark.parametrize("name", sorted(listed()))
def test_a_code_read_back_is_the_setting_and_is_under_300_bytes(name: str) -> None:
    table, _ = load(name)
    random = Random(name)
    for _ in range(50):
        setting = random_setting(random, table)
        code = card_code(table, setting, model(table.unit.models[0] if table.unit.models else ""))
        assert len(code.encode()) < 300
        assert table_of_code(parsed_code(code)) == table
        assert read_card_code(code, table) == setting


def test_random_boards_too() -> None:
    random = Random(11)
    for _ in range(100):
        table = random_board(random)
        setting = random_setting(random, table)
        code = card_code(table, setting)
        assert len(code.encode()) < 300
        assert read_card_code(code, table) == setting


def test_the_code_holds_the_marks_as_they_are_typed(text: str) -> None:
    table = built(text)
    code = card_code(table, marked(table, "SW1=10011000"), model("080"))
    assert code.startswith(f"table corvane-k14; edition {edition(table)}; model 080; SW1=10011000; check ")
    assert parsed_code(code).model == "080"


def test_the_check_is_the_published_hash() -> None:
    """FNV-1a, 32 bits, of "foobar" is 0xbf9cf968 (the authors' test vectors; from memory): 3,214,735,720 over 32 leaves
    8, 11 and 30: the signs A, D and Y."""
    assert check_of("foobar") == SIGNS[8] + SIGNS[11] + SIGNS[30] == "ADY"


def test_facts_are_carried_where_they_matter() -> None:
    high = [("model", "080"), ("altitude", "5,000 ft"), ("derate", "from sea level"), ("tons", "3 tons"), ("rise", "4")]
    assert code_facts(high) == (*high[:2], *high[2:4])
    assert code_facts([("altitude", "0 ft"), ("derate", "none"), ("motor", "constant torque"), ("model", "")]) == ()
    table, _ = load("corvane-k14")
    code = parsed_code(card_code(table, marked(table, "SW1=10010100"), code_facts(high)))
    assert code.facts == tuple(high[:4])


def test_blanks_case_and_quotes_of_a_typist_dont_matter() -> None:
    table, _ = load("lindmarrow-j")
    setting = marked(table, "J1=off pins J2=A J3=B J4=2 J5=3 LK1=whole")
    code = card_code(table, setting)
    for typed in (
        code.upper(),
        code.lower(),
        code.replace(" ", "  \n"),
        code.replace('"', ""),
        code.replace("; ", ";"),
    ):
        assert read_card_code(typed, table) == setting


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("1020 1380 1960", "1020 1390 1960"),
        ("-6 %", "-5 %"),
        ("OFF  45 %", "OFF  46 %"),
        ("at least: 400", "at least: 410"),
        ("35 to 65", "35 to 60"),
        ("factory: all off", "factory: all on"),
        ("off delay: 60 s", "off delay: 90 s"),
        ("efficiency: 95 %", "efficiency: 94 %"),
    ],
)
def test_a_changed_table_is_refused(text: str, old: str, new: str) -> None:
    table = built(text)
    code = card_code(table, marked(table, "SW1=10011000"), model("080"))
    changed = text.replace(old, new, 1)
    assert changed != text
    assert edition(built(changed)) != edition(table)
    assert refused(code, built(changed)) == "other-edition"


@pytest.mark.parametrize(
    "spelt",
    [
        lambda t: "# a comment\n" + t.replace("  trims:", "  # another\n  trims:"),
        lambda t: t.replace("OFF OFF OFF  1020", "off  Off OFF | 1020").replace("1150 1520 2080", "1150   1520\t2080"),
        lambda t: t.replace("factory: all off", "factory: off off off off off off off off"),
        lambda t: t.replace(
            "{airflow: cfm, temperature: F, heat: Btu/h}", "{heat: Btu/h, airflow: cfm, temperature: F}"
        ),
        lambda t: t.replace("efficiency: 95 %", "efficiency: 0.95"),
        lambda t: t.replace("  reads: at power-up", "  reads: at power-up\n  note: typed again on a rainy day"),
        lambda t: t.replace("page: 23", "page: 24"),
    ],
)
def test_another_spelling_of_the_same_table_is_the_same_edition(text: str, spelt: object) -> None:
    assert callable(spelt)
    other = spelt(text)
    assert other != text
    assert edition(built(other)) == edition(built(text))


def test_another_table_is_refused_by_name() -> None:
    corvane, _ = load("corvane-k14")
    drossfield, _ = load("drossfield-x")
    code = card_code(corvane, marked(corvane, "SW1=10011000"))
    with pytest.raises(Refused, match="another table or edition"):
        read_card_code(code, drossfield)


def test_shipped_tables_have_editions_of_their_own() -> None:
    editions = {name: edition(load(name)[0]) for name in listed()}
    assert len(set(editions.values())) == len(editions)
    assert all(len(e) == 8 and e.isdigit() for e in editions.values())


def test_no_sign_of_a_check_is_taken_for_another() -> None:
    assert len(set(SIGNS)) == 32
    assert not set("01IO") & set(SIGNS)


def test_one_wrong_sign_is_refused(text: str) -> None:
    """Every single digit of the marks, and every letter of edition and check, typed wrongly. One in 32,768 may slip
    through; none of these does."""
    table = built(text)
    code = card_code(table, marked(table, "SW1=10011000"), model("080"))
    start = code.index("edition ") + len("edition ")
    for i in range(start, len(code)):
        if code[i] in "01?":
            wrong = code[:i] + ("1" if code[i] == "0" else "0") + code[i + 1 :]
        elif code[i] in SIGNS:
            wrong = code[:i] + SIGNS[SIGNS.index(code[i]) - 1] + code[i + 1 :]
        else:
            continue
        with pytest.raises(Refused):
            read_card_code(wrong, table)


@pytest.mark.parametrize("typed", ["", "SW1=10011000", "edition", "edition 22222222 SW1=0", "; ; ;", "check 222"])
def test_what_is_no_code_is_refused(text: str, typed: str) -> None:
    assert refused(typed, built(text)) == "no-code"


def test_marks_too_long_for_a_code_are_refused() -> None:
    words = " ".join(f"position{n}{'x' * 70}" for n in range(3))
    board = "\n".join(f"  J{n}: {{kind: jumper, positions: {words}}}" for n in range(1, 6))
    names = " ".join(f"J{n}" for n in range(1, 6))
    text = f"""format: selector table 1
unit: {{title: Long words}}
board:
{board}
charts:
  base:
    set: {names}
    gives: airflow
    rows: |
      - - - - -  400
calls:
  fan: {{airflow: base}}
"""
    table = built(text, "long")
    with pytest.raises(Refused, match="299 bytes"):
        card_code(table, tuple(0 for _ in table.parts))
