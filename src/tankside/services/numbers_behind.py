"""The cited numbers that the answers to a case rest on, by what they are used for."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from tankside import library
from tankside.case import CaseView
from tankside.claims import Claim, Knowledge
from tankside.errors import Mistake
from tankside.intake.claim_snapshot import claim_snapshot
from tankside.intake.followed_course import Running, running
from tankside.intake.species import species
from tankside.intake.stop_date import LEAST_WAIT
from tankside.intake.trial_setup import parasite_meant

DURATIONS = ("residence", "life", "strain_factor")
"""What the claims on the length of a stage begin with."""
BEARS = "tolerance"
BORNE = ("temperature", "salinity", "ph")
"""First words of the claims on what a kind of animal bears whatever is given."""


class UsedFor(StrEnum):
    """What a number is used for."""

    STOP = "stop"
    AMOUNTS = "amounts"
    ANIMALS = "animals"
    CAUTIONS = "cautions"


@dataclass(frozen=True, slots=True)
class NumbersBehind:
    """The claims that answers to a case rest on.

    Args:
        claims: by what they are used for, each once, in the order of use.
        rivals: how many other claims stand beside each, by its key.
    """

    claims: dict[UsedFor, tuple[Claim, ...]]
    rivals: dict[str, int]


def numbers_behind(view: CaseView) -> NumbersBehind:
    """Return the claims that stop date, amounts, limits of the animals and cautions rest on.

    Args:
        view: the case.
    """
    facts = library.load()
    followed = _followed(view, facts)
    by_use = {
        UsedFor.STOP: tuple(_stop(view, facts)),
        UsedFor.AMOUNTS: tuple(_amounts(facts, followed)),
        UsedFor.ANIMALS: tuple(_animals(view, facts, followed)),
        UsedFor.CAUTIONS: tuple(_cautions(facts, followed)),
    }
    used = {use: tuple({c.key: c for c in claims}.values()) for use, claims in by_use.items()}
    keys = {claim.key for claims in used.values() for claim in claims}
    return NumbersBehind(used, {key: len(facts.facts.get(key, ())) - 1 for key in keys})


def _followed(view: CaseView, facts: Knowledge) -> Running | None:
    try:
        return running(view, facts)
    except Mistake:
        return None


def _stop(view: CaseView, facts: Knowledge) -> Iterator[Claim]:
    """Yield what puts figures on the stages of the parasite that is meant."""
    try:
        organism = parasite_meant(view, facts, None)
    except Mistake:
        return
    stages = [stage.key for stage in organism.stages if stage.in_cycle]
    for key, claim in organism.claims.items():
        stage, _, what = key.partition(".")
        if stage in stages and what.startswith(DURATIONS) and claim.known:
            yield claim
    yield facts.claim(LEAST_WAIT)


def _amounts(facts: Knowledge, followed: Running | None) -> Iterator[Claim]:
    if followed is not None:
        for key in claim_snapshot(facts, followed.run.course):
            yield facts.claim(key)


def _animals(view: CaseView, facts: Knowledge, followed: Running | None) -> Iterator[Claim]:
    """Yield what each kind of animal bears, of what is given and of the water."""
    dosed = {a.agent for a in followed.run.amounts} if followed is not None else set()
    classes = {facts.agents[agent].host_class for agent in dosed if agent in facts.agents}
    for group in view.stock.values():
        host = species(facts.hosts, group.description.host, group.description.name).host
        if host is None:
            continue
        for short, claims in host.claims.items():
            first, *rest = short.split(".")
            wanted = (first == BEARS and rest and rest[0] in classes) or first in BORNE
            if wanted and claims[0].known:
                yield claims[0]


def _cautions(facts: Knowledge, followed: Running | None) -> Iterator[Claim]:
    if followed is not None:
        for caution in followed.run.safety:
            if caution.claim_key in facts.facts:
                yield facts.claim(caution.claim_key)
