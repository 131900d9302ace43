"""A single text in a file: whether it says anything, and what is said where something else stands."""

from __future__ import annotations

from selector.table.text.nodes import Node, Scalar, Sequence
from selector.table.text.report import FileReport

NOTHING = ("~", "null", "Null", "NULL")
"""What stands for nothing in files of this kind where it isn't in quotes."""


def something(node: Scalar, name: str, report: FileReport) -> bool:
    """Whether a text says anything; a problem if not."""
    if node.style == "plain" and node.text in NOTHING:
        report.at(
            node,
            "nothing-typed",
            f"`{node.text}` after `{name}:` means that nothing is typed",
            f'type the value; if it is a mark, "{node.text}"',
        )
        return False
    if not node.text.strip():
        report.at(node, "nothing-typed", f"nothing stands after `{name}:`", "type the value, or take the line out")
        return False
    return True


def no_list(node: Node, name: str, report: FileReport) -> Scalar | None:
    """The scalar, or a problem that says a single text belongs here."""
    if isinstance(node, Scalar):
        return node if something(node, name, report) else None
    what = "a list" if isinstance(node, Sequence) else "more keys"
    report.at(
        node,
        "one-text-expected",
        f"`{name}` takes one text on its line, not {what}",
        f"type {name}: and the text after it",
    )
    return None
