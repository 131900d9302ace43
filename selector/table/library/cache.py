"""A person's cache folder: what is in it may be deleted at any time, is JSON alone, and is used only where nobody else
may write."""

from __future__ import annotations

import os
import sys
from contextlib import suppress

OFF = "SELECTOR_INDEX"
"""Set to `off`, nothing is kept between two commands."""


def in_use() -> bool:
    """False where nothing is to be kept, or where others may write: they could put other figures there."""
    if os.environ.get(OFF, "").casefold() == "off":
        return False
    if sys.platform == "win32":
        return True
    try:
        at = os.stat(cache_folder())
    except OSError:
        return True
    return at.st_uid == os.geteuid() and not at.st_mode & 0o022


def cache_folder() -> str:
    """The platform's folder for what may be deleted."""
    home = os.path.expanduser("~")
    if sys.platform == "win32":
        return os.path.join(os.environ.get("LOCALAPPDATA", home), "selector", "cache")
    if sys.platform == "darwin":
        return os.path.join(home, "Library", "Caches", "selector")
    return os.path.join(os.environ.get("XDG_CACHE_HOME") or os.path.join(home, ".cache"), "selector")


def read_kept(*names: str) -> bytes | None:
    """What is kept under a name in the folder, None where there is nothing."""
    try:
        with open(os.path.join(cache_folder(), *names), "rb") as file:
            return file.read()
    except (OSError, ValueError):
        return None


def keep(data: bytes, *names: str) -> None:
    """Keep this under a name, whole or not at all; where nothing can be written, nothing is kept."""
    path = os.path.join(cache_folder(), *names)
    part = f"{path}.{os.getpid()}"
    with suppress(OSError, ValueError):
        os.makedirs(cache_folder(), mode=0o700, exist_ok=True)
        os.makedirs(os.path.dirname(path), mode=0o700, exist_ok=True)
        try:
            with open(part, "xb") as file:
                file.write(data)
            os.replace(part, path)
        except BaseException:
            with suppress(OSError):
                os.unlink(part)
            raise
