"""The documented JSON object of a letter about a case."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tankside.present.blocks import Words
from tankside.report.letters import letter_document
from tankside.services.letters import LetterAnswer

if TYPE_CHECKING:
    from tankside.report.shapes.cases import LetterJson


def letter_json(answer: LetterAnswer) -> LetterJson:
    """Return a letter about a case: its parts in order, and the dates of the quarantine."""
    document = letter_document(answer)
    return {
        "case": answer.care.view.name,
        "kind": answer.kind,
        "title": document.title,
        "is_over": answer.is_over,
        "parts": [
            {"title": block.title, "lines": list(block.lines)}
            for block in document.blocks
            if isinstance(block, Words)
        ],
        "quarantine": [
            {
                "waters": list(water.waters),
                "began": water.began.isoformat(),
                "why": water.why,
                "ends": water.ends.isoformat(),
                "long_end": water.long_end.isoformat(),
                "looks": [day.isoformat() for day in water.looks],
                "look_for": [list(water.look_for(day)) for day in water.looks],
                "parasites": [
                    {"name": p.name, "way": p.way, "cycle_d": p.cycle_d, "too_slow": p.too_slow}
                    for p in water.awaited
                ],
            }
            for water in answer.quarantines
        ],
    }
