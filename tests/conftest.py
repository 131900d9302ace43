"""Hypothesis: the same examples on every run where CI is set, and failures reported as found;
fresh ones, and failures made small, elsewhere; no timed tests. Nothing is kept in a person's cache."""

from __future__ import annotations

import os

from hypothesis import Phase, settings

settings.register_profile("ci", deadline=None, derandomize=True, phases=(Phase.explicit, Phase.generate))
settings.register_profile("here", deadline=None)
settings.load_profile("ci" if os.environ.get("CI") else "here")
os.environ.setdefault("SELECTOR_INDEX", "off")
