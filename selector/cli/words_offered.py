"""The words a shell is offered: tables and files of your own, models, selectors and positions, calls, facts."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from selector.table.model.table import Table


def complete_table(_ctx: click.Context, _param: click.Parameter, incomplete: str) -> list[str]:
    """Names of tables, and files of your own below this folder."""
    from selector.table.library.library import listed

    return [*(n for n in listed() if n.startswith(incomplete)), *_files(incomplete, "yaml", "yml")]


def complete_page(_ctx: click.Context, _param: click.Parameter, incomplete: str) -> list[str]:
    """Files that hold a page to import."""
    return _files(incomplete, "csv", "tsv", "txt", "xlsx")


def complete_schema(_ctx: click.Context, _param: click.Parameter, incomplete: str) -> list[str]:
    """Names of the published schemas."""
    from selector.table.library.library import shipped_names

    return [n for n in shipped_names("schemas") if n.startswith(incomplete)]


def complete_model(ctx: click.Context, _param: click.Parameter, incomplete: str) -> list[str]:
    """Models of the table named before."""
    table = _table_of(ctx)
    return [m for m in table.unit.models if m.startswith(incomplete)] if table is not None else []


def complete_fact(ctx: click.Context, _param: click.Parameter, incomplete: str) -> list[str]:
    """Facts that the table declares, then their values."""
    table = _table_of(ctx)
    if table is None:
        return []
    name, equals, typed = incomplete.partition("=")
    fact = table.facts.get(name)
    if not equals:
        return [f"{n}=" for n in table.facts if n.startswith(name)]
    return [f"{name}={v}" for v in fact.values if v.startswith(typed)] if fact is not None else []


def complete_marks(ctx: click.Context, _param: click.Parameter, incomplete: str) -> list[str]:
    """Selectors and their positions: `J2=` first, then `J2=A`."""
    table = _table_of(ctx)
    if table is None:
        return []
    name, equals, typed = incomplete.partition("=")
    if not equals:
        names = (*table.selectors, *(p.name for p in table.parts if p.name not in table.selectors))
        return [f"{n}=" for n in names if n.lower().startswith(name.lower())]
    part = table.part(name)
    positions = part.positions if part is not None else ()
    return [f"{name}={p}" for p in positions if p.casefold().startswith(typed.casefold())]


def complete_target(ctx: click.Context, _param: click.Parameter, incomplete: str) -> list[str]:
    """Calls of the table named before, with their stages."""
    table = _table_of(ctx)
    if table is None:
        return []
    titles = [t for c in table.calls.values() for t in (c.name, *(f"{c.name} {s}" for s in c.stages if s))]
    return [f"{t}=" for t in dict.fromkeys(titles) if t.startswith(incomplete)]


def complete_job_fact(ctx: click.Context, _param: click.Parameter, incomplete: str) -> list[str]:
    """Facts of a job: `tons=`, `altitude=`, `found SW1=` of the table named before."""
    from selector.job.line.typed_names import known_names

    table = _table_of(ctx)
    names = list(known_names())
    if table is not None:
        names += [f"{when} {n}" for when in ("found", "left") for n in table.selectors]
    return [f"{n}=" for n in dict.fromkeys(names) if n.startswith(incomplete)]


def _files(incomplete: str, *endings: str) -> list[str]:
    """Files below what was typed, and folders to go into."""
    import glob

    folder = os.path.expanduser(incomplete)
    found = sorted(glob.glob(glob.escape(folder) + "*"))
    return [f"{p}/" if os.path.isdir(p) else p for p in found if os.path.isdir(p) or p.rpartition(".")[2] in endings]


def _table_of(ctx: click.Context) -> Table | None:
    from selector.problems import Refused
    from selector.table.library.library import load

    given = (ctx.params.get("table"), ctx.params.get("job"), *ctx.args)  # an option without its value ends the reading
    name = next((g for g in given if isinstance(g, str) and "=" not in g), None)
    try:
        return load(name)[0] if name is not None else None
    except Refused:
        return None
