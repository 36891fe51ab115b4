"""What fits a case on file; the practitioner's own idea is written down before ranks are shown."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from tankside.case import CaseView
from tankside.case.view import AnswerView
from tankside.diagnose import OUTSIDE, Evidence
from tankside.errors import BadInput
from tankside.intake.case_seed import seed_of
from tankside.intake.condition_names import KIND, conditions_named
from tankside.intake.evidence import evidence, looks_standing, not_in_the_list
from tankside.intake.one_water import OneWater, in_one_water
from tankside.intake.readings_watch import reading_warnings
from tankside.intake.to_be_asked import to_be_asked
from tankside.library import load
from tankside.library.diagnosis_files import load_case_words, load_diagnosis
from tankside.records.case_store import read_case
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
        water: the body of water that is asked about.
        looked: the looks that stand of each finding.
        asked: what bears on the answer and is to be asked, stand-ins included.
        warnings: what the readings of the water warn of.
    """

    differential: DifferentialAnswer
    view: CaseView
    own_idea: str
    confirmed: tuple[str, ...]
    not_in_list: tuple[str, ...]
    water: OneWater
    looked: Mapping[str, tuple[AnswerView, ...]]
    asked: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()


def differential_of(
    path: str | Path,
    *,
    system: str | None = None,
    seed: int | None = None,
    cannot: frozenset[str] = frozenset(),
) -> CaseDifferentialAnswer:
    """Rank what fits one body of water of a case file.

    Args:
        path: the case file.
        system: a system of the case; None for the one with the sick fish.
        seed: seed of the redraws; None derives it from the case.
        cannot: findings that cannot be looked at here.

    Raises:
        BadInput: the file is refused, or an answer in it is not known; E-WORD-02 the case has no
            such system.
    """
    view = read_case(path).view()
    facts = load_diagnosis()
    seen, water = evidence_of(view, system), in_one_water(view, system)
    chosen = seed_of(view) if seed is None else seed
    return CaseDifferentialAnswer(
        differential(seen, seed=chosen, cannot=cannot),
        view,
        own_idea(view),
        confirmed(view),
        not_in_the_list(view, facts),
        water,
        looks_standing(water.view, facts, load()),
        tuple(to_be_asked(view, load()).values()),
        reading_warnings(view, load(), view.last_moment()),
    )


def evidence_of(view: CaseView, system: str | None = None) -> Evidence:
    """Return the evidence a case holds, with the shipped knowledge of hosts and words.

    Args:
        view: the case.
        system: a system of it; None for the one with the sick fish.
    """
    return evidence(view, load_diagnosis(), load_case_words(), load(), system)


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
        condition: a condition of the list, by its code or its name.
        shown_by: what the entry says of where it comes from.
        by: who writes it.

    Raises:
        BadInput: E-COND-01 the condition is not in the list; E-WORD-02 several are called so.
        CouldNotSave: the disk refused.
    """
    named = conditions_named([{"kind": KIND, "condition": condition}])
    typed, condition = condition, str(named[0]["condition"]).upper()
    listed = (*(n for n, c in load_diagnosis().conditions.items() if not c.outside), OUTSIDE)
    if condition not in listed:
        raise BadInput(
            "E-COND-01",
            "This condition is not in the list.",
            given=typed,
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
                "kind": KIND,
                "occurred_at": last.text,
                "day_only": last.day_only,
                "condition": condition,
                "state": SUSPECTED,
                "shown_by": shown_by,
            }
        ],
        by=by,
    )
