"""What a draft asks of one call: where its airflow comes from, and what else belongs to it."""

from __future__ import annotations

from itertools import count

from selector.table.from_file.rows import TO_TYPE
from selector.table.model.quantities import QUANTITIES
from selector.transcribe.draft.dialog import Asked, Questions, figures_between, reads
from selector.transcribe.draft.page import Draft
from selector.transcribe.draft.question import Question
from selector.transcribe.typed.call import (
    TypedCall,
    leads_of,
    no_stages,
    read_call,
    read_lead,
    read_steps,
    read_times,
    read_when,
    stage_names,
    with_each_stage,
)
from selector.transcribe.typed.text import figures_in
from selector.value import replace

_STAGE_OR_NOT = ("together", "stage")
TOGETHER = ("highest", "this", "that")


def ask_calls(asked: Asked) -> Questions:
    """Every call, until an empty answer ends them."""
    first, example = (
        "What the blower is asked for, and the terminals of each stage",
        "cooling Y1, Y1 Y2 · heat low W1, high W1 W2",
    )
    for n in count(1):
        draft = asked.draft
        taken = draft.names
        yield from asked.ask_next("call", n, first, example, reads(read_call, taken))
        if not asked.last:
            return
        call = read_call(asked.last, taken)
        extra = no_stages(call, draft.charts)
        if extra:
            others = ", ".join(t for i, t in enumerate(call.terminals) if i == 0 or t not in extra)
            text = f"Is {', '.join(extra)} energized together with {others}, or a stage of its own"
            yield from asked.ask(
                Question(
                    name=f"call {n} stages", text=text, kind="choice", choices=_STAGE_OR_NOT, default=_STAGE_OR_NOT[0]
                )
            )
            call = call if asked.last == _STAGE_OR_NOT[1] else with_each_stage(call, extra)
        if not call.stages:
            call = replace(call, stages=stage_names(len(call.terminals), draft.charts))
        yield from _call(asked, n, call)


def _call(asked: Asked, n: int, call: TypedCall) -> Questions:
    draft, stages = asked.draft, call.stages
    told = f" (stages: {' '.join(stages)})" if stages else ""
    known = (draft.charts, draft.board, draft.calls, stages)
    yield from asked.ask(
        Question(
            name=f"call {n} airflow",
            text=f"Its airflow: the chart, then what acts on it{told}",
            example=_example(draft, stages) if n == 1 else "",
            needed=True,
            check=reads(read_steps, *known),
        )
    )
    steps, when, times = read_steps(asked.last, *known) if asked.last else ((TO_TYPE,), "", ())
    tons = next(
        (s.label for s in draft.board if s.gives == "tons"), "outdoor tons" if "outdoor tons" in draft.names else ""
    )
    if tons and steps[0] in draft.per_ton:
        steps = (tons, *steps)
    call = replace(call, steps=steps, when=when, times=times)
    if any(c.taps and c.name in steps for c in draft.charts):
        leads = [lead for s in draft.board for lead in s.leads]
        named = " ".join(leads_of(call.terminals, leads))
        lead = Question(
            name=f"call {n} lead",
            text="The lead that each stage energises",
            default=named,
            needed=True,
            check=reads(read_lead, leads, max(1, len(stages))),
        )
        yield from asked.ask(lead)
        call = replace(call, lead=read_lead(asked.last, leads, max(1, len(stages))) if asked.last else (TO_TYPE,))
    terminals = " ".join(call.terminals).upper().split()
    heats = any(t[0] in "WE" for t in terminals)
    shares = (
        draft.fired
        if any(t[0] == "W" for t in terminals)
        else draft.per_ton
        if any(t[0] == "Y" for t in terminals)
        else ()
    )
    if shares and len(stages) > 1:
        text = (
            f"Share of the full {'heat' if heats else 'capacity'} in {' '.join(stages[:-1])}, percent (Enter: not"
            " printed)"
        )
        yield from asked.ask(
            Question(name=f"call {n} capacity", text=text, example="70", check=figures_between(0, 100, len(stages) - 1))
        )
        call = replace(call, capacity=tuple(f"{v} %" for v in figures_in(asked.last)))
    heaters = [s for s in draft.board if s.gives == "heater power"]
    if heaters and heats and not any(t[0] == "Y" for t in terminals):
        labels = tuple(s.label for s in heaters)
        yield from asked.ask(
            Question(
                name=f"call {n} heat",
                text="The selector that tells which heater is fitted",
                kind="choice",
                choices=labels,
                default=labels[0],
            )
        )
        call = replace(call, heat=asked.last)
    if not times:
        yield from _times(asked, n)
        call = replace(call, times=read_times(asked.last, draft.charts))
    served = any(
        name in steps
        for name in (c.name for c in draft.charts if any(p == s.label for p, _ in c.parts for s in heaters))
    )
    asks = _idle(draft) + ([s.label for s in heaters] if heats and not served else [])
    if asks and not call.when:
        example = " ".join((asks[0], *next(s.positions for s in draft.board if s.label == asks[0])[1:]))
        text = f"Only when a selector stands so, of {', '.join(asks)} (Enter: always)"
        yield from asked.ask(
            Question(name=f"call {n} when", text=text, example=example, check=reads(read_when, draft.board))
        )
        call = replace(call, when=read_when(asked.last, draft.board) if asked.last else "")
    if terminals == ["G"]:
        text = "Beside another call, which of the two airflows the blower takes (Enter: not stated)"
        yield from asked.ask(Question(name=f"call {n} together", text=text, kind="choice", choices=TOGETHER))
        call = replace(call, together=asked.last)
    asked.draft = replace(draft, calls=(*draft.calls, call))


def _times(asked: Asked, n: int) -> Questions:
    """Asks which charts of times or ramps belong to the call, where some are left."""
    draft = asked.draft
    asked.last = ""
    used = {value for c in draft.calls for _, value in c.times}
    times = [c for c in draft.charts if ("seconds" in c.gives or "ramp" in c.gives) and c.name not in used]
    if not times:
        return
    text = (
        f"Which belongs to it, of {', '.join(c.name for c in times)}: off (run-on), on (wait) or ramp, and the chart"
        " (Enter: none)"
    )
    word = "ramp" if "ramp" in times[0].gives else "off"
    yield from asked.ask(
        Question(
            name=f"call {n} times", text=text, example=f"{word} {times[0].name}", check=reads(read_times, draft.charts)
        )
    )


def _example(draft: Draft, stages: tuple[str, ...]) -> str:
    """An answer of this page's own charts."""
    first = (
        [c.name for c in draft.charts if QUANTITIES[c.gives[0]].role == "base"][:1] or [*draft.per_ton[:1]] or ["1200"]
    )
    then = [c.name for c in draft.charts if QUANTITIES[c.gives[0]].role == "factor"][:1]
    return ", ".join([*first, *then, *([f"66 % in {stages[0]}"] if stages else []), "at least 400"])


def _idle(draft: Draft) -> list[str]:
    """Selectors that no chart is set by and no call waits for."""
    used = {name for c in draft.charts for name, _ in c.parts} | {n for c in draft.charts for n, _ in c.heads}
    return [
        s.label
        for s in draft.board
        if s.kind != "switches"
        and s.label not in used
        and not s.gives
        and not s.declares
        and not waited_for(draft, s.label)
    ]


def waited_for(draft: Draft, name: str) -> bool:
    """True where a call is served only when this selector stands so."""
    return any(part.partition(":")[0].strip() == name for c in draft.calls for part in c.when.split(","))
