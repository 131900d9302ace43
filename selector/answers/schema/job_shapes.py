"""The published shapes of the answers on jobs: plan, verify, found, identify."""

from __future__ import annotations

from typing import Any

from selector.answers.schema.parts import (
    COUNT,
    FLAG,
    MAYBE,
    MAYBE_TEXT,
    NUMBER,
    SAID,
    SETTING,
    SURE,
    TEXT,
    VERSION,
    blanks,
    items,
    optional,
    or_null,
    record,
)
from selector.table.model.table import NOES

FIGURE = {"$ref": "#/$defs/figure"}
_FIGURE = optional(
    record(
        "A figure with all it rests on: a leaf has a `source`, a computed one its `expression` over the names of its"
        " `inputs`.",
        name=TEXT,
        value=NUMBER,
        unit=TEXT,
        text=TEXT,
        source=TEXT,
        expression=TEXT,
        inputs=items(FIGURE),
        note=TEXT,
    ),
    "source",
    "expression",
    "inputs",
    "note",
)
_MAYBE_FIGURE = or_null(FIGURE)
_FIGURES = {
    "type": "array",
    "items": FIGURE,
    "description": "With --why: the figures, each with its expression and inputs.",
}


_DANGERS = items(
    record(
        "A danger or a warning, said before all else; a danger that nobody may work beside leaves nothing else.",
        level={"enum": ["DANGER", "WARNING"]},
        what=TEXT,
        call=TEXT,
        stage=TEXT,
        value=MAYBE,
        limit=MAYBE,
        unit=TEXT,
        by_chart=SURE,
        said=TEXT,
        steps=SAID,
    )
)


def _answer(description: str, **fields: Any) -> dict[str, Any]:
    """An answer whose `why` and `dangers` stand only where there are any."""
    whole = optional(record(description, **fields, dangers=_DANGERS), "why", "dangers")
    stopped = record(
        "A danger beside which nobody works: nothing else is answered.", version=VERSION, table=TEXT, dangers=_DANGERS
    )
    return {"anyOf": [whole, stopped]}


_FROM: dict[str, Any] = {"from": TEXT}
_MOVE = record("One move.", part=TEXT, **_FROM, to=TEXT)


# -- plan

_BOUND = or_null(record("An end of a window, and what sets it.", airflow=NUMBER, by=TEXT))
_TARGET = record(
    "The aim and window of a stage: airflows in the table's unit, rise in its degrees, share in percent.",
    call=TEXT,
    stage=TEXT,
    role={"enum": ["cooling", "dehumidify", "heat pump", "heat pump + auxiliary", "heat", "fan"]},
    charted=MAYBE,
    standard=MAYBE,
    volume=MAYBE,
    rise=MAYBE,
    share=MAYBE,
    counts=SURE,
    words=TEXT,
    low=_BOUND,
    high=_BOUND,
    heat_btuh=MAYBE,
    tons=MAYBE,
    unknown=SAID,
    remarks=SAID,
)
_READ_AS = record(
    "What a charted airflow is, read one way.",
    way={"enum": ["sea level", "mass held", "volume held", "torque held"]},
    standard=MAYBE,
    actual=MAYBE,
    rise=MAYBE,
    leaving=MAYBE,
    cfm_per_ton=MAYBE,
    split=MAYBE,
)
_STATE = record(
    "A step of the ramp, or of dehumidify.", share=NUMBER, seconds=MAYBE, cfm_per_ton=NUMBER, floor=NUMBER, below=SURE
)
_NO = record("Why there is no airflow.", kind={"enum": list(NOES)}, why=TEXT)
_STAGE = optional(
    record(
        "What is expected of a stage; `no` stands where it has no airflow.",
        call=TEXT,
        stage=TEXT,
        airflow=MAYBE,
        no=_NO,
        read_as=items(_READ_AS),
        states=items(_STATE),
        full_airflow_after_s=MAYBE,
        below_floor_s=MAYBE,
        average=MAYBE,
        runs_on_s=MAYBE,
        outside=SAID,
    ),
    "no",
)
_PLACED = {
    "marks": TEXT,
    "positions": SETTING,
    "deviation": NUMBER,
    "moves": items(_MOVE),
    "stages": items(_STAGE),
}
_WHY_STEP = optional(
    record(
        "One figure; its inputs stand before it.",
        id=COUNT,
        name=TEXT,
        value=NUMBER,
        unit=TEXT,
        printed=TEXT,
        exact=TEXT,
        expression=TEXT,
        inputs={"type": "object", "additionalProperties": COUNT},
        arithmetic=TEXT,
        source=TEXT,
        note=TEXT,
    ),
    "exact",
    "expression",
    "inputs",
    "arithmetic",
    "source",
    "note",
)
_WHY = record(
    "With --why: every printed figure and the steps that lead to it.",
    answers=items(record(what=TEXT, step=COUNT, value=NUMBER, unit=TEXT, printed=TEXT)),
    steps=items(_WHY_STEP),
)
_EASED = record(
    "What the complaint moved.",
    complaint=TEXT,
    moved=items(record(role=TEXT, way={"enum": ["up", "down"]})),
    aims=SAID,
    stays=SAID,
    look_first=SAID,
    forbidden_by=SAID,
)
PLAN = _answer(
    "Answer of selector plan.",
    version=VERSION,
    table=TEXT,
    model=MAYBE_TEXT,
    board_model=MAYBE_TEXT,
    units=record("The units of the figures.", airflow=TEXT, temperature=TEXT, pressure=TEXT),
    **{"from": {"enum": ["as delivered", "as found", "as left"]}},
    before=SETTING,
    first=SAID,
    complaint=or_null(_EASED),
    targets=items(_TARGET),
    also_changes=SAID,
    setting=or_null(record("The setting that is offered.", **_PLACED)),
    close=items(record("Another setting, and what it trades.", **_PLACED, trade=TEXT)),
    nearest=or_null(record("The nearest miss, not to be set.", **_PLACED)),
    conflicts=items(record(words=TEXT, shared=SAID)),
    wishes=SAID,
    taken=SAID,
    not_judged=SAID,
    static=SAID,
    fan_power={"type": "object", "additionalProperties": MAYBE},
    measure=SAID,
    care=SAID,
    why=_WHY,
)

