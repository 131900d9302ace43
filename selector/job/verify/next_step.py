"""What to do after a verdict: nothing, measure, look, set this, or nothing that can be set; and why none may be
offered."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import Literal

from selector.air import arithmetic_duct
from selector.air.figure import Figure, given, text, written
from selector.job.board.fewest import Fewest, fewest
from selector.job.targets.stage_target import Wanted
from selector.job.verify.verdict import PASSING, Verdict
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import Board
from selector.table.model.table import No, Setting
from selector.units import convert, format_number
from selector.value import Struct

Kind = Literal["nothing", "measure", "look", "set", "no setting", "not offered"]


class NextStep(Struct, frozen=True, kw_only=True):
    """`words` say it; `moves` only with `set` (the setting offered) and `no setting` (what stands against one);
    `figures` it rests on."""

    kind: Kind
    words: str
    moves: Fewest | None = None
    figures: tuple[Figure, ...] = ()


class Marks(Struct, frozen=True, kw_only=True):
    """What a setting is looked for with: the engine that judges by every window, the marks now, the windows, positions
    held, why none at all.

    `untrue`: selectors that tell the board other equipment than is there.
    """

    engine: Engine
    setting: Setting
    wanted: Sequence[Wanted]
    held: Mapping[int, int]
    dead: str = ""
    untrue: tuple[str, ...] = ()


def next_step(verdict: Verdict, board: Marks) -> NextStep:
    """The next step after one verdict."""
    if verdict.apart is not None:
        return NextStep(kind="measure", words=verdict.explanations[0].then)
    if verdict.asked:
        return NextStep(
            kind="look",
            words=f"{verdict.asked}: find out why before anything is moved (power, wall control, model plug)",
        )
    if verdict.by_chart:
        return _as_selected(verdict, board)
    if not verdict.moved:
        return _without_airflow(verdict)
    if verdict.against == "not known":
        return _not_known(verdict)
    if verdict.slight is not None:
        less = "less" if verdict.against == "low" else "more"
        words = (
            f"record it: {format_number(100 * verdict.slight.value, 0)} % {less} than selected, and no cause is sought"
            " for so little"
        )
        return NextStep(kind="nothing", words=words, figures=(verdict.slight,))
    if verdict.against != "as selected":
        return _off(verdict)
    if {"rise high", "rise low"} & verdict.seen.also:
        said = verdict.explanations[0].then if verdict.explanations else "find out the heat first"
        if any(one.input is not None for one in verdict.state.taken):
            said = (
                "the input is known now: put it right where it is off (licensed work), and measure again; don't move a"
                " mark for it"
            )
        return NextStep(kind="look", words=said)
    return _as_selected(verdict, board)


def _without_airflow(verdict: Verdict) -> NextStep:
    if verdict.static is not None and verdict.static.above:
        why = verdict.static.against_raising()
        return NextStep(
            kind="not offered", words=f"{why}; look at filter, coil, dampers and duct, and measure the airflow"
        )
    return NextStep(kind="measure", words="no airflow was measured in this state: measure it before a mark is moved")


def _not_known(verdict: Verdict) -> NextStep:
    if isinstance(verdict.selected, No):
        return NextStep(
            kind="measure", words=f"what is selected is not known ({verdict.selected.why}): read the marks, then judge"
        )
    words = (
        "whether this is as selected depends on what the chart's airflow means up here: read the motor's label (motor:"
        " constant airflow)"
    )
    return NextStep(kind="measure", words=words)


def _off(verdict: Verdict) -> NextStep:
    """Low or high: causes come before marks."""
    figures: tuple[Figure, ...] = ()
    words = "read the marks, the terminals and the model plug again, and measure again before any mark is moved"
    if verdict.explanations:
        words = verdict.explanations[0].then
        if verdict.static is not None and verdict.deciding:
            words = (
                f"type the plate's static (site: plate static) beside the {written(verdict.static.measured)} measured:"
                " it decides between these"
            )
        elif len(verdict.explanations) > 1 and verdict.deciding:
            words = f"measure external {verdict.deciding} in this call first: it decides between these"
        elif verdict.deciding:
            words = f"measure external {verdict.deciding} in this call: {words}"
    if verdict.static is not None and verdict.static.above:
        most = _through_ducts(verdict)
        if most is not None:
            figures = (most,)
            words += f"; at the plate's static these ducts let {text(most)} through"
            if verdict.low is not None and most.value < verdict.low.value:
                return NextStep(kind="no setting", words=f"{words}, under the window", figures=figures)
    fired = {"over-fired", "under-fired"} & verdict.seen.also
    if fired:
        words += f"; it is {fired.pop()} too: put the input right (licensed work)"
    return NextStep(kind="look", words=words, figures=figures)


def _airflow(verdict: Verdict) -> Figure:
    """The airflow that goes with the static: as measured (the least, where the chart can be read two ways), else as
    charted at it."""
    if verdict.moved:
        return min((one.airflow for one in verdict.moved), key=lambda figure: figure.value)
    assert isinstance(verdict.selected, Figure)
    return verdict.selected


def _through_ducts(verdict: Verdict) -> Figure | None:
    """The airflow these ducts let through at the plate's static."""
    static = verdict.static
    if static is None or not static.above:
        return None
    k = arithmetic_duct.duct_k(static.measured, _airflow(verdict))
    return arithmetic_duct.duct_airflow(k, min(static.above, key=lambda end: end.value), name="most_airflow")


