"""What to install where a library of a survey is missing."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from selector.problems import Problem, Refused


@contextmanager
def needed(library: str, extra: str = "survey") -> Iterator[None]:
    """Refused with what to type where the library inside can't be imported."""
    try:
        yield
    except ImportError as error:
        raise Refused(
            [
                Problem(
                    file="survey",
                    line=0,
                    column=0,
                    code="no-library",
                    message=f"A survey needs the library {library}.",
                    help=f"Install it with: pip install 'blower-selector[{extra}]'",
                )
            ]
        ) from error
