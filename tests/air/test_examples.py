"""The examples in the docstrings of this room run as tests, and every public formula has one."""

from __future__ import annotations

import doctest
import importlib
import inspect
import pkgutil
from types import ModuleType

import pytest

import selector.air
from selector import units

MODULES = [
    importlib.import_module(found.name)
    for found in pkgutil.walk_packages(selector.air.__path__, "selector.air.")
    if not found.ispkg
] + [units]
FORMULAS = [module for module in MODULES if not module.__name__.rpartition(".")[2].startswith(("shown", "arithmetic"))]


@pytest.mark.parametrize("module", MODULES, ids=lambda module: module.__name__)
def test_examples_run(module: ModuleType) -> None:
    assert doctest.testmod(module).failed == 0


@pytest.mark.parametrize("module", FORMULAS, ids=lambda module: module.__name__)
def test_public_functions_carry_examples(module: ModuleType) -> None:
    functions = [
        function for name, function in inspect.getmembers(module, inspect.isfunction) if not name.startswith("_")
    ]
    own = [function for function in functions if function.__module__ == module.__name__]
    without = {function.__name__ for function in own if ">>>" not in (function.__doc__ or "")}
    plain = {
        "positive",
        "spelling",
        "difference_unit",
        "renamed",
        "chain",
        "tokens",
        "plain",
    }  # helpers that compute nothing
    assert own
    assert without <= plain
