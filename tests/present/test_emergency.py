"""The emergency card is complete and prints on one page."""

from __future__ import annotations

import io

from pypdf import PdfReader

from tankside.present.emergency import as_pdf, as_text, emergency_card


def test_it_covers_people_first_and_the_four_dangers_of_the_water() -> None:
    card = emergency_card()
    assert [part.key for part in card.parts] == ["person", "air", "bath", "chlorine", "ammonia"]
    assert all(part.steps and part.basis for part in card.parts)


def test_every_step_stands_in_text_and_on_one_printed_page() -> None:
    card = emergency_card()
    reader = PdfReader(io.BytesIO(as_pdf(card)))
    assert len(reader.pages) == 1
    printed = " ".join(reader.pages[0].extract_text().split())
    for part in card.parts:
        for step in part.steps:
            assert step in as_text(card)
            assert step in printed
