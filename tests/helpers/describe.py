"""What a table says, without its text: frozen values that the writer makes text of and the reference evaluates.
Knows nothing of the program."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction

Cell = Fraction | str | None
"""A figure, a word (`none` included), or None where nothing is printed."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Part:
    """What takes one position by itself. `figures` are its positions as numbers where it gives a quantity; positions
    count from 0."""

    name: str
    selector: str
    positions: tuple[str, ...]
    factory: Mapping[str, int] = field(default_factory=dict)
    figures: tuple[Fraction, ...] = ()
    leave_at: int | None = None
    idle: frozenset[int] = frozenset()
    unused: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class Selector:
    """A selector; `pins_off` where a row of a chart names a jumper off its pins (then its last position), `words`
    the printed marks of a bank. `share`: two leads that may stand on one tap, and the part and the position (none:
    always) that let them."""

    name: str
    kind: str
    parts: tuple[str, ...]
    gives: str = ""
    declares: str = ""
    pins_off: bool = False
    words: tuple[str, ...] = ()
    share: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class Fact:
    """A declared fact: printed values, or a range."""

    name: str
    gives: str = ""
    values: tuple[str, ...] = ()
    low: Fraction | None = None
    high: Fraction | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class Column:
    """What a row's word or a head stands for. `kind`: part, taps, model, stage, fact (printed values) or line
    (straight lines between)."""

    name: str
    kind: str
    values: tuple[str, ...]

    @property
    def numbers(self) -> tuple[Fraction, ...]:
        """The values of a column that runs on."""
        return tuple(Fraction(v) for v in self.values)


@dataclass(frozen=True, kw_only=True, slots=True)
class Row:
    """A printed row: an index into each key's values (None: any), then figures, or a refusing word, or the row it
    behaves as, or `none` alone."""

    at: tuple[int | None, ...]
    cells: tuple[Cell, ...] = ()
    word: str = ""
    like: tuple[int | None, ...] | None = None
    nothing: bool = False
    note: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Chart:
    """A chart; cells run over the heads (the last fastest), then the quantities fastest of all."""

    name: str
    keys: tuple[Column, ...]
    heads: tuple[Column, ...]
    gives: tuple[str, ...]
    rows: tuple[Row, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Name:
    """A chart, part, fact or rating by name."""

    kind: str
    name: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Other:
    """The final airflow of another call; stage "" means the same stage."""

    call: str
    stage: str = ""


Atom = Fraction | Name | Other
When = Mapping[str, tuple[str, ...]]


@dataclass(frozen=True, kw_only=True, slots=True)
class Step:
    """A step: `op` is use, call, a quantity, or at least, at most, round, round up, round down. The stage "" stands
    for all."""

    op: str
    by_stage: Mapping[str, Atom]
    when: When = field(default_factory=dict)


@dataclass(frozen=True, kw_only=True, slots=True)
class Window:
    """An acceptable range; None is an open end and "" all stages."""

    quantity: str
    low: Fraction
    high: Fraction
    stage: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Call:
    """A call; the one stage of an unstaged call is ""."""

    name: str
    stages: tuple[str, ...]
    airflow: tuple[Step, ...]
    heat: tuple[Step, ...] = ()
    terminals: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    capacity: Mapping[str, Fraction] = field(default_factory=dict)
    when: When = field(default_factory=dict)
    lead: Mapping[str, str] = field(default_factory=dict)
    windows: tuple[Window, ...] = ()
    off_delay: str = ""


Figure = Fraction | tuple[Fraction, Fraction]


@dataclass(frozen=True, kw_only=True, slots=True)
class Description:
    """A whole table. Ratings are by (model, stage), "" for every one."""

    airflow_unit: str
    pressure_unit: str
    temperature_unit: str
    heat_unit: str
    models: tuple[str, ...]
    ratings: Mapping[str, Mapping[tuple[str, str], Figure]]
    facts: tuple[Fact, ...]
    parts: tuple[Part, ...]
    selectors: tuple[Selector, ...]
    charts: tuple[Chart, ...]
    calls: tuple[Call, ...]

    def part_index(self, name: str) -> int:
        """Where a part stands in a setting."""
        return next(i for i, p in enumerate(self.parts) if p.name == name)

    def selector(self, name: str) -> Selector:
        """A selector by name."""
        return next(s for s in self.selectors if s.name == name)

    def chart(self, name: str) -> Chart:
        """A chart by name."""
        return next(c for c in self.charts if c.name == name)

    def call(self, name: str) -> Call:
        """A call by name."""
        return next(c for c in self.calls if c.name == name)


@dataclass(frozen=True, kw_only=True, slots=True)
class Aim:
    """A target; `of` is the call and stage a share is of."""

    call: str
    stage: str
    quantity: str
    low: Fraction
    high: Fraction
    weight: Fraction = Fraction(1)
    of: tuple[str, str] | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class Ask:
    """Facts and what is asked for. `held` and `found` speak of parts by their place; None in `found` can't be read."""

    facts: Mapping[str, Fraction | str]
    static: Mapping[str, Fraction] = field(default_factory=dict)
    aims: tuple[Aim, ...] = ()
    held: Mapping[int, int] = field(default_factory=dict)
    found: tuple[int | None, ...] | None = None
    first: int = 3
    near: Fraction = Fraction(0)
