"""Files for people: written whole or not at all, never over one that is there; a folder that can't be written is
said before anything is asked."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from pathlib import Path

import click
import pytest

from selector.cli.files import ending_of, refuse_unwritable, write_new

ROOT = Path(__file__).parents[2]
HERE = {**os.environ, "PYTHONPATH": str(ROOT), "PYTHONDONTWRITEBYTECODE": "1"}
NOBODY = 65534
"""The user that owns nothing; root may write anywhere."""


def test_a_file_that_is_there_is_never_touched(tmp_path: Path) -> None:
    path = tmp_path / "mine.yaml"
    path.write_bytes(b"what I typed\n")
    with pytest.raises(click.UsageError, match=r"is there already; name another file$"):
        write_new(str(path), b"other")
    with pytest.raises(click.UsageError, match="or add --force to replace it"):
        write_new(str(path), b"other", force=False)
    assert path.read_bytes() == b"what I typed\n"
    assert os.listdir(tmp_path) == ["mine.yaml"]


def test_a_link_that_leads_nowhere_is_not_replaced(tmp_path: Path) -> None:
    (tmp_path / "mine.yaml").symlink_to(tmp_path / "gone.yaml")
    with pytest.raises(click.UsageError, match="is there already"):
        write_new(str(tmp_path / "mine.yaml"), b"other")


def test_a_file_that_comes_between_is_not_replaced(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "mine.yaml"
    chmod = os.chmod

    def meanwhile(name: str, mode: int) -> None:
        path.write_bytes(b"somebody else's\n")
        chmod(name, mode)

    monkeypatch.setattr("selector.cli.files.os.chmod", meanwhile)
    with pytest.raises(click.UsageError, match="is there already"):
        write_new(str(path), b"mine")
    assert path.read_bytes() == b"somebody else's\n"
    assert os.listdir(tmp_path) == ["mine.yaml"]


def test_what_is_read_is_never_replaced(tmp_path: Path) -> None:
    path = tmp_path / "table.html"
    path.write_bytes(b"typed\n")
    with pytest.raises(click.UsageError, match="is the file that is read"):
        write_new(str(path), b"other", force=True, inputs=[str(path)])
    (tmp_path / "other.html").symlink_to(path)
    with pytest.raises(click.UsageError, match="is the file that is read"):
        write_new(str(tmp_path / "other.html"), b"other", force=True, inputs=[str(path)])
    assert path.read_bytes() == b"typed\n"


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no named pipes here")
def test_only_ordinary_files_are_replaced(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    with pytest.raises(click.UsageError, match="is not an ordinary file"):
        write_new(str(tmp_path / "pipe"), b"other", force=True)
    assert os.listdir(tmp_path) == ["pipe"]


def test_a_file_has_the_rights_that_the_umask_gives(tmp_path: Path) -> None:
    before = os.umask(0o027)
    try:
        write_new(str(tmp_path / "a"), b"a")
        write_new(str(tmp_path / "a"), b"b", force=True)
    finally:
        os.umask(before)
    assert (tmp_path / "a").stat().st_mode & 0o777 == 0o640


def test_a_file_system_without_links_takes_the_name_first(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def no_links(*_: str) -> None:
        raise PermissionError(1, "Operation not permitted")

    monkeypatch.setattr("selector.cli.files.os.link", no_links)
    write_new(str(tmp_path / "a"), b"a")
    assert (tmp_path / "a").read_bytes() == b"a"
    with pytest.raises(click.UsageError, match="is there already"):
        write_new(str(tmp_path / "a"), b"b")
    assert os.listdir(tmp_path) == ["a"]


@pytest.mark.parametrize(("name", "meant"), [("card", "card.pdf"), ("card.txt", "card.pdf"), ("card.yaml", "card.pdf")])
def test_the_name_of_a_file_tells_its_kind(name: str, meant: str) -> None:
    with pytest.raises(click.UsageError, match=rf"Use \.pdf or \.html for the name of the file: {meant}"):
        ending_of(name, "pdf", "html", "htm")
    assert (ending_of("a.PDF", "pdf", "html"), ending_of("a.b.html", "pdf", "html")) == ("pdf", "html")


def test_a_new_file_is_written_whole_and_one_is_replaced_when_told_to(tmp_path: Path) -> None:
    path = tmp_path / "new.yaml"
    write_new(str(path), b"a\nb\n")
    assert path.read_bytes() == b"a\nb\n"
    write_new(str(path), b"c\n", force=True)
    assert path.read_bytes() == b"c\n"
    assert os.listdir(tmp_path) == ["new.yaml"]


@pytest.mark.parametrize(
    ("path", "says"),
    [
        ("no/such/x.yaml", "there is no folder"),
        (".", "is a folder; give the name of a file in it"),
        ("folder/", "is no name of a file"),
        ("x\0y.yaml", "is no name of a file"),
        ("x" * 300 + ".yaml", "can't be written: file name too long"),
    ],
)
def test_where_nothing_can_be_written_is_said(tmp_path: Path, path: str, says: str) -> None:
    with pytest.raises(click.UsageError, match=says):
        write_new(f"{tmp_path}/{path}", b"text")
    assert os.listdir(tmp_path) == []


def test_a_folder_that_cant_be_written_is_said_before_anything_is_asked(tmp_path: Path) -> None:
    folder = Path(tempfile.mkdtemp())
    folder.chmod(0o555)
    script = (
        "import os, sys\n"
        "from selector.cli.main import run\n"
        "# all that is imported late is there before the user changes, who may not read where it lies\n"
        f"for _ in range(2): run(['draft', '--out', {str(tmp_path / 'first.yaml')!r}])\n"
        f"if os.geteuid() == 0: os.setegid({NOBODY}); os.seteuid({NOBODY})\n"
        "sys.exit(run(['draft', '--out', 'x.yaml']))\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", script],
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        cwd=folder,
        check=False,
        env=HERE,
    )
    assert done.returncode == 2, done.stderr
    assert "you may not write in this folder; name a file in a folder of your own" in done.stderr
    assert os.listdir(folder) == []
    folder.rmdir()


def test_a_full_disk_leaves_nothing_and_a_draft_is_shown_instead(tmp_path: Path) -> None:
    script = (
        "import resource, sys\n"
        "resource.setrlimit(resource.RLIMIT_FSIZE, (100, 100))\n"
        "from selector.cli.main import run\n"
        "sys.exit(run(['draft', '--out', 'x.yaml', '--answer', 'title=Furnace', '--answer', 'board 1=SW1 8']))\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", script],
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        cwd=tmp_path,
        env=HERE,
        check=False,
    )
    assert done.returncode == 2
    assert "x.yaml can't be written: file too large" in done.stderr
    assert "  title: Furnace\n" in done.stdout
    assert os.listdir(tmp_path) == []


def test_what_can_be_written_is_left_as_it_was(tmp_path: Path) -> None:
    refuse_unwritable(str(tmp_path / "new.yaml"))
    assert os.listdir(tmp_path) == []
