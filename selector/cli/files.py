"""Writing a file for a person: whole or not at all, and never over one that is there."""

from __future__ import annotations

import os
import sys
import tempfile

import click


def write_new(path: str, data: bytes, *, force: bool = False) -> None:
    """Write a file completely, or leave nothing. Refuses to replace an existing one unless told to; `-` is standard output."""
    if path == "-":
        sys.stdout.buffer.write(data)
        return
    if os.path.exists(path) and not force:
        raise click.UsageError(f"{path} is there already; name another file, or add --force to replace it")
    folder = os.path.dirname(os.path.abspath(path))
    try:
        handle, name = tempfile.mkstemp(dir=folder, prefix=".selector-")
    except OSError as wrong:
        raise click.UsageError(f"{path} can't be written: {wrong.strerror}") from wrong
    try:
        with os.fdopen(handle, "wb") as f:
            f.write(data)
        os.chmod(name, 0o644)
        if force:
            os.replace(name, path)
        else:
            os.link(name, path)
            os.unlink(name)
    except OSError as wrong:
        if os.path.exists(name):
            os.unlink(name)
        raise click.UsageError(f"{path} can't be written: {wrong.strerror}") from wrong
    click.echo(f"wrote {path}", err=True)
