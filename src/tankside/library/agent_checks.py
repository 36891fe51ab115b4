"""Named house checks of agents: limits, pairs, people and law."""

from __future__ import annotations

from collections.abc import Iterator

from tankside.library.house import House
from tankside.library.problem import Problem
from tankside.library.subject_checks import KINDS, LEVELS, SAID, SUBSTANCE, claims_by_short_key

TITRATED = (
    "titrate.steps", "titrate.reads", "titrate.test_every", "titrate.test_first",
)  # fmt: skip


def agent_kind(house: House) -> Iterator[Problem]:
    """An agent is of a known kind, and a substance names its actives."""
    for subject in house.of_kind("agents"):
        kind = subject.head.get("kind")
        if kind not in KINDS:
            yield Problem(
                "agent_kind",
                subject.file,
                "kind",
                f"kind is {kind!r}.",
                f"write one of {', '.join(KINDS)}.",
            )
        if kind == "substance" and not subject.head.get("actives"):
            yield Problem(
                "agent_kind",
                subject.file,
                "actives",
                "a substance names no active.",
                'write actives = ["..."]; overlap is judged on them.',
            )


def agent_complete(house: House) -> Iterator[Problem]:
    """A substance fills every field that safety asks for, if only with why it is unknown."""
    for subject in house.of_kind("agents"):
        claims = claims_by_short_key(subject)
        if subject.head.get("kind") != "substance":
            continue
        for short in SUBSTANCE:
            if short not in claims:
                yield Problem(
                    "agent_complete",
                    subject.file,
                    short,
                    "the field is missing.",
                    'add the claim, or unknown = "..."; "not needed, because ..." is an answer.',
                )


def agent_words(house: House) -> Iterator[Problem]:
    """Effects, removals and hazards are told in the agreed words."""
    for subject in house.of_kind("agents"):
        for short, claim in claims_by_short_key(subject).items():
            allowed = SAID.get(short)
            if allowed and claim.value is not None and claim.value not in allowed:
                yield Problem(
                    "agent_words",
                    subject.file,
                    short,
                    f"{claim.value!r} is not one of the agreed words.",
                    f"write one of {', '.join(allowed)}, and the rest in note.",
                )


def dose_has_limit(house: House) -> Iterator[Problem]:
    """Every dose of a substance has a hard limit by the same route, at or above the dose."""
    for subject in house.of_kind("agents"):
        if subject.head.get("kind") != "substance":
            continue
        claims = claims_by_short_key(subject)
        for short, dose in claims.items():
            if not short.startswith("dose."):
                continue
            limit = claims.get(f"hard_max.{short.removeprefix('dose.')}")
            if limit is None:
                yield Problem(
                    "dose_has_limit",
                    subject.file,
                    short,
                    "the dose has no hard limit.",
                    f"add hard_max.{short.removeprefix('dose.')} and say how it is derived.",
                )
            elif limit.known and dose.known and dose.bounds()[1] > limit.bounds()[1]:
                yield Problem(
                    "dose_has_limit",
                    subject.file,
                    short,
                    f"the dose {dose.bounds()[1]:g} is above the hard limit {limit.bounds()[1]:g}.",
                    "lower the dose or correct the limit.",
                )


def titration_whole(house: House) -> Iterator[Problem]:
    """An agent given by test says in what steps, how it is read and how often."""
    for subject in house.of_kind("agents"):
        claims = claims_by_short_key(subject)
        for short in TITRATED if "titrate.every" in claims else ():
            if short not in claims or not claims[short].known:
                yield Problem(
                    "titration_whole",
                    subject.file,
                    short,
                    "the agent is given by test, but this is not stated.",
                    "add the claim; a judgement is an answer where it is called one.",
                )


def pairs_mutual(house: House) -> Iterator[Problem]:
    """What may not be mixed is said in both files, with level and reason."""
    agents = {subject.id: claims_by_short_key(subject) for subject in house.of_kind("agents")}
    for subject in house.of_kind("agents"):
        for short, claim in agents[subject.id].items():
            if not short.startswith("incompatible."):
                continue
            other = short.removeprefix("incompatible.")
            if f"incompatible.{subject.id}" not in agents.get(other, {}):
                yield Problem(
                    "pairs_mutual",
                    subject.file,
                    short,
                    f"{other} does not name {subject.id}.",
                    f"add incompatible.{subject.id} to agents/{other}.toml, or correct the name.",
                )
            if claim.conditions.get("level") not in LEVELS or not claim.conditions.get("why"):
                yield Problem(
                    "pairs_mutual",
                    subject.file,
                    short,
                    "the pair lacks its level or its reason.",
                    f"write conditions = {{ level = {' | '.join(LEVELS)}, why = ... }}.",
                )


def law_is_dated(house: House) -> Iterator[Problem]:
    """What the law says has a place and a date, and tells to check local law."""
    for subject in house.of_kind("agents"):
        for short, claim in claims_by_short_key(subject).items():
            if not short.startswith("law."):
                continue
            placed = claim.conditions.get("place") and claim.conditions.get("date")
            if not placed or "local law" not in str(claim.value):
                yield Problem(
                    "law_is_dated",
                    subject.file,
                    short,
                    "the law has no place or date, or does not say to check local law.",
                    'write conditions = { place, date } and end with "check local law.".',
                )


def kills_name_agents(house: House) -> Iterator[Problem]:
    """What an organism's figures call an agent is one of the agents."""
    agents = {subject.id for subject in house.of_kind("agents")}
    for subject in house.of_kind("organisms"):
        for short in claims_by_short_key(subject):
            named = short.split(".")
            if named[0] in ("kill", "feed", "leave") and len(named) > 1 and named[1] not in agents:
                yield Problem(
                    "kills_name_agents",
                    subject.file,
                    short,
                    f"there is no agent {named[1]!r}.",
                    "use the id of a file in agents/, or add one.",
                )


def parts_are_agents(house: House) -> Iterator[Problem]:
    """What a mixture says that it holds is one of the agents, and brings one of its actives."""
    heads = {subject.id: subject.head for subject in house.of_kind("agents")}
    for subject in house.of_kind("agents"):
        for short in claims_by_short_key(subject):
            if not short.startswith("holds."):
                continue
            actives = heads.get(short.removeprefix("holds."), {}).get("actives") or ["?"]
            if not set(actives) <= set(subject.head.get("actives") or []):
                yield Problem(
                    "parts_are_agents",
                    subject.file,
                    short,
                    "it is not an agent whose actives are all in this one.",
                    "write the id of a file in agents/, and name its actives in the head.",
                )


CHECKS = (
    agent_kind,
    agent_complete,
    agent_words,
    dose_has_limit,
    titration_whole,
    pairs_mutual,
    law_is_dated,
    kills_name_agents,
    parts_are_agents,
)
