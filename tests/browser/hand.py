"""A finger on a phone, counted: taps, keys and page loads, and the time that they take by a model.

Keystroke-level model of Card, Moran and Newell (1980), Communications of the ACM 23(7), figure 1:
a key of an average typist 0.28 s, pointing 1.10 s, mental preparation 1.35 s. A tap counts as one
pointing; a page, and each box that is typed into, asks for one mental preparation. From memory.
"""

from __future__ import annotations

from dataclasses import dataclass

from playwright.sync_api import Locator, Page

KEY_S, POINT_S, THINK_S = 0.28, 1.10, 1.35


@dataclass
class Hand:
    """What one hand did on one page after the other."""

    page: Page
    taps: int = 0
    keys: int = 0
    loads: int = 0
    boxes: int = 0

    @property
    def minutes(self) -> float:
        """Time by the model, without waiting for the machine."""
        think = THINK_S * (self.loads + self.boxes)
        return (self.taps * POINT_S + self.keys * KEY_S + think) / 60

    def tap(self, control: Locator, *, leads_on: bool = False) -> None:
        """Tap a control; what it leads to is waited for."""
        self.taps += 1
        if not leads_on:
            control.tap()
            return
        self.loads += 1
        with self.page.expect_navigation():
            control.tap()

    def choose(self, name: str, value: str) -> None:
        """Tap one of the answers of a question."""
        self._unfold(f'[name="{name}"]')
        field = self.page.locator(f'[name="{name}"][value="{value}"]')
        self.tap(field.locator("xpath=ancestor::label"))
        assert field.is_checked(), (name, value)

    def write(self, name: str, text: str, unit: str = "") -> None:
        """Tap into a box and type; a unit other than the first costs two taps."""
        self._unfold(f'[name="{name}"]')
        box = self.page.locator(f'[name="{name}"]').first
        self.tap(box)
        self.keys += len(text)
        self.boxes += 1
        box.press_sequentially(text)
        units = self.page.locator(f'[name="u.{name[2:]}"]')
        if unit and units.input_value() != unit:
            self.taps += 2
            units.select_option(unit)

    def send(self, words: str) -> None:
        """Tap the button of a page and wait for the next one."""
        button = self.page.get_by_role("button", name=words, exact=True)
        self.tap(button.locator("visible=true").last, leads_on=True)

    def follow(self, words: str) -> None:
        """Tap a link and wait for the next page."""
        link = self.page.get_by_role("link", name=words, exact=True)
        self.tap(link.locator("visible=true").last, leads_on=True)

    def _unfold(self, field: str) -> None:
        folded = self.page.locator("details.fold", has=self.page.locator(field)).first
        if not self.page.locator(field).first.is_visible() and folded.count():
            self.tap(folded.locator("summary").first)
