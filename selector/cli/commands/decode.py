"""`selector decode`."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from selector.cli.common import (
    at_terminal,
    columns,
    fact_options,
    print_blocks,
    print_record,
    units_option,
    within_bounds,
)
from selector.cli.words_offered import complete_marks, complete_table
from selector.table.model.table import Setting, Table

if TYPE_CHECKING:
    from selector.job.readings.settled_marks import SettledMark
    from selector.solve.engine.engine import Engine


IN_A_JOB = {
    "model": "model",
    "outdoor tons": "tons",
    "static pressure": "static",
    "firing rate": "firing rate",
    "supply voltage": "volts",
}
"""The options' facts under the names that a job has for them; others are facts of the table."""


@click.command("decode")
@click.argument("table", metavar="TABLE", shell_complete=complete_table)
@click.argument("marks", nargs=-1, metavar="MARKS...", shell_complete=complete_marks)
@fact_options
@click.option("--terminals", metavar="WORDS", help='Terminals energized, such as "Y1 G": what runs then.')
@click.option(
    "--measured",
    multiple=True,
    metavar="READING",
    help='What was measured, to settle an unreadable mark: "cooling second airflow=1380 cfm method=hood minutes=20".',
)
@click.option("--wide", is_flag=True, help="Draw with line characters.")
@click.option("--json", "as_json", is_flag=True, help="Print the answer as JSON.")
@units_option
def command(
    table: str,
    marks: tuple[str, ...],
    pairs: list[tuple[str, str]],
    terminals: str | None,
    measured: tuple[str, ...],
    wide: bool,
    as_json: bool,
) -> int:
    """\b
    Example: selector decode corvane-k14 SW1=10011000 --model 080

    Say what a board does as it is set. Type marks as you read them, in any order: SW1=10010110, SW1="on off ? on",
    SW1-4=on, J2=C, "J2=off pins", M1-Y1=3; ? for one that is unreadable. What you leave out counts as the
    factory setting, where the manual prints it.
    Without marks you are asked for each. A card's code, in quotes, stands alone: it names the table, the facts and
    the marks.
    """
    from selector.answers.decode import decode_answer, exit_code, lines
    from selector.card.code import looks_like_a_code
    from selector.job.readings.settled_marks import completed
    from selector.judge.decode import decode
    from selector.judge.floors_and_ceilings import engine_of
    from selector.solve.board.marks import half_read, read_marks, setting_of, unread_in
    from selector.solve.engine.together import energised, known_terminals
    from selector.solve.search.typed_facts import read_facts
    from selector.table.library.library import load

    code = next((word for word in (table, " ".join(marks)) if looks_like_a_code(word)), "")
    if code:
        engine, setting = _of_code(
            code, None if code == table else load(table)[0], marks if code == table else (), pairs
        )
        loaded, unread = engine.table, frozenset(i for i, at in enumerate(setting) if at is None)
    else:
        loaded, _ = load(table)
        if not marks:
            if not at_terminal():
                raise click.UsageError("Type the marks of the board, such as SW1=10011000, or ? for an unreadable one.")
            marks = _ask(loaded)
        read = read_marks(marks, loaded)
        loaded = loaded.half_read(half_read(marks, loaded))
        setting, unread = setting_of(read, loaded), unread_in(read)
        engine = engine_of(loaded, read_facts(pairs, loaded))
    with within_bounds():
        decoded = decode(engine, setting, unread)
        settled = _settled(loaded, pairs, measured, decoded.judgement.setting) if measured else ()
        if settled:
            decoded = decode(engine, completed(decoded.judgement.setting, settled), unread)
    words = terminals.replace(",", " ").split() if terminals else []
    if terminals is not None and not words:
        raise click.UsageError(f"--terminals is empty. This table names {' '.join(known_terminals(loaded))}.")
    names = {t.casefold() for t in known_terminals(loaded)}
    unknown = [w for w in words if w.casefold() not in names]
    if unknown:
        raise click.UsageError(
            f"`{unknown[0]}` is no terminal of this table. Type {' '.join(known_terminals(loaded))}."
        )
    running = energised(loaded, decoded.answers, words) if words else None
    if as_json:
        print_record(decode_answer(engine, decoded, running, settled))
    else:
        print_blocks(lines(engine, decoded, running, settled, wide=wide, columns=columns()))
    return exit_code(decoded, running)


def _settled(
    table: Table, pairs: list[tuple[str, str]], measured: tuple[str, ...], setting: Setting
) -> tuple[SettledMark, ...]:
    """What was measured says of the marks that can't be read, judged as in a job with the same facts."""
    from selector.job.board.state_readings import settled_by
    from selector.job.line.typed import job_from_pairs
    from selector.job.targets.house import house_of

    facts = [(IN_A_JOB.get(name, f"fact {name}"), text) for name, text in pairs if " in " not in name]
    job, _ = job_from_pairs([("table", table.name), *facts, *(("measured", text) for text in measured)])
    return settled_by(house_of(job, table), setting)


def _of_code(
    text: str, table: Table | None, more: tuple[str, ...], pairs: list[tuple[str, str]]
) -> tuple[Engine, Setting]:
    """What a card's code says of a board, with facts typed beside it: an engine that knows its altitude and derate as
    the job did, and the setting."""
    from selector.card.code import parsed_code, setting_of_code, table_of_code
    from selector.job.line.typed import job_from_pairs
    from selector.job.targets.house import house_of
    from selector.judge.floors_and_ceilings import engine_of
    from selector.solve.search.typed_facts import read_facts

    if more:
        raise click.UsageError("A card's code stands alone: it names the marks. Put all of it in one pair of quotes.")
    code = parsed_code(text)
    table = table or table_of_code(code)
    setting = setting_of_code(code, table)
    typed = next((value for name, value in pairs if name == "model"), code.model)
    if code.model and typed.casefold() != code.model.casefold():
        raise click.UsageError(
            f"This card was written for model {code.model}, not {typed}. Leave --model out, or read the board itself."
        )
    click.echo("the card's code agrees with this table", err=True)
    beside = [pair for pair in pairs if pair[0] != "model"]
    if not any(name != "model" for name, _ in code.facts):
        return engine_of(table, read_facts([*code.facts, *beside], table)), setting
    if beside:
        raise click.UsageError("This card's code brings its facts: leave the options out.")
    return house_of(job_from_pairs([("table", code.table), *code.facts], "card code")[0], table).engine, setting


def _ask(table: Table) -> tuple[str, ...]:
    """The marks of every selector, asked one by one."""
    from selector.problems import Refused
    from selector.solve.board.marks import read_marks

    out: list[str] = []
    for selector in table.selectors.values():
        part = table.parts[selector.parts[0]]
        count = len(selector.parts)
        hint = (
            f"{count} switches, 0 and 1 or words, ? unread"
            if count > 1 and not selector.exclusive
            else f"{' '.join(part.positions)}, ? unread"
        )
        while True:
            typed = click.prompt(
                f"{selector.name} ({selector.kind}: {hint})",
                default="?" * count if count > 1 and not selector.exclusive else "unread",
                show_default=False,
            )
            try:
                read_marks([f"{selector.name}={typed}"], table)
            except Refused as wrong:
                click.echo(f"{wrong.problems[0].message}; {wrong.problems[0].help}", err=True)
                continue
            out.append(f"{selector.name}={typed}")
            break
    return tuple(out)
