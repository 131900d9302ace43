"""The published shapes of the answers that --json prints; `schemas/*.json` is written from here."""

from __future__ import annotations

from typing import Any

_NUMBER = {"type": "number"}
_MAYBE = {"type": ["number", "null"]}
_TEXT = {"type": "string"}
_FLAG = {"type": ["boolean", "null"]}


def _record(description: str = "", **fields: Any) -> dict[str, Any]:
    out: dict[str, Any] = {"type": "object", "properties": fields, "required": list(fields), "additionalProperties": False}
    return {**out, "description": description} if description else out


def _list(items: Any) -> dict[str, Any]:
    return {"type": "array", "items": items}


def _words(**fields: Any) -> dict[str, Any]:
    """Fields whose names have blanks: `off_delay` stands for `off delay`."""
    return {k.replace("doesnt", "doesn't").replace("_", " "): v for k, v in fields.items()}


NO = _record("No figure: which of the noes, and why.", no={"enum": ["does not run", "refused", "outside", "unknown"]}, why=_TEXT)
_FIGURE = {"anyOf": [_MAYBE, NO]}
_STEP = _record(
    "One step of a call and what came of it; `line` is the row in the table's file, 0 for none.",
    step=_TEXT,
    name=_TEXT,
    value=_MAYBE,
    result=_FIGURE,
    page=_TEXT,
    line={"type": "integer"},
)
_LIMIT = _record(
    "A limit held against the call; ok is null where it can't be judged.",
    **_words(limit=_TEXT, quantity=_TEXT, ok=_FLAG, value=_MAYBE, low=_MAYBE, high=_MAYBE, why=_TEXT, firing_rate=_TEXT),
)
_STAGE: dict[str, Any] = _record(
    "One stage of a call, in the table's units; heat in Btu/h.",
    **_words(
        call=_TEXT,
        stage=_TEXT,
        airflow={"anyOf": [_NUMBER, NO]},
        exact=_TEXT,
        heat=_FIGURE,
        rise=_MAYBE,
        airflow_per_ton=_MAYBE,
        firing_rate=_TEXT,
        steps=_list(_STEP),
        limits=_list(_LIMIT),
    ),
)
_STAGE["required"].remove("exact")
_BY_STAGE = {"type": "object", "additionalProperties": {"anyOf": [_NUMBER, _TEXT, NO]}}
CALL = _record(
    "A call with its stages, ramp and delays (seconds).",
    **_words(call=_TEXT, stages=_list(_STAGE), ramp=_BY_STAGE, on_delay=_BY_STAGE, off_delay=_BY_STAGE),
)
_UNIT = _record("The units of the figures.", airflow=_TEXT, temperature=_TEXT, pressure=_TEXT)
_SETTING = {"type": "object", "additionalProperties": _TEXT, "description": "Printed mark of every switch and selector; ? where it can't be read."}
FOUND = _record(
    "One setting of the whole board.",
    **_words(
        marks=_TEXT,
        setting=_SETTING,
        deviation=_NUMBER,
        exact=_TEXT,
        moves=_list(_record(part=_TEXT, to=_TEXT)),
        not_read=_list(_record("Not read as found: see that it stands so.", part=_TEXT, to=_TEXT)),
        calls=_list(CALL),
        pages=_list(_TEXT),
        notes=_list(_TEXT),
        decoded_back={"const": True},
    ),
)
_BROKEN = _record(call=_TEXT, stage=_TEXT, limit=_TEXT, value=_MAYBE, low=_MAYBE, high=_MAYBE, outside=_NUMBER)
_MISS = _record(
    "Why nothing fits.",
    **_words(
        nearest={"anyOf": [FOUND, {"type": "null"}]},
        broken=_list(_BROKEN),
        refused=_list(_record(call=_TEXT, stage=_TEXT, no=_TEXT, why=_TEXT)),
        to_blame=_list(_TEXT),
    ),
)
_TARGET = _record(call=_TEXT, stage=_TEXT, quantity=_TEXT, low=_NUMBER, high=_NUMBER, weight=_NUMBER)
_VERSION = {"const": 1}
_VALUES = _record(
    "What a stage may be doing where something can't be read.",
    call=_TEXT,
    stage=_TEXT,
    airflows=_list(_NUMBER),
    exact=_list(_TEXT),
    noes=_list(NO),
    certain={"type": "boolean"},
)
_RUNNING = _record("What the energised terminals call for.", stages=_list(_record(call=_TEXT, stage=_TEXT)), airflow={"anyOf": [_NUMBER, NO]})
_PROBLEM = _record(
    file=_TEXT,
    line={"type": "integer"},
    column={"type": "integer"},
    length={"type": "integer"},
    code=_TEXT,
    severity={"enum": ["problem", "remark"]},
    message=_TEXT,
    help=_TEXT,
    source=_TEXT,
)
_CHART = _record(
    name=_TEXT,
    page=_TEXT,
    set=_list(_TEXT),
    heads=_list(_list(_TEXT)),
    gives=_list(_TEXT),
    rows=_list(_record(words=_list(_TEXT), note=_TEXT, line={"type": "integer"})),
)


def _entries(words: str, description: str = "") -> dict[str, Any]:
    """A list of records with these keys, each of any value."""
    out = {"type": "object", "required": [w.strip() for w in words.split(",")]}
    return _list({**out, "description": description} if description else out)


