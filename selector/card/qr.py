"""A code as squares that a camera reads (ISO/IEC 18004), level M: up to 15 % of it may be spoilt."""

from __future__ import annotations

QUIET = 4
"""Empty modules that the standard wants around a code."""


def squares(text: str) -> tuple[tuple[bool, ...], ...]:
    """Rows of modules, True for dark, the empty edge included."""
    import segno

    code = segno.make(text, error="m", micro=False, boost_error=False)
    return tuple(tuple(bool(module) for module in row) for row in code.matrix_iter(border=QUIET))


def runs(rows: tuple[tuple[bool, ...], ...]) -> list[tuple[int, int, int]]:
    """(x, y, length) of every stretch of dark modules in a row."""
    out: list[tuple[int, int, int]] = []
    for y, row in enumerate(rows):
        x = 0
        while x < len(row):
            start = x
            while x < len(row) and row[x]:
                x += 1
            if x > start:
                out.append((start, y, x - start))
            x += 1
    return out


def qr_svg(text: str, size: str = "27mm") -> str:
    """The code as an SVG element, black on white whatever stands around it."""
    rows = squares(text)
    side = len(rows)
    path = "".join(f"M{x} {y}h{length}v1h-{length}z" for x, y, length in runs(rows))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {side} {side}" width="{size}" height="{size}" role="img"'
        f' aria-label="the code of this card" shape-rendering="crispEdges"><rect width="{side}" height="{side}"'
        f' fill="#fff"/><path d="{path}" fill="#000"/></svg>'
    )
