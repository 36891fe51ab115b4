"""What fits a case on file; the practitioner's own idea is written down before ranks are shown."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from tankside.case import CaseView
from tankside.diagnose import OUTSIDE, Evidence
from tankside.errors import BadInput
from tankside.intake.assemble import seed_of
from tankside.intake.evidence import evidence, not_in_the_list
from tankside.library import load
from tankside.library.diagnosis_files import load_case_words, load_diagnosis
from tankside.records.case_file import read_case
from tankside.services.cases import add_fields
from tankside.services.differential import DifferentialAnswer, differential

SUSPECTED = "suspected"


@dataclass(frozen=True, slots=True)
class CaseDifferentialAnswer:
    """What fits a case.

    Args:
        differential: what fits.
        view: the case.
        own_idea: what the practitioner wrote down as first idea ("" when nothing).
        confirmed: conditions confirmed so far.
        not_in_list: findings of the case that the differential does not know.
    """

    differential: DifferentialAnswer
    view: CaseView
    own_idea: str
    confirmed: tuple[str, ...]
    not_in_list: tuple[str, ...]


def differential_of(
    path: str | Path, *, seed: int | None = None, cannot: frozenset[str] = frozenset()
) -> CaseDifferentialAnswer:
    """Rank what fits a case file.

    Args:
        path: the case file.
        seed: seed of the redraws; None derives it from the case.
        cannot: findings that cannot be looked at here.

    Raises:
        BadInput: the file is refused, or an answer in it is not known.
    """
    view = read_case(path).view()
    facts = load_diagnosis()
    seen = evidence_of(view)
    chosen = seed_of(view) if seed is None else seed
    return CaseDifferentialAnswer(
        differential(seen, seed=chosen, cannot=cannot),
        view,
        own_idea(view),
        confirmed(view),
        not_in_the_list(view, facts),
    )


def evidence_of(view: CaseView) -> Evidence:
    """Return the evidence a case holds, with the shipped knowledge of hosts and words."""
    return evidence(view, load_diagnosis(), load_case_words(), load().hosts)


def confirmed(view: CaseView) -> tuple[str, ...]:
    """Return what a case turned out to be: listed conditions, or the row for unlisted causes."""
    listed = {name for name, c in load_diagnosis().conditions.items() if not c.outside}
    names = (d.condition.upper() for d in view.diagnoses if d.state == "confirmed")
    return tuple(dict.fromkeys(name if name in listed else OUTSIDE for name in names))


def own_idea(view: CaseView) -> str:
    """Return the first condition suspected in a case, "" when none was."""
    suspected = [d.condition.upper() for d in view.diagnoses if d.state == SUSPECTED]
    return suspected[0] if suspected else ""


def write_own_idea(path: str | Path, condition: str, *, shown_by: str, by: str) -> None:
    """Write the practitioner's first idea into the case, before ranks are shown.

    Args:
        path: the case file.
        condition: id of a condition of the list.
        shown_by: what the entry says of where it comes from.
        by: who writes it.

    Raises:
        BadInput: E-COND-01 the condition is not in the list.
        CouldNotSave: the disk refused.
    """
    listed = (*(n for n, c in load_diagnosis().conditions.items() if not c.outside), OUTSIDE)
    condition = condition.upper()
    if condition not in listed:
        raise BadInput(
            "E-COND-01",
            "This condition is not in the list.",
            given=condition,
            needed=f"one of {', '.join(listed)}",
            next_step="Use NOT_IN_LIST for any other cause.",
            field="own-idea",
        )
    stored = read_case(path)
    last = stored.view().last_moment()
    add_fields(
        path,
        [
            {
                "kind": "diagnosis_confirmed",
                "occurred_at": last.text,
                "condition": condition,
                "state": SUSPECTED,
                "shown_by": shown_by,
            }
        ],
        by=by,
    )
