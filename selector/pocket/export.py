"""One table as plain data for the pocket page: outcomes of charts, instructions and limits as the engine makes them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from fractions import Fraction
from functools import cached_property
from typing import Any

from selector.answers.assumed_facts import assumed_fact_text
from selector.answers.words.contradiction import unit_of_fact
from selector.answers.words.ramp_and_delay import ramp_text
from selector.judge.assumed_facts import OF_AIRFLOW, taken_for
from selector.judge.danger import smaller
from selector.pocket.facts import Asking, Offered, Tree, explored, fitted, general, offered_by
from selector.solve.board.facts import Facts
from selector.solve.engine.bends import may_bend
from selector.solve.engine.chart_reading import ChartReading
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import beyond
from selector.solve.engine.limit import Limit
from selector.solve.engine.open_cases import MOST_CASES
from selector.solve.engine.step_arithmetic import AIRFLOWS, Instruction, Register, no_figure, open_figure, operand
from selector.solve.search.declared import HALF_STEP_TONS, told_tons
from selector.solve.search.space import LARGEST, PositionCells, declared_position
from selector.table.model.table import ABSENT, ANY, Atom, Call, Cell, CellWord, Either, Named, No, Table
from selector.value import replace

ANY_RATE = "*"
"""The firing rate in the name of a register whose rate is typed."""


class RegisterName(str):
    """A register's name in a tree, apart from every other text."""


def _parts_named(reading: ChartReading, at: tuple[int, ...]) -> Iterator[int]:
    """The parts that a row names: its own, and those that give a label that it goes by."""
    named = [p for p, i in zip(reading.keys, at, strict=True) if i != ANY]
    yield from (p for p in named if p is not None)
    if None in named:
        yield from (p for one in reading.led for p in one.parts)


class TooLong(ValueError):
    """A chart has more outcomes than a page can carry."""


