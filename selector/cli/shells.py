"""Completion as shells ask for it. Bash parts words at `=` of its own accord; here the line is parted as it was typed,
and only what follows the last `=` is given back."""

from __future__ import annotations

import os

from click.shell_completion import BashComplete, CompletionItem, add_completion_class, split_arg_string

_BASH = """\
%(complete_func)s() {
    local IFS=$'\\n' line
    COMPREPLY=()
    while read -r line; do
        COMPREPLY+=("$line")
    done < <(env COMP_LINE="${COMP_LINE:0:COMP_POINT}" %(complete_var)s=bash_complete $1)
    [[ ${#COMPREPLY[@]} -eq 1 && ${COMPREPLY[0]} == *[=/] ]] && compopt -o nospace
    return 0
}
complete -o nosort -F %(complete_func)s %(prog_name)s
"""


class LineComplete(BashComplete):
    """Completion for bash from the line up to the cursor."""

    name = "bash"
    source_template = _BASH

    def source(self) -> str:
        """The script, whatever bash there is."""
        return self.source_template % self.source_vars()

    def get_completion_args(self) -> tuple[list[str], str]:
        """The words before the cursor, and the one it stands in."""
        line = os.environ["COMP_LINE"]
        words = split_arg_string(line)[1:]
        if line[-1:].isspace() or not words:
            return words, ""
        return words[:-1], words[-1]

    def format_completion(self, item: CompletionItem) -> str:
        """A word as bash takes it up: quoted where it holds blanks, without what stands before its last `=`."""
        _, typed = self.get_completion_args()
        value = str(item.value)
        opened = next((q for q in "'\"" if os.environ["COMP_LINE"].count(q) % 2), "")
        if not opened:
            at = typed.rfind("=") + 1
            return value[at:].replace(" ", "\\ ")
        return value


def register() -> None:
    """Puts it in place of click's own."""
    add_completion_class(LineComplete)
