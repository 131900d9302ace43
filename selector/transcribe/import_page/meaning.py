"""What the columns of a chart give: the quantity of each, and the heads that tell them apart."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import product, takewhile

from selector.table.from_file.rows import TO_TYPE
from selector.transcribe.cells.columns import is_figure
from selector.transcribe.cells.given import NO_FIGURE, refusing_word, without_dagger
from selector.transcribe.import_page.heads import Heads, Hints, bare_head, unnamed
from selector.value import Struct

_QUANTITIES = (
    ("temperature rise", r"(?:temp(?:erature|\.)? ?)?rise\b.*|\u0394 ?t\b.*|.*\btemp(?:erature|\.)? rise"),
    ("watts", r"(?:blower |motor )?(?:power,? ?)?(?:watts?|w)|(?:blower |motor )?power"),
    ("speed", r"(?:blower |motor )?(?:speed,? ?)?rpm"),
    ("trim", r"(?:airflow )?(?:trim|adjust(?:ment)?)"),
    ("seconds", r"(?:off |on )?(?:delay|seconds|sec\.?|time)(?:,? ?(?:s|sec\.?|seconds))?"),
    ("airflow per ton", r"(?:airflow,? ?)?(?:cfm|l/s|m[3\u00b3]/h) ?(?:/|per) ?ton|airflow per ton"),
    ("tons", r"(?:nominal |cooling )?tons?"),
    ("offset", r"offset(?:,? ?(?:cfm|l/s|m[3\u00b3]/h))?"),
    ("airflow", r"(?:airflow,? ?|blower )?(?:s?cfm|l/s|m[3\u00b3]/h)|air ?flow"),
)
_LONGEST = 50
"""Most characters of a head; a longer one is lines of something else put together."""
_STAGES = frozenset(
    ["first", "second", "third", "fourth", "low", "medium", "high", "1st", "2nd", "3rd", "stage", "fire"]
)
_PRESSURE = re.compile(r"\s*(?:pa|in\.?\s*w\.?\s*[cg]\.?|iwc|inw[cg]|\")$", re.IGNORECASE)
_PLAIN = re.compile(r"(?:models?|sizes?|units?)\s+(?=\S)", re.IGNORECASE)
_WORD_OF_SIGNED = re.compile(r"\btrim|\badjust", re.IGNORECASE)


class Meaning(Struct, frozen=True, kw_only=True):
    """The columns as a table file has them: `heads` (name, words), `gives`, and for each cell of a row, in the file's
    order, which column of figures it comes from; -1 for one the page doesn't have.

    `pressure` is the unit the heads name; `notes` are columns of remarks.
    """

    heads: tuple[tuple[str, tuple[str, ...]], ...]
    gives: tuple[str, ...]
    order: tuple[int, ...]
    notes: tuple[int, ...] = ()
    pressure: str = ""
    remarks: tuple[str, ...] = ()


def meaning_of(
    heads: Heads,
    texts: Sequence[Sequence[str]],
    notes: Sequence[int],
    title: str,
    hints: Hints,
    page: Sequence[str] = (),
) -> Meaning:
    """What the columns give. `texts` are the words below each column of figures, `notes` the columns that hold none,
    `page` the lines of the whole page."""
    kept = [k for k in range(len(texts)) if k not in notes]
    words = [[without_dagger(c.text)[0] if (c := level[k]) is not None else "" for k in kept] for level in heads.levels]
    captions = list(heads.captions)
    corner = " ".join(c.text for c in heads.corner)
    quantities, words, captions = _quantities(words, captions, len(kept))
    about = " ".join([corner, *captions, title])
    quantities = [_by_figures(q, texts[k], about) for q, k in zip(quantities, kept, strict=True)]
    flat = [t for k in kept for t in texts[k]]
    remarks: list[str] = []
    default = hints.gives[0] if hints.gives else quantity_of(flat, about)
    if not hints.gives and len(kept) == 1 and _letters(flat):
        default = "label"
    elif default == "airflow" and not hints.gives:
        default = _by_title(" ".join(captions) + title.replace(corner, ""))
    told = [q or ("" if any(quantities) and len(kept) > 1 else default) for q in quantities] if kept else []
    gives = tuple(dict.fromkeys(q or default for q in told)) or (default,)
    if "share" in gives and not hints.gives:
        remarks.append("percentages without a sign were read as shares; else add --gives reduction or trim")
    if len(hints.gives) > 1:
        gives = hints.gives
        if not any(quantities):
            told = [gives[n % len(gives)] for n in range(len(kept))]
            words = [row[:: len(gives)] for row in words]
            words = [[w for w in row for _ in gives] for row in words]
    elif hints.gives and hints.gives != ("airflow",) and len(set(told)) == 1:
        gives = hints.gives
        told = [gives[0]] * len(kept)
    own = [q or default for q in told]
    paths = [tuple(row[n] for row in words) for n in range(len(kept))]
    keep = [n for n in range(len(words)) if len({p[n] for p in paths}) > 1]
    extra = " ".join(words[n][0] for n in range(len(words)) if n not in keep and words[n])
    paths = [tuple(p[n] for n in keep) for p in paths]
    over = [f"{captions[n] if n < len(captions) else ''} {extra}".strip() for n in keep]
    columns = list(dict.fromkeys(paths))
    held = {(p, q): k for p, q, k in zip(paths, own, kept, strict=True)}
    blank = [p for p in columns if any(not w or len(w) > _LONGEST for w in p)]
    if len(held) < len(kept) or blank or (columns == [()] and len(kept) > len(gives)):
        return _unknown(kept, gives, own, hints, notes, remarks)
    words_by = [list(dict.fromkeys(p[n] for p in columns)) for n in range(len(keep))]
    if len(keep) > 1 and set(product(*words_by)) != set(columns):
        columns_flat = [" ".join(p) for p in columns]
        words_by, over = [columns_flat], [" ".join(over)]
        held = {((" ".join(p),), q): k for (p, q), k in held.items()}
        remarks.append("the heads in several lines were put together")
    names, pressure = [], ""
    for n, level in enumerate(words_by):
        name, unit = _name(level, hints, n, over[n], corner, title)
        name = "model" if name == TO_TYPE and _called_models(level, page) else name
        names.append(name)
        pressure = pressure or unit
    tidy: list[tuple[str, tuple[str, ...]]] = []
    for name, level in zip(names, words_by, strict=True):
        around = _PLAIN if name == "model" else _PRESSURE if name == "static pressure" else None
        bare = [bare_head(w if around is None else around.sub("", w)) for w in level]
        if len(set(bare)) < len(bare) or "" in bare:
            return _unknown(kept, gives, own, hints, notes, remarks)
        tidy.append((name, tuple(bare)))
    order = tuple(held.get((tuple(path), q), -1) for path in product(*words_by) for q in gives)
    if -1 in order:
        remarks.append("a column that only some heads have stands as - where the page has none")
    if any(name == TO_TYPE for name, _ in tidy):
        remarks.append("the page doesn't name the columns: model, static pressure, stage or a name of the board")
    return Meaning(
        heads=tuple(tidy), gives=gives, order=order, notes=tuple(notes), pressure=pressure, remarks=tuple(remarks)
    )


def _unknown(
    kept: Sequence[int],
    gives: tuple[str, ...],
    own: Sequence[str],
    hints: Hints,
    notes: Sequence[int],
    remarks: list[str],
) -> Meaning:
    """Columns whose heads aren't known: numbered, with the models where they are as many."""
    by = {q: [k for k, o in zip(kept, own, strict=True) if o == q] for q in gives}
    count = len(by[gives[0]])
    if any(len(columns) != count for columns in by.values()):
        gives, by, count = gives[:1], {gives[0]: list(kept)}, len(kept)
        remarks = [*remarks, "what each column gives can't be told"]
    if count == 1:
        return Meaning(heads=(), gives=gives, order=tuple(by[q][0] for q in gives), notes=tuple(notes))
    models = len(hints.models) == count
    words = hints.models if models else unnamed(count)
    name = "model" if models else hints.across[0] if hints.across else TO_TYPE
    told = f"no heads were found above the {count} columns" + (": the models were taken" if models else "")
    order = tuple(by[q][n] for n in range(count) for q in gives)
    return Meaning(heads=((name, words),), gives=gives, order=order, notes=tuple(notes), remarks=(*remarks, told))


