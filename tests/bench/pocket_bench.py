"""From a tap on the pocket page to its answer, the processor throttled six times. Run: python -m
tests.bench.pocket_bench [TABLE...]

A tap is a click on a position and the layout that follows it; the board stands as delivered. `board`: what every call
does, with what the page does once the calls are on the screen; `joint`: two calls are asked for, the tap holds a
position and the settings are ranked anew (in the tap itself: nothing is left for later). The peer is a fixed piece of
work in the same page, done in turns with the taps, so that whatever else the machine does meets both alike. Medians of
40 turns, milliseconds, and the ratio to the peer.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path
from typing import Any

from tests.helpers.browser import chromium
from tests.helpers.pocket_browser import NAMES, opened, page_of

TURNS = 40
SLOWER = 6
MEASURE = """
(turns) => {
  const timed = (act) => { const start = performance.now(); act(); return performance.now() - start; };
  const middle = (list) => list.sort((a, b) => a - b)[Math.floor(list.length / 2)];
  const peer = () => {
    let x = 1;
    const out = [];
    for (let n = 0; n < 4000; n++) { x = (x * 48271) % 2147483647; out.push({ n: x, d: String(x) }); }
    out.sort((a, b) => a.n - b.n);
    return JSON.stringify(out).length;
  };
  const page = globalThis.pocketPage;
  page.put(page.engine.model.delivered.map((at) => at ?? 0));
  const taps = () => {
    const parts = new Map();
    for (const place of document.querySelectorAll("#board .p")) {
      const free = place.getAttribute("aria-pressed") !== "true";
      if (free && !parts.has(place.dataset.part)) parts.set(place.dataset.part, place);
    }
    return [...parts.values()];
  };
  const measure = () => {
    const tap = [], work = [];
    for (let n = 0; n < turns; n++) {
      const all = taps(), button = all[(n * 7) % all.length];
      work.push(timed(peer));
      const touch = () => { button.dispatchEvent(new Event("click")); if (page.mode === "read") page.settle(); };
      tap.push(timed(() => { touch(); void document.body.offsetHeight; }));
    }
    return [middle(tap), middle(work)];
  };
  measure();
  const board = measure();
  page.go("target");
  const inputs = [...document.querySelectorAll(".aims input")].slice(0, 2);
  inputs.forEach((input, n) => { input.value = String(900 + 200 * n); input.dispatchEvent(new Event("input")); });
  page.settle();
  page.go("target");
  const joint = measure();
  return { board, joint, kilobytes: new TextEncoder().encode(document.documentElement.outerHTML).length / 1000 };
}
"""


def measured(name: str) -> dict[str, Any]:
    """Medians of taps and peer on the page of one table."""
    with tempfile.TemporaryDirectory() as folder, chromium() as browser:
        page, told = opened(browser.new_context(viewport={"width": 360, "height": 740}), Path(folder), page_of(name))
        page.context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
        out: dict[str, Any] = page.evaluate(MEASURE, TURNS)
        if told:
            raise RuntimeError(told[0])
    return out


def main(names: list[str]) -> None:
    """Prints a line a table."""
    sys.stdout.write(f"{'table':<18}{'page KB':>8}{'board ms':>10}{'of peer':>9}{'joint ms':>10}{'of peer':>9}\n")
    for name in names:
        found = measured(name)
        (tap, peer), (joint, second) = found["board"], found["joint"]
        size = len(page_of(name).encode()) / 1000
        sys.stdout.write(f"{name:<18}{size:8.1f}{tap:10.1f}{tap / peer:9.2f}{joint:10.1f}{joint / second:9.2f}\n")
        sys.stdout.flush()


if __name__ == "__main__":
    main(sys.argv[1:] or list(NAMES))
