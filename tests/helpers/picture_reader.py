"""Reads a rendered picture of one selector back into what stands on the board.

Written from the rules of the look alone, before the code that draws was read: filled stands here, hatched stood here
before, dashed with `?` is not read, a heavy bar runs along the printed ON side, a pointer points at its mark, a lead
runs to its dot. Names are read from the pixels too, against the same words set in the same typeface: a position drawn
under a wrong number is misread here as a person would misread it.
"""

from __future__ import annotations

import io
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray
from PIL import Image
from playwright.sync_api import Page
from scipy import ndimage

Array = NDArray[Any]
OFF_PINS = ("off pins", "unplugged", "parked")


@dataclass
class Seen:
    """What a picture shows: position by name, its place before, and what can't be read or isn't used."""

    stands: dict[str, str] = field(default_factory=dict)
    before: dict[str, str] = field(default_factory=dict)
    turned: int | None = None


@dataclass(frozen=True)
class Box:
    y0: int
    y1: int
    x0: int
    x1: int

    @property
    def middle(self) -> tuple[float, float]:
        return (self.y0 + self.y1) / 2, (self.x0 + self.x1) / 2

    @property
    def size(self) -> tuple[int, int]:
        return self.y1 - self.y0, self.x1 - self.x0

    def holds(self, point: tuple[float, float]) -> bool:
        return self.y0 <= point[0] < self.y1 and self.x0 <= point[1] < self.x1

    def of(self, image: Array) -> Array:
        return image[self.y0 : self.y1, self.x0 : self.x1]


@dataclass(frozen=True)
class Word:
    text: str
    score: float
    box: Box


class Glyphs:
    """Words set by the browser in its own typeface, as small bitmaps: `{word: bitmaps of 24 rows}`."""

    def __init__(self, page: Page, words: list[str]) -> None:
        spans = [(word, weight) for word in sorted(set(words)) for weight in (400, 700)]
        style = "font:{}px/1.5 sans-serif;font-weight:{};display:inline-block;margin:8px;white-space:pre"
        escaped = [(w.replace("&", "&amp;").replace("<", "&lt;"), b) for w, b in spans]
        body = "".join(f'<span style="{style.format(40, b)}">{w}</span> ' for w, b in escaped)
        page.set_content(f"<body style='margin:0;background:#fff;color:#000'>{body}")
        places = page.evaluate("[...document.querySelectorAll('span')].map(s => s.getBoundingClientRect().toJSON())")
        shot = Image.open(io.BytesIO(page.screenshot(full_page=True))).convert("L")
        ratio = shot.width / page.evaluate("innerWidth")
        grey = np.asarray(shot)
        self.words: dict[str, list[Array]] = {}
        for (word, _), place in zip(spans, places, strict=True):
            y, x = int(place["y"] * ratio), int(place["x"] * ratio)
            cut = grey[y : y + int(place["height"] * ratio), x : x + int(place["width"] * ratio) + 2]
            self.words.setdefault(word, []).append(_fitted(255 - cut))

    def best(self, ink: Array, words: list[str]) -> tuple[str, float]:
        """The word that this ink (0 to 255) is most like, and how like (1: the same)."""
        seen = _fitted(ink)
        scores = [(max(_alike(seen, bitmap) for bitmap in self.words[word]), word) for word in words]
        score, word = max(scores)
        return word, score


def _fitted(ink: Array) -> Array:
    """The ink alone, 24 rows high, its proportions kept; 0 to 1."""
    there = ink > ink.max() * 0.5
    rows, columns = np.flatnonzero(there.any(1)), np.flatnonzero(there.any(0))
    if not ink.any():
        return np.zeros((24, 1))
    cut = ink[rows[0] : rows[-1] + 1, columns[0] : columns[-1] + 1].astype("uint8")
    width = max(1, round(cut.shape[1] * 24 / cut.shape[0]))
    out: Array = np.asarray(Image.fromarray(cut).resize((min(width, 400), 24), Image.Resampling.BOX)) / ink.max()
    return out


