"""The page in Debian's Firefox (firefox-esr) and WebKit (webkit2gtk-driver, xvfb) beside the Chromium of the tests.

`python -m tests.bench.other_browsers` opens the page of every shipped table from a file in each of the two, reads a
board, asks for a setting, types a reading and puts a card's code back; it prints what went wrong, and how many
pages were tried.
"""

from __future__ import annotations

import json
import shutil
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from urllib.request import Request, urlopen

from selector.card.code import card_code
from selector.pocket.page import pocket_html
from selector.table.library.library import listed, load

TOUR = """
const wrong = [];
addEventListener("error", (e) => wrong.push(String(e.message)));
const page = pocketPage;
const button = (text) => [...document.querySelectorAll("button")].find((b) => b.textContent === text);
const models = document.querySelectorAll(".fact.wide button");
if (models.length) models[0].click();
const places = [...document.querySelectorAll("#board .p")];
for (const p of places.slice(0, 40)) p.dispatchEvent(new MouseEvent("click", { bubbles: true }));
for (const name of ["Target", "Measure", "Charts", "Read"]) button(name).click();
button("Target").click();
const aim = document.querySelector(".aims input");
aim.value = "900"; aim.dispatchEvent(new Event("input"));
page.ask.seek();
if (!document.querySelector("#find").textContent) wrong.push("no answer to a target");
button("Measure").click();
const read = document.querySelector(".reads input");
read.value = "900"; read.dispatchEvent(new Event("input"));
page.measure.show();
if (!page.measure.record().includes("900")) wrong.push("no record");
if (!pocket.squares(page.measure.record())) wrong.push("no code");
button("Read").click();
document.querySelector("textarea[aria-label='code of a card']").value = CODE;
button("Use this code").click();
if (JSON.stringify(page.setting) !== JSON.stringify(SETTING)) wrong.push(`code: ${page.setting}`);
if (document.documentElement.scrollWidth > innerWidth) wrong.push("wider than the window");
return wrong;
"""
Run = Callable[[str], Any]


@contextmanager
def firefox() -> Iterator[tuple[Callable[[str], None], Run]]:
    """Firefox by its own protocol (Marionette): messages are `length:json`."""
    with tempfile.TemporaryDirectory() as profile:
        command = ["firefox-esr", "--headless", "--marionette", "--profile", profile]
        process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        try:
            wire = _connected(2828)
            _message(wire)
            number = 0

            def ask(name: str, parameters: dict[str, Any]) -> Any:
                nonlocal number
                number += 1
                text = json.dumps([0, number, name, parameters])
                wire.sendall(f"{len(text.encode())}:{text}".encode())
                _, _, error, result = _message(wire)
                if error:
                    raise RuntimeError(error["message"])
                return result

            ask("WebDriver:NewSession", {})
            yield (
                lambda url: ask("WebDriver:Navigate", {"url": url}),
                lambda script: ask("WebDriver:ExecuteScript", {"script": script, "args": [], "sandbox": None})["value"],
            )
        finally:
            process.terminate()
            process.wait()


def _connected(port: int) -> socket.socket:
    for _ in range(240):
        try:
            return socket.create_connection(("127.0.0.1", port), timeout=120)
        except OSError:
            time.sleep(0.5)
    raise RuntimeError(f"nothing listens at {port}")


def _message(wire: socket.socket) -> Any:
    head = b""
    while not head.endswith(b":"):
        head += wire.recv(1)
    rest = b""
    while len(rest) < int(head[:-1]):
        rest += wire.recv(int(head[:-1]) - len(rest))
    return json.loads(rest)


@contextmanager
def webkit() -> Iterator[tuple[Callable[[str], None], Run]]:
    """WebKit by WebDriver, on a display of its own."""
    command = ["xvfb-run", "-a", "WebKitWebDriver", "--port=4477"]
    process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    try:
        _connected(4477).close()
        browser = next(Path("/usr/lib").glob("*/webkit2gtk-4.*/MiniBrowser"))
        options = {"binary": str(browser), "args": ["--automation"]}
        session = _posted("", {"capabilities": {"alwaysMatch": {"webkitgtk:browserOptions": options}}})["sessionId"]
        yield (
            lambda url: _posted(f"/{session}/url", {"url": url}),
            lambda script: _posted(f"/{session}/execute/sync", {"script": script, "args": []}),
        )
    finally:
        process.terminate()
        process.wait()


def _posted(path: str, data: dict[str, Any]) -> Any:
    request = Request(
        f"http://127.0.0.1:4477/session{path}", json.dumps(data).encode(), {"Content-Type": "application/json"}
    )
    with urlopen(request, timeout=120) as answer:
        return json.loads(answer.read())["value"]


def main() -> int:
    """Every shipped table in both; the count of faults."""
    faults = 0
    for name, needed, opened in (("Firefox", "firefox-esr", firefox), ("WebKit", "WebKitWebDriver", webkit)):
        if shutil.which(needed) is None:
            sys.stderr.write(f"{name}: {needed} is not installed\n")
            faults += 1
            continue
        with tempfile.TemporaryDirectory() as folder, opened() as (go, run):
            for table_name in sorted(listed()):
                table, _ = load(table_name)
                setting = tuple(0 for _ in table.parts)
                path = Path(folder) / f"{table_name}.html"
                path.write_text(pocket_html([table]), encoding="utf-8")
                go(path.as_uri())
                code = json.dumps(card_code(table, setting))
                wrong = run(f"const CODE = {code}, SETTING = {json.dumps(setting)};{TOUR}")
                for text in wrong:
                    sys.stdout.write(f"{name}, {table_name}: {text}\n")
                faults += len(wrong)
            sys.stdout.write(f"{name}: {len(listed())} pages\n")
    return faults


if __name__ == "__main__":
    sys.exit(main() > 0)
