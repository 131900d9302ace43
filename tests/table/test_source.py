"""Reading a file: in full, or refused with one clear problem; never more than the bound, never a hang."""

from __future__ import annotations

import io
import os
import sys
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from selector.problems import Problem, Refused
from selector.table import source as source_module
from selector.table.source import LARGEST_BYTES, read_source, source_from_text


def refusal(path: str | Path) -> Problem:
    with pytest.raises(Refused) as caught:
        read_source(str(path))
    (problem,) = caught.value.problems
    assert problem.message
    assert problem.help
    return problem


def saved(folder: Path, data: bytes) -> Path:
    path = folder / "unit.yaml"
    path.write_bytes(data)
    return path


def test_reads_text_and_lines(tmp_path: Path) -> None:
    source = read_source(str(saved(tmp_path, "a: 1\nb: é 😀\n".encode())))
    assert source.file == str(tmp_path / "unit.yaml")
    assert source.text == "a: 1\nb: é 😀\n"
    assert source.lines == ("a: 1", "b: é 😀")


@pytest.mark.parametrize(
    "data", [b"a: 1\r\nb: 2\r\n\r\nc: 3", b"a: 1\rb: 2\r\rc: 3", b"\xef\xbb\xbfa: 1\nb: 2\n\nc: 3"]
)
def test_line_ends_and_byte_order_mark(tmp_path: Path, data: bytes) -> None:
    source = read_source(str(saved(tmp_path, data)))
    assert source.lines == ("a: 1", "b: 2", "", "c: 3")
    assert source.text == "a: 1\nb: 2\n\nc: 3"


@given(
    st.lists(
        st.tuples(
            st.text(st.characters(codec="utf-8", exclude_categories=["Cc", "Cs", "Zl", "Zp", "Cn"])),
            st.sampled_from(["\n", "\r", "\r\n"]),
        )
    )
)
def test_lines_are_those_between_line_ends(pieces: list[tuple[str, str]]) -> None:
    """Each piece is one line whatever ends it; a lone CR before a lone LF would be one end, so a mark keeps them
    apart."""
    lines = ["." + text for text, _ in pieces]
    source = source_from_text("".join(line + end for line, (_, end) in zip(lines, pieces, strict=True)))
    assert list(source.lines) == lines


def test_missing_file_names_one_that_is_near(tmp_path: Path) -> None:
    (tmp_path / "corvane-k14.yaml").write_text("a: 1\n")
    near = refusal(tmp_path / "corvan-k14.yaml")
    assert (near.line, near.column, near.code) == (0, 0, "no-such-file")
    assert str(tmp_path / "corvane-k14.yaml") in near.help
    assert refusal(tmp_path / "nothing" / "else.yaml").code == "no-such-file"
    assert refusal(tmp_path / "corvane-k14.yaml" / "x").code == "no-such-file"
    assert refusal("").code == "no-such-file"
    assert refusal("a\0b").code == "no-such-file"


def test_name_too_long_is_refused() -> None:
    assert refusal("x" * 5000).code == "unreadable-file"


def test_folder(tmp_path: Path) -> None:
    assert refusal(tmp_path).code == "is-a-folder"


def test_no_permission(tmp_path: Path) -> None:
    path = saved(tmp_path, b"a: 1\n")
    path.chmod(0)
    root = os.geteuid() == 0
    if root:
        os.seteuid(65534)  # nobody: root may read everything
    try:
        assert refusal(path).code == "no-permission"
    finally:
        if root:
            os.seteuid(0)


@pytest.mark.parametrize("encoding", ["utf-16", "utf-16-le", "utf-16-be", "utf-32"])
def test_wide_encodings_are_named(tmp_path: Path, encoding: str) -> None:
    problem = refusal(saved(tmp_path, "format: selector table 1\nunit:\n  title: Furnace\n".encode(encoding)))
    assert problem.code == "not-utf-8"
    assert encoding[:6].upper() in problem.message
    assert "UTF-8" in problem.help


def test_other_encoding_is_placed_and_its_letter_shown(tmp_path: Path) -> None:
    problem = refusal(saved(tmp_path, "a: 1\r\nlimit: 70 °F\r\n".encode("cp1252")))
    assert (problem.line, problem.column, problem.code) == (2, 11, "not-utf-8")
    assert "°" in problem.message  # byte B0 in Windows-1252
    assert "B0" in problem.message
    assert problem.source.startswith("limit: 70 ")


