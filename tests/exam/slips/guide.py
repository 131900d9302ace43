"""Holds tables against the guide: words, counts of figures, positions, names, delivered settings."""

from __future__ import annotations

import itertools
import random
import re
from collections.abc import Iterator
from typing import Any

import yaml

from .cells import FIGURE, cells
from .pages import pages

TOP = {"format", "unit", "units", "ratings", "facts", "board", "charts", "ramps", "calls"}
CHART = {"page", "set", "across", "gives", "rows", "note", "conditions"}
UNIT = {"title", "maker", "models", "manual", "motor", "holds up to"}
CALL = {"terminals", "stages", "capacity", "when", "lead", "heat", "airflow", "ramp", "on delay", "off delay"}
QUANTITIES = {
    "airflow", "tons", "airflow per ton", "temperature rise", "trim", "share", "reduction", "offset",
    "least airflow", "most airflow", "heat input", "heater power", "nozzle rate", "seconds", "ramp", "watts", "speed",
}  # fmt: skip
STEPS = {"share", "trim", "offset", "airflow", "at least", "at most", "round"}
REFUSED = ("reserved", "not used", "do not use")
SWITCH = {"ON": "1", "OFF": "0"}


def faults(text: str) -> list[str]:
    """What in this table isn't by the guide; nothing for a right one."""
    return list(_Table(text).faults())


