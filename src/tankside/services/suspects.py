"""Which condition to plan for when nobody has confirmed or suspected one: the likeliest."""

from __future__ import annotations

from tankside.case import CaseView
from tankside.claims import Knowledge
from tankside.diagnose import NONE, compile_tables, rank
from tankside.library.diagnosis_files import load_case_words, load_diagnosis
from tankside.services.assemble_evidence import evidence


def likeliest(view: CaseView, facts: Knowledge) -> str | None:
    """Return the condition that ranks first; None when "nothing wrong" does, or nothing was seen.

    Not asked when somebody confirmed or suspected a condition: their word comes first.
    """
    if any(d.state in ("confirmed", "suspected") for d in view.diagnoses) or not view.evidence:
        return None
    known = load_diagnosis()
    seen = evidence(view, known, load_case_words(), facts.hosts)
    first = rank(compile_tables(known), seen).order()[0]
    return None if first == NONE else f"{first} {known.conditions[first].name}"
