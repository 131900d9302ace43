"""One self-contained page for a phone without network: boards read and settings found, by outcomes and steps that
Python worked out."""

from __future__ import annotations

import json
import pkgutil
import zlib
from base64 import b64encode
from collections.abc import Sequence
from hashlib import sha256
from html import escape
from typing import Any

from selector.answers.words.caution import cautions_for
from selector.judge.floors_and_ceilings import ASSUMED, with_assumed
from selector.pocket.export import number, table_data
from selector.pocket.measuring import plates, rules
from selector.pocket.paper import paper, selectors, switches, unit_title
from selector.pocket.tight import tight
from selector.solve.board.facts import NOTHING_KNOWN, Facts
from selector.solve.search.typed_facts import USUAL_PER_TON_CFM
from selector.table.model.table import Call, Named, Table
from selector.units import convert

SCRIPTS = (
    "run",
    "search/space",
    "search/groups",
    "search/possible",
    "search/judge",
    "search/worlds",
    "search/eliminate",
    "search/find",
    "search/otherwise",
    "draw",
    "strips",
    "ranked",
    "ask",
    "verify",
    "record",
    "qr",
    "measure",
    "facts",
    "calls",
    "charts",
    "page",
)
STYLE, LOADER = "scripts/page.css", "scripts/load.js"


def pocket_html(tables: Sequence[Table], *, facts: Sequence[Facts] = (), title: str = "") -> str:
    """The page of one or several tables. `facts` go with the tables, one each, and hold for good on the page; the rest
    may be given on it.

    ValueError without tables; TooLong (a ValueError) where a chart has more outcomes than a page can carry.
    """
    if not tables:
        raise ValueError("a page needs a table")
    known = [*facts, *([NOTHING_KNOWN] * (len(tables) - len(facts)))]
    script = tight("\n".join(_file(f"scripts/{name}.js") for name in SCRIPTS))
    loader = tight(_file(LOADER))
    style = _file(STYLE)
    made = {
        "tables": [_data(t, f) for t, f in zip(tables, known, strict=True)],
        "rules": rules(),
    }
    data = json.dumps(made, separators=(",", ":"), ensure_ascii=False)
    packed, size = _packed(f"{data}\0{script}")
    policy = (
        f"default-src 'none'; script-src 'sha256-{_hash(loader)}' 'sha256-{_hash(script)}';"
        f" style-src 'sha256-{_hash(style)}'; base-uri 'none'; form-action 'none'"
    )
    title = title or (unit_title(tables[0]) if len(tables) == 1 else f"{len(tables)} boards")
    papers = "".join(paper(t, n, _given(f)) for n, (t, f) in enumerate(zip(tables, known, strict=True)))
    return (
        '<!doctype html><html lang="en"><head><meta charset="utf-8"><meta http-equiv="Content-Security-Policy"'
        f' content="{policy}"><meta name="viewport" content="width=device-width, initial-scale=1"><meta'
        ' name="color-scheme" content="light dark"><meta name="referrer"'
        f' content="no-referrer"><title>{escape(title)}</title><style>{style}</style></head><body><header>'
        f"<h1{LONG if len(title) > 30 else ''}>{escape(title)}</h1>{_manual(tables)}</header><main>{HATCH}<noscript><p"
        ' class="told">Scripts are off: boards can\'t be read or found here. The charts, the factory setting and'
        f' the cautions are below.</p>{_index(tables)}</noscript><div id="app"></div>{papers}</main>'
        f'<script type="text/plain" id="packed" data-size="{size}">{packed}</script><script>{loader}</script></body>'
        "</html>\n"
    )


LONG = ' class="long"'
HATCH = (
    '<svg width="0" height="0" aria-hidden="true" class="hush"><pattern id="hatch" width="6" height="6"'
    ' patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><path d="M3 0v6" stroke="currentColor"'
    ' stroke-width="2.2"/></pattern></svg>'
)


def _manual(tables: Sequence[Table]) -> str:
    """Manual and page of a page's one table."""
    unit = tables[0].unit
    words = [unit.manual, f"p. {unit.pages}" if unit.pages else ""]
    said = ", ".join(word for word in words if word) if len(tables) == 1 else ""
    return f"<span>{escape(said)}</span>" if said else ""


def _index(tables: Sequence[Table]) -> str:
    """Links to the sections of several tables."""
    links = "".join(f'<li><a href="#paper{n}">{escape(unit_title(t))}</a></li>' for n, t in enumerate(tables))
    return f"<ul>{links}</ul>" if len(tables) > 1 else ""


def _file(name: str) -> str:
    found = pkgutil.get_data("selector.pocket", name)
    assert found is not None, name
    return found.decode("utf-8")


def _hash(text: str) -> str:
    return b64encode(sha256(text.encode("utf-8")).digest()).decode("ascii")


def _packed(text: str) -> tuple[str, int]:
    """A text deflated, in base 64, and how many bytes it was."""
    whole = text.encode("utf-8")
    deflate = zlib.compressobj(9, zlib.DEFLATED, -zlib.MAX_WBITS)
    return b64encode(deflate.compress(whole) + deflate.flush()).decode("ascii"), len(whole)


def _given(facts: Facts) -> list[tuple[str, str]]:
    """The facts that hold for good, as people read them."""
    out = [("model", facts.model)] if facts.model is not None else []
    out += [(name, value if isinstance(value, str) else f"{float(value):g}") for name, value in facts.values.items()]
    out += [(f"static pressure in {name}", f"{float(value):g}") for name, value in facts.static.items()]
    out += [("model the board believes", facts.board_model)] if facts.board_model is not None else []
    out += [
        (f"delivered heat of {' '.join(key).strip()}", f"{float(value):g} Btu/h")
        for key, value in facts.delivered.items()
    ]
    return [*out, *([("standard air in a charted unit", f"{float(facts.air):.3f}")] if facts.air != 1 else [])]


def _charts(call: Call) -> list[str]:
    """The charts that a call's airflow is read from, the adjustments left out."""
    steps = [step for step in call.airflow if step.op in ("airflow", "use")]
    atoms = [atom for step in steps for atom in step.by_stage.values()]
    return list(dict.fromkeys(a.name for a in atoms if isinstance(a, Named) and a.kind == "chart"))


def _data(table: Table, facts: Facts) -> dict[str, Any]:
    out = table_data(with_assumed(table), facts)
    out["assumed"] = ASSUMED
    warned = [
        cautions_for(table, heat=heat, cooling=cooling).lines for heat in (False, True) for cooling in (False, True)
    ]
    said = list(dict.fromkeys(one for some in warned for one in some))
    out["check"] = sha256(json.dumps(out, sort_keys=True).encode("utf-8")).hexdigest()[:12]
    out |= {
        "title": unit_title(table),
        "measure": plates(table, facts, [m["model"] for m in out["models"]]),
        "manual": table.unit.manual,
        "reads": table.unit.reads,
        "note": table.unit.note,
        "charts": [_charts(call) for call in table.calls.values()],
        "selectors": selectors(table),
        "switches": switches(table),
        "given": _given(facts),
        "airflow": {
            unit: number(convert(1, table.units.airflow, unit))
            for unit in dict.fromkeys((table.units.airflow, "cfm", "L/s"))
        },
        "usual": number(convert(USUAL_PER_TON_CFM, "cfm", table.units.airflow)),
        "said": said,
        "cautions": [[said.index(one) for one in some] for some in warned],
    }
    return out
