"""Single figures in a table file: a number with its unit, a range, a ramp."""

from __future__ import annotations

import re
from fractions import Fraction

from selector.table.model.table import CallValue, RampStep
from selector.units import BTUH_PER_KW

_FIGURE = re.compile(r"^([+-]?(?:\d{1,15}(?:\.\d{0,9})?|\.\d{1,9}))\s*(.*)$")
_RANGE = re.compile(r"^(\S+(?:\s+[^\d\s]\S*)*?)\s+to\s+(.+)$", re.IGNORECASE)


_SHOWN = {
    "btu/h": "Btu/h",
    "btuh": "Btuh",
    "mbh": "MBH",
    "kw": "kW",
    "w": "W",
    "v": "V",
    "l/s": "L/s",
    "l/s/kw": "L/s/kW",
    "m3/h/kw": "m3/h/kW",
    "pa": "Pa",
    "f": "F",
    "c": "C",
    "btu/gal": "Btu/gal",
}
"""Units as they are printed, where the folded word differs."""


SHARES = {
    "half": "50 %",
    "one half": "50 %",
    "a half": "50 %",
    "a third": "33.3 %",
    "one third": "33.3 %",
    "two thirds": "66.7 %",
    "a quarter": "25 %",
    "three quarters": "75 %",
}
"""Shares as pages say them."""


class BadFigure(ValueError):
    """A figure that can't be read; `instead` is what to type."""

    def __init__(self, message: str, instead: str = "") -> None:
        super().__init__(message)
        self.instead = instead


def figure(text: str, words: dict[str, Fraction], default: Fraction = Fraction(1)) -> Fraction:
    """The value of `66 %`, `400`, `2 min` with the unit words allowed here (folded, with factors); BadFigure with
    plain words otherwise."""
    text = " ".join(text.split())
    m = _FIGURE.match(text)
    if re.match(r"[+-]?[\d.]{17,}", text):
        raise BadFigure(f"`{text}` has too many digits", "the figure as the page prints it")
    if re.match(r"[+-]?\d{1,3}(,\d{3})+(?!\d)", text):
        raise BadFigure(f"`{text}` has a comma", text.replace(",", ""))
    if not m:
        raise BadFigure(f"`{text}` is not a figure", "a plain number such as 66 or 12.5")
    number, unit = m.group(1), m.group(2).strip()
    if not unit:
        return Fraction(number) * default
    if unit.casefold() in words:
        return Fraction(number) * words[unit.casefold()]
    if stroke := re.fullmatch(r"/ ?([1-9]\d{0,3})", unit):
        if "%" in words and Fraction(number) <= 10 * int(stroke[1]):
            raise BadFigure(f"`{text}` is a fraction", f"{float(100 * Fraction(number) / int(stroke[1])):.4g} %")
        raise BadFigure(f"`{text}` is two figures", f"{number} or {stroke[1]} if it is one of the two")
    if "min" in words and (clock := re.fullmatch(r":([0-5]\d)", unit)):
        raise BadFigure(f"`{text}` is minutes and seconds", f"{60 * int(number) + int(clock[1])} s")
    if more := re.findall(r"[+-]?\d[\d.]* ?[^\d\s+-]*", unit):
        known = _SHOWN.get(next(iter(words), ""), next(iter(words), ""))
        figures = f"{number} {known}".strip()
        raise BadFigure(
            f"`{text}` is {1 + len(more)} figures", f"one; what differs by stage is typed {{first: {figures}}}"
        )
    if re.search(r"(/| per ) ?(ton|kw)$", unit.casefold()):
        known = " or ".join(_SHOWN.get(w, w) for w in list(words)[:2])
        message = f"`{unit}` is airflow for each ton, where this file counts in {known}"
        raise BadFigure(
            message, f"airflow: {unit.split('/ton')[0].split(' per ')[0]} under units:, if the page does so"
        )
    raise BadFigure(
        f"`{unit}` is a wrong unit here",
        " or ".join([number, *(f"{number} {_SHOWN.get(w, w)}" for w in list(words)[:3])]),
    )


def _one_unit(low: str, high: str) -> tuple[str, str]:
    """Both ends of a range; a unit behind the higher alone is that of both."""
    bare, unit = re.fullmatch(r"[+-]?[\d.]+", low), re.sub(r"^[+-]?[\d.,]+ ?", "", high)
    return f"{low} {unit}".strip() if bare else low, high


def figure_range(text: str, words: dict[str, Fraction], default: Fraction = Fraction(1)) -> tuple[Fraction, Fraction]:
    """`35 to 65` as its two ends, the lower first; BadFigure when it is reversed or isn't a range."""
    m = _RANGE.match(" ".join(text.split()))
    if not m:
        raise BadFigure(f"`{text}` is not a range", "the lower figure, the word to, the higher figure: 35 to 65")
    low, high = (figure(one, words, default) for one in _one_unit(m.group(1), m.group(2)))
    if low > high:
        raise BadFigure(f"the range `{text}` is reversed", f"{m.group(2)} to {m.group(1)}")
    return low, high


