"""A real server and a real browser: Debian's Chromium, driven as a person uses it."""

from __future__ import annotations

import json
import os
import shutil
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright

CHROMIUM = shutil.which("chromium")
NEEDED = "the browser tests need Chromium (Debian: apt-get install chromium)"
NOW = "2026-03-02T18:30+00:00"
AXE = Path(__file__).with_name("vendor") / "axe.min.js"


@dataclass
class Served:
    """A server over a folder of its own.

    Args:
        address: what it printed; opening it lets a browser in.
        folder: where its cases are.
    """

    address: str
    folder: Path

    @property
    def base(self) -> str:
        """The address without the word that lets in."""
        return self.address.split("/start/")[0]


@dataclass
class Visit:
    """One browser window with what it asked for and complained of."""

    page: Page
    served: Served
    asked: list[str] = field(default_factory=list)
    complaints: list[str] = field(default_factory=list)

    def open(self, path: str) -> None:
        """Open a page of the server."""
        self.page.goto(self.served.base + path)

    def shot(self, step: str) -> None:
        """Keep a picture of the page where a folder for pictures is named."""
        if folder := os.environ.get("TANKSIDE_PICTURES"):
            self.page.screenshot(path=f"{folder}/{step}.png", full_page=True)

    def press(self, name: str, role: str = "button") -> None:
        """Reach a control by keyboard and press Enter."""
        control = self.page.get_by_role(role, name=name, exact=True).first  # type: ignore[arg-type]
        control.focus()
        with self.page.expect_navigation():
            self.page.keyboard.press("Enter")

    def type(self, key: str, text: str, unit: str = "", place: int = 0) -> None:
        """Type into the field of a form, or its next box, and choose its unit, by keyboard."""
        self._reach(f'[name="{key}"]', place)
        self.page.keyboard.type(text)
        if unit:
            self.page.locator(f'[name="u.{key[2:]}"]').select_option(unit)

    def choose(self, key: str, value: str) -> None:
        """Choose one of the answers of a field by keyboard."""
        field = f'[name="{key}"][value="{value}"]'
        self._reach(field)
        self.page.keyboard.press("Space")
        assert self.page.locator(field).is_checked(), field

    def _reach(self, field: str, place: int = 0) -> None:
        """Put the focus on a field; what is folded away is opened first, as one would."""
        control = self.page.locator(field).nth(place)
        fold = self.page.locator("details.fold", has=self.page.locator(field)).first
        if not control.is_visible() and fold.count():
            fold.locator("summary").first.focus()
            self.page.keyboard.press("Enter")
        control.focus()
        assert control.evaluate("me => me === document.activeElement"), f"out of reach: {field}"

    def faults(self) -> list[str]:
        """Return what axe-core finds wrong with the page as it stands."""
        self.page.evaluate(AXE.read_text(encoding="utf-8"))
        report = self.page.evaluate("() => axe.run(document)")
        return [
            f"{fault['id']}: {node['html'][:120]}"
            for fault in report["violations"]
            for node in fault["nodes"]
        ]


# No longer than a module: it runs an event loop in its process, and other tests start their own.
@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    if CHROMIUM is None:
        pytest.fail(NEEDED)
    with sync_playwright() as driver:
        running = driver.chromium.launch(
            executable_path=CHROMIUM, args=["--no-sandbox", "--disable-gpu"]
        )
        yield running
        running.close()


@contextmanager
def serving(folder: Path, now: str) -> Iterator[Served]:
    """Serve a folder at a moment of its story."""
    words = [sys.executable, "-c", "from tankside.cli.main import app; app()"]
    running = subprocess.Popen(
        [*words, "serve", str(folder), "--port", "0", "--json", "--by", "adviser"],
        stdout=subprocess.PIPE,
        text=True,
        env={**os.environ, "PYTHONUNBUFFERED": "1", "TANKSIDE_NOW": now},
    )
    assert running.stdout is not None
    try:
        yield Served(json.loads(running.stdout.readline())["url"], folder)
    finally:
        running.send_signal(signal.SIGINT)
        running.wait(timeout=20)
        running.stdout.close()


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    with serving(tmp_path_factory.mktemp("cases"), NOW) as server:
        yield server


def window(browser: Browser, served: Served, **looks: object) -> tuple[BrowserContext, Visit]:
    """Open a window that has come in by the printed address."""
    context = browser.new_context(**looks)  # type: ignore[arg-type]
    context.set_default_timeout(60_000)
    visit = Visit(context.new_page(), served)
    visit.page.on("request", lambda request: visit.asked.append(request.url))
    visit.page.on("pageerror", lambda error: visit.complaints.append(str(error)))
    visit.page.on(
        "console",
        lambda said: visit.complaints.append(said.text) if said.type == "error" else None,
    )
    visit.page.goto(served.address)
    return context, visit


@pytest.fixture(scope="module")
def desk(browser: Browser, served: Served) -> Iterator[Visit]:
    context, visit = window(browser, served, viewport={"width": 1280, "height": 900})
    yield visit
    context.close()