def _as_selected(verdict: Verdict, board: Marks) -> NextStep:
    if verdict.by_static:
        above = verdict.static.against_raising() if verdict.static is not None else ""
        return NextStep(
            kind="look",
            words=(
                f"{above or f'{verdict.ceiling}: no airflow is raised'}; it works, at a price: filter, coil, duct first"
            ),
        )
    if verdict.standing in ("likely below", "likely above"):
        words = "the reading's band reaches over the end of the window: measure by a method with a narrower band"
        return NextStep(kind="measure", words=words)
    above = verdict.static.against_raising() if verdict.static is not None else ""
    if verdict.standing in PASSING:
        if above:
            return NextStep(kind="look", words=f"{above}; it works, at a price: filter, coil, duct first")
        if board.untrue and not board.dead:
            return NextStep(kind="look", words=f"set {' '.join(board.untrue)} to what is there, and measure again")
        recorded = (
            "record it, as read from the chart at this static: it was not measured" if verdict.by_chart else "record it"
        )
        words = recorded if verdict.standing is not None else "no window is known for this state: nothing to set it to"
        return NextStep(kind="nothing", words=words)
    if board.dead:
        return NextStep(kind="not offered", words=board.dead)
    if verdict.standing == "below" and above:
        return NextStep(kind="not offered", words=above)
    return _setting(verdict, board)


def _setting(verdict: Verdict, board: Marks) -> NextStep:
    """The fewest moves that bring every call inside, raising none beyond what the ducts take."""
    if None in board.setting:
        return NextStep(kind="measure", words="some marks could not be read: read them before one is moved")
    moves = fewest(board.engine, board.setting, (*board.wanted, *_caps(verdict, board)), board.held)
    if moves.setting is not None:
        count = len(moves.moves)
        words = f"{count} move{'s' if count != 1 else ''}, the fewest that bring every call inside, and measure again"
        return NextStep(kind="set", words=words, moves=moves)
    if verdict.static is not None:
        without = fewest(board.engine, board.setting, board.wanted, board.held)
        if without.setting is not None:
            return _too_much_static(verdict, board, without.setting)
    return NextStep(kind="no setting", words="none brings every call inside its window and limits", moves=moves)


def _caps(verdict: Verdict, board: Marks) -> tuple[Wanted, ...]:
    """The airflow at which static comes to its end in these ducts, as a ceiling of every call; what runs above it
    now may stay, but not rise."""
    static = verdict.static
    ends = [end for end in (static.plate, static.holds) if end is not None] if static is not None else []
    if static is None or not ends:
        return ()
    k = arithmetic_duct.duct_k(static.measured, _airflow(verdict))
    most = arithmetic_duct.duct_airflow(k, min(ends, key=lambda end: end.value), name="most_airflow")
    unit = board.engine.table.units.airflow
    now = Board(board.engine, board.setting)
    out = []
    for call in board.engine.table.calls.values():
        for stage in call.stages:
            airflow = now.airflow(board.engine.asked(call, stage))
            runs = convert(airflow, unit, "cfm") if isinstance(airflow, Fraction) else Fraction(0)
            high = most if runs <= most.value else given("airflow_now", runs, "cfm", source="as the board runs now")
            out.append(
                Wanted(
                    call=call.name,
                    stage=stage,
                    high=high,
                    why=f"static {written(min(ends, key=lambda end: end.value))}",
                )
            )
    return tuple(out)


def _too_much_static(verdict: Verdict, board: Marks, setting: Setting) -> NextStep:
    """A setting there is, but its airflow would take the static above plate or chart."""
    assert verdict.static is not None
    state = verdict.state
    then = Board(board.engine, setting).airflow(board.engine.asked(board.engine.table.calls[state.call], state.stage))
    words = "the setting that would do it takes the static above its end in another call"
    figures: tuple[Figure, ...] = ()
    if isinstance(then, Fraction):
        wanted = given(
            "airflow_then",
            convert(then, board.engine.table.units.airflow, "cfm"),
            "cfm",
            source="the airflow this setting selects",
        )
        now = _airflow(verdict)
        words = verdict.static.against_raising(now, wanted) or words
        figures = (verdict.static.at(now, wanted),)
    return NextStep(kind="not offered", words=words, figures=figures)
