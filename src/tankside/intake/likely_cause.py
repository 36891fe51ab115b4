"""Which condition to plan for when nobody has confirmed or suspected one: the likeliest."""

from __future__ import annotations

from collections.abc import Mapping

from tankside.case import CaseView
from tankside.claims import Knowledge
from tankside.claims.organism import Organism
from tankside.library.diagnosis_files import load_case_words, load_diagnosis

WATERS = ("fresh", "marine")


def likeliest(view: CaseView, facts: Knowledge) -> str | None:
    """Return the condition that ranks first; None when no cause does, or nothing was seen.

    "Nothing wrong" and "stressed, nothing more" are no causes.

    Not asked when somebody confirmed or suspected a condition: their word comes first.
    """
    if view.conditions_standing() or not (view.evidence or view.counts):
        return None
    from tankside.diagnose import OUTSIDE, compile_tables, rank
    from tankside.intake.evidence import evidence

    diagnosis = load_diagnosis()
    seen = evidence(view, diagnosis, load_case_words(), facts)
    first = rank(compile_tables(diagnosis), seen).order()[0]
    if first == OUTSIDE:
        return f"{OUTSIDE} Not on the list"
    cause = diagnosis.conditions.get(first)
    return f"{first} {cause.name}" if cause is not None and cause.listed else None


def parasite_behind(condition: str, facts: Knowledge, water: str) -> Organism | None:
    """Return the parasite whose life cycle stands behind a condition; None when none does.

    The condition's own file names it, whole or by its genus. Where it names none, the genus in the
    name of the condition decides, among those that live in this water.

    Args:
        condition: id of a condition, with or without its name, or words of the practitioner.
        facts: what is known.
        water: "fresh", "brackish", "marine" or not known.
    """
    organisms: Mapping[str, Organism] = facts.organisms
    listed = load_diagnosis().conditions.get(condition.split(" ")[0].upper())
    if listed is not None and listed.organism:
        begins = f"{listed.organism}_"
        named = [o for name, o in organisms.items() if f"{name}_".startswith(begins)]
        return named[0] if len(named) == 1 else None
    words = f"{condition} {'' if listed is None else listed.name}".lower().replace("_", " ")
    behind = [o for o in organisms.values() if o.latin.split(" ")[0].lower() in words]
    fitting = [o for o in behind if water not in WATERS or o.water == water]
    candidates = behind if len(behind) == 1 else fitting
    return candidates[0] if len(candidates) == 1 else None


def parasites_standing(view: CaseView, facts: Knowledge) -> tuple[Organism, ...]:
    """Return the parasites behind what was confirmed or suspected, the surest and latest first."""
    standing = view.conditions_standing()
    behind = (parasite_behind(condition, facts, view.opened.water) for condition in standing)
    return tuple({organism.id: organism for organism in behind if organism is not None}.values())
