"""The text of a file: read in full or refused, with its lines for places and carets."""

from __future__ import annotations

import os
import re
import stat
import sys
from typing import BinaryIO

from selector.problems import Problem, Refused, close_match
from selector.value import Struct

LARGEST_BYTES = 8_000_000

STANDARD_INPUT = "<standard input>"
_SAVE_AS = "Open it in your editor, choose 'Save as', pick UTF-8 as the encoding, and save it."


class Source(Struct, frozen=True, kw_only=True):
    """A text with a name: line ends are `\\n`, there is no byte order mark, `lines[0]` is line 1 and has no line
    end."""

    file: str
    text: str
    lines: tuple[str, ...]


def read_source(path: str) -> Source:
    """The text of a file, `-` for standard input; never more than `LARGEST_BYTES` are read. Raises `Refused` with
    one problem."""
    if path == "-":
        return source_from_bytes(_read_standard_input(), STANDARD_INPUT)
    return source_from_bytes(read_bytes(path), path)


def read_bytes(path: str, largest: int = LARGEST_BYTES) -> bytes:
    """What an ordinary file holds; anything else (a folder, a pipe, a device) is refused without waiting for it.
    Raises `Refused` with one problem."""
    try:
        kind = os.stat(path)
        if stat.S_ISDIR(kind.st_mode):
            example = os.path.join(path, "my-table.yaml")
            raise _refusal(
                path, "is-a-folder", "This is a folder, not a file.", f"Name a file in it, such as `{example}`."
            )
        if not stat.S_ISREG(kind.st_mode):
            remedy = "Send the text to standard input and give `-` for its name."
            raise _refusal(path, "unreadable-file", "This is a pipe or a device, not a file.", remedy)
        if kind.st_size > largest:
            raise _too_large(path, largest)
        with open(path, "rb") as file:
            data = _read(file, largest)
    except PermissionError as error:
        raise _refusal(
            path, "no-permission", "You may not read this file.", "Ask its owner, or copy it to a folder of your own."
        ) from error
    except (FileNotFoundError, NotADirectoryError, ValueError) as error:
        raise _refusal(path, "no-such-file", "No such file.", _near_name(path)) from error
    except OSError as error:
        reason = error.strerror or type(error).__name__
        message = f"This file can't be read: {reason.lower()}."
        raise _refusal(
            path, "unreadable-file", message, "Copy it to a folder of your own and name the copy."
        ) from error
    if len(data) > largest:
        raise _too_large(path, largest)
    return data


def source_from_text(text: str, file: str = "<text>") -> Source:
    """The text as a `Source`: the byte order mark is dropped, CRLF and lone CR become line ends. Raises `Refused`
    with one problem."""
    if len(text) > LARGEST_BYTES:
        raise _too_large(file)
    text = _plain(text)
    found = re.search(_UNWANTED, text)
    if found:
        raise _unwanted_character(text, found.start(), file)
    return Source(file=file, text=text, lines=lines_of(text))


def _plain(text: str) -> str:
    return text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n")


def lines_of(text: str) -> tuple[str, ...]:
    """The lines of a text, without their ends."""
    lines = _plain(text).split("\n")
    return tuple(lines if lines[-1] else lines[:-1])


def _read_standard_input() -> bytes:
    if sys.stdin is None or sys.stdin.closed:
        raise _refusal(
            STANDARD_INPUT, "unreadable-file", "There is no standard input to read from.", "Name a file instead of `-`."
        )
    return _read(sys.stdin.buffer)


def _read(file: BinaryIO, largest: int = LARGEST_BYTES) -> bytes:
    """At most one byte more than the largest file, however much comes."""
    pieces, missing = [], largest + 1
    while missing > 0 and (piece := file.read(min(missing, 1 << 20))):
        pieces.append(piece)
        missing -= len(piece)
    return b"".join(pieces)


def source_from_bytes(data: bytes, file: str) -> Source:
    """The bytes of a file as a `Source`. Raises `Refused` with one problem."""
    if len(data) > LARGEST_BYTES:
        raise _too_large(file)
    for start, name in _STARTS:
        if data.startswith(start):
            remedy = "Type the table into a plain text file, or name the text file meant."
            raise _refusal(file, "not-text", f"This is {name}, not a text file.", remedy)
    wide = _wide_encoding(data)
    if wide:
        raise _refusal(file, "not-utf-8", f"This file is saved as {wide}, not as UTF-8.", _SAVE_AS)
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        raise _not_utf8(data, error.start, file) from error
    return source_from_text(text, file)


