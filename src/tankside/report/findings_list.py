"""The list of findings as a document and as JSON."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tankside.claims.diagnosis import FindingFacts
from tankside.present.blocks import Document, Words
from tankside.services.findings import FindingsListed

if TYPE_CHECKING:
    from tankside.report.shapes.ranking import FindingsJson


HOW = "Type one behind case add CASE finding, by its short name or as it is printed here."


def findings_document(listed: FindingsListed) -> Document:
    """Return the findings with their answers, by where they are seen."""
    blocks = tuple(Words(site, tuple(map(_line, some))) for site, some in listed.by_site.items())
    return Document("Findings", blocks, HOW)


def findings_json(listed: FindingsListed) -> FindingsJson:
    """Return the same as data."""
    return {
        "word": listed.word,
        "findings": [
            {
                "site": site,
                "finding": asked.id,
                "label": asked.label,
                "question": asked.question,
                "answers": {answer: asked.word(answer) for answer in asked.answers},
            }
            for site, some in listed.by_site.items()
            for asked in some
        ],
    }


def _line(asked: FindingFacts) -> str:
    answers = (
        answer
        if asked.word(answer).replace(" ", "_") == answer
        else f"{answer} ({asked.word(answer)})"
        for answer in asked.answers
    )
    return f"{asked.id} ({asked.label.lower()}) = {'; '.join(answers)}"