# -- verify and found

_MOVES = record(
    "The fewest moves, or what stands against every setting.",
    **blanks(
        fits=SURE,
        offered=SURE,
        count={"type": ["integer", "null"]},
        moves=items(_MOVE),
        as_left=MAYBE_TEXT,
        against=items(record(what=TEXT, nearest=MAYBE)),
        shared=SAID,
    ),
)
_STANDING = optional(
    record(
        "How a stage stands in its window, in the table's unit.",
        **blanks(
            call=TEXT,
            stage=TEXT,
            place={
                "enum": [
                    "inside",
                    "below",
                    "above",
                    "outside a limit",
                    "refused",
                    "does not run",
                    "not known",
                    "not judged",
                ]
            },
            airflow=MAYBE,
            exact=TEXT,
            no={"enum": list(NOES)},
            why=TEXT,
            low=MAYBE,
            high=MAYBE,
            window=SAID,
            broken=items(record(limit=TEXT, quantity=TEXT, value=MAYBE, low=MAYBE, high=MAYBE)),
            not_judged=items(record(limit=TEXT, why=TEXT)),
        ),
    ),
    "exact",
    "no",
    "why",
)
_LOOK = record(
    "An unreadable part, and what each position of it would tell.",
    part=TEXT,
    decides=SURE,
    positions=items(record(position=TEXT, right=FLAG, undecided=COUNT)),
)
_UNREAD = record(
    "What is certain though marks can't be read, and where to look.",
    **blanks(
        right=FLAG,
        wrong_stages={"type": "array", "items": COUNT, "minItems": 2, "maxItems": 2},
        stages=items(record(**blanks(call=TEXT, stage=TEXT, may_be=SAID))),
        look_at=items(_LOOK),
        makes_no_difference=SAID,
    ),
)
_THING = items(record(what=TEXT, here=TEXT))
_TURN = record(
    "One call moved one way, in the table's unit.",
    **blanks(
        call=TEXT,
        stage=TEXT,
        way={"enum": ["up", "down"]},
        now=NUMBER,
        then=MAYBE,
        moves=SAID,
        not_offered=TEXT,
        against=SAID,
    ),
)
FOUND = _answer(
    "Answer of selector found.",
    **blanks(
        version=VERSION,
        table=TEXT,
        unit=record("The units of the figures.", airflow=TEXT, temperature=TEXT),
        as_found=TEXT,
        first=SAID,
        right=FLAG,
        stages=items(_STANDING),
        refused=items(record(chart=TEXT, why=TEXT)),
        unread=or_null(_UNREAD),
        moves=or_null(_MOVES),
        as_left=items(_STANDING),
        remarks=SAID,
        complaint=or_null(
            record(
                "What the complaint asks for.",
                **blanks(
                    complaint=TEXT,
                    look_first=_THING,
                    may_move=SAID,
                    other=_THING,
                    forbidden_by=_THING,
                    turns=items(_TURN),
                ),
            )
        ),
        why=_FIGURES,
    ),
)

_WITH_FIGURES = {"figure": _FIGURE}
JOBS: dict[str, dict[str, Any]] = {
    "plan": PLAN,
    "found": {**FOUND, "$defs": _WITH_FIGURES},
}
"""Command -> shape of its answer on a job."""
