"""Type the rows of a scenario into the forms of its case, by keyboard, as they stand there."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from tests.browser.conftest import Visit

BARE = {"system": "id", "stock": "group", "wet_mount": "sample", "death": "number"}
"""The field that takes the word which stands alone in a row of each kind."""


def type_rows(desk: Visit, base: str, rows: Iterable[Sequence[str]]) -> None:
    """Fill in and save the form of each row; a word that has no field is a named look."""
    for kind, *words in rows:
        word = kind.replace("-", "_")
        desk.open(f"{base}/enter/{word}")
        named = 0
        seen: dict[str, int] = {}
        for said in words:
            name, equals, text = said.partition("=")
            key = f"w.{name.replace('-', '_')}" if equals else f"w.{BARE[word]}"
            value = (text if equals else name).replace("-", "_" if not equals else "-")
            if not desk.page.locator(f'[name="{key}"]').count():
                desk.type(f"k.{named}", name)
                desk.type(f"v.{named}", text)
                named += 1
            elif desk.page.locator(f'[name="{key}"][type="radio"]').count():
                desk.choose(key, value.replace("-", "_"))
            else:
                place = seen[key] = seen.get(key, -1) + 1
                desk.type(key, value, place=place)
        desk.press("Save")
        assert "saved=" in desk.page.url, (kind, words, desk.page.inner_text("main")[:600])
