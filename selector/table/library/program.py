"""Marks of this program: what was worked out by another one is not to be used again."""

from __future__ import annotations

import os
from functools import cache
from zlib import crc32

from selector import __version__


@cache
def program_mark() -> str:
    """The same as long as no line of the program changes."""
    from hashlib import blake2b

    found = blake2b(__version__.encode(), digest_size=16)
    top = os.path.dirname(os.path.dirname(os.path.dirname(os.path.abspath(__file__))))
    for folder, inner, names in sorted(os.walk(top)):
        inner[:] = [one for one in inner if one != "__pycache__"]
        for name in sorted(names):
            if name.endswith((".py", ".sql")):
                with open(os.path.join(folder, name), "rb") as file:
                    found.update(name.encode() + b"\0" + file.read() + b"\0")
    return found.hexdigest()


@cache
def reader_signs() -> str:
    """The same as long as no module changes that a table is read and checked by: the version, and of each module the
    size and time by which Python itself knows one from its compiled form. Quick: modules aren't opened."""
    top = os.path.dirname(os.path.dirname(os.path.dirname(os.path.abspath(__file__))))
    if not os.path.isdir(top):  # run from a zip
        while not os.path.exists(top):
            top = os.path.dirname(top)
        at = os.stat(top)
        return f"{__version__} {at.st_size} {at.st_mtime_ns}"
    found: list[str] = []
    folders = [top, os.path.join(top, "table")]
    for folder in folders:
        with os.scandir(folder) as entries:
            for entry in entries:
                if entry.name.endswith(".py"):
                    at = entry.stat()
                    found.append(f"{entry.name} {at.st_size} {at.st_mtime_ns}")
                elif folder != top and entry.name != "__pycache__" and entry.is_dir():
                    folders.append(entry.path)
    return f"{__version__} {crc32(' '.join(sorted(found)).encode()):08x} {len(found)}"
