"""Hypothesis: the same examples on every run where CI is set, fresh ones elsewhere; no timed tests."""

from __future__ import annotations

import os

from hypothesis import settings

settings.register_profile("ci", deadline=None, derandomize=True)
settings.register_profile("here", deadline=None)
settings.load_profile("ci" if os.environ.get("CI") else "here")