class Nodes:
    """Outcomes of readings as shared decision nodes: equal ones are one, a part that makes no difference is left out.

    A leaf is `("leaf", value, note, parts)`: the parts are those that a row names which behaves as another, and the
    name of its chart where that is one that leads to this, else None.
    A node is
    `(part, child, ...)`, a child for each position and one for off its pins where that may be.
    """

    def __init__(self, table: Table) -> None:
        self.table = table
        self.all: list[tuple[Any, ...]] = []
        self._numbers: dict[tuple[Any, ...], int] = {}

    def add(self, node: tuple[Any, ...]) -> int:
        """The number of a node."""
        if node[0] != "leaf" and len(set(node[1:])) == 1:
            return int(node[1])
        found = self._numbers.get(node)
        if found is None:
            found = self._numbers[node] = len(self.all)
            self.all.append(node)
        return found

    def slots(self, part: int) -> list[int]:
        """Positions of a part in the order of a node's children."""
        one = self.table.parts[part]
        return [*range(len(one.positions)), *([ABSENT] if one.absent else [])]

    def reading(self, r: ChartReading, cell: int, op: str, name: str) -> Tree:
        """`("tree", parts, root, page, name, notes, needs)` of what a cell means to an operation: notes of its chart,
        of those that lead to it, of its selectors; facts it looks at that aren't given.

        Operations of ours: `when` for a condition, `word` for the cell itself, `row` for nothing but whether the row is
        refused.
        """
        size = 1
        for p in r.parts:
            size *= len(self.slots(p))
        if size > LARGEST:
            raise TooLong(f"`{r.name}` has {size:,} outcomes, more than a page can carry")

        def leaf(positions: tuple[int, ...]) -> int:
            outcome = r.find(positions)
            row = r.row(positions)
            value: Any
            if isinstance(outcome, No):
                value = _no(outcome)
            elif op == "when":
                value = Fraction(outcome[cell] == 1)
            elif op == "row" or (op == "bound" and outcome[cell] is CellWord.NONE):
                value = None
            elif op == "stands":
                value = _no(no_figure(CellWord.BLANK, name)) if outcome[cell] is CellWord.BLANK else None
            elif op == "word":
                value = _word(outcome[cell], name)
            else:
                found = operand(outcome[cell], op, name, 0)
                value = _no(found) if isinstance(found, No) else found
            copies = [(one, row.positions) for one, row in r.rows(positions) if row.like]
            named: tuple[int | str, ...] | None = (
                tuple(dict.fromkeys(p for one, at in copies for p in _parts_named(one, at))) if copies else None
            )
            if named is not None and not (row is not None and row.like):
                named = (*named, copies[0][0].name)
            note = row.note if row is not None and op != "stands" else ""
            return self.add(("leaf", value, note, named))

        def node(positions: tuple[int, ...]) -> int:
            if len(positions) == len(r.parts):
                return leaf(positions)
            part = r.parts[len(positions)]
            return self.add((part, *(node((*positions, at)) for at in self.slots(part))))

        chart = self.table.charts.get(r.name)
        page = chart.page if chart is not None else ""
        return ("tree", r.parts, node(()), page, r.name, self._notes(r), r.needs)

    def _notes(self, r: ChartReading) -> tuple[str, ...]:
        """What the page says of a reading whatever row answers."""
        charts = [self.table.charts[one.name] for one in _with_led(r) if one.name in self.table.charts]
        out = {f"{chart.name}: {chart.note}": None for chart in charts if chart.note}
        return (*out, *dict.fromkeys(f"{name}: {note}" for p in r.parts for name, note in self.table.notes_at(p)))

    def never(self, tree: Tree) -> bool:
        """True where nothing a reading finds matters."""
        return bool(self.all[tree[2]] == ("leaf", None, "", None))

    def merged(self, roots: Sequence[int], fact: str, xs: Sequence[Fraction]) -> int:
        """One node out of those at several figures of a fact."""
        if len(set(roots)) == 1:
            return roots[0]
        nodes = [self.all[r] for r in roots]
        if all(n[0] == "leaf" for n in nodes):
            return self.add(merge(self, nodes, fact, xs))
        part = min((n[0] for n in nodes if n[0] != "leaf"), key=self._order)
        width = len(self.slots(part))
        spread = [n[1:] if n[0] == part else (r,) * width for n, r in zip(nodes, roots, strict=True)]
        return self.add((part, *(self.merged([s[i] for s in spread], fact, xs) for i in range(width))))

    def _order(self, part: int) -> int:
        return self._at.index(part)

    _at: tuple[int, ...] = ()

    def merged_tree(self, trees: Sequence[Tree], fact: str, xs: Sequence[Fraction]) -> Tree:
        """The same of whole readings."""
        self._at = tuple(dict.fromkeys(p for tree in trees for p in tree[1]))
        return (trees[0][0], self._at, self.merged([t[2] for t in trees], fact, xs), *trees[0][3:])


def _with_led(r: ChartReading) -> Iterator[ChartReading]:
    """A reading and all that lead to it."""
    yield r
    for one in r.led:
        yield from _with_led(one)


def _no(no: No) -> Tree:
    if no.either is None:
        return ("no", no.rank, no.why)
    cases = ((tuple(":".join(map(str, at)) for at in sorted(chosen)), value) for chosen, value in no.either.cases)
    return ("no", no.rank, no.why, tuple(cases))


def _word(cell: Cell, name: str) -> Tree:
    if cell is CellWord.NONE:
        return Fraction(0)
    if isinstance(cell, CellWord):
        return _no(no_figure(cell, name))
    if isinstance(cell, Either):
        return _no(open_figure(cell, name))
    return cell if isinstance(cell, Fraction) else ("text", cell)


