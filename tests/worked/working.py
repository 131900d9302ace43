"""Works out the questions of a paper page the long way round: every setting is read off the page and sorted. Shares
nothing with the program."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path
from typing import Any

import yaml

from tests.worked import ranking
from tests.worked.pages import number

Setting = dict[str, str]
Facts = Mapping[str, str]
Answer = dict[str, Any]

LPS_PER_CFM = Fraction("0.4719474432")
"""NIST SP 811."""


class NoFigure(Exception):
    """The page has no figure here, or says that the row is not to be used."""


class NotRunning(Exception):
    """The page says that the call does not run."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Ramp:
    """How the blower comes up: seconds at a share of the airflow, part after part, then full."""

    parts: tuple[tuple[Fraction, Fraction], ...]

    def at(self, second: Fraction) -> Fraction:
        """The share at a second of the call."""
        for lasts, share in self.parts:
            if second < lasts:
                return share
            second -= lasts
        return Fraction(1)

    def average(self, seconds: Fraction) -> Fraction:
        """The average share over the first seconds of the call."""
        left, total = seconds, Fraction(0)
        for lasts, share in self.parts:
            total += min(lasts, left) * share
            left -= min(lasts, left)
        return (total + left) / seconds


@dataclass(kw_only=True, slots=True)
class Reading:
    """What a page says of one setting; `kept` is whether every limit of every call is kept."""

    calls: dict[str, Fraction] = field(default_factory=dict)
    rise: dict[str, Fraction] = field(default_factory=dict)
    seconds: dict[str, Fraction] = field(default_factory=dict)
    ramps: dict[str, Ramp] = field(default_factory=dict)
    refused: list[str] = field(default_factory=list)
    not_running: list[str] = field(default_factory=list)
    kept: bool = True

    def take(self, call: str, work: Callable[[], Mapping[str, Fraction]]) -> None:
        """Notes the airflow of a call by stage (`""` where it has no stages), or that it is refused or does not run."""
        try:
            for stage, airflow in work().items():
                self.calls[f"{call} {stage}".strip()] = airflow
        except NoFigure:
            self.refused.append(call)
        except NotRunning:
            self.not_running.append(call)

    def warm(self, call: str, rise: Fraction, plate: str) -> None:
        """Notes a rise; `plate` is the window printed on the plate, `35 to 65`."""
        self.rise[call] = rise
        self.keep(rise, plate)

    def keep(self, value: Fraction, window: str) -> None:
        low, high = window.split(" to ")
        self.kept = self.kept and Fraction(low) <= value <= Fraction(high)


