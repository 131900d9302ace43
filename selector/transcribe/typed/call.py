"""A call as a person types it: `cooling Y1, Y1 Y2`, then what its airflow comes from: `cooling airflow, trims,
66 % in first`."""

from __future__ import annotations

import re
from collections.abc import Sequence

from selector.table.model.quantities import QUANTITIES, RESERVED_WORDS
from selector.table.text.quoting import quoted
from selector.transcribe.typed.board import MistypedAnswer, TypedSelector
from selector.transcribe.typed.chart import TypedChart, listed, name_allowed
from selector.transcribe.typed.text import noted
from selector.value import Struct, replace

_TERMINAL = re.compile(r"(?:[YW][1-4]?|G|O|B|E[1-2]?|DH|AUX[1-2]?|H|HUM)\*?")
_NO_STAGE = re.compile(r"G|O|B|DH|H|HUM")
"""Terminals of the fan, of a valve, of moisture: none of them brings on a stage."""
_BEHIND = re.compile(r"[A-Z][A-Z0-9/]{0,5}\*?")
"""What may stand behind a terminal that is known."""
_ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth")
_PERCENT = re.compile(r"(\d+(?:\.\d+)?)\s*%(?:\s*(?:in|of)?\s*(.+))?")
_BOUND = re.compile(r"(at least|at most|round up|round down|round)\s+(.+)", re.IGNORECASE)


class TypedCall(Struct, frozen=True, kw_only=True):
    """One call: `terminals` of each stage; `steps` as they go into the file; the rest as typed."""

    name: str
    terminals: tuple[str, ...] = ()
    stages: tuple[str, ...] = ()
    steps: tuple[str, ...] = ()
    lead: tuple[str, ...] = ()
    capacity: tuple[str, ...] = ()
    when: str = ""
    heat: str = ""
    times: tuple[tuple[str, str], ...] = ()
    together: str = ""
    note: str = ""

    def lines(self, others: Sequence[str] = ()) -> list[str]:
        """Its lines under `calls:`. `others` are the names of the other calls."""
        out = [f"  {self.name}:"]
        if self.terminals:
            out.append(f"    terminals: {self._by_stage(self.terminals)}")
        if self.stages:
            out.append(f"    stages: {listed(self.stages)}")
        if self.capacity:
            out.append(
                f"    capacity: {{{', '.join(f'{s}: {c}' for s, c in zip(self.stages, self.capacity, strict=False))}}}"
            )
        if self.when:
            out.append(f"    when: {{{self.when}}}")
        if self.lead:
            out.append(f"    lead: {self._by_stage(self.lead)}")
        alone = len(self.steps) == 1 and ":" not in self.steps[0]
        out.append("    airflow: " + (self.steps[0] if alone else f"[{', '.join(self.steps)}]"))
        if self.heat:
            out.append(f"    heat: {self.heat}")
        out += [f"    {key}: {value}" for key, value in self.times]
        if self.together and others:
            out.append(f"    together: {{{', '.join(f'{name}: {self.together}' for name in others)}}}")
        if self.note:
            out.append(f"    note: {quoted(self.note)}")
        return out

    def _by_stage(self, words: Sequence[str]) -> str:
        if len(self.stages) < 2 or len(words) == 1:
            return words[0]
        return "{" + ", ".join(f"{s}: {w}" for s, w in zip(self.stages, words, strict=True)) + "}"


def read_call(text: str, taken: Sequence[str]) -> TypedCall:
    """The call of a line: NAME [STAGE] TERMINALS[, [STAGE] TERMINALS ..] [(note)]. Mistyped says what is wrong."""
    text, note = noted(text)
    pieces = [piece.split() for piece in text.replace(":", " ").split(",")]
    pieces = [p for p in pieces if p]
    split = [next((i for i, w in enumerate(p) if _TERMINAL.fullmatch(w)), len(p)) for p in pieces]
    before, terminals = (
        [p[:i] for p, i in zip(pieces, split, strict=True)],
        [p[i:] for p, i in zip(pieces, split, strict=True)],
    )
    if not pieces or not before[0]:
        raise MistypedAnswer("type a name first, then the terminals of each stage: cooling Y1, Y1 Y2")
    named = len(pieces) > 1 and any(before[1:])
    if named and (not all(before[1:]) or len(before[0]) < 2):
        raise MistypedAnswer(f"give every stage its name: {before[0][0]} low Y1, high Y1 Y2")
    stages = (before[0][-1], *(" ".join(b) for b in before[1:])) if named else ()
    name = " ".join(before[0][:-1] if named else before[0])
    odd = [w for t in terminals for w in t if not _BEHIND.fullmatch(w)]
    if odd or (len(pieces) > 1 and not all(terminals) and (any(terminals) or not named)):
        raise MistypedAnswer(
            f"`{odd[0] if odd else ' '.join(pieces[-1])}` is no terminal; type those of each stage after the name, a"
            " comma between stages"
        )
    if len(set(stages)) < len(stages):
        raise MistypedAnswer("two stages have one name")
    name_allowed(name)
    if name.casefold() in RESERVED_WORDS or name.casefold().startswith("call "):
        raise MistypedAnswer(f"`{name}` has a meaning of its own; give the call another name")
    if name.casefold() in (t.casefold() for t in taken):
        raise MistypedAnswer(f"the name {name} stands already")
    return TypedCall(name=name, terminals=tuple(" ".join(t) for t in terminals if t), stages=stages, note=note)