def _quantities(
    words: list[list[str]], captions: list[str], columns: int
) -> tuple[list[str], list[list[str]], list[str]]:
    """What each column gives by its heads, with the heads left over: those that say nothing else go."""
    out = [""] * columns
    left: list[list[str]] = []
    over: list[str] = []
    for n, row in enumerate(words):
        found = [quantity_named(w) for w in row]
        caption = captions[n] if n < len(captions) else ""
        known = [q for q, w in zip(found, row, strict=True) if w]
        if known and (all(known) or (n == len(words) - 1 and _beside(found))):
            out = [q or o for q, o in zip(found, out, strict=True)]
            if not all(q or not w for q, w in zip(found, row, strict=True)):
                # a model above the airflow, the quantity alone above what stands beside it
                out = [o or "airflow" for o in out]
                kept, last = [], ""
                for q, w in zip(found, row, strict=True):
                    last = w if not q else last
                    kept.append(last)
                left.append(kept)
                over.append(caption)
            continue
        left.append(list(row))
        over.append(caption)
    return out, left, over


def _by_figures(quantity: str, texts: Sequence[str], about: str) -> str:
    """What a column headed `airflow` gives where its figures are percentages or times."""
    if quantity != "airflow":
        return quantity
    told = quantity_of(texts, about)
    if told != "airflow" and any(re.search(r"[%s]", t) for t in texts):
        return told
    signed = [t for t in texts if is_figure(t) and t[0] in "+-\u2212\u2013"]
    return "offset" if signed else quantity


