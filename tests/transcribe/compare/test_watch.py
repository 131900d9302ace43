"""Looking again on save, and many tables in a stable order."""

from __future__ import annotations

import itertools
import os
import random
import shutil
from pathlib import Path

import pytest

from selector.review.folder import check_each, natural, tables_in
from selector.transcribe.compare.watch import Stamp, changed_files, stamp

TABLES = Path(__file__).parents[3] / "tables"


def watched(stamps: dict[str, list[Stamp]]) -> list[tuple[str, ...]]:
    """What is told when each look at a file finds the next of its stamps; looks are bounded by the longest list."""
    rest = {p: iter([*s, *itertools.repeat(s[-1], 50)]) for p, s in stamps.items()}
    slept: list[float] = []
    found = list(
        changed_files(
            list(stamps),
            every=0.25,
            times=max(len(s) for s in stamps.values()),
            sleep=slept.append,
            look=lambda p: next(rest[p]),
        )
    )
    assert slept == [0.25] * max(len(s) for s in stamps.values())
    return found


def test_every_file_is_told_first_and_then_only_those_that_were_saved() -> None:
    assert watched({"a": [(1, 10), (1, 10), (2, 12), (2, 12), (2, 12)], "b": [(5, 1)] * 5}) == [("a", "b"), ("a",)]


def test_a_file_being_written_is_told_once_it_is_at_rest() -> None:
    assert watched({"a": [(1, 10), (2, 3), (3, 7), (4, 12), (4, 12), (4, 12)]}) == [("a",), ("a",)]


def test_a_file_that_goes_away_is_told_when_it_is_back() -> None:
    assert watched({"a": [(1, 10), None, None, (2, 10), (2, 10), (2, 10)]}) == [("a",), ("a",)]


def test_an_editor_that_writes_a_new_file_with_the_old_size_is_seen() -> None:
    assert watched({"a": [(1, 10), (2, 10), (2, 10)]}) == [("a",), ("a",)]


def test_looking_ends_when_the_bound_is_reached() -> None:
    assert watched({"a": [(1, 1)] * 4}) == [("a",)]


def test_a_real_file(tmp_path: Path) -> None:
    path = tmp_path / "t.yaml"
    path.write_text("a", encoding="utf-8")
    seen = []
    looks = iter(range(3))

    def save(_: float) -> None:
        if next(looks) == 0:
            path.write_text("longer", encoding="utf-8")

    for changed in changed_files([str(path)], times=3, sleep=save):
        seen.append(changed)
    assert seen == [(str(path),), (str(path),)]
    assert stamp(str(tmp_path / "none.yaml")) is None


def test_a_file_that_comes_later_is_told_once_it_is_at_rest() -> None:
    listings = iter([["a"], ["a", "b"], ["a", "b"], ["a", "b"]])
    stamps = {"a": (1, 1), "b": (2, 2)}
    found = changed_files(["a"], times=4, sleep=lambda _: None, look=stamps.get, there=lambda: next(listings))
    assert list(found) == [("a",), ("b",)]


def test_numbers_in_names_are_ordered_as_numbers() -> None:
    names = ["k-14.yaml", "k-9.yaml", "K-10.yaml", "a.yaml", "k-09.yaml"]
    wanted = ["a.yaml", "k-09.yaml", "k-9.yaml", "K-10.yaml", "k-14.yaml"]
    for seed in range(20):
        random.Random(seed).shuffle(names)
        assert sorted(names, key=natural) == wanted


def test_folders_are_gone_through_in_one_order_and_hidden_files_left_out(tmp_path: Path) -> None:
    for name in ("b/k-10.yaml", "b/k-2.yaml", "a.yml", "c.txt", ".hidden.yaml", ".git/x.yaml"):
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_text("", encoding="utf-8")
    found = [os.path.relpath(p, tmp_path) for p in tables_in([str(tmp_path), str(tmp_path / "a.yml")])]
    assert found == ["a.yml", os.path.join("b", "k-2.yaml"), os.path.join("b", "k-10.yaml")]


def test_one_table_that_is_refused_doesnt_stop_the_others(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SELECTOR_INDEX", "on")
    for folder in ("XDG_CACHE_HOME", "LOCALAPPDATA", "HOME"):
        monkeypatch.setenv(folder, str(tmp_path / ".kept"))
    shutil.copy(TABLES / "wickerby-5.yaml", tmp_path / "a.yaml")
    (tmp_path / "b.yaml").write_text("format: selector table 9\n", encoding="utf-8")
    shutil.copy(TABLES / "corvane-k14.yaml", tmp_path / "c.yaml")
    paths, counted = tables_in([str(tmp_path)]), []
    found = check_each(paths, told=lambda done, count: counted.append((done, count)))
    assert [(f.path, f.refused) for f in found] == list(zip(paths, (False, True, False), strict=True))
    assert [(p.code, p.file) for p in found[1].problems] == [("newer-format", paths[1])]
    # the second time nothing is read, and another file of the same content is known
    os.rename(tmp_path / "b.yaml", tmp_path / "d.yaml")
    again = check_each(tables_in([str(tmp_path)]), told=lambda done, count: counted.append((done, count)))
    assert counted == [(1, 3), (2, 3), (3, 3)]
    assert [f.review for f in again] == [found[0].review, found[2].review, found[1].review]
    assert again[2].problems[0].file == str(tmp_path / "d.yaml")


@pytest.mark.parametrize("name", ["corvane-k14", "saltmarsh-12", "garrowby-r", "tarnwick-d", "brindlemoor-16s"])
def test_a_page_typed_right_has_no_finding(name: str) -> None:
    found = list(check_each([name]))
    assert found[0].review.findings == ()