def no_stages(call: TypedCall, charts: Sequence[TypedChart]) -> tuple[str, ...]:
    """Terminals behind a comma that bring on no stage: G in `cooling Y, G`; none where stages are named, here or
    above a chart."""
    told = any(head == "stage" and len(words) == len(call.terminals) for chart in charts for head, words in chart.heads)
    if call.stages or told:
        return ()
    return tuple(t for t in call.terminals[1:] if all(_NO_STAGE.fullmatch(w.rstrip("*")) for w in t.split()))


def with_each_stage(call: TypedCall, extra: Sequence[str]) -> TypedCall:
    """The call with these terminals energised in each of its other stages.

    >>> with_each_stage(TypedCall(name="cooling", terminals=("Y", "G")), ("G",)).terminals
    ('Y G',)
    """
    stages = [call.terminals[0], *(t for t in call.terminals[1:] if t not in extra)]
    added = [w for t in extra for w in t.split()]
    terminals = (" ".join([*t.split(), *(w for w in added if w not in t.split())]) for t in stages)
    return replace(call, terminals=tuple(terminals))


def stage_names(count: int, charts: Sequence[TypedChart]) -> tuple[str, ...]:
    """Names for so many stages: those that stand along the top of a chart, else first, second, ..; none for one
    stage."""
    for chart in charts:
        for head, words in chart.heads:
            if head == "stage" and len(words) == count:
                return words
    return _ORDINALS[:count] if count > 1 else ()


def read_steps(
    text: str,
    charts: Sequence[TypedChart],
    board: Sequence[TypedSelector],
    calls: Sequence[TypedCall],
    stages: Sequence[str],
) -> tuple[tuple[str, ...], str, tuple[tuple[str, str], ...]]:
    """The steps of a call as they go into the file, the positions it is served at and its times.

    `compressor airflow, 66 % in first, when LK1 cut, off 60 s`; `low heat in first` is a chart for that stage alone;
    charts may be named by their beginning. Mistyped says what can't be read.
    """
    pieces = [piece.strip() for piece in text.split(",") if piece.strip()]
    names = [c.name.casefold() for c in charts]
    conditions = [p for p in pieces if p.startswith("when ")]
    timed = [p for p in pieces if p.partition(" ")[0].casefold() in ("off", "on", "ramp") and p.casefold() not in names]
    when = ", ".join(read_when(p[5:], board) for p in conditions)
    times = read_times(", ".join(timed), charts)
    out = [_step(p, charts, board, calls, stages) for p in pieces if p not in conditions and p not in timed]
    if not out:
        raise MistypedAnswer("what does it start from? type a chart, `call` and another call, or an airflow")
    if not _starts(out[0], charts, board):
        raise MistypedAnswer(
            f"{out[0].partition(':')[0]} acts on an airflow and can't come first; begin with a chart of airflow,"
            " `call`, or an airflow"
        )
    starts = [s for s in out if _starts(s, charts, board)]
    own = all(s.startswith("{use: ") for s in starts) and len(set(starts)) == len(starts)
    again = "" if own else next((s for s in out[1:] if s in starts), "")
    if again and not (len(out) > 1 and again == out[1] and any(s.label == out[0] and s.gives == "tons" for s in board)):
        raise MistypedAnswer(
            f"{again} starts the airflow anew; what stands behind the first acts on it, such as a trim or 66 %"
        )
    return tuple(out), when, times


def _starts(step: str, charts: Sequence[TypedChart], board: Sequence[TypedSelector]) -> bool:
    """True for a step that is an airflow by itself."""
    step = step.removeprefix("{use: ").partition(", when:")[0]
    gives = next((c.gives for c in charts if c.name == step), next(((s.gives,) for s in board if s.label == step), ()))
    return step.startswith(("call ", "airflow:")) or any(QUANTITIES[q].role == "base" for q in gives if q in QUANTITIES)


