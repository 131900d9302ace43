"""A script as the page carries it: without remarks and without the blanks that mean nothing. Texts stay as they are."""

from __future__ import annotations

import re

_TOKEN = re.compile(
    r"""(?P<remark>//[^\n]*|/\*.*?\*/)|(?P<blank>\s+)|(?P<word>[\w$]+)|(?P<text>'(?:\\.|[^'\\])*'|"(?:\\.|[^"\\])*")""",
    re.DOTALL,
)
_PATTERN = re.compile(r"/(?:\\.|\[(?:\\.|[^\]\\])*\]|[^/\\\[\n])+/\w*")
_TEMPLATE = re.compile(r"(?:\\.|\$(?!\{)|[^`\\$])*(?P<end>`|\$\{)", re.DOTALL)
_SIGNS = "+-"


def tight(script: str) -> str:
    """The script with the same meaning; it must end every statement with a semicolon."""
    out: list[str] = []
    depths: list[int] = []  # braces open inside each template that is open
    at, gap = 0, False
    while at < len(script):
        found = _TOKEN.match(script, at)
        sign = script[at]
        if found is not None and found.lastgroup in ("remark", "blank"):
            gap, at = True, found.end()
            continue
        last = out[-1][-1] if out else ";"
        if sign == "/" and (last in "(,=:[!&|?{};+" or out[-1] == "return"):
            found = _PATTERN.match(script, at)
        piece = found.group() if found is not None else sign
        if sign == "`" or (sign == "}" and depths and not depths[-1]):
            if sign == "}":
                depths.pop()
            template = _TEMPLATE.match(script, at + 1)
            assert template is not None, script[at : at + 40]
            piece = sign + template.group()
            if template["end"] == "${":
                depths.append(0)
        elif depths and sign in "{}":
            depths[-1] += 1 if sign == "{" else -1
        if gap and ((_joins(last) and _joins(sign)) or (last == sign and sign in _SIGNS)):
            out.append(" ")
        out.append(piece)
        at, gap = at + len(piece), False
    return "".join(out)


def _joins(sign: str) -> bool:
    """True for a sign of a word, which a blank keeps apart from the next."""
    return sign.isalnum() or sign in "_$"
