"""`selector decode`."""

from __future__ import annotations

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


@click.command("decode")
@click.argument("table", metavar="TABLE", shell_complete=complete_table)
@click.argument("marks", nargs=-1, metavar="MARKS...", shell_complete=complete_marks)
@fact_options
@click.option("--terminals", metavar="WORDS", help='Terminals energized, such as "Y1 G": what runs then.')
@click.option("--wide", is_flag=True, help="Draw with line characters.")
@click.option("--json", "as_json", is_flag=True, help="Print the answer as JSON.")
@units_option
def command(
    table: str,
    marks: tuple[str, ...],
    pairs: list[tuple[str, str]],
    terminals: str | None,
    wide: bool,
    as_json: bool,
) -> int:
    """\b
    Example: selector decode corvane-k14 SW1=10011000 --model 080

    Say what a board does as it is set. Type marks as you read them, in any order: SW1=10010110, SW1="on off ? on",
    SW1-4=on, J2=C, "J2=off pins", M1-Y1=3; ? for one that is unreadable; or a card's code, in quotes. What you leave
    out counts as not known. Without marks you are asked for each.
    """
    from selector.answers.decode import decode_answer, exit_code, lines
    from selector.judge.decode import decode
    from selector.solve.engine.engine import Engine
    from selector.solve.engine.together import energised, known_terminals
    from selector.solve.search.typed_facts import read_facts
    from selector.table.library.library import load

    loaded, _ = load(table)
    if not marks:
        if not at_terminal():
            raise click.UsageError("Type the marks of the board, such as SW1=10011000, or ? for an unreadable one.")
        marks = _ask(loaded)
    setting, unread, model = _setting(marks, loaded)
    typed = next((value for name, value in pairs if name == "model"), model)
    if model and typed.casefold() != model.casefold():
        raise click.UsageError(
            f"This card was written for model {model}, not {typed}. Leave --model out, or read the board itself."
        )
    given = any(name == "model" for name, _ in pairs)
    known = read_facts([*pairs, ("model", model)] if model and not given else pairs, loaded)
    engine = Engine(loaded, known)
    with within_bounds():
        decoded = decode(engine, setting, unread)
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
        print_record(decode_answer(engine, decoded, running))
    else:
        print_blocks(lines(engine, decoded, running, wide=wide, columns=columns()))
    return exit_code(decoded, running)


def _setting(marks: tuple[str, ...], table: Table) -> tuple[Setting, frozenset[int], str]:
    """The setting of marks typed, with the parts typed as unread, or of the code of a card (which refuses another
    table or edition) with the model it names, else empty."""
    from selector.solve.board.marks import read_marks, setting_of, unread_in

    if any("edition " in word.casefold() for word in marks):
        from selector.card.code import code_model, read_card_code

        code = " ".join(marks)
        setting = read_card_code(code, table)
        click.echo("the card's code agrees with this table", err=True)
        return setting, frozenset(i for i, at in enumerate(setting) if at is None), code_model(code)
    read = read_marks(marks, table)
    return setting_of(read, table), unread_in(read), ""


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
