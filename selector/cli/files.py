"""Writing a file for a person: whole or not at all, never over one that is there unless told to, never over what was
read."""

from __future__ import annotations

import os
import sys
import tempfile
from collections.abc import Iterable

import click


def write_new(path: str, data: bytes, *, force: bool | None = None, inputs: Iterable[str] = ()) -> None:
    """Write a file completely, or leave nothing; `-` is standard output. UsageError says why it can't be.

    `force` replaces an ordinary file that is there; None where the command can't be told to. None of `inputs` is
    ever replaced. The file appears under its name only once it is whole, with the rights that the umask gives.
    """
    if path == "-":
        sys.stdout.buffer.write(data)
        return
    refuse_unwritable(path, force=force, inputs=inputs)
    name = ""
    try:
        handle, name = tempfile.mkstemp(dir=_folder(path), prefix=".selector-")
        with os.fdopen(handle, "wb") as file:
            file.write(data)
        os.chmod(name, 0o666 & ~_umask())
        if force:
            os.replace(name, path)
        else:
            _give_name(name, path)
    except FileExistsError as error:
        raise _there(path, force) from error
    except OSError as error:
        raise click.UsageError(f"{path} can't be written: {_why(error)}") from error
    finally:
        _forget(name)
    click.echo(f"wrote {path}", err=True)


def refuse_unwritable(path: str, *, force: bool | None = None, inputs: Iterable[str] = ()) -> None:
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
    if any(_same(path, read) for read in inputs):
        raise click.UsageError(f"{path} is the file that is read; name another one to write")
    if os.path.lexists(path):
        if not force:
            raise _there(path, force)
        if not os.path.isfile(path):
            raise click.UsageError(f"{path} is not an ordinary file; name another one")
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


def ending_of(path: str, *endings: str) -> str:
    """The ending of a name, one of `endings` (the first where the answer goes to standard output). UsageError where
    it has another one: what is in a file should be told by its name."""
    if path == "-":
        return endings[0]
    ending = os.path.splitext(path)[1].casefold().removeprefix(".")
    if ending not in endings:
        listed = " or ".join(f".{e}" for e in endings if e != "htm")
        raise click.UsageError(f"Use {listed} for the name of the file: {os.path.splitext(path)[0]}.{endings[0]}")
    return ending


def _give_name(name: str, path: str) -> None:
    """The whole file under its name, unless one is there: in one step, so that nothing half done is ever seen."""
    try:
        os.link(name, path)
    except FileExistsError:
        raise
    except OSError:  # a file system without links: the name is taken first
        os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY))
        os.replace(name, path)


def _umask() -> int:
    """What a new file of this person may not be."""
    mask = os.umask(0)
    os.umask(mask)
    return mask


def _same(path: str, read: str) -> bool:
    try:
        return os.path.samefile(path, read)
    except OSError:
        return False


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