def _beside(found: Sequence[str]) -> bool:
    """True for heads of which every second (or third) names a quantity other than an airflow: `060  rise F  080`."""
    period = next((k for k in (2, 3) if len(found) % k == 0 and not found[0]), 0)
    return bool(period) and all(bool(q) == (k % period > 0) for k, q in enumerate(found)) and "airflow" not in found


def quantity_named(text: str) -> str:
    """The quantity that a head names and nothing else, "" for any other head."""
    bare = " ".join(text.casefold().replace("(", " ").replace(")", " ").split())
    bare = re.sub(r"(?<=rise),? ?(?:\u00b0?f|\u00b0?c|deg\.? ?[fc])$", "", bare)
    return next((name for name, like in _QUANTITIES if re.fullmatch(like, bare, re.IGNORECASE)), "")


def quantity_of(texts: Sequence[str], about: str) -> str:
    """What figures are by their signs and units and the words above them."""
    bare = [without_dagger(t)[0] for t in texts if is_figure(t)]
    percent = [t for t in bare if t.endswith("%")]
    signed = any(t[0] in "+-\u2212\u2013" for t in bare)
    if percent and all(t.endswith("%") or re.fullmatch(r"0(?:\.0+)?", t) for t in bare):
        if signed or _WORD_OF_SIGNED.search(about):
            return "trim"
        if re.search(r"\breduc", about, re.IGNORECASE):
            return "reduction"
        return "share"
    if bare and all(re.search(r"\d ?(?:s|sec\.?|seconds|min)$", t) for t in bare):
        return "seconds"
    numbers = [t.lstrip("+-\u2212\u2013") for t in bare]
    if not numbers:
        return "airflow"
    small = all(re.fullmatch(r"1?\d?\d(?:\.\d+)?", n) for n in numbers)
    if small and re.search(r"\bpercent|%", about, re.IGNORECASE):
        return "trim" if signed or _WORD_OF_SIGNED.search(about) else "share"
    short = all(re.fullmatch(r"[1-3]?\d?\d", n) for n in numbers)
    if short and re.search(r"\bseconds\b|\bdelay\b|\bsec\b", about, re.IGNORECASE):
        return "seconds"
    return "airflow"