@dataclass(frozen=True, kw_only=True, slots=True)
class Sheet:
    """A page ready to be worked from.

    `positions`: of each selector, each switch one. `delivered`: as marks. `declares`: selector -> fact it tells the
    board.
    `reads`: call -> selectors its airflow depends on. `limited`: calls that a limit applies to. `last`: call -> its
    last stage.
    """

    name: str
    positions: Mapping[str, Sequence[str]]
    delivered: str
    reads: Mapping[str, Sequence[str]]
    read: Callable[[Facts, Setting], Reading]
    limited: Sequence[str] = ()
    last: Mapping[str, str] = field(default_factory=dict)
    declares: Mapping[str, str] = field(default_factory=dict)

    def answers(self) -> dict[int, Answer]:
        """Every question of tests/worked/NAME.yaml, worked from the page: only the parts that the question asks."""
        text = Path(__file__).with_name(f"{self.name}.yaml").read_text(encoding="utf-8")
        return {
            item["number"]: (self._decode if item["ask"] == "decode" else self._find)(item)
            for item in yaml.safe_load(text)["answers"]
        }

    def _decode(self, item: Answer) -> Answer:
        marks = marked(item["marks"])
        names = list(self.positions)
        choices = [self.positions[name] if marks[name] == "?" else (marks[name],) for name in names]
        readings = [
            self.read(item.get("facts", {}), dict(zip(names, seen, strict=True)))
            for seen in itertools.product(*choices)
        ]
        one = readings[0]
        parts: Answer = {
            "calls": one.calls,
            "rise": one.rise,
            "seconds": one.seconds,
            "refused": one.refused,
            "not running": one.not_running,
        }
        if "values" in item:
            parts["values"] = {
                call: [float(each) for each in sorted({r.calls[call] for r in readings if call in r.calls})]
                for call in item["values"]
            }
            parts |= {
                part: {
                    call: found
                    for call, found in parts[part].items()
                    if all(getattr(other, part).get(call) == found for other in readings)
                }
                for part in ("calls", "rise", "seconds")
            }
        for part, share in (("ramp", Ramp.at), ("average", Ramp.average)):
            asked: dict[str, list[int]] = item.get(part, {})
            parts[part] = {
                call: {at: one.calls[call] * share(one.ramps[call], Fraction(at)) for at in seconds}
                for call, seconds in asked.items()
            }
        return {part: found for part, found in parts.items() if part in item}

    def _find(self, item: Answer) -> Answer:
        ranked = list(itertools.islice(self.ranked(item), len(item.get("first", "x"))))
        return {"nothing": not ranked} if "nothing" in item else {"first": ranked}

    def ranked(self, item: Answer) -> Iterator[Answer]:
        """Settings that keep every limit, by sum of relative deviations, then fewest moves from the delivered
        setting, then in the page's order."""
        facts: Facts = item.get("facts", {})
        delivered = marked(self.delivered)
        stay = {
            **delivered,
            **marked(item.get("hold", "")),
            **{name: facts[fact] for name, fact in self.declares.items() if fact in facts},
        }
        held = {*marked(item.get("hold", "")), *self.declares}
        judged = {*item["targets"], *self.limited}
        free = [
            name for name in self.positions if name not in held and any(name in self.reads[call] for call in judged)
        ]
        found: list[tuple[Fraction, int, int, Answer]] = []
        for order, choice in enumerate(itertools.product(*(self.positions[name] for name in free))):
            setting = {**stay, **dict(zip(free, choice, strict=True))}
            reading = self.read(facts, setting)
            if not reading.kept or reading.refused or any(call in reading.not_running for call in item["targets"]):
                continue
            total = sum((self._deviation(reading, call, aim) for call, aim in item["targets"].items()), Fraction(0))
            moves = sum(setting[name] != delivered[name] for name in setting)
            words = " ".join(f"{name}={position}" for name, position in setting.items() if name in free)
            found.append(
                (total, moves, order, {"set": words, "calls": reading.calls, "rise": reading.rise, "deviation": total})
            )
        return (item[3] for item in sorted(found, key=lambda item: item[:3]))

    def _deviation(self, reading: Reading, call: str, aim: str) -> Fraction:
        stage = f"{call} {self.last[call]}" if call in self.last else call
        words = aim.removeprefix("rise ").split(" to ")
        got = (reading.rise if aim.startswith("rise ") else reading.calls)[stage]
        low, high = Fraction(words[0]), Fraction(words[-1])
        return (low - got) / low if got < low else max((got - high) / high, Fraction(0))


def cell(text: str) -> Fraction:
    """The figure of a cell, `1,020`, `+6 %` or `30 s`; NoFigure at a dash."""
    if text == "-":
        raise NoFigure
    return number(text.removesuffix(" s"))


def trim(text: str) -> Fraction:
    """The factor of an adjustment cell: `none` or `+6 %`."""
    return Fraction(1) if text == "none" else 1 + number(text) / 100


def switches(bank: str, count: int) -> dict[str, Sequence[str]]:
    """Positions of the switches of a bank."""
    return {f"{bank}-{k}": ("off", "on") for k in range(1, count + 1)}


def marked(text: str) -> Setting:
    """Marks as typed, `SW1=0110 J1=C SW2-3=on`: each switch of a bank on its own."""
    found: Setting = {}
    for name, marks in (word.split("=") for word in text.split()):
        if name.startswith("SW") and "-" not in name:
            found |= {f"{name}-{k}": {"0": "off", "1": "on"}.get(mark, mark) for k, mark in enumerate(marks, 1)}
        else:
            found[name] = marks
    return found


def on_line(at: Fraction, points: Sequence[Fraction], figures: Sequence[Fraction | None]) -> Fraction:
    """The figure on the straight line between the two printed points around `at`; NoFigure outside them or at a
    blank."""
    for (low, first), (high, second) in itertools.pairwise(zip(points, figures, strict=True)):
        if low <= at <= high:
            if at == low and first is not None:
                return first
            if at == high and second is not None:
                return second
            if first is not None and second is not None and low < at < high:
                return first + (second - first) * (at - low) / (high - low)
    raise NoFigure


def rise_c(delivered_kw: Fraction, airflow_lps: Fraction) -> Fraction:
    """The temperature rise in C of standard air for kW and L/s."""
    return ranking.rise(delivered_kw * ranking.KW_BTUH, airflow_lps / LPS_PER_CFM) * 5 / 9
