"""What stands on a card, as plain texts and pictures: gathered once, then set as a page or as a sheet."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from fractions import Fraction

from selector.card.code import card_code
from selector.draw.parts.draw import describe
from selector.problems import Refused
from selector.solve.board.marks import marks_of
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import CallAnswer, StageAnswer, evaluate
from selector.solve.engine.limit import JudgedLimit
from selector.solve.search.declared import differences
from selector.table.model.cautions import CUT, cautions
from selector.table.model.edition import edition
from selector.table.model.picture import Picture
from selector.table.model.quantities import RATINGS
from selector.table.model.table import No, Ramp, Setting, Table
from selector.units import format_number, plain
from selector.value import Struct

RETURN_STATIC, SUPPLY_STATIC = "static pressure, return side", "static pressure, supply side"
CLOCKED = "input clocked at the meter"
FILTER = "filter in, size"
BLANKS = (
    RETURN_STATIC,
    SUPPLY_STATIC,
    CLOCKED,
    FILTER,
    "power off and on after setting",
    "refrigerant charge rechecked",
)
"""What is asked of every unit and left to be filled in where it isn't given."""
COLUMNS = (
    ("call", 18),
    ("terminals", 12),
    ("airflow", 15),
    ("target", 14),
    ("expected", 15),
    ("measured", 14),
    ("method", 12),
)
"""The columns of the table of calls, with their widths in percent."""
NO_CODE = "The marks are too long for a code; type them from this card."
FOUND, FOUND_REST = "As found", "As found, other selectors"
AS_LEFT = "The board was found as it is left."
HATCHED = "Drawn hatched where the board is drawn as left."


class CardRow(Struct, frozen=True, kw_only=True):
    """One stage of one call. `measured` and `method` are empty where they are still to be filled in; so is `target`
    where nothing was asked.

    `gives` is False where `airflow` says why there is none; then there is nothing to measure.
    """

    name: str
    terminals: str
    airflow: str
    target: str
    expected: str
    measured: str
    method: str
    gives: bool = True


class Card(Struct, frozen=True, kw_only=True):
    """A card. `warnings` are broken limits and contradictions, first of all that is said; `extras` ramps, delays and
    notes of the rows used."""

    title: str
    about: tuple[tuple[str, str], ...]
    left: tuple[Picture, ...]
    left_marks: str
    found: tuple[Picture, ...]
    found_marks: str
    warnings: tuple[str, ...]
    rows: tuple[CardRow, ...]
    extras: tuple[str, ...]
    blanks: tuple[tuple[str, str], ...]
    cautions: tuple[str, ...]
    code: str
    signed: tuple[tuple[str, str], ...] = ()


Stage = tuple[str, str]


def build_card(
    engine: Engine,
    left: Setting,
    found: Setting | None = None,
    *,
    targets: Mapping[Stage, str] | None = None,
    expected: Mapping[Stage, str] | None = None,
    measured: Mapping[Stage, tuple[str, str]] | None = None,
    readings: Mapping[str, str] | None = None,
    table: Table | None = None,
    plate: Sequence[tuple[str, str]] = (),
    board: Mapping[str, str] | None = None,
    warnings: Sequence[str] = (),
    place: str = "",
    by: str = "",
    date: str = "",
    turned: int = 0,
) -> Card:
    """The card of a board as it is left.

    Calls are named (call, stage): `targets` as asked for, `expected` beside the airflow where more is known than the
    table's own rise and air
    per ton, `measured` (airflow, method). `readings` fill in BLANKS or add lines of their own; `plate` adds to the
    table's ratings; `board`: words
    printed on the board (part, series); `warnings` stand before those of the table. `table` is the one in the library,
    where the engine's was
    adjusted to a house. Everything given is text and shown as it is; what isn't is a blank to write in.
    """
    own, table = table or engine.table, engine.table
    answers = evaluate(engine, left)
    changed = found is not None and any(b is not None and a != b for a, b in zip(found, left, strict=True))
    filled = dict(readings or {})
    return Card(
        title=_head(table),
        about=(*_about(engine, own, plate, board or {}), ("place", place)),
        left=describe(table, left, found if changed else None, turned),
        left_marks=marks_of(left, table),
        found=describe(table, found, None, turned) if found is not None and changed else (),
        found_marks=marks_of(found, table) if found is not None else "",
        warnings=tuple(dict.fromkeys((*warnings, *_differences(engine, left), *_broken(table, answers)))),
        rows=tuple(
            _row(table, s, targets or {}, expected or {}, measured or {}) for a in answers.values() for s in a.stages
        ),
        extras=(*_told(table, answers), *_notes(answers)),
        blanks=(*((name, filled.pop(name, "")) for name in BLANKS), *filled.items()),
        cautions=_cautions(table),
        code=_code(own, left, engine.plate_model() or ""),
        signed=(("date", date), ("by", by)),
    )