def test_nul_is_placed(tmp_path: Path) -> None:
    problem = refusal(saved(tmp_path, b"a: 1\nbc\0d: 2\n"))
    assert (problem.line, problem.column, problem.code) == (2, 3, "nul-byte")


def test_half_characters(tmp_path: Path) -> None:
    problem = refusal(saved(tmp_path, b"a: \xed\xa0\x80\n"))  # U+D800 written as if it were a character
    assert (problem.line, problem.column, problem.code) == (1, 4, "lone-surrogate")
    with pytest.raises(Refused) as caught:
        source_from_text("a: \udc80\n")
    (problem,) = caught.value.problems
    assert (problem.line, problem.column, problem.code) == (1, 4, "lone-surrogate")
    assert problem.source.encode("utf-8")


@pytest.mark.parametrize("char", ["\x0c", "\x1b", "\x7f", "\x85", "\u2028", "\ufffe"])
def test_control_characters_are_placed(char: str) -> None:
    with pytest.raises(Refused) as caught:
        source_from_text(f"a: 1\nb: x{char}y\n")
    (problem,) = caught.value.problems
    assert (problem.line, problem.column, problem.code) == (2, 5, "control-character")
    assert f"U+{ord(char):04X}" in problem.message


@pytest.mark.parametrize(
    ("start", "word"), [(b"%PDF-1.7\n", "PDF"), (b"PK\x03\x04rest", "office"), (b"\x89PNG\r\n\x1a\n", "picture")]
)
def test_files_that_are_no_text_are_named(tmp_path: Path, start: bytes, word: str) -> None:
    problem = refusal(saved(tmp_path, start + b"\0" * 50))
    assert problem.code == "not-text"
    assert word in problem.message


def test_file_of_50_mb_is_refused_unread(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "unit.yaml"
    with path.open("wb") as file:
        file.truncate(50_000_000)

    def never(_: object) -> bytes:
        raise AssertionError("was read")

    monkeypatch.setattr(source_module, "_read", never)
    assert refusal(path).code == "file-too-large"


def test_the_largest_file_is_still_read(tmp_path: Path) -> None:
    line = b"# " + b"x" * 97 + b"\n"
    path = saved(tmp_path, line * (LARGEST_BYTES // 100))
    assert len(read_source(str(path)).lines) == LARGEST_BYTES // 100
    with path.open("ab") as file:
        file.write(b"\n")
    assert refusal(path).code == "file-too-large"


class Endless(io.RawIOBase):
    """Gives zeros for ever, and counts them."""

    given = 0

    def readable(self) -> bool:
        return True

    def readinto(self, buffer: object) -> int:
        assert isinstance(buffer, memoryview)
        self.given += len(buffer)
        return len(buffer)


def test_standard_input_is_read_and_bounded(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(b"a: 1\r\nb: 2\r\n")))
    assert read_source("-").lines == ("a: 1", "b: 2")
    endless = Endless()
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BufferedReader(endless)))
    assert refusal("-").code == "file-too-large"
    assert endless.given <= LARGEST_BYTES + 2_000_000
    monkeypatch.setattr(sys, "stdin", None)
    assert refusal("-").code == "unreadable-file"


@pytest.mark.skipif(not Path("/dev/zero").exists(), reason="no such device here")
def test_a_device_is_refused_unread() -> None:
    assert refusal("/dev/zero").code == "unreadable-file"


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no named pipes here")
def test_a_named_pipe_is_refused_without_waiting(tmp_path: Path) -> None:
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    problem = refusal(pipe)
    assert (problem.code, problem.message) == ("unreadable-file", "This is a pipe or a device, not a file.")
    assert problem.help == "Send the text to standard input and give `-` for its name."


@given(st.binary(max_size=200))
def test_any_bytes_are_read_or_refused_with_one_problem(data: bytes) -> None:
    try:
        source = source_module.source_from_bytes(data, "x.yaml")
    except Refused as refused:
        found = refused.problems
    else:
        assert (
            source.text == io.TextIOWrapper(io.BytesIO(data), encoding="utf-8-sig").read()
        )  # Python's own reading of line ends and mark
        return
    assert len(found) == 1


def test_a_link_that_leads_nowhere_is_not_proposed_in_its_own_place(tmp_path: Path) -> None:
    (tmp_path / "furnace.yaml").symlink_to(tmp_path / "elsewhere")
    assert "Did you mean" not in refusal(tmp_path / "furnace.yaml").help