_STARTS = (
    (b"%PDF-", "a PDF"),
    (b"PK\x03\x04", "an office document or a zip archive"),
    (b"\xd0\xcf\x11\xe0", "an office document"),
    (b"\x89PNG", "a picture"),
    (b"\xff\xd8\xff", "a picture"),
    (b"\x1f\x8b", "a compressed file"),
)


def _wide_encoding(data: bytes) -> str:
    """`UTF-16` or `UTF-32` where the first bytes say so, or NULs stand at every second place; else nothing."""
    if data.startswith((b"\xff\xfe\0\0", b"\0\0\xfe\xff")):
        return "UTF-32"
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        return "UTF-16"
    head = data[:400]
    for start in (0, 1):
        if len(head) >= 4 and head[start::2].count(0) > 0.4 * len(head[start::2]) and not head[1 - start :: 2].count(0):
            return "UTF-16"
    return ""


def _not_utf8(data: bytes, at: int, file: str) -> Refused:
    """The refusal for the first byte that isn't UTF-8, at its line and column."""
    before = data[:at].decode("utf-8")
    if data[at] == 0xED and data[at + 1 : at + 2] >= b"\xa0":
        code, message, remedy = (
            "lone-surrogate",
            "Half a character stands here (a lone surrogate).",
            "Delete it and type the character again.",
        )
    else:
        try:
            meant = data[at : at + 1].decode("cp1252")
            message = (
                f"This file isn't saved as UTF-8: byte {data[at]:02X} stands here. In Windows-1252 that is `{meant}`."
            )
        except UnicodeDecodeError:
            message = f"This file isn't saved as UTF-8: byte {data[at]:02X} stands here."
        code, remedy = "not-utf-8", _SAVE_AS
    rest = re.split(rb"[\r\n]", data[at : at + 200], maxsplit=1)[0].decode("utf-8", "replace")
    return _refusal_at(file, before.removeprefix("\ufeff"), rest, code, message, remedy)


_UNWANTED = "[\x00-\x08\x0b-\x1f\x7f-\x9f\u2028\u2029\ud800-\udfff\ufffe\uffff]"
_NAMES = {
    "\x0c": "form feed, a page break",
    "\x0b": "vertical tab",
    "\x1b": "escape",
    "\x7f": "delete",
    "\x85": "next line",
    "\u2028": "line separator",
    "\u2029": "paragraph separator",
}


def _unwanted_character(text: str, at: int, file: str) -> Refused:
    char = text[at]
    if char == "\0":
        code, message = "nul-byte", "A NUL (a byte of value 0) stands here; a text has none."
        remedy = "Delete it. If there are many, this isn't a text file, or " + _SAVE_AS[0].lower() + _SAVE_AS[1:]
    elif "\ud800" <= char <= "\udfff":
        code, message = "lone-surrogate", f"Half a character stands here (U+{ord(char):04X}, a lone surrogate)."
        remedy = "Delete it and type the character again."
    else:
        name = f", {_NAMES[char]}" if char in _NAMES else ""
        code, message = "control-character", f"A character that can't be seen stands here (U+{ord(char):04X}{name})."
        remedy = "Delete it; press Enter there if a new line is meant."
    return _refusal_at(file, text[:at], re.split(r"\n", text[at : at + 200], maxsplit=1)[0], code, message, remedy)


def _refusal_at(file: str, before: str, rest: str, code: str, message: str, remedy: str) -> Refused:
    before = before.replace("\r\n", "\n").replace("\r", "\n")
    line_start = before.rfind("\n") + 1
    column = len(before) - line_start + 1
    source = (before[line_start:] + rest).encode("utf-8", "replace").decode("utf-8") if column < 10_000 else ""
    line = before.count("\n") + 1
    return Refused(
        [Problem(file=file, line=line, column=column, code=code, message=message, help=remedy, source=source)]
    )


def _refusal(file: str, code: str, message: str, remedy: str) -> Refused:
    return Refused([Problem(file=file, line=0, column=0, code=code, message=message, help=remedy)])


def _too_large(file: str, largest: int = LARGEST_BYTES) -> Refused:
    message = f"This file is larger than {largest // 1_000_000} MB; a table never needs as much."
    return _refusal(
        file, "file-too-large", message, "Check that it is the file meant; put each unit into a file of its own."
    )


def _near_name(path: str) -> str:
    folder, name = os.path.split(path)
    try:
        match = close_match(name, (other for other in os.listdir(folder or ".") if other != name))
    except (OSError, ValueError):
        match = None
    return f"Did you mean `{os.path.join(folder, match)}`?" if match else "Check the name and the folder it is in."