def _alike(a: Array, b: Array) -> float:
    """Correlation of two bitmaps brought to one width, less for different proportions."""
    widths = sorted((a.shape[1], b.shape[1]))
    if widths[1] > 1.5 * widths[0] + 4:
        return 0.0
    width = b.shape[1]
    fit = np.asarray(Image.fromarray((a * 255).astype("uint8")).resize((width, 24))) / 255
    x, y = fit.ravel() - fit.mean(), b.ravel() - b.mean()
    norm = float(np.sqrt((x @ x) * (y @ y)))
    return float(x @ y) / norm * (widths[0] / widths[1]) ** 0.5 if norm else 0.0


def _boxes(mask: Array) -> list[Box]:
    labels, _ = ndimage.label(mask, np.ones((3, 3)))
    return [Box(s[0].start, s[0].stop, s[1].start, s[1].stop) for s in ndimage.find_objects(labels)]


def _opened(mask: Array, rows: int, columns: int) -> Array:
    """What a block of rows x columns fits into."""
    out: Array = ndimage.maximum_filter(ndimage.minimum_filter(mask, (rows, columns)), (rows, columns))
    return out


def _closed(mask: Array, rows: int, columns: int) -> Array:
    """Gaps narrower than a block of rows x columns filled."""
    out: Array = ndimage.minimum_filter(ndimage.maximum_filter(mask, (rows, columns)), (rows, columns))
    return out


class Picture:
    """One picture; `scale` is pixels to a px of the drawing."""

    def __init__(self, image: Image.Image, glyphs: Glyphs, scale: float) -> None:
        self.grey = np.asarray(image.convert("L"))
        self.ink, self.black = self.grey < 150, self.grey < 64
        self.glyphs, self.scale = glyphs, scale
        side = round(4.5 * scale) | 1
        self.solid = _opened(self.black, side, side)
        self.kept: dict[tuple[str, ...], list[Word]] = {}

    def px(self, length: float) -> int:
        return max(1, round(length * self.scale))

    @cached_property
    def texts(self) -> list[Box]:
        """Pieces of ink as small as letters, joined to words; frames, dashed ones too, are left out."""
        gap = self.px(3) | 1
        labels, count = ndimage.label(_closed(self.ink, gap, gap), np.ones((3, 3)))
        small = np.zeros(count + 1, bool)
        for number, place in enumerate(ndimage.find_objects(labels), 1):
            small[number] = place[0].stop - place[0].start <= self.px(20)
        letters = small[labels] & self.ink
        labels, _ = ndimage.label(ndimage.maximum_filter(letters, (self.px(3) | 1, self.px(7) | 1)))
        found = []
        for number, place in enumerate(ndimage.find_objects(labels), 1):
            own = letters[place] & (labels[place] == number)
            rows, columns = np.flatnonzero(own.any(1)), np.flatnonzero(own.any(0))
            y, x = place[0].start, place[1].start
            found.append(Box(y + rows[0], y + rows[-1] + 1, x + columns[0], x + columns[-1] + 1))
        return [box for box in found if box.size[0] >= self.px(5)]

    def words(self, wanted: list[str], *, least: float = 0.72) -> list[Word]:
        """Every piece of text that is one of the words wanted."""
        if tuple(wanted) not in self.kept:
            self.kept[tuple(wanted)] = [
                Word(*self.glyphs.best(255 - box.of(self.grey), wanted), box) for box in self.texts
            ]
        return [word for word in self.kept[tuple(wanted)] if word.score >= least]

    def asked(self) -> bool:
        """Whether a `?` stands in the picture (with nothing else of its word)."""
        return any(word.text == "?" for word in self.words(["?"], least=0.8))

    def filled(self) -> list[Box]:
        """Whole shapes of ink: what stands here."""
        return [b for b in _boxes(self.solid) if min(b.size) >= self.px(7)]

    def hatched(self) -> list[Box]:
        """Outlines full of thin lines that touch them: what stood here before."""
        found = []
        labels, _ = ndimage.label(self.ink, np.ones((3, 3)))
        for number, place in enumerate(ndimage.find_objects(labels), 1):
            box = Box(place[0].start, place[0].stop, place[1].start, place[1].stop)
            share = (labels[place] == number).mean()
            if self.px(17) <= min(box.size) and not box.of(self.solid).any() and 0.25 < share < 0.75:
                found.append(box)
        return found

    def rings(self) -> list[Box]:
        """Large discs drawn as a line."""
        labels, _ = ndimage.label(self.ink, np.ones((3, 3)))
        found = []
        for number, place in enumerate(ndimage.find_objects(labels), 1):
            box = Box(place[0].start, place[0].stop, place[1].start, place[1].stop)
            if min(box.size) >= self.px(48) and abs(box.size[0] - box.size[1]) <= self.px(4):
                corner = box.size[0] // 8
                if not (labels[place][:corner, :corner] == number).any():
                    found.append(box)
        return found

    def dots(self, words: list[Word]) -> list[Box]:
        """Hatched shapes that lines run through; a letter of these words is none."""
        closed = _closed(self.ink, self.px(4) | 1, self.px(4) | 1)
        shapes = _boxes(_opened(closed, self.px(11) | 1, self.px(11) | 1))
        return [
            box
            for box in shapes
            if min(box.size) >= self.px(11)
            and not box.of(self.solid).any()
            and 0.15 < box.of(self.ink).mean() < 0.75
            and not any(word.box.holds(box.middle) for word in words)
        ]

    def amid(self, box: Box, wanted: list[str]) -> Word:
        """The word on a hatched shape: the ink that touches no line of it."""
        labels, _ = ndimage.label(box.of(self.ink), np.ones((3, 3)))
        hatch = np.bincount(labels.ravel())[1:].argmax() + 1
        own = ndimage.maximum_filter((labels > 0) & (labels != hatch), 3)
        margin = self.px(4)
        own[:margin], own[-margin:], own[:, :margin], own[:, -margin:] = False, False, False, False
        return Word(*self.glyphs.best(np.where(own, 255 - box.of(self.grey), 0), wanted), box)

    def inside(self, box: Box, wanted: list[str]) -> Word:
        """The word in white on a filled shape."""
        grey = box.of(self.grey)
        labels, _ = ndimage.label(grey > 100, np.ones((3, 3)))
        edge = np.unique(np.concatenate((labels[0], labels[-1], labels[:, 0], labels[:, -1])))
        own = ndimage.maximum_filter(~np.isin(labels, edge), 3)
        text, score = self.glyphs.best(np.where(own, grey, 0), wanted)
        return Word(text, score, box)


