"""What a slide on which nothing was seen is worth: how much was looked at, how fresh, how near.

A positive stays whatever the slide was like. Independent samples multiply the chance that a
parasite was missed on all of them, so a negative of a share of the usual look weighs that share.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from math import inf

from tankside.case import Entry, State
from tankside.case.entry import Correction
from tankside.case.parts import Looked
from tankside.case.seen import WetMount
from tankside.claims.diagnosis import DiagnosisFacts, FindingFacts
from tankside.quantity import Kind

EYEPIECE = "slide.eyepiece"
LARGEST_OBJECTIVE = "slide.largest_objective"
USUAL_SLIDES = "slide.usual_slides"
USUAL_FIELDS = "slide.usual_fields"
_NUMBER = r"(\d+(?:[.,]\d+)?)"
_OBJECTIVE = re.compile(rf"{_NUMBER}\s*[x×]|[x×]\s*{_NUMBER}|{_NUMBER}", re.IGNORECASE)


def is_negative(looked: Looked, asked: FindingFacts) -> bool:
    """Whether a look says that nothing was seen, and nothing else.

    Args:
        looked: what was looked at.
        asked: the finding.
    """
    if State(looked.state) is State.NONE:
        return True
    answers = set(looked.answers) & set(asked.answers)
    return bool(answers) and answers == {asked.baseline_answer}


def magnification(facts: DiagnosisFacts, objective: str | None) -> float | None:
    """Return how much a microscope enlarged; None where nobody said, or it cannot be read.

    A number larger than any objective is that of objective and eyepiece together.

    Args:
        facts: the usual eyepiece.
        objective: as typed, for example ``10x``.
    """
    read = None if objective is None else _OBJECTIVE.search(objective)
    if read is None:
        return None
    times = float(next(part for part in read.groups() if part).replace(",", "."))
    return times if times > facts.number(LARGEST_OBJECTIVE) else times * facts.number(EYEPIECE)


def shows_too_little(facts: DiagnosisFacts, asked: FindingFacts, mount: WetMount) -> bool:
    """Whether the microscope enlarged too little to show it, or no slide or field was looked at."""
    enlarged = magnification(facts, mount.objective)
    if enlarged is not None and enlarged < asked.least_magnification:
        return True
    return 0 in (mount.examined, mount.fields)


def freshness(
    facts: DiagnosisFacts, asked: FindingFacts, mount: WetMount, answers: Iterable[str]
) -> float:
    """Return the weight that the age of body and slide leaves to what was answered.

    A fish that was dead for nobody knows how long is taken to have been so for long.
    """
    from tankside.diagnose.context import sample_weight  # a reply to an entry does without

    dead_h = _age(mount, "time_dead", "h")
    if dead_h is None and mount.alive == "no":
        dead_h = inf
    slide_min = _age(mount, "slide_age", "min")
    return sample_weight(facts, asked.id, answers, dead_h=dead_h, slide_min=slide_min)


def effort(facts: DiagnosisFacts, mount: WetMount, looked: Looked) -> float:
    """Return the share of a usual look that was made; 1 where nobody said how much.

    Args:
        facts: how many slides and fields are usual.
        mount: the slide.
        looked: what was looked at on it; where it names the fish looked at, those count.
    """
    slides = mount.examined if looked.examined is None else looked.examined
    return _share(slides, facts.number(USUAL_SLIDES)) * _share(
        mount.fields, facts.number(USUAL_FIELDS)
    )


def as_good_as_none(facts: DiagnosisFacts, asked: FindingFacts, mount: WetMount) -> bool:
    """Whether an empty slide says nothing: too little shown, or body or slide fully spoiled."""
    least = 0.0 if asked.spoiling is None else asked.spoiling.least
    fresh = freshness(facts, asked, mount, {asked.baseline_answer})
    return shows_too_little(facts, asked, mount) or fresh <= least


def whole_and_fresh(facts: DiagnosisFacts, asked: FindingFacts, mount: WetMount) -> bool:
    """Whether what is not on a slide was not there, and what is on it was all of it."""
    fresh = freshness(facts, asked, mount, {asked.baseline_answer})
    usual = fields_are_usual(facts, mount.fields)
    return not shows_too_little(facts, asked, mount) and fresh == 1 and usual


def fields_are_usual(facts: DiagnosisFacts, fields: int | None) -> bool:
    """Whether as many fields of view were looked at as is usual; so where nobody said.

    Args:
        facts: how many are usual.
        fields: how many were looked at.
    """
    return _share(fields, facts.number(USUAL_FIELDS)) == 1


def slides_read(facts: DiagnosisFacts, entries: Iterable[Entry]) -> list[str]:
    """Return one note for each empty slide just added that weighs less than a usual one, and why.

    Args:
        facts: the findings.
        entries: entries just added.
    """
    made = (e.replacement if isinstance(e, Correction) else e for e in entries)
    return [note for mount in made if isinstance(mount, WetMount) for note in _notes(facts, mount)]


def _notes(facts: DiagnosisFacts, mount: WetMount) -> Iterator[str]:
    if mount.objective is not None and magnification(facts, mount.objective) is None:
        yield f"objective {mount.objective}: no number in it, so it is kept and not used"
    for looked in mount.looks:
        asked = facts.findings.get(looked.finding)
        if asked is None or not is_negative(looked, asked):
            continue
        label = f"{asked.label}, none seen"
        if shows_too_little(facts, asked, mount):
            yield (
                f"{label}: taken as not looked for. It needs at least "
                f"{asked.least_magnification} times (objective and eyepiece) and a slide to look at"
            )
        elif as_good_as_none(facts, asked, mount):
            yield f"{label}: says nothing, since body or slide is too old. Take a live fish"
        elif freshness(facts, asked, mount, {asked.baseline_answer}) < 1:
            yield f"{label}: weighs little, since body or slide is old. Take a live fish"
        elif effort(facts, mount, looked) < 1:
            slides, fields = (facts.number(key) for key in (USUAL_SLIDES, USUAL_FIELDS))
            yield (
                f"{label}: weighs less than a usual look of {slides:g} slides and {fields:g} "
                "fields of view"
            )


def _share(number: int | None, usual: float) -> float:
    return 1.0 if number is None else min(1.0, number / usual)


def _age(mount: WetMount, name: str, unit: str) -> float | None:
    amount = getattr(mount, name)
    return None if amount is None else float(amount.measured(Kind.TIME).number(unit))
