"""`selector check` on folders: every table in a stable order, a bar where a person looks on, files that come later
seen."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from selector.cli.main import run
from tests.helpers.typist import Terminal

TABLES = Path(__file__).parents[2] / "tables"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Five tables, one of them with a slip, in a folder with one inside it."""
    (tmp_path / "old").mkdir()
    for name in ("k-2", "k-10", "a", "old/b"):
        shutil.copy(TABLES / "wickerby-5.yaml", tmp_path / f"{name}.yaml")
    (tmp_path / "bad.yaml").write_text(
        (TABLES / "wickerby-5.yaml").read_text(encoding="utf-8").replace("305 270", "3o5 270"), encoding="utf-8"
    )
    return tmp_path


def test_a_folder_is_checked_in_a_stable_order(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["check", str(folder)]) == 1
    lines = capsys.readouterr().out.splitlines()
    assert lines[0].startswith(f"{folder / 'bad.yaml'}:19:10:")
    good = [line.partition(": ")[0] for line in lines if line.endswith("no problems")]
    assert good == [str(folder / f"{name}.yaml") for name in ("a", "k-2", "k-10", "old/b")]


def test_a_folder_without_tables_is_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["check", str(tmp_path)]) == 2
    assert "No table in the folder" in capsys.readouterr().err


def test_no_count_for_a_few_tables(folder: Path) -> None:
    at = Terminal("check", "a.yaml", cwd=folder)
    assert at.end() == 0
    assert "tables" not in at.said
