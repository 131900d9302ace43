"""What is to be said of a job, a board or a reading in words: a line for each code that the rooms below give."""

from __future__ import annotations

from collections.abc import Mapping

from selector.air.derate import DERATES
from selector.air.figure import Given, Worked, written
from selector.answers.words.arithmetic import in_table_units
from selector.answers.words.listing import listed
from selector.job.remark import Fact, Remark
from selector.table.model.table import Table
from selector.value import Published

HEAT = {
    "other heat than the call's": "this call heats by {base}, the job's heat is {kind}",
    "rating not known": "heat not known: add {rating}=.. (from the plate)",
    "rating of a stage not known": "{rating} of stage {stage} is not known: type it by stage,"
    " {{{stage}: .., {last}: ..}}",
    "efficiency not given": "heat not known: add efficiency=.. (from the plate)",
    "clocked in another stage": "stage {lit} was clocked; the input of stage {stage} is not known: type the plate's"
    " input by stage",
    "not given": "{what} not given",
    "what a stage burns not known": "what stage {stage} burns is not known",
    "heater not given": "heat not known: add heater=.. (from its plate)",
    "heater voltage not given": "heat not known: add heater voltage=.. (from its plate)",
    "blower watts not given": "blower heat is to be counted, but the blower's watts are not given",
    "heat pump capacity of the stage not given": "heat not known: add tons=.. (from the outdoor unit), stages=.. where"
    " it has more than one",
    "blower heat counted": "blower heat counted",
    "blower heat not counted": "blower heat not counted",
    "one phase": "one phase",
    "three phases": "three phases",
    "nominal capacity": "nominal capacity: output drops in cold weather",
    "nominal capacity and auxiliary": "nominal capacity and auxiliary heat {at}",
    "output used": "the output on the plate is used, not input x efficiency",
    "clocked, so no derate": "input clocked at the meter: no derate on top of it",
    "no derate taken": "no altitude derate is taken: name one (derate: from sea level), or clock the input",
    "derate by a rule": "derate: {rule}",
    "derate by the maker": "derate: {off} % off, {left} % left (the maker's instructions for this altitude)",
    "derate needs the altitude": "the derate `{typed}` needs the altitude",
    "derated for altitude": "with its derate for altitude",
    "no derate named": "no derate for altitude named",
    "auxiliary heat below": "auxiliary heat only below {outdoors} outdoors, by the outdoor thermostat",
    "dual fuel, one at a time": "dual fuel: compressor and burner never run together but as the maker's defrost allows",
    "dual fuel, change over at": "outdoor thermostat {outdoors}: heat pump above it, burner below",
    "dual fuel, change over not stated": "outdoor thermostat not stated: at what outdoor temperature does it change"
    " over? set `balance point`",
    "no heat pump call": "this board has no heat pump call: it heats at the cooling airflow, which keeps its minimum"
    " too",
}
TARGETS = {
    "typed": "{typed}",
    "rise": "rise {typed}",
    "per ton": "{value}, {name}",
    "sensible load": "sensible load over the supply difference",
    "share of": "{typed} of {call}",
    "as charted": "as charted",
    "near the plate's end": "less than {least} inside the plate's rise",
    "above the most per ton": "above the maximum per ton",
    "outdoor air rate": "an outdoor-air ventilation rate is not a blower airflow",
    "no high rise on plate heat": "high rise only on clocked heat: the mid rise is aimed at",
    "not an aim": "`{typed}` is not a target",
    "open aim": "`{typed}` has an open end: type it as a window",
    "tons needed": "{typed} needs the tons that run",
    "no rise to aim at": "the plate's rise is not known, and no rise is typed as the target",
    "follows cooling": "follows cooling while the humidistat calls; limits apply",
    "follows the heat pump": "airflow of the heat pump, or the heater's minimum; limits apply; no target of its own",
    "tons of the stage not known": "the tons that run in this stage are not known",
    "supply difference needed": "a sensible load needs the supply difference, or the latent load beside it",
    "share of the last stage": "a share of the last stage's target: limits apply; no target of its own",
    "fixed share of the last stage": "the board gives this stage as a fixed share of the last: limits apply; no target"
    " of its own",
    "reckoned from the last stage": "worked out as a share of the last stage: limits apply; no target of its own",
    "no fan target": "no fan target",
    "cooling call needed": "a share of cooling needs a cooling call",
    "volume of the house needed": "air changes need the volume of the house",
    "no heater limit": "nothing here says how hot the air may leave: no limit was judged; the heater's plate or the"
    " chart of least airflow has it",
    "plate rise not given": "rise not checked: add rise=.. (from the plate)",
    "limit below the return air": "the limit of {origin} leaves no rise above the return air",
    "outdoor capacity not given": "airflow per ton not checked: add tons=.. (from the outdoor unit)",
    "stage share not given": "airflow per ton not checked: add stages=.. (from the outdoor unit)",
    "window not judged": "your window {typed} of {call} can't be judged: {needed} not known",
}
HOUSE = {
    "heater by the page": "heater {typed}: {power} by the manual{page}",
    "two models": "the board believes it is a {board}, the plate says {plate}: airflow follows the board, limits follow"
    " the plate",
    "taken as found": "not typed under as left: taken as found: {parts}",
    "job's figure used": "{what}: the job's {typed} is used, not the {plate} of the table's plate",
    "table's word used": "{what}: the table's `{table}` is used, not the job's `{typed}`: look at the label, it may be"
    " another unit",
    "read again after a change": "{where}: {what} read before the change ({change}) not used, the newer reading counts",
    "static not counted": "the static read in {where} doesn't count: {why}",
    "marks of the static not known": "static was measured, but not how the board was set: the duct curve can't be drawn"
    " through it",
    "static not known": "no static pressure is known: charts of airflow against static give no figure; type it (site:"
    " static pressure), or measure it",
    "one static for every call": "static pressure {typed} is taken for every call ({place}); no duct curve was"
    " measured",
    "no duct curve": "the airflow in {where} as found is not known ({why}): no duct curve",
    "duct curve": "static in other calls follows the duct curve through the reading in {where}",
    "duct curve at the target": "where more steps follow a chart of static, it is read at the duct curve's static for"
    " the target airflow, at most where static ends",
}
COMPLAINTS = {
    "complaints torn": "{role}: one complaint asks for more airflow, the other for less; it stays",
    "no target without tons": "{what} has no target to move: add tons=.. (from the outdoor unit)",
    "own target kept": "your own {what} target is kept ({own})",
    "cooling at its lowest step": "cooling is at {step} already. A lower target is yours to type (airflow per"
    " ton={lower})",
    "cooling stays for an iced coil": "cooling stays at {step}. Raise it only if it measures low on a clear coil",
    "cooling at its highest step": "cooling is at {step} already: it goes no higher",
    "heating without a rise": "heating has no target to move: the plate's rise is not known",
    "heating at its step": "heating is at {rise} already, 5 F inside the plate's end",
    "own rise kept": "your {own} is kept. {rise} would follow it (heat aim={rise})",
    "own rise kept, clock first": "your {own} is kept. Clock the input before you ask for a higher rise",
    "mid rise kept, clock first": "the mid rise is kept. Clock the input before you ask for a higher rise",
    "heat pump at its minimum": "the heat pump stays at your own minimum ({own})",
    "humidistat not stated": "dehumidify may help: say how the humidistat contacts first (humidistat=opens on rise)",
    "no humidistat": "dehumidify would help, but there is no humidistat to call for it",
}
READINGS = {
    "shown, not delivered": "a figure shown by the board or the thermostat is what was asked for, not what was"
    " delivered",
    "compressor taken off": "the compressor is taken to be off",
    "heat from the plate": "heat from the plate, not measured",
    "meter assumed to show": "{method} assumed to show {shows}; set `shows` (actual, standard, uncorrected)",
    "few points": "traverse of {count} points: 16 to 25 of equal area are usual",
    "probe not stated": "not stated: supply probe before or after the blower? Its heat is in the air behind it (set"
    " `probe`)",
    "wet bulb of the job": "entering wet bulb {typed} from the job, not read with the split",
    "split too soon": "split not used: it counts 15 minutes after the call began, coil wet",
    "static not counted by the plate": "external static not known: {why}",
    "ports missing": "the plate counts from {inlet} to {outlet}: add {missing}",
    "supply side missing": "the plate counts up to the supply side: add {missing}",
    "static between": "external static: {ports}",
    "coil inside, filter outside": "coil counted inside the unit, filter outside (assumed; set `inside`)",
    "static measured at": "static measured {ports}",
    "static measured across": "static measured across {inside} too",
    "ports not stated": "not stated: were filter and coil between the ports? (set `ports`)",
    "coil": "coil {state}",
}
COIL = {
    "coil iced": "the coil is iced",
    "tons not known": "the tons of this stage are not known",
    "airflow not known": "the airflow is not known",
    "air against itself": "{wrong}",
    "no split to expect": "no split can be expected: {wrong}",
    "wet bulb not known": "the return air's wet bulb is not known",
}
WISHES = {
    "dehumidify": "dehumidify",
    "no dehumidify": "no dehumidify",
    "dehumidify for the complaint": "dehumidify for the complaint",
    "slower ramp": "slower ramp for the complaint ({chart})",
    "of a chart": "{chart} {figure}",
    "breaks a limit": "every way to it breaks a limit or moves a held position",
    "too far from the targets": "it takes the airflow too far from its targets",
    "no times": "`{chart}` gives no times",
    "no such row": "the manual has no such row; it has {printed}",
    "too many ways": "too many ways to look through ({count})",
    "no such call": "this table has no such call",
    "cut, if meant": "{part} would have to be cut, which can't be undone: type it as a wish if it is meant (dehumidify:"
    " {{wanted: yes}})",
    "cut, humidistat not stated": "{part} would have to be cut, which can't be undone: say first how the humidistat"
    " contacts (humidistat: ..)",
    "no position gives it": "no position of its selectors gives it",
    "cut for good": "{parts} is cut: that can't be undone",
}
CHARTS = {
    "marks of another board": "{problem}",
    "other models": "the model is {typed}; its models are {models}",
    "other plate": "the plate's heat input is {typed}, this unit's {printed}",
    "only the marks": "the marks can stand on this board; nothing measured speaks for or against it",
    "marks missing": "{selectors} missing in the marks",
    "no call like it": "this table has no call like {title}",
    "one stage": "{title} has one stage",
    "if it was": "if it was {title}",
    "if": "if {assumed}",
    "no airflow": "{why}",
    "reading says nothing": "the reading says nothing here",
    "reading refused": "{problem}",
    "static over the chart's": "static {static} is over the {most} that its chart holds to",
    "one of several": "one of {count} airflows, as some marks are not known",
}
WORDS: Mapping[str, str] = {**HEAT, **TARGETS, **HOUSE, **COMPLAINTS, **READINGS, **COIL, **WISHES, **CHARTS}
_SHOWS = {
    "actual": "the volume that moves",
    "standard": "standard air",
    "uncorrected": "pressure without density correction",
}
_NAMED: Mapping[str, Mapping[str, str]] = {"rule": {rule.name: rule.words for rule in DERATES}, "shows": _SHOWS}
"""Facts that are names of something that has words of its own."""


