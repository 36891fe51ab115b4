"""The machine-readable form of a differential; its shape is kept stable."""

from __future__ import annotations

from tankside.diagnose import NONE, Look, Speaks
from tankside.services.differential import OUTSIDE, Differential

MOST_PAIRS = 10
MOST_UNKNOWN = 8


def as_object(found: Differential) -> dict[str, object]:
    """Return the documented object of ``tankside differential --json``.

    ``ranked`` holds every cause, likeliest first, with the rows ``NONE`` (nothing wrong) and
    ``NOT_IN_LIST`` among them; chances of causes do not sum to 1, since causes can be present
    together. ``for`` and ``against`` are complete.
    """
    ranking = found.ranking
    return {
        "ranked": [_row(found, name) for name in ranking.order()],
        "pairs": _pairs(found),
        "must_not_miss": [
            {
                "condition": item.condition,
                "name": found.name(item.condition),
                "probability": item.chance,
                "words": found.words(item.chance),
                "step": item.step,
                "also": list(item.also),
            }
            for item in found.strip
        ],
        "unexplained": list(found.unexplained),
        "look_next": [_look(look) for look in found.looks.looks],
        "stop_looking": found.looks.stop,
        "nothing_wrong": ranking.nothing_wrong,
        "not_in_list": ranking.of(OUTSIDE),
        "two_causes": found.two_causes,
        "keep_in_mind": list(found.early),
        "passed_over": list(found.passed_over),
        "expected_harm": found.looks.harm_now,
        "calibrated": found.facts.calibrated,
    }


def _row(found: Differential, name: str) -> dict[str, object]:
    chance = found.ranking.of(name)
    low, high = found.bands.edges[name]
    why = found.reasons[name]
    step = "" if name == NONE else found.facts.conditions[name].step
    return {
        "condition": name,
        "name": found.name(name),
        "probability": chance,
        "low": low,
        "high": high,
        "words": found.words(chance),
        "first_in_redraws": found.bands.first[name],
        "for": [_speaks(s) for s in why.supports],
        "against": [_speaks(s) for s in why.against],
        "unknown": [s.finding for s in why.unknown[:MOST_UNKNOWN]],
        "would_change": [_speaks(s) for s in why.would_change[:MOST_UNKNOWN]],
        "step": step,
    }


def _speaks(speaks: Speaks) -> dict[str, object]:
    return {
        "finding": speaks.finding,
        "answers": list(speaks.answers),
        "weight": speaks.weight,
    }


def _pairs(found: Differential) -> list[dict[str, object]]:
    together = [
        (causes, chance)
        for causes, chance in found.ranking.sets(len(found.ranking.chance))
        if len(causes) > 1
    ]
    return [
        {"conditions": list(causes), "probability": chance, "words": found.words(chance)}
        for causes, chance in together[:MOST_PAIRS]
    ]


def _look(look: Look) -> dict[str, object]:
    return {
        "finding": look.finding,
        "minutes": look.minutes,
        "gain": look.gain,
        "gain_per_minute": look.per_minute,
        "why": look.why,
        "moves": [
            {
                "answer": move.answer,
                "probability": move.chance,
                "first": move.first,
                "rises": move.rises,
                "falls": move.falls,
            }
            for move in look.moves
        ],
    }
