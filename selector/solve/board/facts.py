"""What is known about one unit in one house, in the table's own units."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from selector.value import Struct, field, replace


def number_in(word: str) -> Fraction | None:
    """The number a word begins with, None where there is none.

    >>> number_in("2.5 tons"), number_in("none")
    (Fraction(5, 2), None)
    """
    try:
        return Fraction(word.split()[0])
    except (ValueError, IndexError, ZeroDivisionError):
        return None


def same_value(word: str, value: Fraction | str) -> bool:
    """True where a printed word and a known value mean the same: the same text, or the same number (units ignored)."""
    if isinstance(value, str):
        if word.casefold() == value.casefold():
            return True
        try:
            return Fraction(word.split()[0]) == Fraction(value.split()[0]) and not (
                word.startswith("0") or value.startswith("0")
            )
        except (ValueError, IndexError, ZeroDivisionError):
            return False
    try:
        return Fraction(word.split()[0]) == value
    except (ValueError, IndexError, ZeroDivisionError):
        return False


class Facts(Struct, frozen=True, kw_only=True):
    """Known facts by name.

    `model` is the plate's. Facts say what is really there: heat and limits follow them. A board goes by what its
    selectors tell it, and its airflow
    with it, whatever the facts are. `values` holds every other fact: a number (static pressure and firing rate in the
    table's unit and percent,
    outdoor tons, supply voltage, pump pressure in psi, heat per gallon in Btu, or a quantity that is installed, such as
    nozzle rate) or a word of
    the page.
    `static` gives a static pressure for single calls, or for a call and stage (`cooling low`).
    `board_model` is the model the board believes it is, where that isn't the plate's: charts follow it, ratings the
    plate.
    `delivered` is the heat in Btu/h that a call's stage really gives; what a board works out for itself from its own
    ratings stays as it is.
    `air`: how many units of standard air one charted unit of airflow carries at the site (1 at sea level).
    `absent`: calls whose equipment isn't there or that nobody wants: they don't run.
    `burned`: the share of the nameplate's input that a burner is reckoned to burn here, by a derate that was named and
    not measured. Its delivered heat is that share; an upper rise is judged with the full nameplate heat all the same.
    """

    model: str | None = None
    absent: frozenset[str] = frozenset()
    values: Mapping[str, Fraction | str] = field(default_factory=dict)
    static: Mapping[str, Fraction] = field(default_factory=dict)
    board_model: str | None = None
    delivered: Mapping[tuple[str, str], Fraction] = field(default_factory=dict)
    air: Fraction = Fraction(1)
    burned: Fraction = Fraction(1)

    def number(self, name: str) -> Fraction | None:
        """A fact as a number, None where it isn't known or is a word."""
        value = self.values.get(name)
        return number_in(value) if isinstance(value, str) else value

    def with_value(self, name: str, value: Fraction | str) -> Facts:
        """The same facts and one more."""
        return replace(self, values={**self.values, name: value})


NOTHING_KNOWN = Facts()