def merge(nodes: Nodes, samples: Sequence[Tree], fact: str, xs: Sequence[Fraction]) -> Tree:
    """One tree out of those sampled at figures of a fact."""
    first = samples[0]
    if all(s == first for s in samples):
        return first
    if all(isinstance(s, Fraction) for s in samples):
        return ("poly", fact, *fitted(samples, xs))
    if all(isinstance(s, str) for s in samples):
        texts = {s.replace(general(x), "\0", 1) for s, x in zip(samples, xs, strict=True)}
        if len(texts) != 1:
            raise ValueError("a text depends on the fact in an unknown way")
        return ("say", fact, texts.pop())
    curve = next((s for s in samples if isinstance(s, tuple) and s[:1] == ("poly",)), None)
    if curve is not None:  # a figure among polynomials of another fact is a flat one
        samples = [(*curve[:2], s, Fraction(0), Fraction(0)) if isinstance(s, Fraction) else s for s in samples]
        first = samples[0]
    if not all(isinstance(s, tuple) and len(s) == len(first) for s in samples):
        raise ValueError("the form of the answer changes where no figure is printed")
    if first and first[0] == "tree":
        return nodes.merged_tree(samples, fact, xs)
    return tuple(merge(nodes, [s[i] for s in samples], fact, xs) for i in range(len(first)))


