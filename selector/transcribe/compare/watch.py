"""Files looked at again whenever they are saved: polling, bounded, and testable without waiting."""

from __future__ import annotations

import os
import time
from collections.abc import Callable, Iterator, Sequence

Stamp = tuple[int, int] | None


def stamp(path: str) -> Stamp:
    """(time of change in nanoseconds, size), None where there is no file."""
    try:
        found = os.stat(path)
    except OSError:
        return None
    return found.st_mtime_ns, found.st_size


def changed_files(
    paths: Sequence[str],
    *,
    every: float = 0.3,
    times: int | None = None,
    sleep: Callable[[float], object] = time.sleep,
    look: Callable[[str], Stamp] = stamp,
    there: Callable[[], Sequence[str]] = tuple,
) -> Iterator[tuple[str, ...]]:
    """The files that were saved since the last look, each time some were; all of them the first time. `there` lists
    those that came since.

    Looks every `every` seconds, `times` times (None: until the caller stops asking). A file half written is looked at
    once more when it has come to
    rest: a change is told after a look that finds it as it was the look before. A file that went away is told when it
    comes back.
    """
    known: dict[str, Stamp] = {p: look(p) for p in paths}
    moving: dict[str, Stamp] = {}
    yield tuple(paths)
    looks = 0
    while times is None or looks < times:
        looks += 1
        sleep(every)
        told = []
        for path in there():
            known.setdefault(path, None)
        for path in known:
            now = look(path)
            if now == known[path] and path not in moving:
                continue
            if now is None:
                known[path] = None
                moving.pop(path, None)
            elif moving.get(path) == now:
                del moving[path]
                if now != known[path]:
                    known[path] = now
                    told.append(path)
            else:
                moving[path] = now
        if told:
            yield tuple(told)
