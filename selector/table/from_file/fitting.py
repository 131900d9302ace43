"""Whether a name can stand where it stands: a chart that gives trims is no share, a ramp is no airflow."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from selector.table.from_file.builder import Builder
from selector.table.model.quantities import HEATS, QUANTITIES, RISE, SUMS, takes_airflow, wanted_after
from selector.table.model.table import Atom, CallValue, Either, Named, PerTon

_OWN_KEYS = {"seconds": "on delay: or off delay:", "ramp": "ramp:"}


def gives_of(b: Builder, atom: Named) -> tuple[str, ...]:
    """The quantities that a name gives."""
    if atom.kind == "chart":
        return b.charts[atom.name].gives
    if atom.kind == "part":
        gives = b.selectors[b.parts[atom.part].selector].gives
    elif atom.kind == "fact":
        gives = b.facts[atom.name].gives
    else:
        gives = atom.name if atom.kind == "rating" else "ramp"
    return (gives,) if gives else ()


def fits(b: Builder, op: str, atom: Atom, node: Any, *, heat: bool = False) -> None:
    """wrong-quantity: what stands after a step's word, or after `ramp:` and the delays, gives something else."""
    if isinstance(atom, CallValue):
        if heat:
            _wrong(
                b,
                node,
                f"`call {atom.call}` is an airflow, no heat",
                "name what gives the heat; see heat input, heater power, nozzle rate",
            )
        elif op != "use" and not takes_airflow(op):
            _wrong(
                b,
                node,
                f"`call {atom.call}` is an airflow, no {op}",
                f"type a figure, or the name of a chart that gives {_wanted(op)[0]}",
            )
        return
    if isinstance(atom, (Fraction, Either, PerTon)):
        if heat and op in SUMS:
            _wrong(b, node, f"{op}: needs what gives heat here", "name the other heater, or its chart")
        if op == "ramp":
            _wrong(b, node, "a figure is no ramp", "type the name of a ramp, declared under ramps:")
        return
    gives = gives_of(b, atom)
    if op == "use":
        _fits_alone(b, atom, gives, node, heat=heat)
    elif op.startswith("round"):
        _wrong(b, node, f"`{op}` needs a figure, not a name", f"for example {op}: 5")
    elif op in SUMS and bool(set(gives) & set(HEATS)) != heat:
        what = "no heat" if heat else "heat, no airflow"
        _wrong(b, node, f"`{atom.name}` is {what}", f"name what gives {'heat' if heat else 'an airflow'} after {op}:")
    elif not set(gives) & set(_wanted(op)) or (atom.kind == "rating" and op == RISE):
        said = f"gives {', '.join(gives)}" if gives else "gives no figure"
        _wrong(
            b,
            node,
            f"`{atom.name}` {said}, not {_wanted(op)[0]}",
            f"name a chart that gives {_wanted(op)[0]}, or type a figure",
        )


def _fits_alone(b: Builder, atom: Named, gives: tuple[str, ...], node: Any, *, heat: bool) -> None:
    if atom.kind == "rating" and not (heat and atom.name in ("heat input", "heat output")):
        _wrong(
            b,
            node,
            f"`{atom.name}` is a figure of the rating plate and no step",
            "name a chart, or type a figure, for example airflow: 1200",
        )
    elif atom.kind == "ramp":
        _wrong(
            b,
            node,
            f"`{atom.name}` is a ramp and changes no airflow",
            f"name it under ramp: of the call, as ramp: {atom.name}",
        )
    elif not gives and atom.kind == "part":
        _wrong(
            b, node, f"`{atom.name}` alone gives no figure", f"name a chart that reads it, one with set: {atom.name}"
        )
    elif not gives:
        _wrong(
            b,
            node,
            f"the fact `{atom.name}` gives no figure",
            f"say which quantity it is: {atom.name}: {{gives: tons, values: ...}}",
        )
    elif all(QUANTITIES[g].role == "note" for g in gives if g in QUANTITIES) and set(gives) & set(_OWN_KEYS):
        keys = " or ".join(_OWN_KEYS[g] for g in gives if g in _OWN_KEYS)
        _wrong(
            b,
            node,
            f"`{atom.name}` gives {', '.join(gives)} and changes no airflow",
            f"name it under {keys} of the call",
        )


def _wanted(op: str) -> tuple[str, ...]:
    """What a name must give to stand after a step's word, a delay or `ramp`."""
    return ("seconds",) if op in ("on delay", "off delay") else wanted_after(op)


def _wrong(b: Builder, node: Any, message: str, help: str) -> None:
    b.report.at(node, "wrong-quantity", message, help)