class Exporter:
    """Makes the data of one table under the facts that are given for good."""

    def __init__(self, table: Table, given: Facts) -> None:
        self.table, self.given = table, given
        self.nodes = Nodes(table)
        self.offered = offered_by(table, given)
        self.models: tuple[str | None, ...] = (given.model,) if given.model is not None else (None, *table.unit.models)
        self._engines: dict[tuple[Any, ...], Engine] = {}

    def engine(self, model: str | None, known: Mapping[str, Fraction | str | None]) -> Engine:
        """An engine that says which open fact it looks at."""
        key = (model, *known.items())
        found = self._engines.get(key)
        if found is None:
            values = Asking({**self.given.values, **known}, frozenset(self.offered))
            found = self._engines[key] = Engine(self.table, replace(self.given, model=model, values=values))
        return found

    def tree(self, model: str | None, make: Any) -> Tree:
        """What `make(engine)` gives, for every value of the facts it looks at."""
        return explored(
            lambda known: make(self.engine(model, known), known),
            self.offered,
            lambda trees, fact, xs: merge(self.nodes, trees, fact, xs),
        )

    # -- registers

    def register(self, engine: Engine, register: Register, known: Mapping[str, Any]) -> RegisterName:
        """The name of a register; a firing rate that is typed has one name whatever it is."""
        what, call, stage, rate = register
        if rate and rate == str(known.get("firing rate")) and rate not in engine.rates(engine.table.calls[call]):
            rate = ANY_RATE
        return RegisterName("|".join((what, call, stage, rate)))

    def at_rate(
        self, model: str | None, name: str, make: Callable[[Engine, Register, Mapping[str, Any]], Tree]
    ) -> Tree:
        """What `make` gives of a register by its name, for every value of the facts it looks at; at any firing rate
        where the name says so."""
        what, call, stage, rate = name.split("|")

        def made(engine: Engine, known: Mapping[str, Any]) -> Tree:
            if rate != ANY_RATE:
                return make(engine, (what, call, stage, rate), known)
            given = engine.facts.values["firing rate"] if known.get("firing rate", "") is not None else None
            if given is None or str(given) in engine.rates(engine.table.calls[call]):
                return None
            return make(engine, (what, call, stage, str(given)), known)

        return (self.free if rate == ANY_RATE else self).tree(model, made)

    @cached_property
    def free(self) -> Exporter:
        """The exporter whose firing rate is open."""
        if "firing rate" not in self.given.values:
            return self
        values = {name: x for name, x in self.given.values.items() if name != "firing rate"}
        out = Exporter(self.table, replace(self.given, values=values))
        out.nodes = self.nodes
        return out

    def programs(self, model: str | None, wanted: Iterable[str]) -> dict[str, Tree]:
        """By the name of a register `("program", registers that are worked out before it, instructions)`, of those
        wanted and all that they read."""
        out: dict[str, Tree] = {}
        left = list(dict.fromkeys(wanted))
        while left:
            name = left.pop()
            if name in out:
                continue

            def program(engine: Engine, register: Register, known: Mapping[str, Any]) -> Tree:
                before, own = engine.program(register)
                names = tuple(self.register(engine, other, known) for other in before)
                left.extend(names)
                return "program", names, self.instructions(engine, own, known)

            out[name] = self.at_rate(model, name, program)
        return out

    def instructions(self, engine: Engine, group: Sequence[Instruction], known: Mapping[str, Any]) -> Tree:
        """Each `("do", op, word, target, conditions, source, name, which)`; `which` tells a step from the same one
        given before it."""
        given: Counter[Tree] = Counter()
        out = []
        for i in group:
            one = self.instruction(engine, i, known)
            if i.op == "stands" and one[5][0] == "reading" and self.nodes.never(one[5][1]):
                continue
            out.append((*one, given[one]))
            given[one] += 1
        return tuple(out)

    def instruction(self, engine: Engine, i: Instruction, known: Mapping[str, Any]) -> Tree:
        """`("do", op, word, target, conditions, source, name)`; the word only where the operation tells words apart."""
        source: Tree = None
        if i.number is not None:
            source = ("number", i.number)
        elif i.register is not None:
            source = ("register", self.register(engine, i.register, known))
        elif i.reading is not None:
            source = (
                "reading",
                self.nodes.reading(i.reading, i.cell, i.op if i.op in ("bound", "stands") else i.word, i.name),
            )
        conditions = tuple(self.nodes.reading(c, 0, "when", "") for c in i.conditions)
        word = i.word if i.op == "product" else ""
        return ("do", i.op, word, self.register(engine, i.target, known), conditions, source, i.name)

    # -- one call's stage

    def points(self, engine: Engine, call: Call, stage: str, known: Mapping[str, Any]) -> Tree:
        """`("points", which is asked for, points)`: of each its firing rate, and the registers of its airflow and
        heat."""
        points = engine.points(call, stage)
        return (
            "points",
            points.index(engine.asked(call, stage)),
            tuple(
                (
                    Fraction(p.rate) if p.rate else None,
                    self.register(engine, p.airflow, known),
                    self.register(engine, p.heat, known),
                )
                for p in points
            ),
        )

    def limits(self, engine: Engine, register: Register, known: Mapping[str, Any]) -> Tree:
        """`("limits", limits, instructions that work out their ends)` of the airflow in a register."""
        _, call, stage, rate = register
        limits, ends = engine.airflow_limits(engine.table.calls[call], stage, rate)
        every = tuple(self.limit(engine, x, known) for x in limits)
        return "limits", every, self.instructions(engine, ends, known)

    def limit(self, engine: Engine, x: Limit, known: Mapping[str, Any]) -> Tree:
        """`("limit", quantity, low, high, source, least, most, line, missing, needs, figure)`."""
        ends = [None if r is None else self.register(engine, r, known) for r in (x.least, x.most)]
        figure = None if x.figure is None else self.register(engine, x.figure, known)
        return ("limit", x.quantity, x.range.low, x.range.high, x.source, *ends, x.line, x.missing, x.needs, figure)

    def told(self, engine: Engine, call: Call, stage: str) -> Tree:
        """Its ramp and delays."""
        every = (("ramp", call.ramp), ("on", call.on_delay), ("off", call.off_delay))
        return tuple(self.atom(engine, call, stage, what, by) for what, by in every)

    def assumed(self, engine: Engine, call: Call, stage: str) -> Tree:
        """What it takes for each fact that isn't given, and whether its airflow rests on it or its heat alone."""
        return tuple(
            (assumed_fact_text(one.name, one.value, one.unit), one.name in OF_AIRFLOW)
            for one in taken_for(engine, call, stage)
        )

    def atom(self, engine: Engine, call: Call, stage: str, what: str, by_stage: Mapping[str, Atom]) -> Tree:
        """A ramp or delay: None, a text, or the reading that tells it."""
        atom = by_stage.get(stage, by_stage.get(""))
        if atom is None:
            return None
        if isinstance(atom, Fraction):
            return atom
        if isinstance(atom, Either):
            return _no(open_figure(atom, what))
        if not isinstance(atom, Named):
            return _no(No(kind="outside_chart", why="a call's airflow can't stand here"))
        if atom.kind == "ramp":
            return ("text", atom.name)
        wanted = "ramp" if what == "ramp" else "seconds"
        for op, number, reading, cell, _ in engine.operands(wanted, atom, call, stage, engine.asked(call, stage).rate):
            if op == wanted:
                return number if reading is None else self.nodes.reading(reading, cell, "word", atom.name)
        return None

    def label_charts(self, engine: Engine) -> Tree:
        """Every chart that no airflow or heat is worked out from, as a search for reserved rows sees it."""
        return tuple(self.nodes.reading(r, 0, "row", "") for r in engine.unread_charts())

    # -- the whole

    def data(self) -> dict[str, Any]:
        """Plain data of the table."""
        out = Plain(self.nodes)
        table = self.table
        by_model = [self._model(out, model) for model in self.models]
        engine = Engine(table, self.given)
        return {
            "name": table.name,
            "units": [table.units.airflow, table.units.temperature],
            "factor": number(engine.factor),
            "most_cases": MOST_CASES,
            "half_ton_step": number(HALF_STEP_TONS),
            "exclusive": [list(s.parts) for s in table.selectors.values() if s.exclusive],
            "share": [
                [sorted(leads), [[c.part, sorted(c.allowed)] for c in conditions]]
                for s in table.selectors.values()
                for leads, conditions in s.may_share
            ],
            "facts": [_fact(o, engine) for o in self.offered.values()],
            "parts": [self._part(p.index) for p in table.parts],
            "calls": [self._call(c) for c in table.calls.values()],
            "ramps": {r.name: ramp_text(r) if r.of else table.typed_at(r.line) for r in table.ramps.values()},
            "models": by_model,
            "nodes": out.nodes,
            "does": out.does,
            "registers": len(out.registers),
        }

    def _model(self, out: Plain, model: str | None) -> dict[str, Any]:
        table = self.table
        engine = Engine(table, replace(self.given, model=model))
        stages = [[self._stage(model, call, s) for s in call.stages] for call in table.calls.values()]
        every = dict.fromkeys(name for call in stages for one in call for name in registers(one))
        airflows = [name for name in every if name.startswith("airflow|")]
        return {
            "model": model,
            "plate": engine.plate_model(),
            "delivered": list(table.delivered(engine.plate_model())),
            "tons": out.plain(self.tree(model, lambda e, _: e.tons())),
            "stages": [
                [{key: out.plain(tree) for key, tree in one.items() if tree != ()} for one in call] for call in stages
            ],
            "programs": {out.register(name): out.plain(t) for name, t in self.programs(model, every).items()},
            "limits": {out.register(name): out.plain(self.at_rate(model, name, self.limits)) for name in airflows},
            "beyond": out.plain(self.tree(model, lambda e, _: beyond(e))),
            "labels": out.plain(self.tree(model, lambda e, _: self.label_charts(e))),
            "declared": [self._declared(engine, part) for part in table.parts],
            "told": out.plain(self.tree(model, lambda e, _: self.told_tons(e))),
            "parts": {
                p.index: {"leave": p.leave_at, "unused": p.unused, "idle": sorted(p.idle)}
                for p, other in zip(engine.table.parts, table.parts, strict=True)
                if (p.leave_at, p.unused, p.idle) != (other.leave_at, other.unused, other.idle)
            },
        }

    def _stage(self, model: str | None, call: Call, stage: str) -> dict[str, Tree]:
        """Its points, what is told of it, the limits of its static pressure, the firing rates between which its airflow
        may bend and the point at any rate; each worked out for the facts it looks at alone."""
        points = self.tree(model, lambda e, known: self.points(e, call, stage, known))
        bends = self.tree(
            model, lambda e, _: tuple(Fraction(r) for r in e.rates(call)) if may_bend(e, call, stage) else ()
        )

        def held(e: Engine, known: Mapping[str, Any]) -> Tree:
            return tuple(self.limit(e, x, known) for x in e.static_limits(e.table.calls[call.name], stage))

        names = tuple(RegisterName("|".join((what, call.name, stage, ANY_RATE))) for what in ("airflow", "heat"))
        return {
            "points": points,
            "told": self.tree(model, lambda e, _: self.told(e, call, stage)),
            "assumed": self.tree(model, lambda e, _: self.assumed(e, call, stage)),
            "static": self.tree(model, held),
            "bends": bends and ("points", 0, ((None, *names),)),
            "rates": bends,
        }

    def told_tons(self, engine: Engine) -> Tree:
        """The selectors that calls take their tons from, each once, and what they give."""
        return tuple(dict.fromkeys((names, self.nodes.reading(r, 0, "word", names)) for names, r in told_tons(engine)))

    def _declared(self, engine: Engine, part: Any) -> Any:
        fact = part.declares
        if not fact:
            return None
        danger = smaller(self.table, part.name, fact)
        tells = [part.tells(at) for at in range(len(part.positions))]
        words = [tells, unit_of_fact(self.table, part.name, fact), danger and danger[0]]
        if fact == "model" or fact not in self.offered:
            at = declared_position(engine, part, fact)
            return [fact, None, at, *words]
        positions = {}
        for word in self.offered[fact].words:
            one = Engine(self.table, replace(engine.facts, values={**self.given.values, fact: word}))
            positions[word] = declared_position(one, part, fact)
        return [fact, positions, None, *words]

    def _part(self, index: int) -> dict[str, Any]:
        part = self.table.parts[index]
        out: dict[str, Any] = {"n": part.name, "s": part.selector, "p": list(part.positions)}
        parked = part.positions.index("parked") if self.table.selectors[part.selector].exclusive else None
        for key, value in (
            ("absent", part.absent),
            ("leave", part.leave_at),
            ("unused", part.unused),
            ("final", sorted(part.final)),
            ("may_cut", part.may_cut),
            ("parked", parked),
        ):
            if value is not None and value is not False and value not in ("", []):
                out[key] = value
        if part.idle:
            out["idle"] = sorted(part.idle)
        alike = PositionCells(self.table).classes(part)
        if len(set(alike)) < len(alike):
            out["alike"] = list(alike)
        return out

    def _call(self, call: Call) -> dict[str, Any]:
        order = {name: n for n, name in enumerate(self.table.calls)}
        return {
            "n": call.name,
            "stages": list(call.stages),
            "shares": [
                number(call.share_of_full(s)) if s == call.last or s in call.capacity or "" in call.capacity else None
                for s in call.stages
            ],
            "compressor": call.compressor,
            "heats": call.heats,
            "warms": bool(call.heat),
            "together": {order[name]: rule for name, rule in call.together.items()},
            "terminals": [" ".join(call.terminals_of(s)) for s in call.stages],
            "note": call.note,
        }


