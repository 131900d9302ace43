"""One module for each kind of selector. Every module here but `base` defines `KIND`; nothing else lists the kinds."""

from __future__ import annotations

import pkgutil
from importlib import import_module

from selector.table.kinds.base import Kind

KINDS: dict[str, Kind] = {
    kind.name: kind
    for kind in (
        import_module(f"{__name__}.{m.name}").KIND
        for m in sorted(pkgutil.iter_modules(__path__), key=lambda m: m.name)
        if m.name not in ("base", "parts")
    )
}
