"""A job as plain frozen values: one table, one house, what is wished, found and measured. No reading and no arithmetic.

Every figure is an exact `Amount` in one unit of its kind, whatever the person typed: cfm, cfm/ton, Btu/h, F (a
temperature, or a difference for
a rise), in. w.c., psi, gph, V, A, W, ft, ft2, fpm, s, %. The text stays as typed. Lines and columns count from 1; 0
means nowhere (made by code).

`ByStage` maps a stage's name to its figure; the key "" stands for every stage not named.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from selector.units import Kind
from selector.value import Placed, field


class TypedWord(Placed, frozen=True, kw_only=True):
    """A word or a text as typed."""

    text: str
    line: int = 0
    column: int = 0


class Amount(Placed, frozen=True, kw_only=True):
    """A figure: `value` in `unit`, the one unit of its `kind` (`selector.units.CANONICAL`); `text` as typed, with the
    unit typed."""

    value: Fraction
    unit: str
    text: str
    kind: Kind | None = None
    line: int = 0
    column: int = 0


class Span(Placed, frozen=True, kw_only=True):
    """A range, lower end first; None is an open end."""

    low: Fraction | None
    high: Fraction | None
    unit: str
    text: str
    line: int = 0
    column: int = 0


class DropChart(Placed, frozen=True, kw_only=True):
    """Pressure drop as a maker prints it: (airflow in cfm, drop in in. w.c.), airflow rising; `text` as typed."""

    points: tuple[tuple[Fraction, Fraction], ...]
    text: str
    line: int = 0
    column: int = 0


ByStage = Mapping[str, Amount]
SpanByStage = Mapping[str, Span]
Aim = Amount | Span | TypedWord
AimByStage = Mapping[str, Aim]


class Site(Placed, frozen=True, kw_only=True):
    """The house: altitude, air as it comes back to the unit, voltage, static pressure expected in every call where none
    was measured.

    `volume` (ft3) of the house serves air changes. `plate_static`: the greatest external static on the rating plate.
    `firing_rate`: % of full fire, for tables that ask for it. `climate`: humid, usual or dry.
    """

    climate: TypedWord | None = None
    altitude: Amount | None = None
    return_air: Amount | None = None
    return_wet_bulb: Amount | None = None
    static_pressure: Amount | None = None
    plate_static: Amount | None = None
    firing_rate: Amount | None = None
    volume: Amount | None = None
    line: int = 0


class Outdoor(Placed, frozen=True, kw_only=True):
    """The outdoor unit: `capacity` in Btu/h (3 tons = 36,000) at full; `stages` the share of it (%) that runs in each
    stage.

    `airflow_per_ton`: cfm/ton, or `usual`, `moisture`, `dry`. `sensible_load`, `latent_load` Btu/h, `supply_difference`
    F, `sensible_share` %.
    """

    capacity: Amount | None = None
    stages: ByStage = field(default_factory=dict)
    airflow_per_ton: Aim | None = None
    least_per_ton: Amount | None = None
    most_per_ton: Amount | None = None
    sensible_load: Amount | None = None
    latent_load: Amount | None = None
    supply_difference: Amount | None = None
    sensible_share: Amount | None = None
    line: int = 0


class Clocked(Placed, frozen=True, kw_only=True):
    """Gas read at the meter, other appliances off: `volume` ft3 in `time` s, `heat_of_gas` Btu/ft3, or the `input` that
    was worked out from them, Btu/h; `stage` lit ("" the last)."""

    input: Amount | None = None
    volume: Amount | None = None
    time: Amount | None = None
    heat_of_gas: Amount | None = None
    stage: TypedWord | None = None
    line: int = 0


class Heat(Placed, frozen=True, kw_only=True):
    """What heats. `kind`: gas, oil, electric, heat pump, heat pump + auxiliary, dual fuel (a heat pump and a burner),
    hydronic coil.

    `input`, `output` Btu/h by stage; `clocked` the input read at the meter, `clocked_in` the newest reading of each
    stage that was measured, which comes before it; `efficiency` a share in % (95); `rise` the plate's window by stage;
    `aim` low rise, mid rise, high rise
    or a rise by stage; `derate` a rule's name (`selector.air.derate`) or the maker's share in %. Oil: `nozzle` gph as
    marked, `pump_pressure`
    psi, `heat_per_gallon` Btu/gal. Electric: `heater` Btu/h (10 kW), `heater_voltage`, `supply_voltage` V, `phases` 1
    or 3, `current` A, `blower_heat` counted or not counted. Heat pump: `capacity` Btu/h heating at full where it isn't
    the cooling one,
    `least_per_ton` cfm/ton, `auxiliary` Btu/h by stage, `leaving_limit` F; `balance_point` F, where the outdoor
    thermostat changes over. Hydronic: `water_flow` gpm, `water_drop` F.
    `outlet_limit`, `least_return` F as on the plate.
    """

    kind: TypedWord | None = None
    input: ByStage = field(default_factory=dict)
    output: ByStage = field(default_factory=dict)
    efficiency: Amount | None = None
    clocked: Clocked | None = None
    clocked_in: Mapping[str, Clocked] = field(default_factory=dict)
    derate: Aim | None = None
    rise: SpanByStage = field(default_factory=dict)
    aim: AimByStage = field(default_factory=dict)
    outlet_limit: Amount | None = None
    least_return: Amount | None = None
    nozzle: Amount | None = None
    pump_pressure: Amount | None = None
    heat_per_gallon: Amount | None = None
    heater: Amount | None = None
    heater_voltage: Amount | None = None
    supply_voltage: Amount | None = None
    phases: Amount | None = None
    current: Amount | None = None
    blower_heat: TypedWord | None = None
    capacity: Amount | None = None
    least_per_ton: Amount | None = None
    auxiliary: ByStage = field(default_factory=dict)
    leaving_limit: Amount | None = None
    balance_point: Amount | None = None
    water_flow: Amount | None = None
    water_drop: Amount | None = None
    line: int = 0

    @property
    def most_auxiliary(self) -> Amount | None:
        """The auxiliary heat with every stage of it on."""
        return max(self.auxiliary.values(), key=lambda amount: amount.value, default=None)


class Fan(Placed, frozen=True, kw_only=True):
    """Constant fan and the blower's power: `aim` a share (%) of cooling, an airflow (cfm), air changes (ach) or
    `outdoor air`.

    `watts` W as measured with `watts_call` (call and stage) running; `hours` h a year, `price` money a kWh;
    `call_length` s.
    """

    aim: Aim | None = None
    watts: Amount | None = None
    watts_call: TypedWord | None = None
    hours: Amount | None = None
    price: Amount | None = None
    call_length: Amount | None = None
    line: int = 0


class Dehumidify(Placed, frozen=True, kw_only=True):
    """Wish and wiring. `wanted`: yes or no. `humidistat`: none, opens on rise, closes on rise. `least_per_ton`
    cfm/ton while it runs."""

    wanted: TypedWord | None = None
    humidistat: TypedWord | None = None
    least_per_ton: Amount | None = None
    line: int = 0


class Ceiling(Placed, frozen=True, kw_only=True):
    """One thing air has to pass: an `area` (ft2) with the greatest face `velocity` (fpm), or an `airflow` (cfm)
    outright; `drop`: its own pressure drop as the maker prints it.

    `name`: duct, supply duct, return duct, grille, filter, coil, noise. `calls`: the calls it holds for; empty: every
    call.
    """

    name: str
    area: Amount | None = None
    velocity: Amount | None = None
    airflow: Amount | None = None
    drop: DropChart | None = None
    calls: tuple[TypedWord, ...] = ()
    line: int = 0


class Zoning(Placed, frozen=True, kw_only=True):
    """Dampers: the `smallest_zone` takes an airflow (cfm) or a share (%) of the greatest aim; `bypass` cfm goes round
    it.

    `calls`: those that run with only the smallest zone open; empty: every call.
    """

    smallest_zone: Amount | None = None
    bypass: Amount | None = None
    calls: tuple[TypedWord, ...] = ()
    line: int = 0


class Mark(Placed, frozen=True, kw_only=True):
    """What was seen at one selector, as typed: `OFF ON ? OFF`, `b`, `off pins`, `unread`."""

    selector: str
    text: str
    line: int = 0
    column: int = 0


class Stale(Placed, frozen=True, kw_only=True):
    """Why a reading of a visit doesn't count: taken before a `change` there, as it was typed; `again`: the same was
    read since."""

    change: str
    again: bool


class Reading(Placed, frozen=True, kw_only=True):
    """One measurement, in the call and stage it was taken in, so many minutes after the call began.

    `method`: rise, split, electric, clocked gas, hood, flow plate, traverse, static, watts, shown (an airflow that the
    board's lamp or the thermostat shows).
    `values` by the key typed: rise, split, return air, supply air (F), volts, amps, phases, airflow (cfm), watts,
    static pressure, return static, supply static and the ports of a pressure profile (in. w.c., signs as typed), volume
    (ft3), time (s), heat of gas (Btu/ft3), return and supply wet bulb (F) and humidity (%), duct area (ft2), firing
    rate.
    `velocities` of a traverse, fpm, or in. w.c. of velocity pressure.
    `words` by key: filter (in, out), coil (wet, dry), dehumidify (satisfied, calling), zones (open, some closed),
    compressor (on, off), probe (before the blower, after the blower), inside (what is counted in the unit: filter,
    coil).
    `minutes` is in seconds, like every time. `stale`: not typed; it is from before a change at its visit.
    """

    call: TypedWord
    method: TypedWord
    stage: TypedWord | None = None
    minutes: Amount | None = None
    values: Mapping[str, Amount] = field(default_factory=dict)
    words: Mapping[str, TypedWord] = field(default_factory=dict)
    velocities: tuple[Amount, ...] = ()
    stale: Stale | None = None
    line: int = 0


class Visit(Placed, frozen=True, kw_only=True):
    """A later visit to the unit: `date` as 2027-11-02; what it leaves out is as it was left before.

    `found`, `left`: the marks that were looked at and those that were set. `cleared`: what was seen at an earlier visit
    and is put right, in the same words. `done`: the work besides the selectors, a sentence each.
    """

    date: TypedWord
    by: TypedWord | None = None
    found: tuple[Mark, ...] = ()
    left: tuple[Mark, ...] = ()
    measurements: tuple[Reading, ...] = ()
    seen: tuple[TypedWord, ...] = ()
    cleared: tuple[TypedWord, ...] = ()
    done: tuple[TypedWord, ...] = ()
    notes: tuple[TypedWord, ...] = ()
    line: int = 0


class Job(Placed, frozen=True, kw_only=True):
    """One house. What isn't known is None or empty; it is named when it is needed.

    `table`: a name in the library or a path. `model`: the model the board believes; `plate_model`: the rating plate's,
    where it differs.
    `motor`, `airflow_means`: what the label of the motor says, where the table doesn't. `board`: words printed on the
    board (part, series).
    `table_print`: the table's fingerprint when the record was made.
    `facts`: facts of the table by name. `targets`, `windows`: what the person asks of a call outright, by call and
    stage ("" the last).
    `hold`: positions not to be changed; `wishes`: figure of a chart or ramp wished for, by its name. `found`, `left`:
    marks; `in_force`:
    switches or thermostat. `seen`: what was seen, smelled or heard at the unit, a sentence each.
    `date`, `by`, `place`: when, by whom and where. `done`: the work besides the selectors. What stands at the top is
    the first visit; `visits` are the later ones, by date.
    `lines` are those of the file, for problems.
    """

    file: str = ""
    lines: tuple[str, ...] = ()
    table: TypedWord | None = None
    table_print: TypedWord | None = None
    model: TypedWord | None = None
    plate_model: TypedWord | None = None
    motor: TypedWord | None = None
    airflow_means: TypedWord | None = None
    board: Mapping[str, TypedWord] = field(default_factory=dict)
    site: Site = field(default_factory=Site)
    outdoor: Outdoor | None = None
    heat: Heat | None = None
    fan: Fan | None = None
    dehumidify: Dehumidify | None = None
    ceilings: tuple[Ceiling, ...] = ()
    zoning: Zoning | None = None
    complaint: TypedWord | None = None
    facts: Mapping[str, TypedWord] = field(default_factory=dict)
    targets: Mapping[str, AimByStage] = field(default_factory=dict)
    windows: Mapping[str, SpanByStage] = field(default_factory=dict)
    hold: tuple[Mark, ...] = ()
    wishes: Mapping[str, TypedWord] = field(default_factory=dict)
    in_force: TypedWord | None = None
    found: tuple[Mark, ...] = ()
    left: tuple[Mark, ...] = ()
    measurements: tuple[Reading, ...] = ()
    seen: tuple[TypedWord, ...] = ()
    notes: tuple[TypedWord, ...] = ()
    date: TypedWord | None = None
    by: TypedWord | None = None
    place: TypedWord | None = None
    done: tuple[TypedWord, ...] = ()
    visits: tuple[Visit, ...] = ()
