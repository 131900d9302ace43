"""What to do after a verdict, step by step; what to look at; the moves of a setting that is offered."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from selector.air.figure import written
from selector.answers.house.conflict import conflicts_data
from selector.answers.house.measuring import GAS_HERE, gas_up_here
from selector.answers.house.setting import cautions_of
from selector.answers.house.stages import short_of
from selector.answers.remarks.coil import cooling_steps
from selector.answers.verify.row_words import CLOCKING, LOOK_AT, NEXT
from selector.answers.verify.verdict import off_setting
from selector.answers.words.airflow import airflow_text
from selector.answers.words.arithmetic import in_table_units
from selector.answers.words.move import move_text
from selector.answers.words.static_parts import first_look
from selector.job.targets.house import House
from selector.job.verify.causes import Explanation, Suspect
from selector.job.verify.judged_state import JudgedState
from selector.job.verify.next_step import NextStep
from selector.job.verify.verdict import Verdict


def row_text(label: str, words: str) -> str:
    """A label and what stands behind it."""
    return f"  {label:<10} {words}"


def steps_of(one: JudgedState, house: House) -> list[str]:
    verdict, step = one.verdict, one.step
    clock = [f"{_clock(verdict, house)}: the heat was not measured."] if step.clock else []
    out = clock + list(_asked(step)) + list(_next(verdict, step, house))
    if one.cooling is not None and not verdict.moved and step.reason == "measure the airflow":
        out = []
    if verdict.heater_short:
        rest = () if step.kind == "nothing" else out
        out = ["Find what is off in the heater first (below), then read volts, amps and rise again.", *rest]
    if one.profile is not None and verdict.static is not None and verdict.static.above:
        out = [*first_look(one.profile, house), *out]
    elif one.profile is not None and one.profile.first is not None and one.profile.first.by == "chart":
        out += first_look(one.profile, house)
    if one.cooling is not None:
        out += cooling_steps(one.cooling)
    if step.most is not None:
        out.append(f"At the end of the static these ducts pass {written(in_table_units(step.most, house.table))}.")
    if step.kind == "no setting" and step.reason == "row":
        first = step.row == "lower the ask" or (one.profile is not None and one.profile.first is not None)
        stays = "If it stays so, no" if first else "No"
        out.append(f"{stays} setting will do it: that is below the minimum. Duct work, or smaller equipment.")
    if step.over_fired:
        out.append("It is over-fired too: put the input right (licensed work).")
    return out


def _asked(step: NextStep) -> Iterator[str]:
    if step.asks == "static":
        yield "Measure the external static in this call: it settles what to look at."
    elif step.asks:
        yield "Type the plate's static (site: plate static): it settles what to look at."


def _next(verdict: Verdict, step: NextStep, house: House) -> Iterator[str]:
    if step.reason == "apart" and verdict.apart is not None and verdict.apart.one.method == verdict.apart.other.method:
        yield "Something changed between them? Type it (done=filter changed): the newer one counts then."
        yield "If nothing did, measure again."
        return
    if step.reason in ("row", "apart"):
        said = _sentences(NEXT[step.row].format(clock=_clock(verdict, house)))
        yield from said[:2] if step.row == "lower the ask" and not step.lower else said
        return
    if step.reason == "no setting":
        yield "No setting brings every call inside."
        yield from one_of(step) or ("The manual refuses every setting, or a fact is not known.",)
        return
    if step.reason == "slight":
        yield f"Record it: {off_setting(verdict, house)}, too little to seek a cause."
        return
    if step.reason == "static of another call" and step.then is not None:
        yield f"No setting is offered: its static would be {written(in_table_units(step.then, house.table))} then."
        return
    if step.reason == "other equipment":
        yield f"Set {' and '.join(step.untrue)} to match the equipment."
        yield "Measure again."
        return
    yield from _sentences(DO[step.reason])


DO = {
    "iced": "Thaw it fully first: cooling off, fan on. Measure again on a clear, wet coil.",
    "board calls for less": "The board calls for another airflow than these marks. Find out why before any move: power,"
    " thermostat, model plug.",
    "restriction first": "Clear the restriction: filter, coil, dampers, duct. Measure the airflow. No airflow is"
    " raised.",
    "measure the airflow": "Measure the airflow before any move.",
    "marks not read": "Read the marks first, then judge.",
    "what the chart means": "Read the motor's label and type it (motor: constant airflow).",
    "read again": "Read the marks, the terminals and the model plug again. Measure again before any move.",
    "input known": "Put the input right where it is off (licensed work). Measure again. Move nothing for it.",
    "narrower method": "Too close to call. Measure by a method with a narrower band.",
    "at a price": "Clear the restriction first: filter, coil, duct. It works, but with high static.",
    "record": "Record it. Change nothing.",
    "record by chart": "Record it as read from the chart at this static: it was not measured. Change nothing.",
    "nothing to hold it to": "Record it. No limits known.",
    "selectors dead": "No setting is offered: the thermostat is in force, these selectors may be dead.",
    "static in the way": "No setting is offered: static is over its limit, no airflow is raised. Clear the restriction"
    " first.",
    "danger first": "Put the danger right first. Move no selector before.",
    "moves": "Set it as below. Measure again.",
    "static of another call": "No setting is offered: it would take the static of another call over its limit.",
}


def _clock(verdict: Verdict, house: House) -> str:
    how = {"oil": "oil", "": "electric", "hot water": "water"}.get(verdict.fuel, "gas")
    return CLOCKING[how] + (GAS_HERE if how == "gas" and gas_up_here(house) else "")


def _sentences(said: str) -> list[str]:
    """The sentences of a text, each a step. A stop inside a figure or a short form ends none."""
    return [f"{part.rstrip('.')}." for part in said.split(". ")]


def one_of(step: NextStep) -> tuple[str, ...]:
    """What stands against every setting."""
    found = step.moves
    return () if found is None else tuple(one.words for one in conflicts_data(found.house, found.conflicts))


def setting_lines(one: JudgedState, house: House) -> Iterator[str]:
    """The moves of a setting that is offered, with the cautions where the hand is."""
    found = one.step.moves
    assert found is not None
    assert found.best is not None
    said = cautions_of(house, found.before, found.best.moves)
    yield from (f"  {line}" for line in said.before_lines())
    for n, move in enumerate(found.best.moves):
        yield row_text("set" if n == 0 else "", move_text(house.table, move))
    for now, then in zip(found.now, found.best.stages, strict=True):
        if now.answer.airflow != then.answer.airflow:
            yield row_text("", f"{then.title} {short_of(house, now)} -> {short_of(house, then)}")
    yield from (row_text("", line) for line in said.then_lines())


UNLIKELY = "the board shows the selected airflow as what it asks for"


def condition_text(one: Explanation) -> str:
    """`if the static is high`; empty where nothing has to be found out."""
    return f"if the static is {' or '.join(one.if_static)}" if one.if_static else ""


def suspect_text(one: Suspect, house: House) -> str:
    """`model 060 gives 1,080 cfm`."""
    who = {
        "as found": "the marks as found give",
        "as delivered": "the factory setting gives",
        "position": f"{one.name} gives",
        "call": f"{one.name} gives",
    }.get(one.source, f"{one.source} {one.name} gives")
    return f"{who} {airflow_text(house.table, one.airflow)}"


PART_CHECKS: Mapping[str, tuple[str, ...]] = {
    "return": ("dampers", "duct"),
    "filter": ("filter",),
    "coil": ("coil",),
    "supply": ("dampers", "duct"),
}
"""What to look at in a part that takes more than its share."""


def looks_of(one: JudgedState, house: House) -> Iterator[str]:
    """What to look at; of a restriction only the parts that were read to be over their share."""
    verdict, profile = one.verdict, one.profile
    over = [group for part in (profile.parts if profile is not None else ()) if part.over for group in part.groups]
    wanted = {name for group in over for name in PART_CHECKS[group]}
    if verdict.heater_short:
        yield from POWER
    for e in verdict.explanations:
        condition = condition_text(e)
        checks = [check for check in e.checks if e.row != "narrow" or not wanted or check.name in wanted]
        for n, check in enumerate(checks):
            fits = f" ({'; '.join(suspect_text(s, house) for s in check.evidence)})" if check.evidence else ""
            against = f" (unlikely: {UNLIKELY})" if check.unlikely else ""
            yield f"{f'{condition}: ' if condition and n == 0 else ''}{LOOK_AT[check.name]}{fits}{against}"


POWER = (
    "stage not called, or locked out? sequencer still timing?",
    "open limit or fusible link? (low air first)",
    "fuse, lost leg, element? Volts at the heater under load, amps of every circuit, blower left out.",
)
"""What volts x amps well under the rating point to, in the order in which they are looked at (common practice)."""


def others_of(verdict: Verdict) -> Iterator[Suspect]:
    """What fits the reading and isn't said beside a check; nothing where static over its end explains it."""
    if verdict.static is not None and verdict.static.above:
        return
    said = {suspect for e in verdict.explanations for c in e.checks for suspect in c.evidence}
    yield from (s for s in verdict.fits if s not in said)