PERCENT = {"%": Fraction(1)}
TIME = {"s": Fraction(1), "sec": Fraction(1), "seconds": Fraction(1), "min": Fraction(60), "minutes": Fraction(60)}
HEAT = {
    "btu/h": Fraction(1),
    "btuh": Fraction(1),
    "mbh": Fraction(1000),
    "kbtu/h": Fraction(1000),
    "kw": BTUH_PER_KW,
    "w": BTUH_PER_KW / 1000,
}
"""Units as factors to percents, seconds, Btu/h."""


RAMP_EXAMPLE = "30 s at 50 %, then 100 %"
_CALL = re.compile(r"call (.+)", re.IGNORECASE)
_CLIMB = re.compile(
    r"(?:(?P<time>.+?) (?:from (?P<start>[\d.]+(?: ?%)?) )?to (?P<end>[\d.]+(?: ?%)?|full)"
    r"|climbs (?:from (?P<foot>[\d.]+(?: ?%)?) )?to (?P<top>[\d.]+(?: ?%)?|full) in (?P<within>.+))",
    re.IGNORECASE,
)


def _climb(m: re.Match[str], before: Fraction, *, after: bool) -> RampStep:
    """`45 s from 0 to 100 %`, `30 s to 100 %`, `climbs to full in 30 s`: from where the part before it ended."""

    def share(text: str) -> Fraction:
        return Fraction(100) if text.casefold() == "full" else _ramp_figure(text, PERCENT, m[0])

    start = share(m["start"] or m["foot"]) if m["start"] or m["foot"] else before
    return RampStep(
        seconds=_ramp_figure(m["time"] or m["within"], TIME, m[0]),
        share=share(m["end"] or m["top"]),
        start=start,
        after=after,
    )


def _ramp_figure(text: str, words: dict[str, Fraction], piece: str) -> Fraction:
    try:
        return figure(text.strip(), words)
    except BadFigure as wrong:
        raise BadFigure(f"`{piece}` is no part of a ramp: {wrong}", RAMP_EXAMPLE) from wrong


def ramp_steps(text: str, *, lasting: bool = False) -> tuple[RampStep, ...]:
    """`60 s at 45 %, 240 s at 78 %, then 100 %, after 90 s at 40 %`; BadFigure says which piece can't be read.
    `lasting`: parts of 0 seconds fall away."""
    out: list[RampStep] = []
    settled = False
    for piece in (p.strip() for p in text.split(",")):
        body = piece
        after = body.casefold().startswith("after ")
        if after:
            body = body[6:].strip()
        elif body.casefold().startswith("then "):
            body = body[5:].strip()
        if not body:
            raise BadFigure("a part between commas is empty", RAMP_EXAMPLE)
        if m := _CLIMB.fullmatch(body):
            step = _climb(m, out[-1].share if out else Fraction(0), after=after)
            if lasting and not step.seconds:
                continue
            if step.seconds <= 0:
                raise BadFigure(f"`{piece}` needs its seconds", "45 s from 0 to 100 %")
            if settled and not after:
                raise BadFigure(f"`{piece}` comes after the share that holds", RAMP_EXAMPLE)
            out.append(step)
            continue
        time, at, share = body.rpartition(" at ")
        if m := _CALL.fullmatch(share.strip()):
            if not (at and after):
                raise BadFigure(
                    f"`{piece}` takes another call's airflow before the call has ended",
                    "after 90 s at call fan; a start at such an airflow can't be typed, say it in note:",
                )
            seconds = _ramp_figure(time, TIME, piece)
            out.append(RampStep(seconds=seconds, share=Fraction(100), after=True, call=CallValue(call=m[1])))
            continue
        if not at and after:
            raise BadFigure(f"`{piece}` doesn't say how long", "after 90 s at 40 %")
        value = _ramp_figure(share, PERCENT, piece)
        if 0 < value < 1 and "%" not in share:
            raise BadFigure(
                f"`{share.strip()}` looks like a fraction; a ramp is in percent", f"{float(value * 100):g} %"
            )
        if not 0 <= value <= 150:
            raise BadFigure(f"`{piece}` is outside 0 to 150 %", "30 s at 50 %, then 100 %")
        if settled and not after:
            raise BadFigure(f"`{piece}` comes after the share that holds", "30 s at 50 %, 60 s at 75 %, then 100 %")
        if at:
            seconds = _ramp_figure(time, TIME, piece)
            if seconds < 0:
                raise BadFigure(f"`{time.strip()}` can't be negative", "30 s at 50 %, then 100 %")
            if lasting and not seconds:
                continue
            out.append(RampStep(seconds=seconds, share=value, after=after))
        else:
            out.append(RampStep(seconds=Fraction(0), share=value))
            settled = True
    if not settled:
        climbs = [s.share for s in out if not s.after and s.start is not None]
        out.append(RampStep(seconds=Fraction(0), share=climbs[-1] if climbs else Fraction(100)))
    return tuple(sorted(out, key=lambda s: s.after))
