"""The published shapes of the answers that --json prints; `schemas/*.json` is written from here."""

from __future__ import annotations

from typing import Any

from selector.answers.schema.parts import (
    FLAG,
    MAYBE,
    NO,
    NUMBER,
    SETTING,
    TEXT,
    VERSION,
    blanks,
    items,
    record,
)

_FIGURE = {"anyOf": [MAYBE, NO]}
_STEP = record(
    "One step of a call and what came of it; `line` is the row in the table's file, 0 for none.",
    step=TEXT,
    name=TEXT,
    value=MAYBE,
    result=_FIGURE,
    page=TEXT,
    line={"type": "integer"},
)
_LIMIT = record(
    "A limit held against the call; ok is null where it can't be judged.",
    **blanks(limit=TEXT, quantity=TEXT, ok=FLAG, value=MAYBE, low=MAYBE, high=MAYBE, why=TEXT, firing_rate=TEXT),
)
_STAGE: dict[str, Any] = record(
    "One stage of a call, in the table's units; heat in Btu/h.",
    **blanks(
        call=TEXT,
        stage=TEXT,
        airflow={"anyOf": [NUMBER, NO]},
        exact=TEXT,
        heat=_FIGURE,
        rise=MAYBE,
        airflow_per_ton=MAYBE,
        firing_rate=TEXT,
        steps=items(_STEP),
        limits=items(_LIMIT),
    ),
)
_STAGE["required"].remove("exact")
_BY_STAGE = {"type": "object", "additionalProperties": {"anyOf": [NUMBER, TEXT, NO]}}
CALL = record(
    "A call with its stages, ramp and delays (seconds).",
    **blanks(call=TEXT, stages=items(_STAGE), ramp=_BY_STAGE, on_delay=_BY_STAGE, off_delay=_BY_STAGE),
)
_UNIT = record("The units of the figures.", airflow=TEXT, temperature=TEXT, pressure=TEXT)
FOUND = record(
    "One setting of the whole board.",
    **blanks(
        marks=TEXT,
        setting=SETTING,
        deviation=NUMBER,
        exact=TEXT,
        moves=items(record(part=TEXT, to=TEXT)),
        not_read=items(record("Not read as found: see that it stands so.", part=TEXT, to=TEXT)),
        calls=items(CALL),
        pages=items(TEXT),
        notes=items(TEXT),
        decoded_back={"const": True},
    ),
)
_BROKEN = record(call=TEXT, stage=TEXT, limit=TEXT, value=MAYBE, low=MAYBE, high=MAYBE, outside=NUMBER)
_MISS = record(
    "Why nothing fits.",
    **blanks(
        nearest={"anyOf": [FOUND, {"type": "null"}]},
        broken=items(_BROKEN),
        refused=items(record(call=TEXT, stage=TEXT, no=TEXT, why=TEXT)),
        to_blame=items(TEXT),
    ),
)
_TARGET = record(call=TEXT, stage=TEXT, quantity=TEXT, low=NUMBER, high=NUMBER, weight=NUMBER)
_VALUES = record(
    "What a stage may be doing where something can't be read.",
    call=TEXT,
    stage=TEXT,
    airflows=items(NUMBER),
    exact=items(TEXT),
    noes=items(NO),
    certain={"type": "boolean"},
)
_RUNNING = record(
    "What the energised terminals call for.",
    stages=items(record(call=TEXT, stage=TEXT)),
    airflow={"anyOf": [NUMBER, NO]},
)
ANSWERS: dict[str, dict[str, Any]] = {
    "find": record(
        "Answer of selector find.",
        **blanks(
            version=VERSION,
            table=TEXT,
            unit=_UNIT,
            targets=items(_TARGET),
            found=items(FOUND),
            not_judged=items(record(call=TEXT, stage=TEXT, limit=TEXT, why=TEXT)),
            nothing_fits={"anyOf": [_MISS, {"type": "null"}]},
        ),
    ),
    "decode": record(
        "Answer of selector decode.",
        **blanks(
            version=VERSION,
            table=TEXT,
            unit=_UNIT,
            marks=TEXT,
            setting=SETTING,
            unread=items(TEXT),
            differences=items(record(selector=TEXT, fact=TEXT, board=TEXT, known=TEXT)),
            calls=items(CALL),
            values=items(_VALUES),
            running={"anyOf": [_RUNNING, {"type": "null"}]},
        ),
    ),
}
"""Command -> shape of its JSON answer."""
