"""The cards of a folder in one go: each job that can have one, none over a file that is there, nothing of a person's
changed."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.test_cli import run

LEFT = "format: selector job 1\ntable: corvane-k14\nmodel: 080\nplace: 12 Hill Road\nas left: {SW1: 10011000}\n"


@pytest.fixture
def houses(tmp_path: Path) -> Path:
    folder = tmp_path / "houses"
    folder.mkdir()
    (folder / "hill.yaml").write_text(LEFT)
    (folder / "dale.yaml").write_text(LEFT.replace("Hill", "Dale"))
    return folder


def test_every_job_gets_its_card(houses: Path, tmp_path: Path) -> None:
    before = {path.name: path.read_text() for path in houses.iterdir()}
    done = run("card", str(houses), "--out", str(tmp_path / "cards"), "--type", "html")
    assert done.returncode == 0, done.stderr
    assert sorted(path.name for path in (tmp_path / "cards").iterdir()) == ["dale.html", "hill.html"]
    assert "12 Hill Road" in (tmp_path / "cards" / "hill.html").read_text()
    assert {path.name: path.read_text() for path in houses.iterdir()} == before


def test_one_without_marks_is_named_and_the_others_are_printed(houses: Path, tmp_path: Path) -> None:
    (houses / "moor.yaml").write_text(LEFT.replace("as left: {SW1: 10011000}\n", ""))
    done = run("card", str(houses), "--out", str(tmp_path / "cards"))
    assert done.returncode == 1
    assert "moor.yaml: no card" in done.stderr
    assert sorted(path.name for path in (tmp_path / "cards").iterdir()) == ["dale.pdf", "hill.pdf"]


def test_where_one_is_there_none_is_written(houses: Path, tmp_path: Path) -> None:
    cards = tmp_path / "cards"
    cards.mkdir()
    (cards / "hill.pdf").write_text("mine")
    assert run("card", str(houses), "--out", str(cards)).returncode == 2
    assert [path.name for path in cards.iterdir()] == ["hill.pdf"]
    assert (cards / "hill.pdf").read_text() == "mine"
    assert run("card", str(houses), "--out", str(cards), "--force").returncode == 0
    assert sorted(path.name for path in cards.iterdir()) == ["dale.pdf", "hill.pdf"]


def test_a_folder_takes_no_marks(houses: Path, tmp_path: Path) -> None:
    assert run("card", str(houses), "SW1=10011000", "--out", str(tmp_path / "cards")).returncode == 2
