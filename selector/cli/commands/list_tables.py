"""`selector list`."""

from __future__ import annotations

import click

from selector.cli.common import print_json


@click.command("list")
@click.option("--json", "as_json", is_flag=True, help="Print the answer as JSON.")
def command(as_json: bool) -> None:
    """\b
    Example: selector list

    The tables in your own folder and those shipped with the program (all shipped ones are invented). Your own folder is
    the one that
    SELECTOR_TABLES names, else the data folder of your system.
    """
    from selector.problems import Refused
    from selector.table.library.library import listed, load, personal_folder

    rows = []
    for name, paths in listed().items():
        for path in paths:
            try:
                table, _ = load(path)
                rows.append(
                    {
                        "name": name,
                        "title": table.unit.title,
                        "maker": table.unit.maker,
                        "models": list(table.unit.models),
                        "path": path,
                        "problems": 0,
                    }
                )
            except Refused as refused:
                rows.append(
                    {
                        "name": name,
                        "title": "",
                        "maker": "",
                        "models": [],
                        "path": path,
                        "problems": len(refused.problems),
                    }
                )
    if as_json:
        print_json({"version": 1, "folder": personal_folder(), "tables": rows})
        return
    from tabulate import tabulate

    grid = [
        [
            str(r["name"]),
            str(r["maker"]),
            str(r["title"]),
            " ".join(map(str, r["models"] if isinstance(r["models"], list) else [])),
        ]
        for r in rows
        if not r["problems"]
    ]
    grid += [
        [str(r["name"]), "", f"has {r['problems']} problems: selector check {r['path']}", ""]
        for r in rows
        if r["problems"]
    ]
    click.echo(tabulate(grid, headers=["table", "maker", "unit", "models"], disable_numparse=True))
    click.echo(f"\nYour own tables go into {personal_folder()}", err=True)
