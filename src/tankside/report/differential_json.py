"""The machine-readable form of a differential; its shape is kept stable."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tankside.diagnose import OUTSIDE, Look, Speaks
from tankside.report.differential_words import cause_name, chance_words, first_step
from tankside.services.differential import DifferentialAnswer
from tankside.services.differential_case import CaseDifferentialAnswer

if TYPE_CHECKING:
    from tankside.report.shapes.ranking import (
        BesideRankingJson,
        CaseDifferentialJson,
        CausePairJson,
        DifferentialJson,
        EarlyJson,
        LookJson,
        RankedCauseJson,
        SecondCauseJson,
        SpeaksJson,
    )


MOST_PAIRS = 10
MOST_UNKNOWN = 8
MOST_SECOND = 5


def differential_json(answer: DifferentialAnswer) -> DifferentialJson:
    """Return the documented object of ``tankside differential --json``.

    ``ranked`` holds every cause, likeliest first, with the rows ``NONE`` (nothing wrong) and
    ``NOT_IN_LIST`` among them; chances of causes do not sum to 1, since causes can be present
    together. ``for`` and ``against`` are complete.
    """
    ranking = answer.ranking
    return {
        "ranked": [_row(answer, name) for name in ranking.order()],
        "pairs": _pairs(answer),
        "must_not_miss": [
            {
                "condition": alarm.condition,
                "name": cause_name(answer.facts, alarm.condition),
                "probability": alarm.chance,
                "words": chance_words(answer.facts, alarm.chance),
                "step": alarm.step,
                "also": list(alarm.also),
            }
            for alarm in answer.strip
        ],
        "unexplained": list(answer.unexplained),
        "look_next": [_look(look) for look in answer.looks.looks],
        "stop_looking": answer.looks.stop,
        "nothing_wrong": ranking.nothing_wrong,
        "not_in_list": ranking.of(OUTSIDE),
        "two_causes": answer.two_causes,
        "second": _second(answer),
        **_beside(answer),
        "keep_in_mind": list(answer.early),
        "passed_over": list(answer.passed_over),
        "expected_harm": answer.looks.harm_now,
        "calibrated": answer.facts.calibrated,
    }


def case_differential_json(answer: CaseDifferentialAnswer) -> CaseDifferentialJson:
    """Return the same for a case, with what the case itself says about its cause."""
    return {
        **differential_json(answer.differential),
        "own_idea": answer.own_idea,
        "confirmed": list(answer.confirmed),
        "not_known_findings": list(answer.not_in_list),
        "system": answer.water.systems[0] if answer.water.systems else None,
        "left_out_of_other_water": answer.water.left_out,
        "to_be_asked": list(answer.asked),
        "water_warnings": list(answer.warnings),
    }


def early_json(answer: DifferentialAnswer) -> EarlyJson:
    """Return the unordered list alone, the object of ``--early --json``."""
    return {"keep_in_mind": list(answer.early)}


def _row(answer: DifferentialAnswer, name: str) -> RankedCauseJson:
    chance = answer.ranking.of(name)
    low, high = answer.bands.edges[name]
    why = answer.reasons[name]
    step = first_step(answer.facts, answer.ranking, name)
    groups = answer.ranking.groups() if name == OUTSIDE else ()
    return {
        "condition": name,
        "name": cause_name(answer.facts, name),
        "probability": chance,
        "low": low,
        "high": high,
        "words": chance_words(answer.facts, chance),
        "first_in_redraws": answer.bands.first[name],
        "for": [_speaks(s) for s in why.supports],
        "against": [_speaks(s) for s in why.against],
        "unknown": [s.finding for s in why.unknown[:MOST_UNKNOWN]],
        "would_change": [_speaks(s) for s in why.would_change[:MOST_UNKNOWN]],
        "step": step,
        "leading": answer.ranking.leading(name),
        "groups": [
            {
                "condition": group,
                "name": cause_name(answer.facts, group),
                "probability": answer.ranking.of(group),
                "step": answer.facts.conditions[group].step,
            }
            for group in groups
        ],
    }


def _speaks(speaks: Speaks) -> SpeaksJson:
    return {
        "finding": speaks.finding,
        "answers": list(speaks.answers),
        "weight": speaks.weight,
    }


def _pairs(answer: DifferentialAnswer) -> list[CausePairJson]:
    together = [
        (causes, chance)
        for causes, chance in answer.ranking.sets(len(answer.ranking.chance))
        if len(causes) > 1
    ]
    return [
        {
            "conditions": list(causes),
            "probability": chance,
            "words": chance_words(answer.facts, chance),
        }
        for causes, chance in together[:MOST_PAIRS]
    ]


def _beside(answer: DifferentialAnswer) -> BesideRankingJson:
    """Return what was seen without being the cause, and what nothing open would part."""
    return {
        "also_seen": [
            {
                "finding": seen.finding,
                "answers": list(seen.answers),
                "condition": seen.condition,
                "probability": seen.chance,
            }
            for seen in answer.also_seen
        ],
        "looks_alike": [
            {
                "condition": pair.condition,
                "other": pair.other,
                "listed": pair.listed,
                "parted_by": pair.parted_by,
            }
            for pair in answer.alike
        ],
    }


def _second(answer: DifferentialAnswer) -> list[SecondCauseJson]:
    """Return how likely each cause is to be there as a second beside the leading one."""
    ranking = answer.ranking
    beside = {
        name: ranking.of(name) - ranking.leading(name)
        for name, cause in answer.facts.conditions.items()
        if cause.listed
    }
    first = sorted(beside, key=lambda name: (-beside[name], name))[:MOST_SECOND]
    return [{"condition": name, "probability": beside[name]} for name in first]


def _look(look: Look) -> LookJson:
    return {
        "sitting": look.sitting,
        "finding": look.finding,
        "findings": list(look.findings),
        "days": look.days,
        "minutes": look.minutes,
        "gain": look.gain,
        "gain_per_minute": look.per_minute,
        "why": look.why,
        "moves": [
            {
                "answer": move.answer,
                "answers": [list(said) for said in move.answers],
                "changes_step": move.changes_step,
                "probability": move.chance,
                "first": move.first,
                "rises": move.rises,
                "falls": move.falls,
            }
            for move in look.moves
        ],
    }
