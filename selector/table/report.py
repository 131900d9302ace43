"""Findings of one file, collected at their places."""

from __future__ import annotations

from typing import Any

from selector.problems import Problem
from selector.table.source import Source


class Report:
    """Collects problems of one file."""

    def __init__(self, source: Source) -> None:
        self.source = source
        self.problems: list[Problem] = []

    def add(self, line: int, column: int, code: str, message: str, help: str = "", *, length: int = 1, remark: bool = False) -> None:
        """One more finding at a place."""
        text = self.source.lines[line - 1] if 0 < line <= len(self.source.lines) else ""
        self.problems.append(
            Problem(
                file=self.source.file,
                line=line,
                column=column,
                code=code,
                message=message,
                help=help,
                source=text,
                length=length,
                severity="remark" if remark else "problem",
            )
        )

    def at(self, node: Any, code: str, message: str, help: str = "", *, remark: bool = False) -> None:
        """One more finding at a node or an item."""
        text = getattr(node, "text", "")
        length = len(text) if text and "\n" not in text and getattr(node, "style", "plain") == "plain" else 1
        self.add(node.line, node.column, code, message, help, length=max(1, length), remark=remark)

    @property
    def failed(self) -> bool:
        """True once a finding is more than a remark."""
        return any(p.severity == "problem" for p in self.problems)