class _Table:
    def __init__(self, text: str) -> None:
        _once(yaml.compose(text))
        self.text = text
        self.table: dict[str, Any] = yaml.load(text, Loader=yaml.BaseLoader)
        self.models = self.table["unit"].get("models", "").split()
        self.positions: dict[str, list[str]] = {}
        self.factory: dict[str, str] = {}
        for name, made in self.table["board"].items():
            if made["kind"] == "switches":
                spare = made.get("not used", "").split()
                for number in range(1, int(made["count"]) + 1):
                    if str(number) not in spare:
                        self.positions[f"{name}-{number}"] = ["0", "1"]
                        self.factory[f"{name}-{number}"] = "0"
            else:
                self.positions[name] = made.get("positions", "whole cut").split()
                self.factory[name] = made["factory"]

    def faults(self) -> Iterator[str]:
        table = self.table
        if table["format"] != "selector table 1" or not set(table) <= TOP or not set(table["unit"]) <= UNIT:
            yield "wrong key at the top"
        for name, factory in self.factory.items():
            if not set(factory.split()) <= set(self.positions[name]):
                yield f"{name}: factory {factory}"
        figures = 0
        for name, chart in table["charts"].items():
            if not set(chart) <= CHART or not set(chart["gives"].split(", ")) <= QUANTITIES:
                yield f"{name}: wrong key"
            told = list(self._chart(name, chart))
            figures += sum(int(line) for line in told if line.isdigit())
            yield from (line for line in told if not line.isdigit())
        if figures != len(cells(self.text)):
            yield f"{figures} figures, {len(cells(self.text))} cells"
        yield from self._calls()
        used = {s for chart in table["charts"].values() for s in chart.get("set", "").split()}
        used |= {head for chart in table["charts"].values() for head in chart.get("across", {})}
        spoken = str(table["calls"])
        yield from (f"{name} unused" for name in self.positions if name not in used and name not in spoken)
        yield from (f"{name} unused" for name in table["charts"] if name not in spoken)
        yield from (f"long line: {line}" for line in self.text.splitlines() if len(line) > 160)

    def _chart(self, name: str, chart: dict[str, Any]) -> Iterator[str]:
        by = chart.get("set", "").split()
        columns = len(chart["gives"].split(", "))
        for head, words in chart.get("across", {}).items():
            columns *= len(words.split())
            known = {"model": self.models}.get(head, self.positions.get(head))
            if head not in ("stage", "static pressure", "firing rate") and set(words.split()) != set(known or []):
                yield f"{name}: head {head}: {words}"
        if any(selector not in self.positions for selector in by):
            yield f"{name}: set {by}"
            return
        seen: dict[tuple[str, ...], str] = {}
        for line in re.split(r"[;\n]", chart["rows"].strip()):
            places, rest = self._split(by, line.partition("(")[0].split())
            if any(place not in ("-", "off pins", *self.positions[s]) for s, place in zip(by, places, strict=True)):
                yield f"{name}: positions of {line}"
            ranges = [self.positions[s] if p == "-" else [p] for s, p in zip(by, places, strict=True)]
            for setting in itertools.product(*ranges):
                if setting in seen:
                    yield f"{name}: twice {setting}"
                seen[setting] = rest
            yield from self._figures(name, chart["gives"], columns, rest)
        missing = set(itertools.product(*(self.positions[s] for s in by))) - set(seen)
        if missing:
            yield f"{name}: no rows for {missing}"
        delivered = seen.get(tuple(self.factory[s] for s in by), "reserved") if "M1" not in by else "0"
        if delivered in REFUSED:
            yield f"{name}: delivered in {delivered}"

    def _split(self, by: list[str], words: list[str]) -> tuple[list[str], str]:
        if words[:2] == ["off", "pins"]:
            return ["off pins"], " ".join(words[2:])
        if len(by) > 1 and len(words[0]) == len(by) and words[0] not in SWITCH:
            return list(words[0]), " ".join(words[1:])
        places = [SWITCH.get(w, w) if s.startswith("SW") else w for s, w in zip(by, words, strict=False)]
        return places, " ".join(words[len(by) :])

    def _figures(self, name: str, gives: str, columns: int, rest: str) -> Iterator[str]:
        if rest in REFUSED or rest == "none" or rest.startswith("as ") or gives == "ramp":
            if gives == "ramp" and rest not in self.table.get("ramps", {}):
                yield f"{name}: ramp {rest}"
            return
        words = re.sub(r" (%|s|kW)(?= |$)", r"_\1", rest).split()
        if len(words) != columns:
            yield f"{name}: {columns} figures wanted: {rest}"
        for word in words:
            plain = word.replace("_", " ")
            if word in ("-", "none"):
                continue
            if not FIGURE.fullmatch(plain) or (plain[0] in "+-") != (gives in ("trim", "offset")):
                yield f"{name}: figure {plain}"
            if (gives in ("trim", "share", "reduction")) != plain.endswith("%"):
                yield f"{name}: unit {plain}"
        yield str(sum(word not in ("-", "none") for word in words))

    def _calls(self) -> Iterator[str]:
        known = set(self.table["charts"]) | {"share"}
        for name, call in self.table["calls"].items():
            if not set(call) <= CALL or name in self.table["charts"]:
                yield f"{name}: wrong key or name"
            stages = call.get("stages", "").split()
            if isinstance(call["terminals"], dict) and list(call["terminals"]) != stages:
                yield f"{name}: stages"
            steps = call["airflow"] if isinstance(call["airflow"], list) else [call["airflow"]]
            for step in steps:
                yield from self._step(name, step, known, stages)
            for key in ("on delay", "off delay", "ramp", "heat"):
                value = call.get(key, "0")
                if not value[0].isdigit() and value not in known | set(self.positions):
                    yield f"{name}: {key} {value}"

    def _step(self, name: str, step: Any, known: set[str], stages: list[str]) -> Iterator[str]:
        if isinstance(step, str):
            called = next((c for c in self.table["calls"] if step.startswith(f"call {c}")), None)
            if step not in known and called is None:
                yield f"{name}: step {step}"
            chart = self.table["charts"].get(step, {})
            heads = chart.get("across", {}).get("stage", "").split()
            if heads and sorted(heads) != sorted(stages):
                yield f"{name}: stages of {step}"
            return
        if "use" in step:
            if step["use"] not in known:
                yield f"{name}: use {step}"
            return
        for key, value in step.items():
            values = value.values() if isinstance(value, dict) else [value]
            if key not in STEPS or any(v not in known and not v.strip("+-")[0].isdigit() for v in values):
                yield f"{name}: step {step}"


def _once(node: yaml.Node | None) -> None:
    if isinstance(node, yaml.MappingNode):
        keys = [key.value for key, _ in node.value]
        assert len(keys) == len(set(keys)), keys
        for _, value in node.value:
            _once(value)
    elif isinstance(node, yaml.SequenceNode):
        for value in node.value:
            _once(value)


def all_faults(count: int = 20) -> list[str]:
    """Faults of `count` pages of each structure."""
    return [
        f"{page.name} {number}: {fault}"
        for page in pages()
        for number in range(count)
        for fault in faults(page.text(random.Random(f"guide {page.name} {number}")))
    ]