def _fact(o: Offered, engine: Engine) -> dict[str, Any]:
    may = [x if isinstance(x, str) else number(x) for x in engine.possible(o.name)]
    return {"n": o.name, "w": list(o.words), "u": o.unit, "may": may}


SAFE = 2**53


def number(x: Fraction) -> Any:
    """A whole number, or [above, below]; texts of digits where these are long."""

    def part(n: int) -> int | str:
        return n if abs(n) < SAFE else str(n)

    return part(x.numerator) if x.denominator == 1 else [part(x.numerator), part(x.denominator)]


class Plain:
    """Trees as plain data, with everything that repeats written once."""

    def __init__(self, source: Nodes) -> None:
        self.source = source
        self.nodes: list[Any] = []
        self.does: list[Any] = []
        self.registers: dict[str, int] = {}
        self._nodes: dict[int, int] = {}
        self._does: dict[Tree, int] = {}

    def plain(self, tree: Tree) -> Any:
        """Plain data; what a page needs to tell apart has a key of its own."""
        if isinstance(tree, Fraction):
            return number(tree)
        if not isinstance(tree, tuple):
            return tree
        head = tree[0] if tree and isinstance(tree[0], str) else ""
        if head == "by":
            return {"by": tree[1], "none": self.plain(tree[2]), "of": {w: self.plain(t) for w, t in tree[3]}}
        if head == "along":
            return {
                "along": tree[1],
                "none": self.plain(tree[2]),
                "at": [[number(x), self.plain(t)] for x, t in tree[3]],
                "gap": [self.plain(t) for t in tree[4]],
            }
        make = {
            "poly": self._poly,
            "say": self._say,
            "no": self._no,
            "text": self._text,
            "tree": self._tree,
            "do": self._do,
            "points": self._points,
            "program": self._program,
            "limits": self._limits,
            "limit": self._limit,
            "leaf": self._leaf,
        }.get(head)
        return make(tree) if make is not None else [self.plain(t) for t in tree]

    def _poly(self, t: Tree) -> Any:
        return {"v": t[1], "c": [self.plain(x) for x in t[2:]]}

    def _say(self, t: Tree) -> Any:
        return {"v": t[1], "t": t[2]}

    def _no(self, t: Tree) -> Any:
        return {"k": t[1], "w": self.plain(t[2]), **({"e": self.plain(t[3])} if len(t) > 3 else {})}

    def _text(self, t: Tree) -> Any:
        return {"s": t[1]}

    def _leaf(self, t: Tree) -> Any:
        out = [self.plain(t[1])]
        if t[2] or t[3] is not None:
            out += [t[2], *([list(t[3])] if t[3] is not None else [])]
        return {"l": out}

    def node(self, n: int) -> int:
        """The number of a node among those that are written."""
        found = self._nodes.get(n)
        if found is None:
            node = self.source.all[n]
            plain = self._leaf(node) if node[0] == "leaf" else [node[0], *(self.node(c) for c in node[1:])]
            found = self._nodes[n] = len(self.nodes)
            self.nodes.append(plain)
        return found

    def _tree(self, t: Tree) -> Any:
        more = {"page": t[3]} if t[3] else {}
        more |= {key: list(value) for key, value in (("t", t[5]), ("f", t[6])) if value}
        return {"g": self.node(t[2]), "p": list(t[1]), "n": t[4], **more}

    def register(self, name: str | None) -> int | None:
        """The number of a register."""
        return None if name is None else self.registers.setdefault(name, len(self.registers))

    def _do(self, t: Tree) -> int:
        found = self._does.get(t)
        if found is None:
            _, op, word, target, conditions, source, name, _which = t
            kind, value = source if source is not None else ("", None)
            plain = self.register(value) if kind == "register" else self.plain(value)
            out: dict[str, Any] = {"o": op, "x": self.register(target), "m": name}
            if word:
                out["q"] = word
            if kind:
                out[{"number": "v", "register": "y", "reading": "r"}[kind]] = plain
            if kind == "register" and str(value).partition("|")[0] in AIRFLOWS:
                out["f"] = 1
            if conditions:
                out["if"] = [self._tree(c) for c in conditions]
            found = self._does[t] = len(self.does)
            self.does.append(out)
        return found

    def _points(self, t: Tree) -> Any:
        return [t[1], [[self.plain(rate), self.register(air), self.register(heat)] for rate, air, heat in t[2]]]

    def _program(self, t: Tree) -> Any:
        return [[self.register(name) for name in t[1]], [self._do(i) for i in t[2]]]

    def _limits(self, t: Tree) -> Any:
        return [[self._limit(x) for x in t[1]], [self._do(i) for i in t[2]]]

    def _limit(self, t: Tree) -> Any:
        _, quantity, low, high, source, least, most, line, missing, needs, figure = t
        ends = [self.plain(low), self.plain(high)]
        registers = [self.register(least), self.register(most)]
        last = [missing, needs] if figure is None else [missing, needs, self.register(figure)]
        return [quantity, *ends, source, *registers, line, *(last if any(last) else [])]


def registers(tree: Tree | Mapping[str, Tree]) -> Iterator[str]:
    """The names of registers in a tree, as often as they stand there."""
    if isinstance(tree, RegisterName):
        yield tree
    elif isinstance(tree, (tuple, Mapping)):
        for one in tree.values() if isinstance(tree, Mapping) else tree:
            yield from registers(one)


def table_data(table: Table, given: Facts) -> dict[str, Any]:
    """The table as plain data. TooLong where a chart has more outcomes than a page can carry."""
    return Exporter(table, given).data()
