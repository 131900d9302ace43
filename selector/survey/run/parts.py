"""The folder of a survey that is under way: parts written whole, and what they were made of.

Killed at any moment it can be taken up again: a part that is there is whole, and is not made again.
"""

from __future__ import annotations

import json
import os
import shutil
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from typing import Any

from selector.problems import Problem, Refused
from selector.survey.board.lookup import RELATIONS
from selector.survey.columns import whole_file

ENDING = ".parts"
_MANIFEST = "manifest.json"
STAGES = "part-of-stages"


class Parts:
    """The folder `VERDICTS.parts` beside the file to be written, or within a folder to be written."""

    def __init__(self, out: str) -> None:
        self.out = out
        self.folder = os.path.join(out, ENDING) if os.path.isdir(out) or out.endswith(os.sep) else out + ENDING
        self._gone = f"{self.folder}.done"

    def part(self, number: int, kind: str = "part") -> str:
        """The file of a part; `kind` is part, STAGES or the name of a relation."""
        return os.path.join(self.folder, f"{kind}-{number:06d}.parquet")

    def whole(self, *, stages: bool) -> int:
        """How many parts from the first on are whole."""
        kinds = ("part", STAGES) if stages else ("part",)
        number = 0
        while all(os.path.exists(self.part(number, kind)) for kind in kinds):
            number += 1
        return number

    def lookups(self, number: int) -> Iterator[tuple[str, str]]:
        """(relation, file) of the rows that a part added."""
        for relation in (*RELATIONS, "counted"):
            path = self.part(number, relation)
            if os.path.exists(path):
                yield relation, path

    @contextmanager
    def held(self) -> Iterator[None]:
        """Only one survey at a time writes here: Refused for the second one. The hold ends with the process."""
        shutil.rmtree(self._gone, ignore_errors=True)
        os.makedirs(self.folder, exist_ok=True)
        with open(os.path.join(self.folder, "lock"), "a", encoding="utf-8") as file:
            if not _locked(file):
                message = "Another survey is writing this file."
                raise self._refused("in-use", message, "Wait for it, or name another file.")
            yield

    def manifest(self) -> dict[str, Any]:
        """What the parts were made of; empty where there are none."""
        try:
            with open(os.path.join(self.folder, _MANIFEST), encoding="utf-8") as file:
                found = json.load(file)
        except (OSError, ValueError):
            return {}
        return found if isinstance(found, dict) else {}

    def write_manifest(self, data: Mapping[str, Any]) -> None:
        """Say what the parts are made of."""
        with whole_file(os.path.join(self.folder, _MANIFEST)) as name, open(name, "w", encoding="utf-8") as file:
            json.dump(data, file, indent=1)

    def refuse_other(self, data: Mapping[str, Any]) -> None:
        """Refused where the parts were made of something else."""
        known = self.manifest()
        for key, said in (
            ("input", "the records"),
            ("options", "the options"),
            ("program", "the program"),
            ("tables", "a table"),
        ):
            if known.get(key) != data[key]:
                message = f"This survey can't be taken up again: {said} changed since it was begun."
                raise self._refused("other-survey", message, f"Delete {self.folder} and begin anew.")

    def refuse_begun(self) -> None:
        """Refused where a survey was begun and nobody said to take it up."""
        message = "A survey of this name was begun and not finished."
        help = f"Take it up with --resume, or delete {self.folder} and begin anew."
        raise self._refused("begun", message, help)

    def empty(self) -> None:
        """Take away what an earlier survey left in the folder, but for the lock."""
        for name in os.listdir(self.folder):
            if name != "lock":
                with suppress(OSError):
                    os.unlink(os.path.join(self.folder, name))

    def remove(self) -> None:
        """The survey is done: the folder is taken up again or is gone, nothing between."""
        with suppress(OSError):  # Windows renames no folder with an open file in it
            os.replace(self.folder, self._gone)
        shutil.rmtree(self._gone, ignore_errors=True)
        shutil.rmtree(self.folder, ignore_errors=True)

    def _refused(self, code: str, message: str, help: str) -> Refused:
        return Refused([Problem(file=self.out, line=0, column=0, code=code, message=message, help=help)])


def _locked(file: Any) -> bool:
    try:
        import fcntl
    except ImportError:  # Windows: a file that is open can't be locked twice either
        import msvcrt

        try:
            msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)  # type: ignore[attr-defined]
        except OSError:
            return False
        return True
    try:
        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        return False
    return True
