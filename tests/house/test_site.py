"""The site of documents: every document is in its list, and what is broken on a page is named."""

from __future__ import annotations

import importlib.util
import re
from pathlib import Path
from types import ModuleType

import pytest

ROOT = Path(__file__).resolve().parents[2]
SITE = ROOT / "docs" / "site"


@pytest.fixture(scope="module")
def make_site() -> ModuleType:
    spec = importlib.util.spec_from_file_location("make_site", SITE / "make_site.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_every_document_is_in_the_list_of_the_site() -> None:
    text = (SITE / "index.md").read_text("utf-8")
    listed = set(re.findall(r"^(README|[A-Z]+|docs/\S+)$", text, re.MULTILINE))
    documents = [*ROOT.glob("*.md"), *(ROOT / "docs").rglob("*.md")]
    kept = {"README", "sources"}
    for path in documents:
        name = path.relative_to(ROOT).with_suffix("").as_posix()
        if name.startswith(("docs/site/", "docs/decisions/")):
            continue
        if name.startswith("docs/reference/") and path.stem not in kept:
            continue
        assert name in listed, name


def test_every_reference_page_is_in_the_list_of_the_site() -> None:
    from tankside.library.reference import PAGES

    text = (SITE / "index.md").read_text("utf-8")
    for page, _ in PAGES:
        assert f"docs/reference/{Path(page).stem}\n" in text, page


@pytest.mark.parametrize(
    ("body", "fault"),
    [
        ('<a href="none.html">x</a>', "leads to none.html, which is not there"),
        ('<a href="other.html#gone">x</a>', "there is no such place on that page"),
        ('<a href="#gone">x</a>', "there is no such place on that page"),
        ('<img src="none.png">', "leads to none.png, which is not there"),
        ('<script src="https://example.org/a.js"></script>', "fetches https://example.org/a.js"),
        ('<link rel="stylesheet" href="//example.org/a.css">', "fetches //example.org/a.css"),
    ],
)
def test_what_is_broken_on_a_page_is_named(
    make_site: ModuleType, tmp_path: Path, body: str, fault: str
) -> None:
    (tmp_path / "other.html").write_text('<p id="here">', "utf-8")
    (tmp_path / "index.html").write_text(body, "utf-8")
    faults = list(make_site.faults_of(tmp_path))
    assert len(faults) == 1
    assert fault in faults[0]


def test_a_sound_page_has_no_fault(make_site: ModuleType, tmp_path: Path) -> None:
    sound = '<h1 id="a"></h1><a href="#a">x</a><a href="index.html#a">y</a>'
    (tmp_path / "index.html").write_text(sound + '<a href="https://example.org">z</a>', "utf-8")
    assert list(make_site.faults_of(tmp_path)) == []
