"""House words that people needn't learn stand in no text of the program: each has a plain word in its place."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[2] / "selector"
NEVER = {
    "Whether a table file is right": "Check a table file; list every mistake",
    "From the facts of a house to one setting": "Work out one setting for a job",
    "A page for the phone, without network": "Make an offline phone page",
    "The tables there are": "List the tables",
    "acts on all that stands before": "works on the result so far",
    "along the top model": "one column per model",
    "the board as delivered": "Factory setting",
    "stands twice": "is listed twice",
    "answers for settings that": "covers the same settings as line 11",
    "mend one of the two": "fix one",
    "right if the page has none": "fine if the manual has none",
    "stands before there is": "needs an airflow before it",
    "less than no time": "can't be negative",
    "is no share of the full capacity": "must be above 0, up to 100 %",
    "is not a unit that can stand here": "wrong unit",
    "nothing stands between these bars": "empty cell",
    "this is no table": "not a table file",
    "There is no file of this name": "No such file",
    "broken off": "Stopped; your answers are saved",
    "type what stands as _": "fill in each _",
    "type something here": "This needs an answer",
    "Enter: not said": "Enter: not stated",
    "isn't said here": "the page doesn't name the columns",
    "(passed over)": "(skipped)",
    "say so: --set": "Add --set and --across",
    "Enter: no more": "Next selector (Enter: done)",
    "nothing suspect": "no suspect figures",
    "doesn't follow the figures around it": "out of line with its neighbors",
    "may have been:": "perhaps",
    "stands on the board": "in A; not in B",
    "held against each other": "compared",
    "quiets nothing": "no longer needed",
    "a fact is missing.": "not known: model",
    "fits without holding": "Release X or Y and one fits",
    "nearer, but outside its limits": "Closer, but breaks a limit",
    "the first setting is": "best is 29.9 % low",
    "settings of this board give": "range 634 to 1,611 cfm",
    "decoded back:": "checked by reading it back",
    "set from the equipment, not searched": "set to match the equipment",
    "left as it stands": "left alone",
    "no moves are counted": "moves not counted",
    "stand on one tap": "share tap 4",
    "outside the page": "outside the chart",
    "give it with": "add --model 060, 080 or 110",
    "What was measured, judged": "Judge your measurements",
    "left to type": "1 blank to fill",
    "`by` what stands along the top": "`across` the columns",
    "see that it stands so": "unreadable: set it OFF",
    "says none here": "set to none",
    "comes up: at once": "starts at full airflow",
    "nothing is wished of": "no fan target",
    "its window counts": "limits apply; no target of its own",
    "Taken without being typed": "Assumed",
    "which nothing here judges": "not checked",
    "Why nothing is offered": "Why no setting",
    "can't be had together": "conflict",
    "serve all of them at once": "change both",
    "not to be set": "Closest; do not set",
    "held against it": "limit",
    "your own aim stands": "your target is kept",
    "on top would move": "twice gives 20 % too much air",
    "What else comes close": "Other settings",
    "falls with the outdoor air": "drops in cold weather",
    "no reading of it counts": "no usable reading",
    "these readings don't count": "readings not used",
    "whose end its band reaches over": "too close to call",
    "lie between the two taps": "not stated: between the ports?",
    "the board asks for less than": "board calls for less than set",
    "clear the way first": "clear the restriction",
    "it works, at a price": "works, but with high static and watts",
    "looks like less air": "over-firing reads as low air",
    "nothing to set it to": "no limits known",
    "no verdict hangs on": "SW1-4 doesn't matter",
    "hangs on marks that": "can't tell until SW1-5 is read",
    "needn't be read first": "skip it",
    "nothing has to move": "change nothing",
    "proved: an exact search": "no way with fewer",
    "it has no window": "no limit",
    "what would decide": "read this to tell them apart",
    "the marks don't name": "SW2 missing",
    "comes of them": "names only",
    "Where the unit stands": "Location",
    "can't both hold": "contradict each other",
    "is not a fact of a job": "no such name",
    "worth a look": "Note",
    "as far as it was tapped": "untapped ones excepted",
    "made a mistake of its own": "selector failed; please report",
}
"""What was said -> what is said."""


@cache
def texts() -> tuple[tuple[str, int, str], ...]:
    """(file, line, text) of every string of the program that isn't a docstring; the fixed pieces of an f-string."""
    out = []
    for path in sorted(PACKAGE.rglob("*.py")):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        told = {id(node) for node in documented(tree)}
        for node in ast.walk(tree):
            if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in told:
                out.append((str(path.relative_to(PACKAGE)), node.lineno, node.value))
    return tuple(out)


def documented(tree: ast.Module) -> Iterator[ast.Constant]:
    """Strings that stand alone: docstrings of modules, classes, functions and constants. A command's docstring is
    its help, so those of commands count as text."""
    commands = {
        id(node.body[0])
        for node in ast.walk(tree)
        if isinstance(node, ast.FunctionDef) and node.name == "command" and node.body
    }
    for node in ast.walk(tree):
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant) and id(node) not in commands:
            yield node.value


def test_the_texts_are_found() -> None:
    everything = "\n".join(text for _, _, text in texts())
    assert len(texts()) > 5000
    for known in ("Before you touch the board", "Example: selector list", " over", "is listed twice"):
        assert known in everything


@pytest.mark.parametrize("phrase", NEVER)
def test_a_phrase_that_is_replaced_stands_in_no_text(phrase: str) -> None:
    folded = phrase.casefold()
    found = [f"{file}:{line}" for file, line, text in texts() if folded in " ".join(text.split()).casefold()]
    assert not found, f"say: {NEVER[phrase]}"
