"""What a chosen course rested on, kept with it, and what of that has changed since."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from pydantic import JsonValue

from tankside.claims import Claim, Knowledge
from tankside.course import Course
from tankside.course.bodies.effects import SALT

KEY = "pinned"
RESTS_ON = (
    "dose", "hard_max", "soft_max", "hard_max_warm", "hard_max_young", "soft_max_small",
    "small_below", "ends", "warm_above", "minutes_max",
    "interval", "dose_per_alkalinity", "needs", "form", "incompatible", "people", "not_offered",
)  # fmt: skip
"""First words of the claims of an agent that an amount, a limit or a stop of a course rests on."""


def claim_snapshot(facts: Knowledge, course: Course) -> dict[str, JsonValue]:
    """Return the claims that the amounts and limits of a course rest on, by key."""
    return {claim.key: _said(claim) for agent in _agents(course) for claim in _claims(facts, agent)}


def changed(facts: Knowledge, kept: Mapping[str, JsonValue]) -> tuple[str, ...]:
    """Return in words what differs now from what a course was chosen with.

    Args:
        facts: what is known now.
        kept: what the course was chosen with, from ``claim_snapshot``; empty when nothing was kept.
    """
    agents = dict.fromkeys(key.split(".")[1] for key in kept)
    now = {c.key: _said(c) for agent in agents for c in _claims(facts, agent)}
    changes = []
    for key in sorted({*kept, *now} if kept else ()):
        before, after = kept.get(key), now.get(key)
        if before != after:
            changes.append(f"{key}: was {_words(before)}, is {_words(after)}")
    return tuple(changes)


def _agents(course: Course) -> list[str]:
    named = [getattr(action, "agent", "") for action in course.actions]
    salted = [SALT for action in course.actions if action.kind == "salt"]
    return sorted({name for name in (*named, *salted) if name})


def _claims(facts: Knowledge, agent: str) -> Iterator[Claim]:
    substance = facts.agents.get(agent)
    for short, claims in () if substance is None else substance.claims.items():
        if short.split(".")[0] in RESTS_ON and claims[0].known:
            yield claims[0]


def _said(claim: Claim) -> JsonValue:
    bounds = [edge for edge in (claim.low, claim.high) if edge is not None]
    return [claim.value, *bounds, claim.unit]


def _words(said: JsonValue) -> str:
    if not isinstance(said, list):
        return "not stated"
    return " ".join(str(part) for part in said if part not in (None, ""))
