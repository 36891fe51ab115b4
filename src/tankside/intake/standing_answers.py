"""What is answered to a finding when several fish and sites were looked at, on several days.

Each fish and each site keeps its own answer: a later look replaces only an earlier one of the same
fish and site, and a slide of a fish without a name is of a fish of its own. What nobody looked at,
or an answer that cannot be read, replaces nothing. The answers that stand are then put together in
a way that knows no order.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from tankside.case import State
from tankside.case.view import AnswerView
from tankside.claims.diagnosis import FindingFacts, LikelihoodLaw, Role

GRADED = (LikelihoodLaw.NOISY_OR, LikelihoodLaw.NOISY_MAX)
"""Laws of findings whose answers stand from mild to grave."""
OF_THE_WORST = ("spot_count",)
"""Findings that ask for the worst fish, under another law."""


def read(look: AnswerView, asked: FindingFacts) -> frozenset[str] | None:
    """Return the answers that a look leaves possible; None where it was not looked at or read.

    Args:
        look: one look.
        asked: the finding.
    """
    if look.state is State.ANSWERED:
        return (look.answers & set(asked.answers)) or None
    if look.state is not State.NONE:
        return None
    return None if asked.absent is None else frozenset((asked.absent,))


def standing(looks: Sequence[AnswerView], asked: FindingFacts) -> tuple[AnswerView, ...]:
    """Return the looks that stand: of each fish and site those of its last day.

    Args:
        looks: looks at one finding, in the order they happened.
        asked: the finding.
    """
    last: dict[object, list[AnswerView]] = {}
    for look in looks:
        if read(look, asked) is None:
            continue
        sofar = last.setdefault(look.place, [])
        if sofar and sofar[-1].at.day < look.at.day:
            sofar.clear()
        sofar.append(look)
    kept = {id(look) for of_place in last.values() for look in of_place}
    return tuple(look for look in looks if id(look) in kept)


def combined(looks: Sequence[AnswerView], asked: FindingFacts) -> frozenset[str]:
    """Return the answer of all looks that stand together, as the set of what remains possible.

    A graded sign is as grave as on the fish or site where it was gravest. Of kinds, what was seen
    outranks that nothing was; two kinds seen both remain. How a tank fares is what was said last.

    Args:
        looks: looks that stand, at least one.
        asked: the finding.
    """
    if asked.role is Role.CONTEXT or asked.law in (LikelihoodLaw.COURSE, LikelihoodLaw.CONTEXT):
        last = max(look.at.day for look in looks)
        return _either(_sets((look for look in looks if look.at.day == last), asked))
    by_place: dict[object, list[AnswerView]] = {}
    for look in looks:
        by_place.setdefault(look.place, []).append(look)
    possible = [_of_kinds(_sets(of_place, asked), asked) for of_place in by_place.values()]
    if asked.law in GRADED or asked.id in OF_THE_WORST:
        return gravest(possible, asked)
    return _of_kinds(possible, asked)


def _sets(looks: Iterable[AnswerView], asked: FindingFacts) -> list[frozenset[str]]:
    return [answers for look in looks if (answers := read(look, asked)) is not None]


def gravest(possible: Iterable[frozenset[str]], asked: FindingFacts) -> frozenset[str]:
    """Return every answer that can be the gravest of one out of each set.

    Args:
        possible: answers that remain possible, by fish or site.
        asked: a finding whose answers stand from mild to grave.
    """
    grave = frozenset(asked.answers[:1])
    grade = {answer: place for place, answer in enumerate(asked.answers)}
    for answers in possible:
        grave = frozenset(max(a, b, key=grade.__getitem__) for a in grave for b in answers)
    return grave


def _of_kinds(possible: Sequence[frozenset[str]], asked: FindingFacts) -> frozenset[str]:
    """Return what remains of sets of kinds: those that surely saw something before the others."""
    seen = [answers for answers in possible if asked.baseline_answer not in answers]
    return _either(seen or possible)


def _either(possible: Iterable[frozenset[str]]) -> frozenset[str]:
    """Return what all sets allow; where nothing is, what any of the narrowest does."""
    sets = set(possible)
    common = frozenset.intersection(*sets)
    if common:
        return common
    narrow = (some for some in sets if not any(other < some for other in sets))
    return frozenset().union(*narrow)
