"""The program as people get it: wheel, sdist, zip, plain checkout."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
import tarfile
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
MAKERS = {
    "Corvane",
    "Saltmarsh",
    "Wickerby",
    "Brindlemoor",
    "Thornquay",
    "Quillhaven",
    "Fenwarren",
    "Marrowdale",
    "Eskerby",
    "Drossfield",
    "Lindmarrow",
    "Tarnwick",
    "Hollinsby",
    "Ostrandel",
    "Pellmere",
    "Garrowby",
}
"""The invented makers, all of them."""


def copy_of_the_tree(to: Path) -> None:
    """What the top level holds, without what a build left there."""
    shutil.copytree(
        ROOT,
        to,
        ignore=lambda d, _: {
            n
            for n in os.listdir(d)
            if n.startswith(".") or n.endswith((".egg-info", "__pycache__")) or (n == "build" and Path(d) == ROOT)
        },
    )


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the wheel, built from a copy of what git tracks."""
    out = tmp_path_factory.mktemp("built")
    source = out / "source"
    copy_of_the_tree(source)
    subprocess.run(
        [sys.executable, "-m", "pip", "wheel", "--quiet", "--no-deps", "--wheel-dir", str(out), str(source)],
        check=True,
        capture_output=True,
    )
    return out


def test_the_wheel_holds_tables_and_schemas(built: Path) -> None:
    names = set(zipfile.ZipFile(next(built.glob("*.whl"))).namelist())
    assert {f"selector/tables/{p.name}" for p in (ROOT / "tables").glob("*.*")} <= names
    assert {f"selector/schemas/{p.name}" for p in (ROOT / "schemas").glob("*.json")} <= names
    code = {f"selector/{p.relative_to(ROOT / 'selector')}" for p in (ROOT / "selector").rglob("*.py")}
    assert code | {"selector/py.typed", "selector/LICENSE"} <= names


def test_a_registry_would_take_it(built: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "twine", "check", "--strict", str(next(built.glob("*.whl")))],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout


def test_the_metadata_names_nobody(built: Path) -> None:
    wheel = zipfile.ZipFile(next(built.glob("*.whl")))
    metadata = next(wheel.read(n).decode() for n in wheel.namelist() if n.endswith("METADATA"))
    assert not re.search(r"^(Author|Maintainer)", metadata, re.MULTILINE)
    assert re.search(r"^License-Expression: MIT$", metadata, re.MULTILINE)


def test_it_runs_from_the_wheel_as_a_zip(built: Path, tmp_path: Path) -> None:
    wheel = next(built.glob("*.whl"))
    done = subprocess.run(
        [sys.executable, "-m", "selector", "decode", "corvane-k14", "SW1=10011000", "--model", "080"],
        capture_output=True,
        text=True,
        check=False,
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(wheel), "SELECTOR_TABLES": str(tmp_path)},
    )
    assert "1,198 cfm" in done.stdout, done.stderr


def test_the_sdist_holds_all_it_needs(tmp_path: Path) -> None:
    source = tmp_path / "source"
    copy_of_the_tree(source)
    subprocess.run(
        [sys.executable, "-m", "build", "--sdist", "--outdir", str(tmp_path), str(source)],
        capture_output=True,
        check=True,
    )
    with tarfile.open(next(tmp_path.glob("*.tar.gz"))) as sdist:
        names = {n.partition("/")[2] for n in sdist.getnames()}
    assert {
        "README.md",
        "pyproject.toml",
        "selector/__main__.py",
        "tables/corvane-k14.yaml",
        "schemas/find.json",
    } <= names
    assert not any(n.startswith("tests/") for n in names), "half of the tests are worse than none"


def test_the_top_level_holds_what_the_card_names() -> None:
    allowed = {"README.md", "DEVELOPERS.md", "pyproject.toml", "selector", "tables", "schemas", "tests"}
    tracked = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True).stdout.split(
        "\n"
    )
    tops = {t.partition("/")[0] for t in tracked if t}
    assert {t for t in tops if not t.startswith(".")} <= allowed


def test_every_shipped_maker_is_invented() -> None:
    texts = [
        p.read_text(encoding="utf-8") for p in (*(ROOT / "tables").glob("*.yaml"), *(ROOT / "tests").rglob("*.yaml"))
    ]
    makers = {m.group(1).strip() for text in texts for m in re.finditer(r"\bmaker:\s*([A-Z][A-Za-z]*)", text)}
    assert makers
    assert makers <= MAKERS
