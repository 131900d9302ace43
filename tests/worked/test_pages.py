"""The worked answers in `tests/worked/*.yaml` against a recomputation from the paper page, without the program.

Each `tests/worked/NAME.yaml` has its recomputation `tests/worked/NAME.py` beside it, which reads the page
`tables/NAME.md`.
"""

import importlib.util
import re
import sys
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
import yaml

sys.path.insert(0, str(Path(__file__).parents[2]))

from tests.worked import pages, ranking

WORKED = Path(__file__).parents[1] / "worked"
NAMES = sorted(path.stem for path in WORKED.glob("*.yaml"))
ASKED = {"number", "ask", "facts", "marks", "terminals", "hold", "targets", "near", "why"}


def expected(name: str) -> dict[int, dict[str, Any]]:
    """What the answers file expects, by number."""
    listed = yaml.safe_load((WORKED / f"{name}.yaml").read_text(encoding="utf-8"))["answers"]
    assert len({answer["number"] for answer in listed}) == len(listed)
    return {answer["number"]: answer for answer in listed}


def recomputed(name: str) -> dict[int, dict[str, Any]]:
    """What the recomputation beside it gives, by number."""
    path = WORKED / f"{name}.py"
    assert "selector" not in re.findall(
        r"^\s*(?:import|from)\s+(\w+)", path.read_text(encoding="utf-8"), flags=re.MULTILINE
    )
    spec = importlib.util.spec_from_file_location("worked_" + re.sub(r"\W", "_", name), path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module
    spec.loader.exec_module(module)
    answers: dict[int, dict[str, Any]] = module.answers()
    return answers


def half_unit(printed: Decimal) -> Fraction:
    """Half a unit of the last digit printed."""
    exponent = printed.as_tuple().exponent
    assert isinstance(exponent, int)
    return Fraction(10) ** exponent / 2


def same(want: Any, got: Any, place: str) -> list[str]:
    """Every difference between what is expected and what was recomputed; numbers to half a unit of the last digit
    typed.

    What the question doesn't ask may be left out of a map or of marks; lists of answers are compared in order,
    other lists in any order.
    """
    if isinstance(want, dict) and isinstance(got, dict):
        by_text = {str(key): value for key, value in got.items()}
        lacking = [f"{place}: nothing recomputed for {key}" for key in want if str(key) not in by_text]
        known = {key: value for key, value in want.items() if str(key) in by_text}
        return lacking + [
            slip for key, value in known.items() for slip in same(value, by_text[str(key)], f"{place}, {key}")
        ]
    if isinstance(want, list) and isinstance(got, list) and len(want) == len(got):
        if all(isinstance(item, str) for item in [*want, *got]) or not any(
            isinstance(item, (str, dict)) for item in [*want, *got]
        ):
            want, got = sorted(want), sorted(got)
        return [
            slip
            for at, (left, right) in enumerate(zip(want, got, strict=True))
            for slip in same(left, right, f"{place}, item {at + 1}")
        ]
    if (
        isinstance(want, (int, float))
        and not isinstance(want, bool)
        and isinstance(got, (int, float, Fraction))
        and not isinstance(got, bool)
    ):
        printed = Decimal(repr(want))
        return (
            []
            if abs(Fraction(got) - Fraction(printed)) <= half_unit(printed)
            else [f"{place}: {want} but {float(got)}"]
        )
    if isinstance(want, str) and isinstance(got, str) and ranking.tokens(want) <= ranking.tokens(got):
        return []
    return [] if type(want) is type(got) and want == got else [f"{place}: {want} but {got}"]


def numbers(want: Any) -> list[int | float]:
    """Every number in an expected part."""
    if isinstance(want, dict):
        return [each for value in want.values() for each in numbers(value)]
    if isinstance(want, list):
        return [each for value in want for each in numbers(value)]
    return [want] if isinstance(want, (int, float)) and not isinstance(want, bool) else []


def test_there_are_pages() -> None:
    """The glob finds the answers of the shipped pages."""
    assert set(NAMES) >= {"corvane-k14", "saltmarsh-12", "wickerby-5"}


@pytest.mark.parametrize("name", NAMES)
def test_recomputed_from_the_page(name: str) -> None:
    """Every expected part of every answer equals the recomputation, and neither has an answer that the other lacks."""
    wanted, got = expected(name), recomputed(name)
    assert set(wanted) == set(got)
    slips = []
    for at, answer in wanted.items():
        parts = {key: value for key, value in answer.items() if key not in ASKED}
        assert parts, f"answer {at} expects nothing"
        slips += same(parts, got[at], f"answer {at}")
    assert slips == []


@pytest.mark.parametrize("name", NAMES)
def test_printed_on_the_page(name: str) -> None:
    """Each number expected is printed in the working under the same number on the page, and every answer there is
    expected."""
    page, wanted = pages.read(name), expected(name)
    assert set(page.answers) == set(wanted)
    missing = []
    for at, answer in wanted.items():
        printed = {
            pages.number(found)
            for found in re.findall(r"(?<![\w.,])(?:\d{1,3}(?:,\d{3})+|\d+)?(?:\.\d+)?(?!\w)(?<=\d)", page.answers[at])
        }
        parts = {key: value for key, value in answer.items() if key not in ASKED}
        missing += [f"answer {at}: {each}" for each in numbers(parts) if Fraction(repr(each)) not in printed]
    assert missing == []


@pytest.mark.parametrize("name", NAMES)
def test_kinds_of_answers(name: str) -> None:
    """Four answers at least, among them a refusal and two calls asked for at once."""
    wanted = expected(name).values()
    assert len(wanted) >= 4
    assert any(answer.get("refused") or answer.get("nothing") for answer in wanted)
    assert any(len(answer.get("targets", {})) >= 2 for answer in wanted)


# the reader and the comparison themselves


def test_a_page_is_read_by_heading() -> None:
    """Blocks side by side fold into one; figures are found in sentences; answers by number."""
    text = (
        "# Page\nFirst stage:\n66 % of 1,200.\n## Rows\n| a | cfm | a | cfm |\n|---|---|---|---|\n| 1 | 1,010 | 2 | 890"
        " |\n| 3 | 5 | | |\n"
    )
    page = pages.parse("page", text + "## Worked answers\n1. One\n   and a half.\n2. Two.\n")
    assert page.table("Rows").folded(2).lookup(1) == {("1",): ("1,010",), ("3",): ("5",), ("2",): ("890",)}
    assert page.figures(r"First stage: ([\d.]+) % of ([\d,]+)") == (Fraction(66), Fraction(1200))
    assert page.answers == {1: "One and a half.", 2: "Two."}


@pytest.mark.parametrize(
    "text",
    [
        "# Page\n| a | b |\n|---|---|\n| 1 |\n",
        "# Page\n| a | b |\n| 1 | 2 |\n| 1 | 2 |\n",
        "# Page\n| a |\n|---|\n| 1 |\n\n| a |\n|---|\n| 1 |\n",
        "# Page\n| a |\n|---|\n| 1\n",
        "# Page\n## Worked answers\n2. Two.\n",
    ],
)
def test_a_page_that_is_not_understood_is_an_error(text: str) -> None:
    """Ragged, ruleless, doubled, unclosed, out of order."""
    with pytest.raises(ValueError, match=r".+"):
        pages.parse("page", text)


def test_half_a_unit_of_the_last_digit() -> None:
    """790.5 stands for 790.45 to 790.55; a word is no number; what is asked for must be there."""
    assert same({"a": 790.5}, {"a": Fraction("790.55"), "b": Fraction(2)}, "x") == []
    assert same({"a": 790.5}, {"a": Fraction("790.56")}, "x") == ["x, a: 790.5 but 790.56"]
    assert same([1], ["1"], "x") == ["x, item 1: 1 but 1"]
    assert same([1], [1, 2], "x") == ["x: [1] but [1, 2]"]
    assert same({"a": 1, "b": 2}, {"a": 1}, "x") == ["x: nothing recomputed for b"]
    assert same("SW1-1=on J2=off pins", "J2=off  pins SW1-1=ON J3=a", "x") == []
    assert same("SW1-1=on", "SW1-1=off", "x") == ["x: SW1-1=on but SW1-1=off"]
    assert same(True, False, "x") == ["x: True but False"]