def _head(table: Table) -> str:
    return table.unit.named


def _about(
    engine: Engine, own: Table, plate: Sequence[tuple[str, str]], board: Mapping[str, str]
) -> list[tuple[str, str]]:
    """Unit, rating plate, board, manual; a blank where the unit's own words are wanted and not given."""
    table, unit, model = engine.table, engine.table.unit, engine.plate_model()
    believed = engine.facts.board_model
    out = [
        ("model", model or ""),
        *([("model the board believes", believed)] if believed and believed != model else []),
    ]
    out += [("serial number", "")]
    for rating in table.ratings.values():
        text = _rating(table, rating.name, model)
        if text:
            out.append((rating.name, text))
    out += [(name, text) for name, text in plate if name not in dict(out)]
    parts = {**dict.fromkeys(unit.applies_to, ""), **unit.applies_to, **board}
    out += [(f"board {name}" if "board" not in name else name, value) for name, value in parts.items()]
    if "board part" not in parts and "part" not in parts:
        out.append(("board part", ""))
    several = "s" if re.search(r"\d\D+\d", unit.pages) else ""
    manual = ", ".join(text for text in (unit.manual, f"page{several} {unit.pages}" if unit.pages else "") if text)
    out += [("manual", manual), ("table", f"{table.name}, edition {edition(own)}")]
    if unit.reads:
        out.append(("the board reads its selectors", unit.reads))
    return out


def _rating(table: Table, name: str, model: str | None) -> str:
    """A figure of the plate for this model, by stage where it differs, in the table's units."""
    units = table.units
    shown: dict[str, tuple[Fraction, str]] = {
        "heat": (1 / table.heat_factor, units.heat),
        "percent": (Fraction(100), "%"),
        "range": (Fraction(1), units.temperature),
        "temperature": (Fraction(1), units.temperature),
        "pressure": (Fraction(1), units.pressure),
        "voltage": (Fraction(1), "V"),
        "oil pressure": (Fraction(1), "psi"),
        "heat per gallon": (Fraction(1), "Btu/gal"),
    }
    scale, unit = shown[RATINGS[name][0]]
    by_stage: dict[str, str] = {}
    for (of, stage), value in table.ratings[name].values.items():
        if of in ("", model or ""):
            ends = value if isinstance(value, tuple) else (value,)
            by_stage[stage] = f"{' to '.join(figure(end * scale, 2) for end in ends)} {unit}"
    return ", ".join(f"{stage} {text}".strip() for stage, text in by_stage.items())


def figure(value: Fraction, places: int = 1) -> str:
    """A figure with commas, halves away from zero, no idle decimals."""
    text = format_number(value, places)
    return text.rstrip("0").rstrip(".") if "." in text else text


def airflow_text(table: Table, airflow: Fraction | No) -> str:
    """`1,197.8 cfm`, or the word for why there is none and the reason."""
    return f"{airflow.words}: {airflow.why}" if isinstance(airflow, No) else f"{figure(airflow)} {table.units.airflow}"