class RemarkData(Published, frozen=True, kw_only=True):
    """What is said beside an answer: `code` says what, `facts` hold the names and figures in it, `text` words it."""

    code: str
    facts: dict[str, str | float | tuple[str, ...]]
    text: str


def remark_text(one: Remark, table: Table) -> str:
    """The words, begun small and without a full stop: `your own cooling target is kept (330 cfm/ton)`."""
    said = {name: _fact_text(name, fact, table) for name, fact in one.facts}
    return WORDS[one.code].format_map(said)


def as_sentence(text: str) -> str:
    """A text as a sentence of its own."""
    return f"{text[:1].upper()}{text[1:]}" + ("" if text.endswith((".", "?")) else ".")


def remark_data(one: Remark, table: Table) -> RemarkData:
    """The same for JSON; a figure's value in the table's unit."""
    facts = {name: _fact_data(fact, table) for name, fact in one.facts}
    return RemarkData(code=one.code, facts=facts, text=remark_text(one, table))


def _fact_text(name: str, fact: Fact, table: Table) -> str:
    if isinstance(fact, Remark):
        return remark_text(fact, table)
    if isinstance(fact, Given | Worked):
        return written(in_table_units(fact, table))
    if isinstance(fact, tuple):
        return listed(fact)
    return _NAMED.get(name, {}).get(fact, fact)


def _fact_data(fact: Fact, table: Table) -> str | float | tuple[str, ...]:
    if isinstance(fact, Remark):
        return remark_text(fact, table)
    return float(in_table_units(fact, table).value) if isinstance(fact, Given | Worked) else fact