def _answer(description: str, *optional: str, blanks: bool = True, **fields: Any) -> dict[str, Any]:
    out = _record(description, **(_words(**fields) if blanks else fields))
    out["required"] = [k for k in out["required"] if k not in optional]
    return out


_SAID = _list(_TEXT)
_PLACED = {"type": ["object", "null"], "required": ["deviation", "marks", "moves", "positions", "stages"]}
_WHY = {"type": ["array", "object"], "description": "With --why: the figures, each with its expression and inputs."}
_STANDING = _entries("call, stage, place, low, high, window, broken", "How a stage stands in its window.")
JOBS: dict[str, dict[str, Any]] = {
    "plan": _answer(
        "Answer of selector plan.",
        "why",
        blanks=False,
        version=_VERSION,
        table=_TEXT,
        model={"type": ["string", "null"]},
        board_model={"type": ["string", "null"]},
        units={"type": "object"},
        **{"from": _TEXT},
        before=_SETTING,
        first=_SAID,
        complaint={"type": ["object", "null"]},
        targets=_entries("call, stage, role, low, high, charted, standard, volume, words", "The aim and window of a stage with its arithmetic."),
        setting=_PLACED,
        close=_entries("deviation, marks, moves, positions, stages, trade"),
        nearest=_PLACED,
        conflicts=_entries("words, shared"),
        wishes=_SAID,
        taken=_SAID,
        not_judged={"type": "array"},
        static=_SAID,
        fan_power={"type": "object"},
        measure=_SAID,
        care=_SAID,
        why=_WHY,
    ),
    "verify": _answer(
        "Answer of selector verify.",
        "why",
        version=_VERSION,
        table=_TEXT,
        set=_TEXT,
        first=_SAID,
        notes=_SAID,
        states=_entries("call, stage, delivered, selected, aim, window, verdict, explanations, next", "One state that was measured."),
        set_aside={"type": "array"},
        why=_WHY,
    ),
    "found": _answer(
        "Answer of selector found.",
        "why",
        version=_VERSION,
        table=_TEXT,
        unit={"type": "object"},
        as_found=_TEXT,
        first=_SAID,
        right=_FLAG,
        stages=_STANDING,
        refused={"type": "array"},
        unread={"type": ["object", "null"]},
        moves={"type": ["object", "null"]},
        as_left=_STANDING,
        remarks={"type": "array"},
        complaint={"type": ["object", "null"]},
        why=_WHY,
    ),
    "identify": _answer(
        "Answer of selector identify; it never holds a setting.",
        "why",
        version=_VERSION,
        error_model=_TEXT,
        fits={"type": "array"},
        may_fit=_entries("table, model, why, readings"),
        doesnt_fit=_entries("table, model, why, readings"),
        would_decide=_entries("marking, says, alone"),
        note=_TEXT,
        why=_WHY,
    ),
    "review": _answer(
        "Answer of selector review.", version=_VERSION, findings=_entries("file, id, code, line, column, where, why, may have been, sureness")
    ),
    "compare": _answer(
        "Answer of selector compare.",
        version=_VERSION,
        cells={"type": "integer"},
        taken_as_same=_SAID,
        differences=_entries("line a, line b, where, a, b"),
    ),
}


ANSWERS: dict[str, dict[str, Any]] = {
    "find": _record(
        "Answer of selector find.",
        **_words(
            version=_VERSION,
            table=_TEXT,
            unit=_UNIT,
            targets=_list(_TARGET),
            found=_list(FOUND),
            not_judged=_list(_record(call=_TEXT, stage=_TEXT, limit=_TEXT, why=_TEXT)),
            nothing_fits={"anyOf": [_MISS, {"type": "null"}]},
        ),
    ),
    "decode": _record(
        "Answer of selector decode.",
        **_words(
            version=_VERSION,
            table=_TEXT,
            unit=_UNIT,
            marks=_TEXT,
            setting=_SETTING,
            unread=_list(_TEXT),
            differences=_list(_record(selector=_TEXT, fact=_TEXT, board=_TEXT, known=_TEXT)),
            calls=_list(CALL),
            values=_list(_VALUES),
            running={"anyOf": [_RUNNING, {"type": "null"}]},
        ),
    ),
    "check": _record("Answer of selector check.", version=_VERSION, problems=_list(_PROBLEM)),
    "list": _record(
        "Answer of selector list.",
        version=_VERSION,
        folder=_TEXT,
        tables=_list(_record(name=_TEXT, title=_TEXT, maker=_TEXT, models=_list(_TEXT), path=_TEXT, problems={"type": "integer"})),
    ),
    "show": _record(
        "Answer of selector show.",
        version=_VERSION,
        table=_TEXT,
        title=_TEXT,
        maker=_TEXT,
        models=_list(_TEXT),
        charts=_list(_CHART),
        calls=_list(_record(call=_TEXT, formula=_TEXT)),
        delivered=_SETTING,
    ),
}
ANSWERS |= JOBS
"""Command -> shape of its JSON answer."""


def schema_text(command: str) -> str:
    """The JSON Schema (2020-12) of a command's answer, as its file has it."""
    import json

    head = {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": f"selector {command} --json"}
    return json.dumps({**head, **ANSWERS[command]}, indent=1) + "\n"
