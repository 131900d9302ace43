"""`selector found`."""

from __future__ import annotations

import click

from selector.cli.jobs import give, job_arguments, job_of, save_job
from selector.cli.streams import terminal_columns


@click.command("found")
@job_arguments
def command(job: str, facts: tuple[str, ...], why: str | None, save: str | None, as_json: bool) -> int:
    """\b
    Example: selector found corvane-k14 model=080 tons=3 "found SW1=10011000"

    Does a board as found suit the equipment and the house? Every call judged, the fewest moves that put it right, or
    which unread position
    to look at first; with a complaint, what to look at before the board. Type what you saw that can
    hurt: "seen=CO alarm". A board that was never set: found=factory.
    """
    from selector.answers.danger import subjects, with_dangers
    from selector.answers.house.found import found_report
    from selector.job.as_found.as_found import as_found, no_marks
    from selector.job.danger.hazard import no_moves
    from selector.job.danger.house import hazards_of_board
    from selector.job.file.report import Report
    from selector.job.targets.house import house_of

    typed = job_of(job, facts, save)
    house = house_of(typed)
    save_job(typed, save)
    dangers = hazards_of_board(house, house.known.found)
    offered = not no_moves(dangers)

    def work() -> Report:
        if house.known.found is None and dangers and not as_json:
            return with_dangers(
                Report(lines=(), data={}, exit_code=1, problems=(no_marks(house),)), dangers, house.table
            )
        told, answer = subjects(dangers), as_found(house, offered=offered)
        report = found_report(answer, columns=terminal_columns(), told=told, why=why is not None)
        return with_dangers(report, dangers, house.table)

    return give(
        work,
        why=why,
        as_json=as_json,
        table=house.table,
    )