def _gap(a: Box, b: Box) -> float:
    """Distance between two boxes, 0 where they touch."""
    dy = max(a.y0 - b.y1, b.y0 - a.y1, 0)
    dx = max(a.x0 - b.x1, b.x0 - a.x1, 0)
    return float(np.hypot(dy, dx))


def _nearest(box: Box, words: list[Word], *, turned: bool) -> Word:
    """The label that belongs to a shape: in line with it, and nearest."""
    axis = 0 if turned else 1
    in_line = [
        w for w in words if abs(w.box.middle[axis] - box.middle[axis]) <= max(box.size[axis], w.box.size[axis]) / 2
    ]
    assert in_line, "a filled shape has no label in line with it"
    return min(in_line, key=lambda w: _gap(w.box, box))


def read_switches(picture: Picture, count: int) -> Seen:
    """`{number: ON, OFF, ? or -}` of a bank, by the side of its heavy bar."""
    numbers = [str(n) for n in range(1, count + 1)]
    p = picture
    lying = [b for b in _boxes(_opened(p.black, p.px(2.6), p.px(32))) if b.size[0] <= p.px(7)]
    standing = [b for b in _boxes(_opened(p.black, p.px(32), p.px(2.6))) if b.size[1] <= p.px(7)]
    words = p.words(numbers)
    for bars, axis, turns in ((lying, 0, (0, 180)), (standing, 1, (270, 90))):
        for turned, sign in zip(turns, (1, -1), strict=True):
            seen = _bank(p, bars, words, axis, sign)
            if bars and sorted(seen.stands) == sorted(numbers):
                seen.turned = turned
                return seen
    raise AssertionError(f"no bank of {count}: {len(lying)} bars, {len(standing)} standing, {[w.text for w in words]}")


