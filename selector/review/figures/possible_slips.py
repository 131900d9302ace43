"""What a figure may have been before it was mistyped: every figure one typical slip away, with how likely that slip
gives what stands there."""

from __future__ import annotations

from collections.abc import Iterator
from math import log

from selector.value import Struct

SLIPS: dict[str, float] = {
    "transposed": 0.20,
    "dropped": 0.17,
    "doubled": 0.14,
    "substituted": 0.20,
    "inserted": 0.03,
    "unit": 0.08,
    "sign": 0.12,
    "apart": 0.02,
    "point": 0.03,
    "rest": 0.03,
    "copied": 0.15,
}
"""Share of each kind among slips of a single figure (tuned on tables of our own; no source). What is left is any
other misreading."""

OTHER = 0.04

WORDS: dict[str, str] = {
    "transposed": "two digits changed places",
    "dropped": "a digit was left out",
    "doubled": "a digit was typed twice",
    "substituted": "a digit was misread or mistyped",
    "inserted": "a digit too many",
    "unit": "a figure in another unit",
    "sign": "the other sign",
    "apart": "two digits changed places",
    "point": "the point in another place",
    "rest": "what is taken off for what is left",
    "other": "another figure",
}

_NEAR = {
    "0": "9689",
    "1": "274",
    "2": "137",
    "3": "2485",
    "4": "3519",
    "5": "4638",
    "6": "5780",
    "7": "6814",
    "8": "7935",
    "9": "804",
}
"""Digits beside each other on a keyboard or alike in print."""

UNIT_FACTORS: dict[str, dict[str, float]] = {
    "cfm": {"L/s": 0.4719474432, "m3/h": 1.69901079552},
    "L/s": {"cfm": 1 / 0.4719474432, "m3/h": 3.6},
    "m3/h": {"cfm": 1 / 1.69901079552, "L/s": 1 / 3.6},
}
"""One of the table's unit in another unit (NIST SP 811)."""


class Misreading(Struct, frozen=True):
    """`typed` is what may have been meant, `kind` the slip, `log_chance` the log of how often that slip makes what
    stands there of it."""

    typed: str
    kind: str
    log_chance: float


def candidates(
    typed: str, units: dict[str, float] | None = None, *, signed: bool = False, percent: bool = False
) -> list[Misreading]:
    """Every figure one slip away, the likeliest kind of each only. `units` are factors of units the figure may have
    been printed in;
    `percent` figures may stand for what is left of a hundred.
    """
    best: dict[str, Misreading] = {}
    sign = typed[0] if typed[:1] in ("+", "-") else ""
    body = typed[len(sign) :]
    whole, dot, places = body.partition(".")
    for text, kind, chance in _digit_slips(whole):
        _keep(best, Misreading(sign + text + dot + places, kind, log(SLIPS[kind] * chance)), typed)
    if dot:
        for text, kind, chance in _digit_slips(places):
            if text:
                _keep(best, Misreading(sign + whole + dot + text, kind, log(SLIPS[kind] * chance / 2)), typed)
        _keep(best, Misreading(sign + (whole + places).lstrip("0"), "point", log(SLIPS["point"])), typed)
    else:
        for at in range(1, len(whole)):
            _keep(best, Misreading(f"{sign}{whole[:at]}.{whole[at:]}", "point", log(SLIPS["point"] / 10)), typed)
        _keep(best, Misreading(f"{sign}{whole}0", "point", log(SLIPS["point"])), typed)
        if whole.endswith("0") and len(whole) > 1:
            _keep(best, Misreading(sign + whole[:-1], "point", log(SLIPS["point"])), typed)
    if percent and not sign and 0 < float(body) < 100:
        _keep(best, Misreading(f"{100 - float(body):g}", "rest", log(SLIPS["rest"])), typed)
    if signed and sign:
        _keep(best, Misreading(("-" if sign == "+" else "+") + body, "sign", log(SLIPS["sign"])), typed)
    for factor in (units or {}).values():
        _keep(best, Misreading(f"{float(body) / factor:.6g}", "unit", log(SLIPS["unit"] / len(units or {}))), typed)
    return sorted(best.values(), key=lambda c: (-c.log_chance, c.typed))


def _keep(best: dict[str, Misreading], one: Misreading, typed: str) -> None:
    if one.typed in (typed, "", "+", "-") or one.typed.startswith(("00", "+00", "-00")):
        return
    known = best.get(one.typed)
    if known is None or known.log_chance < one.log_chance:
        best[one.typed] = one


def _digit_slips(digits: str) -> Iterator[tuple[str, str, float]]:
    """(what was meant, kind, chance that this slip of it gives `digits`)."""
    n = len(digits)
    for i in range(n):
        for j in range(i + 1, n):
            if digits[i] != digits[j]:
                swapped = digits[:i] + digits[j] + digits[i + 1 : j] + digits[i] + digits[j + 1 :]
                if swapped[0] != "0":
                    yield swapped, "transposed" if j == i + 1 else "apart", 1 / (n - 1)
    for at in range(n + 1):
        for digit in "0123456789":
            if at or digit != "0":
                longer = digits[:at] + digit + digits[at:]
                run = 1 + sum(1 for k in (at - 1, at) if 0 <= k < n and digits[k] == digit)
                yield longer, "dropped", run / (n + 1)
    for at in range(n):
        shorter = digits[:at] + digits[at + 1 :]
        if shorter and (shorter[0] != "0" or shorter == "0"):
            doubled = (at and digits[at - 1] == digits[at]) or (at + 1 < n and digits[at + 1] == digits[at])
            yield shorter, "doubled" if doubled else "inserted", 1 / max(1, n - 1) if doubled else 1 / (10 * n)
        for digit in "0123456789":
            if digit != digits[at] and (at or digit != "0" or n == 1):
                near = digit in _NEAR.get(digits[at], "")
                yield digits[:at] + digit + digits[at + 1 :], "substituted", (1.6 if near else 0.6) / (9 * n)


def converted(typed: float, meant: float, factor: float) -> float:
    """Log of how likely `typed` is what a person got who had `meant` in another unit: a whole number of it, or one
    rounded to 5."""
    off = abs(meant * factor - typed)
    if off <= 0.51:
        return log(0.7)
    return log(0.06) if off <= 2.6 and typed % 5 == 0 else -5.0