def _letters(texts: Sequence[str]) -> bool:
    """True for a column of letters, some of them like no digit, which other charts go by: A, B, C2."""
    bare = {without_dagger(t)[0] for t in texts if t and not refusing_word(t)} - NO_FIGURE
    return len(bare) > 1 and all(re.fullmatch(r"[A-Z]\d?", t) for t in bare) and any(t[0] not in "OISBX" for t in bare)


def _by_title(title: str) -> str:
    """What a title says its figures are where they have no unit: `Electrical input of the fan, W`; else an airflow."""
    if re.search(r"\b(?:s?cfm|l/s|m[3\u00b3]/h)(?!\w)", title, re.IGNORECASE):
        return "airflow"
    found = re.search(r", (W|[Ww]atts|rpm)\b", title)
    return "airflow" if found is None else "speed" if found.group(1) == "rpm" else "watts"


def _name(words: Sequence[str], hints: Hints, at: int, over: str, corner: str, title: str) -> tuple[str, str]:
    """What a line of heads is, and the unit of pressure it names; `_` where nothing tells."""
    units = {m.group().strip().casefold() for w in words if (m := _PRESSURE.search(w))}
    numbers = all(re.fullmatch(r"\d*\.?\d+", _PRESSURE.sub("", w)) for w in words)
    near = f"{over} {corner}".casefold()
    unit = "Pa" if units == {"pa"} or (not units and re.search(r"\bpa\b", near)) else "in. w.c." if units else ""
    if at < len(hints.across):
        return hints.across[at], unit if hints.across[at] == "static pressure" else ""
    if hints.models and {_PLAIN.sub("", w) for w in words} <= set(hints.models):
        return "model", ""
    if all({part.casefold() for part in w.split()} <= _STAGES for w in words):
        return "stage", ""
    if numbers and units:
        return "static pressure", unit
    if numbers and re.search(r"static|pressure|in\. ?w|\besp\b|\bpa\b", near):
        return "static pressure", unit
    rising = [float(w) for w in words] == sorted({float(w) for w in words}) if numbers else False
    if rising and re.search(r"\btap|\bspeed", near) and re.search(r"static pressure", title.casefold()):
        bare = not any(re.match(r"0\d", w) for w in words)
        return ("static pressure", "") if bare else (TO_TYPE, "")
    if numbers and _fractions(words) and re.search(r"static|pressure", f"{near} {title}".casefold()):
        return "static pressure", ""
    if numbers and re.search(r"\btons?\b", near):
        return "outdoor tons", ""
    if all(_PLAIN.match(w) for w in words) or re.search(r"\bmodels?\b|\bsizes?\b|\bunit size", near):
        return "model", ""
    return TO_TYPE, ""


def _called_models(words: Sequence[str], page: Sequence[str]) -> bool:
    """True where a line of the page names all these words as its models or sizes."""
    for line in page:
        for found in re.finditer(r"\b(?:models?|sizes?)\b\W*([^;:()]*)", line, re.IGNORECASE):
            listed = [w.rstrip(".") for w in re.split(r"[,\s]+|\band\b", found.group(1)) if w]
            run = set(takewhile(lambda w: any(c.isdigit() for c in w) or w in words, listed))
            if len(words) > 1 and set(words) <= run:
                return True
    return False


def _fractions(words: Sequence[str]) -> bool:
    """True for figures that rise from a part of one to no more than two: inches of water column."""
    bare = [float(w) for w in words]
    return bare == sorted(bare) and bare[-1] <= 2 and any("." in w for w in words)