def _row(
    table: Table,
    s: StageAnswer,
    targets: Mapping[Stage, str],
    expected: Mapping[Stage, str],
    measured: Mapping[Stage, tuple[str, str]],
) -> CardRow:
    call = table.calls[s.call]
    own = [f"rise {figure(s.rise)} {table.units.temperature}"] if s.rise is not None else []
    if s.per_ton is not None:
        own.append(f"{figure(s.per_ton)} {table.units.airflow} per ton")
    got, method = measured.get((s.call, s.stage), ("", ""))
    rate = f" at {plain(Fraction(s.rate))} % fire" if s.rate else ""
    return CardRow(
        name=s.title + rate,
        terminals=" ".join(call.terminals.get(s.stage, call.terminals.get("", ()))),
        airflow=airflow_text(table, s.airflow),
        target=targets.get((s.call, s.stage), ""),
        expected=expected.get((s.call, s.stage), ", ".join(own)),
        measured=got,
        method=method,
        gives=not isinstance(s.airflow, No),
    )


def _told(table: Table, answers: Mapping[str, CallAnswer]) -> list[str]:
    """How calls come up, wait and run on."""
    out: dict[str, None] = {}
    for answer in answers.values():
        for what, by_stage in (("comes up", answer.ramp), ("waits", answer.on_delay), ("runs on", answer.off_delay)):
            texts = {stage: _spoken(table, value) for stage, value in by_stage.items() if value != 0}
            for stage, text in texts.items():
                name = answer.call if len(set(texts.values())) == 1 else f"{answer.call} {stage}".strip()
                out[f"{name} {what}: {text}"] = None
    return list(out)


def _spoken(table: Table, value: Ramp | Fraction | No) -> str:
    if isinstance(value, Ramp):
        return f"{value.name} ({table.lines[value.line - 1].partition(':')[2].strip()})"
    return f"{value.words}: {value.why}" if isinstance(value, No) else f"{figure(value)} s"


def _notes(answers: Mapping[str, CallAnswer]) -> list[str]:
    rows = [(t.name, t.row) for a in answers.values() for s in a.stages for t in s.trail if t.row is not None]
    notes = {f"{name}: {row.note}": None for name, row in rows if row.note}
    return [
        *notes,
        *{f"{name}: this row behaves as another and is never proposed": None for name, row in rows if row.like},
    ]


def _differences(engine: Engine, left: Setting) -> list[str]:
    return [
        f"{d.selector} tells the board {d.fact} {d.board}, but {d.known} is what is there"
        for d in differences(engine, left)
    ]


def _broken(table: Table, answers: Mapping[str, CallAnswer]) -> list[str]:
    return [
        f"{s.title}: {limit_text(table, j)}"
        for a in answers.values()
        for s in a.stages
        for j in s.judged
        if j.ok is False
    ]


def limit_text(table: Table, judged: JudgedLimit) -> str:
    """`temperature rise 67.8 F, allowed 35 to 65 F (rating plate)`."""
    quantity = judged.limit.quantity
    unit = {"airflow": table.units.airflow, "airflow per ton": f"{table.units.airflow} per ton"}.get(
        quantity, table.units.temperature
    )
    low, high = (figure(end) if end is not None else "" for end in (judged.low, judged.high))
    allowed = (
        f"{low} to {high} {unit}"
        if low and high
        else f"at least {low} {unit}"
        if low
        else f"at most {high} {unit}"
        if high
        else "as the page says"
    )
    value = f" {figure(judged.value)} {unit}" if judged.value is not None else ""
    return f"{quantity}{value}, allowed {allowed} ({judged.limit.source})"


def _cautions(table: Table) -> tuple[str, ...]:
    """Those for a hand that moves any selector of this board."""
    calls = table.calls.values()
    out = cautions(table, heat=any(c.heats for c in calls), cooling=any(not c.heats for c in calls))
    return (out[0], CUT, *out[1:]) if any(p.final for p in table.parts) else out


def _code(table: Table, left: Setting, model: str) -> str:
    """The code, empty where the marks are too long for one."""
    try:
        return card_code(table, left, model)
    except Refused:
        return ""
