"""The calls of two transcriptions held against each other: their airflow as a formula, and all else that belongs to
them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction

from selector.table.model.formula import formula
from selector.table.model.table import Atom, Call, CallValue, Condition, Either, PerTon, Table
from selector.transcribe.compare.difference import Difference, number_said, ramp_said


def calls_apart(
    a: Table, b: Table, charts: Mapping[str, str], parts: Mapping[str, str], same: list[str]
) -> Iterator[Difference]:
    """Calls as formulas and all else that belongs to them, the second table's charts, selectors and calls under the
    names of the first."""
    left = {n.casefold(): n for n in b.calls}
    known = {**charts, **parts}
    found = {name: left.pop(name.casefold()) for name in a.calls if name.casefold() in left}
    for name in a.calls:
        here, terminals = _formulas(a, name, {}), _terminals(a.calls[name])
        alike = [n for n in left.values() if _formulas(b, n, known) == here] or [
            n for n in left.values() if terminals and _terminals(b.calls[n]) == terminals
        ]
        if name not in found and alike:
            found[name] = left.pop(alike[0].casefold())
            same.append(f"call {name} and {found[name]}")
    pairs = [(name, found[name]) for name in a.calls if name in found]
    for name in a.calls:
        if name not in found:
            yield Difference(line_a=a.calls[name].line, line_b=0, where=f"call {name}", a="", b=None)
    for name in left.values():
        yield Difference(line_a=0, line_b=b.calls[name].line, where=f"call {name}", a=None, b="")
    names = {**charts, **parts, **{other: name for name, other in pairs}}
    for name, other in pairs:
        one, two = a.calls[name], b.calls[other]
        line_a, line_b = one.line, two.line
        x, y = _formulas(a, name, {}), _formulas(b, other, names)
        for n in range(max(len(x), len(y))):
            left_text, right_text = x[n] if n < len(x) else "no such stage", y[n] if n < len(y) else "no such stage"
            if left_text != right_text:
                yield Difference(line_a=line_a, line_b=line_b, where=f"call {name}", a=left_text, b=right_text)
        s, t = _terminals(one), _terminals(two)
        if s != t:
            yield Difference(
                line_a=line_a,
                line_b=line_b,
                where=f"terminals of {name}",
                a=", ".join(s) or "none",
                b=", ".join(t) or "none",
            )
        mine, theirs = belongs(a, one, {}), belongs(b, two, names)
        for what in mine:
            if mine[what] != theirs[what]:
                where = f"{what} of {name}"
                x_said, y_said = mine[what] or "not stated", theirs[what] or "not stated"
                yield Difference(line_a=line_a, line_b=line_b, where=where, a=x_said, b=y_said)


def belongs(table: Table, call: Call, names: Mapping[str, str]) -> dict[str, str]:
    """All of a call but its airflow and terminals, in words, stages by their number."""
    at = {stage: f"stage {n}" for n, stage in enumerate(call.stages, start=1)} if len(call.stages) > 1 else {}

    def staged(values: Mapping[str, str]) -> str:
        if "" in values and len(values) == 1:
            return values[""]
        whole = [(stage, values.get(stage, values.get(""))) for stage in call.stages]
        return ", ".join(f"{at.get(s, '')} {v}".strip() for s, v in whole if v)

    def atom(value: Atom) -> str:
        if isinstance(value, Fraction):
            return number_said(value)
        if isinstance(value, PerTon):
            return f"{number_said(value.value)} per ton"
        if isinstance(value, Either):
            return value.words
        if isinstance(value, CallValue):
            return f"call {names.get(value.call, value.call)} {at.get(value.stage, value.stage)}".strip()
        ramp = table.ramps.get(value.name) if value.kind == "ramp" else None
        by = f" by {names.get(value.by, value.by)}" if value.by else ""
        return ramp_said(ramp) if ramp else names.get(value.name, value.name) + by

    def when(conditions: Sequence[Condition]) -> str:
        out = []
        for c in conditions:
            words = [table.parts[c.part].word(i) for i in sorted(c.allowed)] if c.part >= 0 else list(c.words)
            out.append(f"{names.get(c.name, c.name)} {' '.join(words)}".casefold())
        return ", ".join(sorted(out))

    steps = [
        f"{s.op} {staged({k: atom(v) for k, v in s.by_stage.items()})}" + (f" when {when(s.when)}" if s.when else "")
        for s in call.heat
    ]
    windows = [
        " ".join(f"{w.quantity} {_ends(w.low, w.high)} {w.model} {when(w.when)} {at.get(w.stage, w.stage)}".split())
        for w in call.windows
    ]
    windows += [f"airflow {s.op} {staged({k: atom(v) for k, v in s.by_stage.items()})}" for s in call.limits]
    return {
        "for": call.purpose,
        "conditions": when(call.when),
        "lead": staged({s: table.parts[p].name.rpartition(" ")[2] for s, p in call.lead.items()}),
        "capacity": staged({s: number_said(v) for s, v in call.capacity.items()}),
        "heat": ", then ".join(steps),
        "ramp": staged({s: atom(v) for s, v in call.ramp.items()}),
        "on delay": staged({s: atom(v) for s, v in call.on_delay.items()}),
        "off delay": staged({s: atom(v) for s, v in call.off_delay.items()}),
        "window": ", ".join(sorted(windows)),
        "other calls beside": ", ".join(sorted(f"{names.get(n, n)}: {v}" for n, v in call.together.items())),
    }


def _ends(low: Fraction | None, high: Fraction | None) -> str:
    return f"{number_said(low) if low is not None else '..'} to {number_said(high) if high is not None else '..'}"


def _formulas(table: Table, name: str, names: Mapping[str, str]) -> list[str]:
    call = table.calls[name]
    return [formula(table, call, stage, names) for stage in call.stages]


def _terminals(call: Call) -> list[str]:
    each = [(on, call.dark.get(stage, ())) for stage, on in call.terminals.items()]
    return [" ".join([*sorted(on), *(("not", *sorted(off)) if off else ())]) for on, off in each]
