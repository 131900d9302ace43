"""Whole commands beside the bare import of click, yaml, jsonschema and tabulate, all as processes, in turns. Run:
python -m tests.bench.command_bench

Tables are known from the run before, but for the rows `nothing kept`. Medians of 21 turns; each turn runs every command
once, so that whatever else the machine does meets all of them alike. Bytecode is written first, as an ordinary
installation has it.
"""

from __future__ import annotations

import os
import subprocess
import sys
from statistics import median
from tempfile import TemporaryDirectory
from time import perf_counter

TURNS = 21
NOTHING_KEPT = "nothing kept"
PEER = "import click, yaml, jsonschema, tabulate"
COMMANDS: dict[str, list[str]] = {
    "bare interpreter": ["-c", "pass"],
    "peer: four imports": ["-c", PEER],
    "selector --help": ["-m", "selector", "--help"],
    "selector find (one call)": ["-m", "selector", "find", "corvane-k14", "cooling=1200", "--model", "080"],
    f"selector find, {NOTHING_KEPT}": ["-m", "selector", "find", "corvane-k14", "cooling=1200", "--model", "080"],
    "selector find (two calls)": [
        "-m",
        "selector",
        "find",
        "corvane-k14",
        "cooling=870",
        "heating=rise 60",
        "--model",
        "080",
    ],
    "selector decode": ["-m", "selector", "decode", "corvane-k14", "SW1=10011000", "--model", "080"],
    f"selector decode, {NOTHING_KEPT}": ["-m", "selector", "decode", "corvane-k14", "SW1=10011000", "--model", "080"],
    "selector check": ["-m", "selector", "check", "corvane-k14"],
    "selector find --plot": ["-m", "selector", "find", "corvane-k14", "cooling=1200", "--model", "080", "--plot"],
    "selector card (PDF)": [
        "-m",
        "selector",
        "card",
        "corvane-k14",
        "SW1=00011000",
        "--model",
        "080",
        "--out",
        "OUT/card.pdf",
        "--force",
    ],
    "selector card (HTML)": [
        "-m",
        "selector",
        "card",
        "corvane-k14",
        "SW1=00011000",
        "--model",
        "080",
        "--out",
        "OUT/card.html",
        "--force",
    ],
    "selector page": ["-m", "selector", "page", "corvane-k14", "--out", "OUT/page.html", "--force"],
}


def once(words: list[str], env: dict[str, str]) -> float:
    """Seconds a process takes."""
    start = perf_counter()
    subprocess.run([sys.executable, *words], check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, env=env)
    return perf_counter() - start


def main() -> None:
    """Print the table of medians and their ratios to the peer."""
    env = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    times: dict[str, list[float]] = {name: [] for name in COMMANDS}
    with TemporaryDirectory() as folder:
        commands = {name: [word.replace("OUT", folder) for word in words] for name, words in COMMANDS.items()}
        env["XDG_CACHE_HOME"] = folder
        for words in commands.values():
            once(words, env)
        for _ in range(TURNS):
            for name, words in commands.items():
                kept = {"SELECTOR_INDEX": "off" if name.endswith(NOTHING_KEPT) else "on"}
                times[name].append(once(words, env | kept))
    peer = median(times["peer: four imports"])
    sys.stdout.write(f"{'command':<28} {'ms':>7} {'least':>7} {'of peer':>8}\n")
    for name, found in times.items():
        sys.stdout.write(
            f"{name:<28} {median(found) * 1000:7.1f} {min(found) * 1000:7.1f} {median(found) / peer:8.2f}\n"
        )


if __name__ == "__main__":
    main()
