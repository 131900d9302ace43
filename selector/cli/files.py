"""Writing a file for a person: whole or not at all, and never over one that is there unless told to."""

from __future__ import annotations

import os
import sys
import tempfile

import click


def write_new(path: str, data: bytes, *, force: bool | None = None) -> None:
    """Write a file completely, or leave nothing; `-` is standard output. UsageError says why it can't be.

    `force` replaces a file that is there; None where the command can't be told to.
    """
    if path == "-":
        sys.stdout.buffer.write(data)
        return
    refuse_unwritable(path, force=force)
    name, reserved = "", False
    try:
        handle, name = tempfile.mkstemp(dir=_folder(path), prefix=".selector-")
        with os.fdopen(handle, "wb") as file:
            file.write(data)
        os.chmod(name, 0o644)
        if not force:
            os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY))
            reserved = True
        os.replace(name, path)
    except FileExistsError as error:
        _forget(name)
        raise _there(path, force) from error
    except OSError as error:
        _forget(name)
        if reserved:
            _forget(path)
        raise click.UsageError(f"{path} can't be written: {_why(error)}") from error
    click.echo(f"wrote {path}", err=True)


def refuse_unwritable(path: str, *, force: bool | None = None) -> None:
    """UsageError where a file of this name can't be written, to be said before anything is asked or worked out."""
    if path == "-":
        return
    if "\0" in path or not os.path.basename(path):
        raise click.UsageError(f"{path!r} is no name of a file")
    folder = _folder(path)
    if os.path.isdir(path):
        raise click.UsageError(
            f"{path} is a folder; give the name of a file in it, such as {os.path.join(path, 'my-furnace.yaml')}"
        )
    if os.path.lexists(path) and not force:
        raise _there(path, force)
    if not os.path.isdir(folder):
        raise click.UsageError(
            f"{path} can't be written: there is no folder {folder}; make it first, or name a file elsewhere"
        )
    try:
        handle, name = tempfile.mkstemp(dir=folder, prefix=".selector-")
    except OSError as error:
        raise click.UsageError(
            f"{path} can't be written: {_why(error)}; name a file in a folder of your own"
        ) from error
    os.close(handle)
    os.unlink(name)


def _folder(path: str) -> str:
    return os.path.dirname(os.path.abspath(path))


def _there(path: str, force: bool | None) -> click.UsageError:
    return click.UsageError(
        f"{path} is there already; name another file" + (", or add --force to replace it" if force is not None else "")
    )


def _forget(name: str) -> None:
    if name and os.path.lexists(name):
        os.unlink(name)


def _why(error: OSError) -> str:
    if isinstance(error, FileNotFoundError):
        return "nothing can be written in this folder"
    return (
        "you may not write in this folder"
        if isinstance(error, PermissionError)
        else (error.strerror or type(error).__name__).lower()
    )