def _bank(p: Picture, bars: list[Box], words: list[Word], axis: int, sign: int) -> Seen:
    """One reading of the bars: slots lie on the side `sign` of each, numbers beyond them."""
    seen = Seen()
    for bar in bars:
        edge = (bar.y1, bar.x1)[axis] if sign > 0 else (bar.y0, bar.x0)[axis]
        along = (bar.x0, bar.x1) if axis == 0 else (bar.y0, bar.y1)
        line = [
            w
            for w in words
            if p.px(30) <= sign * (w.box.middle[axis] - edge) <= p.px(140)
            and along[0] <= w.box.middle[1 - axis] <= along[1]
        ]
        if not line:
            continue
        lanes: list[list[Word]] = []
        for word in sorted(line, key=lambda w: w.box.middle[axis]):
            if not lanes or word.box.middle[axis] - lanes[-1][-1].box.middle[axis] > p.px(6):
                lanes.append([])
            lanes[-1].append(word)
        lane = max(lanes, key=len)
        middles = sorted(w.box.middle[1 - axis] for w in lane)
        pitch = min(np.diff(middles)) if len(middles) > 1 else along[1] - along[0]
        for word in lane:
            near = [word.box.y0, word.box.y1, word.box.x0, word.box.x1][2 * axis + (0 if sign > 0 else 1)]
            low, high = sorted((edge, near))
            middle = word.box.middle[1 - axis]
            a, b = int(middle - pitch * 0.3), int(middle + pitch * 0.3)
            slot = (low, high, a, b) if axis == 0 else (a, b, low, high)
            _slot(p, Box(*slot), word.text, axis, sign, seen)
    return seen


def _slot(p: Picture, slot: Box, name: str, axis: int, sign: int, seen: Seen) -> None:
    if name in seen.stands:
        seen.stands[name] = "twice"
        return
    solid, ink = slot.of(p.solid), slot.of(p.ink)
    if not solid.any():
        asked = any(slot.holds(w.box.middle) for w in p.words(["?"], least=0.8))
        seen.stands[name] = "?" if asked else "-"
        return
    # the outline's two ends along the slider's way: from the first to the last line of ink right across
    across = np.flatnonzero(ink.mean(1 - axis) > 0.9)
    middle = (across[0] + across[-1]) / 2
    at = float(np.argwhere(solid)[:, axis].mean())
    seen.stands[name] = "ON" if sign * (at - middle) < 0 else "OFF"
    # the half left free: thin lines over all of it are a hatch
    free = (
        (round(middle) + p.px(3), across[-1] - p.px(4))
        if at < middle
        else (across[0] + p.px(4), round(middle) - p.px(3))
    )
    half = ink[free[0] : free[1]] if axis == 0 else ink[:, free[0] : free[1]]
    if half.size and half.any(0).mean() > 0.8 and half.any(1).mean() > 0.8 and half.mean() < 0.8:
        seen.before[name] = "OFF" if seen.stands[name] == "ON" else "ON"


def read_labelled(picture: Picture, positions: list[str]) -> Seen:
    """Jumper, plug, link, menu: the filled shape and the label in it or beside it, under the name `""`."""
    p, seen = picture, Seen()
    wanted = [*positions, *OFF_PINS]
    words = p.words(wanted)
    turned = _column(words)
    for shapes, into in ((p.filled(), seen.stands), (p.hatched(), seen.before)):
        assert len(shapes) <= 1, f"{len(shapes)} shapes filled or hatched"
        for shape in shapes:
            own = p.inside(shape, wanted) if into is seen.stands else p.amid(shape, wanted)
            into[""] = (own if own.score >= 0.72 else _nearest(shape, words, turned=turned)).text
    if not seen.stands and p.asked():
        seen.stands[""] = "?"
    return seen


def _column(words: list[Word]) -> bool:
    """Whether labels stand one under the other."""
    if len(words) < 2:
        return False
    middles = np.array([w.box.middle for w in words])
    return bool(np.ptp(middles[:, 0]) > np.ptp(middles[:, 1]))


