"""Finding by listing every setting: what may be proposed, what fits, and the ranking."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import product

from tests.helpers.describe import Aim, Ask, Call, Chart, Description, Name, Other, Selector, When
from tests.helpers.reference import REFUSED, RESERVED, STILL, No, Setting, Spot, other_stage, starts_from_rise
from tests.helpers.reference_limits import Limits

Stage = tuple[str, str]
"""A call and a stage by name."""
Point = tuple[str, str, Fraction | None]
"""A call, a stage and a firing rate."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Answer:
    """One setting that fits."""

    setting: Setting
    deviation: Fraction
    moves: int
    group: int
    airflows: Mapping[Stage, Fraction]


class Finder(Limits):
    """The reference with every setting."""

    def __init__(self, d: Description, ask: Ask) -> None:
        super().__init__(d, ask)
        self.copied = any(row.like is not None for chart in d.charts for row in chart.rows)

    # what may be proposed

    def baseline(self) -> Setting:
        """As found where it could be read, else as delivered."""
        delivered = [p.factory.get(self.model or "", p.factory.get("")) for p in self.d.parts]
        found = self.ask.found or [None] * len(delivered)
        return tuple(d if f is None else f for f, d in zip(found, delivered, strict=True))

    def domain(self, index: int) -> tuple[tuple[int | None, ...], bool]:
        """The positions a part may be set to, and whether it is searched at all if a judged stage reads it."""
        part = self.d.parts[index]
        selector = self.d.selector(part.selector)
        stays = self.baseline()[index]
        if index in self.ask.held:
            return (self.ask.held[index],), False
        if selector.declares:
            known = self.fact(selector.declares, "")
            said = [i for i, p in enumerate(part.positions) if known is not None and p == str(known)]
            return ((said[0],) if said else (stays,)), False
        if part.leave_at is not None:
            return (part.leave_at,), False
        if selector.kind == "link" and "cut" in part.positions:
            return (part.positions.index("whole") if stays is None else stays,), False
        if part.unused:
            return (stays,), False
        return tuple(
            i for i, p in enumerate(part.positions) if i not in part.idle and (p != "parked" or i == stays)
        ), True

    def reads(self, call: Call, stage: str, *, limits: bool = True) -> set[int]:
        """The parts that a stage's airflow, its heat where that counts, and its limits look at."""
        if self._never(call.when, call):
            return set()
        out = self._named(call.when)
        warm = starts_from_rise(self.d, call) or (limits and self._heat_counts(call, stage))
        for step in (*call.airflow, *call.heat) if warm else call.airflow:
            atom = step.by_stage.get(stage, step.by_stage.get(""))
            if atom is None or self._never(step.when, call):
                continue
            out |= self._named(step.when)
            if isinstance(atom, Other):
                other = self.d.call(atom.call)
                out |= self.reads(other, other_stage(other, atom, stage), limits=False)
            elif isinstance(atom, Name) and atom.kind == "chart":
                out |= self.read_by(self.d.chart(atom.name), call, stage)
            elif isinstance(atom, Name) and atom.kind == "part" and not self._replaced(atom):
                out.add(self.places[atom.name])
        if limits:
            for chart in self.d.charts:
                if (
                    chart.name not in self.used_in_steps
                    and {"least airflow", "most airflow"} & set(chart.gives)
                    and self.bounds(chart, call)
                ):
                    out |= self.read_by(chart, call, stage)
        return out

    def looks_at(self, call: Call, stage: str) -> set[int]:
        """All parts that could tell on a stage: those it reads, with everything its heat is worked out from."""
        out = self.reads(call, stage) | self._named(call.when)
        for step in (*call.airflow, *call.heat):
            out |= self._named(step.when)
            for atom in step.by_stage.values():
                if isinstance(atom, Other):
                    other = self.d.call(atom.call)
                    for one in other.stages:
                        out |= self.looks_at(other, one)
                elif atom_chart := isinstance(atom, Name) and atom.kind == "chart" and self.d.chart(atom.name):
                    out |= self.read_by(atom_chart, call, stage)
                elif isinstance(atom, Name) and atom.name in self.places:
                    out.add(self.places[atom.name])
        return out

    def _heat_counts(self, call: Call, stage: str) -> bool:
        """True where a rise is asked for or limited."""
        limited = isinstance(self.rating("temperature rise", stage), tuple)
        limited = limited or any(w.quantity == "temperature rise" and w.stage in ("", stage) for w in call.windows)
        return limited or any(
            a.quantity == "temperature rise" and (a.call, a.stage) == (call.name, stage) for a in self.ask.aims
        )

    def _never(self, when: When, call: Call) -> bool:
        """True where the known facts alone say that a condition doesn't hold."""
        return self.holds({n: w for n, w in when.items() if n not in self.places}, Spot(call, "", None, ())) is False

    def _replaced(self, atom: Name) -> bool:
        """True where what is known to be installed stands for a part's figure."""
        declares = self.d.selector(self.d.parts[self.places[atom.name]].selector).declares
        return bool(declares) and self.number(declares) is not None

    def _named(self, when: When) -> set[int]:
        return {self.places[n] for n in when if n in self.places}

    def read_by(self, chart: Chart, call: Call, stage: str) -> set[int]:
        """The parts that a chart follows."""
        at = Spot(call, stage, None, ())
        return {i for c in (*chart.keys, *chart.heads) if (i := self.part_of(c, at)) is not None}

    def settings(self, searched: Iterable[int]) -> Iterator[Setting]:
        """Every setting of the searched parts in file order; the others as they stay."""
        wanted = set(searched)
        stays = self.baseline()
        domains = [self.domain(i) for i in range(len(self.d.parts))]
        return product(
            *(positions if i in wanted or not free else (stays[i],) for i, (positions, free) in enumerate(domains))
        )

    def points(self) -> list[tuple[Call, str]]:
        """Every stage of every call."""
        return [(call, stage) for call in self.d.calls for stage in call.stages]

    def asked(self) -> set[Stage]:
        """The stages that a target speaks of."""
        return {(a.call, a.stage) for a in self.ask.aims} | {a.of for a in self.ask.aims if a.of is not None}

    def can_be_judged(self, call: Call, stage: str) -> bool:
        """True where some setting lets a limit of this stage be judged."""
        return any(
            v.ok is not None
            for setting in self.settings(self.reads(call, stage))
            for v in self.verdicts(call, stage, setting)
        )

    def searched(self) -> set[int]:
        """The parts that are searched: those a judged stage reads and that aren't fixed, and leads that can't stay
        on one tap."""
        asked = self.asked()
        out: set[int] = set()
        for call, stage in self.points():
            if (call.name, stage) in asked or self.can_be_judged(call, stage):
                out |= self.reads(call, stage)
        stands = tuple(self.ask.held.get(i, at) for i, at in enumerate(self.baseline()))
        for selector in self.d.selectors:
            leads = {self.places[p] for p in selector.parts} - out
            out |= {a for a, b in self.clashes(selector, stands) if {a, b} <= leads}
        return {i for i in out if self.domain(i)[1]}

    def clashes(self, selector: Selector, setting: Setting) -> set[tuple[int, int]]:
        """Pairs of leads that stand on one tap."""
        leads = [self.places[p] for p in selector.parts] if selector.kind == "taps" else []
        on = [a for a in leads if setting[a] is not None and self.word(a, setting) != "parked"]
        return {(a, b) for a in on for b in on if a != b and setting[a] == setting[b]}

    # what fits

    def forgiven(self, settings: Sequence[Setting], searched: set[int]) -> set[Point]:
        """What has no airflow in any setting that may be proposed: want of a figure or fact is named as not judged
        there and stops nothing."""
        out = set()
        for call, stage in self.points():
            proposed = [setting for setting in settings if not self._proposes_copy(call, stage, setting, searched)]
            for rate in self.fires(call):
                values = [self.airflow(Spot(call, stage, rate, setting)) for setting in proposed]
                if all(isinstance(v, No) and v != STILL for v in values):
                    out.add((call.name, stage, rate))
        return out

    def fits(self, setting: Setting, searched: set[int], forgiven: set[Point]) -> bool:
        """True where nothing forbids a setting."""
        if any(self.clashes(selector, setting) for selector in self.d.selectors):
            return False
        if not all(self.stage_fits(call, stage, setting, searched, forgiven) for call, stage in self.points()):
            return False
        return not any(self.off_limits(chart, setting, searched) for chart in self.unused_charts())

    def stage_fits(self, call: Call, stage: str, setting: Setting, searched: set[int], forgiven: set[Point]) -> bool:
        """True where a stage allows a setting: it has an airflow if it is asked for, no reserved or copied row, and
        keeps its limits."""
        at = self.spot(call, stage, setting)
        if (call.name, stage) in self.asked() and isinstance(self.airflow(at), No):
            return False
        for rate in self.fires(call):
            value = self.airflow(at._replace(rate=rate))
            if isinstance(value, No) and (
                value == RESERVED or (value == REFUSED and (call.name, stage, rate) not in forgiven)
            ):
                return False
        heat = self.heat(at) if self.holds(call.when, at) is True else None
        if heat == RESERVED:
            return False
        return all(v.ok is not False for v in self.verdicts(call, stage, setting)) and not self._proposes_copy(
            call, stage, setting, searched
        )

    def unused_charts(self) -> list[Chart]:
        """Charts of delays, labels and limits."""
        return [chart for chart in self.d.charts if chart.name not in self.used_in_steps]

    def off_limits(self, chart: Chart, setting: Setting, searched: set[int]) -> bool:
        """True where such a chart is put on a reserved or copied row."""
        at = Spot(self.d.calls[0], self.d.calls[0].stages[-1], None, setting)
        if not self.read_by(chart, at.call, at.stage) & searched:
            return False
        cell = self.cell(chart, 0, at)
        return cell == RESERVED or self._copies(chart, at, searched)

    def _proposes_copy(self, call: Call, stage: str, setting: Setting, searched: set[int]) -> bool:
        return self.copied and any(
            self._copies(chart, at, searched) for chart, at in self._acting(self.spot(call, stage, setting))
        )

    def _copies(self, chart: Chart, at: Spot, searched: set[int]) -> bool:
        """True where the board is put on a row that behaves as another: something that row names is searched."""
        named = [self.part_of(column, at) for column in chart.keys]
        if any(n is not None and at.setting[n] is None for n in named):
            return False
        places = [self.places_of(column, at) for column in chart.keys]
        if any(isinstance(p, No) for p in places):
            return False
        for way in product(*(p for p in places if not isinstance(p, No))):
            row = self.rows[chart.name].get(tuple(i for i, _ in way))
            if (
                row is not None
                and row.like is not None
                and any(a is not None and n in searched for a, n in zip(row.at, named, strict=True))
            ):
                return True
        return False

    def _acting(self, at: Spot) -> Iterator[tuple[Chart, Spot]]:
        """The charts a stage reads, each with the call and stage that reads it; none after a step that keeps the
        call from running."""
        if self.holds(at.call.when, at) is not True:
            return
        for steps in (at.call.airflow, at.call.heat):
            for number, step in enumerate(steps):
                if (
                    steps is at.call.airflow
                    and self.airflow(at._replace(call=dataclasses.replace(at.call, airflow=steps[:number]))) == STILL
                ):
                    break
                atom = step.by_stage.get(at.stage, step.by_stage.get(""))
                if self.holds(step.when, at) is not True:
                    continue
                if isinstance(atom, Name) and atom.kind == "chart":
                    yield self.d.chart(atom.name), at
                elif isinstance(atom, Other):
                    other = self.d.call(atom.call)
                    yield from self._acting(at._replace(call=other, stage=other_stage(other, atom, at.stage)))

    # the ranking

    def everything(self) -> list[Answer]:
        """All settings that fit, ranked."""
        searched = self.searched()
        settings = list(self.settings(searched))
        forgiven = self.forgiven(settings, searched)
        answers = [self.answer(setting) for setting in settings if self.fits(setting, searched, forgiven)]
        return ranked([a for a in answers if a is not None], self.ask.near / 100)

    def answer(self, setting: Setting) -> Answer | None:
        """What a setting gives against the aims; None where a quantity asked for can't be known."""
        airflows: dict[Stage, Fraction] = {}
        for name, stage in self.asked():
            value = self.airflow(self.spot(self.d.call(name), stage, setting))
            assert isinstance(value, Fraction)
            airflows[name, stage] = value
        total = Fraction(0)
        for aim in self.ask.aims:
            got = self._got(aim, airflows, setting)
            if got is None:
                return None
            total += aim.weight * off(got, aim.low, aim.high)
        moves = sum(was is not None and now != was for now, was in zip(setting, self.baseline(), strict=True))
        return Answer(setting=setting, deviation=total, moves=moves, group=0, airflows=airflows)

    def _got(self, aim: Aim, airflows: Mapping[Stage, Fraction], setting: Setting) -> Fraction | None:
        call = self.d.call(aim.call)
        airflow = airflows[aim.call, aim.stage]
        if aim.quantity == "airflow":
            return airflow
        if aim.quantity == "airflow per ton":
            tons = self.tons(call, aim.stage)
            return None if tons is None else airflow / tons
        if aim.of is not None:
            return 100 * airflow / airflows[aim.of]
        heat = self.heat(self.spot(call, aim.stage, setting))
        return self.through(heat, airflow) if isinstance(heat, Fraction) else None


def ranked(found: Sequence[Answer], near: Fraction) -> list[Answer]:
    """The settings within `near` of the lowest not yet ranked are one group; in it fewest moves, then deviation,
    then file order (as given)."""
    rest = sorted(found, key=lambda a: a.deviation)
    out: list[Answer] = []
    group = 0
    while rest:
        inside = [a for a in rest if a.deviation <= rest[0].deviation + near]
        out += [dataclasses.replace(a, group=group) for a in sorted(inside, key=lambda a: (a.moves, a.deviation))]
        rest = rest[len(inside) :]
        group += 1
    return out


def off(got: Fraction, low: Fraction, high: Fraction) -> Fraction:
    """|got - aim| / aim, to the nearer end of a range, 0 inside."""
    return (low - got) / low if got < low else (got - high) / high if got > high else Fraction(0)