def read_when(text: str, board: Sequence[TypedSelector]) -> str:
    """`J4 5 8 10 15` as `J4: 5 8 10 15`; several selectors with commas between. Mistyped for what the board doesn't
    have."""
    out = []
    for piece in (words for p in text.split(",") if (words := p.replace(":", " ").split())):
        parts = {name.casefold(): (name, positions) for s in board for name, positions in s.parts()}
        name, positions = parts.get(piece[0].casefold(), ("", ()))
        if not name:
            raise MistypedAnswer(f"`{piece[0]}` is not on the board; there are {', '.join(s.label for s in board)}")
        words = [next((p for p in positions if p.casefold() == w.casefold()), w) for w in piece[1:]]
        odd = next((w for w in words if w not in positions), "")
        if odd or not words:
            raise MistypedAnswer(
                f"`{odd or name}` is no position of {name}; type one or more of {' '.join(positions)} after {name}"
            )
        out.append(f"{name}: {' '.join(words)}")
    if not out:
        raise MistypedAnswer("type a selector and its positions: LK1 cut")
    return ", ".join(out)


def read_lead(text: str, leads: Sequence[str], stages: int) -> tuple[str, ...]:
    """The lead of each stage; Mistyped for one that the motor doesn't have, or too few."""
    words = text.replace(",", " ").split()
    odd = next((w for w in words if w not in leads), "")
    if odd or len(words) not in (1, stages):
        raise MistypedAnswer(
            f"`{odd}` is no lead; there are {' '.join(leads)}" if odd else f"{len(words)} leads for {stages} stages"
        )
    return tuple(words)


def _step(
    piece: str,
    charts: Sequence[TypedChart],
    board: Sequence[TypedSelector],
    calls: Sequence[TypedCall],
    stages: Sequence[str],
) -> str:
    share = _PERCENT.fullmatch(piece)
    if share:
        if not share.group(2):
            return f"share: {share.group(1)} %"
        stage = share.group(2).removesuffix(" stage").strip()
        if stage not in stages:
            raise MistypedAnswer(
                f"`{stage}` is no stage of this call; its stages are {' '.join(stages) or 'not named'}"
            )
        return f"share: {{{stage}: {share.group(1)} %}}"
    bound = _BOUND.fullmatch(piece)
    if bound:
        value = bound.group(2)
        if not re.fullmatch(r"\d+(?:\.\d+)?", value):
            value = named(value, [c.name for c in charts])
        return f"{bound.group(1).lower()}: {value}"
    if re.fullmatch(r"\d+(?:\.\d+)?", piece):
        return f"airflow: {piece}"
    name, _, stage = piece.removesuffix(" stage").rpartition(" in ")
    if name and stage.strip() in stages:
        return f"{{use: {named(name, [c.name for c in charts])}, when: {{stage: {stage.strip()}}}}}"
    if piece.startswith("call "):
        words = piece[5:]
        for call in calls:
            if words == call.name or (words.startswith(call.name + " ") and words[len(call.name) + 1 :] in call.stages):
                return piece
        raise MistypedAnswer(
            f"`{words}` is no call typed before; there are {', '.join(c.name for c in calls) or 'none yet'}"
        )
    return named(piece, [*(c.name for c in charts), *(s.label for s in board if s.gives)])


def named(text: str, names: Sequence[str]) -> str:
    """The name a text is, or is the beginning of; Mistyped where none or several are."""
    folded = text.casefold()
    exact = [n for n in names if n.casefold() == folded]
    begun = exact or [n for n in names if n.casefold().startswith(folded)]
    if len(begun) == 1:
        return begun[0]
    if begun:
        raise MistypedAnswer(f"`{text}` may be {' or '.join(begun)}; type more of it")
    raise MistypedAnswer(f"there is no {text}; there are {', '.join(names) or 'no charts yet'}")


def read_times(text: str, charts: Sequence[TypedChart]) -> tuple[tuple[str, str], ...]:
    """`off blower after cooling, ramp comes up` as keys and values; Mistyped says what can't be read."""
    out: list[tuple[str, str]] = []
    keys = {"off": "off delay", "on": "on delay", "ramp": "ramp"}
    for piece in (p.strip() for p in text.split(",") if p.strip()):
        word, _, value = piece.partition(" ")
        key = keys.get(word.casefold())
        value = value.strip().removeprefix("delay ").strip()
        if key is None or not value:
            raise MistypedAnswer(
                "begin with off (run-on after it), on (wait before it) or ramp: off blower after cooling"
            )
        wanted = "ramp" if key == "ramp" else "seconds"
        if re.fullmatch(r"\d+(?: ?s| ?min)?", value):
            out.append((key, value))
        else:
            out.append((key, named(value, [c.name for c in charts if wanted in c.gives])))
    return tuple(out)


def leads_of(call_terminals: Sequence[str], leads: Sequence[str]) -> tuple[str, ...]:
    """The lead each stage energises by its terminals: the last of them that is a lead; empty where one has none."""
    out = []
    for terminals in call_terminals:
        found = [t for t in terminals.split() if t in leads]
        if not found:
            return ()
        out.append(found[-1])
    return tuple(out)