def read_dial(picture: Picture, positions: list[str]) -> Seen:
    """The mark filled; the pointer has to point at it."""
    p, seen = picture, Seen()
    if not p.words(["?"], least=0.8) and not p.rings():
        return read_labelled(picture, positions)  # too many marks for a ring: a list
    rings = p.rings()
    if p.asked() and not p.filled():
        return Seen({"": "?"})
    ring = max(rings, key=lambda b: b.size[0])
    y, x = ring.middle

    def round_about(box: Box) -> bool:
        return float(np.hypot(box.middle[0] - y, box.middle[1] - x)) < ring.size[0] / 2 + 1

    marks = [b for b in p.filled() if not round_about(b)]
    assert len(marks) == 1, f"{len(marks)} marks are filled"
    seen.stands[""] = p.inside(marks[0], positions).text
    pieces, _ = ndimage.label(ring.of(p.black), np.ones((3, 3)))
    pieces[np.hypot(*(np.indices(pieces.shape) - ring.size[0] / 2)) > ring.size[0] / 2 - p.px(4)] = 0
    wedge = pieces == np.bincount(pieces.ravel())[1:].argmax() + 1
    points = np.argwhere(wedge) - ring.size[0] / 2
    heavy = points.mean(0)  # the wedge's heavy end is behind its middle
    tip = points[np.hypot(*(points - heavy).T).argmax()]
    mark = np.array(marks[0].middle) - (y, x)
    off = np.degrees(np.arccos(min(1, tip @ mark / np.linalg.norm(tip) / np.linalg.norm(mark))))
    assert off < 8, f"the pointer is {off:.0f} degrees off the filled mark"
    for shape in p.hatched():
        if not round_about(shape):
            seen.before[""] = p.amid(shape, positions).text
    return seen


def read_taps(picture: Picture, leads: list[str], taps: list[str]) -> Seen:
    """`{lead: tap, parked or ?}`: a lead's line runs from its name to a dot in line with a tap's head."""
    p, seen = picture, Seen()
    words = p.words([*leads, *taps, "parked"])
    names = {w.text: w for w in words if w.text in leads}
    heads = [w for w in words if w.text not in leads]
    assert sorted(names) == sorted(leads), f"leads read: {sorted(names)}"
    rows = _column(list(names.values())) if len(names) > 1 else not _column(heads)
    axis = 0 if rows else 1
    asks = p.words(["?"], least=0.8)
    for shapes, into in ((p.filled(), seen.stands), (p.dots(words), seen.before)):
        for shape in shapes:
            name = min(names.values(), key=lambda w: abs(w.box.middle[axis] - shape.middle[axis]))
            head = min(heads, key=lambda w: abs(w.box.middle[1 - axis] - shape.middle[1 - axis]))
            assert name.text not in into, f"{name.text} has two dots"
            into[name.text] = head.text
            if into is seen.stands:
                at = round(shape.middle[axis])
                ends = sorted((name.box.middle[1 - axis], shape.middle[1 - axis]))
                gap = (name.box.size[1 - axis]) // 2 + p.px(20)
                a, b = int(ends[0]), int(ends[1])
                a, b = (a + gap, b) if name.box.middle[1 - axis] == ends[0] else (a, b - gap)
                near = slice(at - p.px(4), at + p.px(4))
                lane = p.ink[near, a:b] if rows else p.ink[a:b, near].T
                assert lane.any(0).mean() > 0.97, f"the lead {name.text} doesn't run to its dot"
    for name in names.values():
        if name.text not in seen.stands:
            asked = any(abs(w.box.middle[axis] - name.box.middle[axis]) <= p.px(12) for w in asks)
            seen.stands[name.text] = "?" if asked else "-"
    return seen


def words_of(form: str, parts: list[tuple[str, tuple[str, ...]]]) -> list[str]:
    """Every word that a picture of these parts may show."""
    names = [name for name, _ in parts]
    return [*OFF_PINS, "?", *filter(None, names), *(mark for _, marks in parts for mark in marks if form != "bank")]


def read_picture(
    image: Image.Image, form: str, parts: list[tuple[str, tuple[str, ...]]], glyphs: Glyphs, scale: float
) -> Seen:
    """One selector of that form, its parts by name with the marks that are printed at their places."""
    picture = Picture(image, glyphs, scale)
    marks = max((list(marks) for _, marks in parts), key=len)
    if form == "bank":
        return read_switches(picture, len(parts))
    if form == "leads":
        return read_taps(picture, [name for name, _ in parts], marks)
    if form == "ring":
        return read_dial(picture, marks)
    return read_labelled(picture, marks)
