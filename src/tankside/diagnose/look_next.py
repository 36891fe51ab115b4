"""Which look is worth its minutes: the expected harm it saves, and when to stop looking.

With the chance p of a cause, the harm m of leaving it a day and the harm v of acting on it in
vain, the least expected harm is the sum over causes of min(p m, (1 - p) v). A look is worth
what it is expected to lower that sum by (expected value of sample information).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tankside.claims.diagnosis import FindingFacts, LikelihoodLaw, Role
from tankside.diagnose.combine import Floats
from tankside.diagnose.evidence import shut
from tankside.diagnose.ranking import Ranking, normalised, spot_profile


@dataclass(frozen=True, slots=True)
class Open:
    """A finding not yet answered, as each hypothesis would answer it.

    Args:
        finding: identifier.
        answers: its answers.
        answer_chance: chance of each answer by hypothesis.
        log_step: what each answer would add to the log-weight of each hypothesis.
    """

    finding: str
    answers: tuple[str, ...]
    answer_chance: Floats
    log_step: Floats


@dataclass(frozen=True, slots=True)
class Move:
    """What one answer of a look would do.

    Args:
        answer: the answer.
        chance: how likely it is to be given.
        first: the cause that would then come first.
        rises: the cause whose chance would rise most ("" when none does).
        falls: the cause whose chance would fall most ("" when none does).
    """

    answer: str
    chance: float
    first: str
    rises: str
    falls: str


@dataclass(frozen=True, slots=True)
class Look:
    """A look that may be worth its minutes.

    Args:
        finding: identifier.
        minutes: what it takes, putting the question included.
        gain: expected harm it saves, as a share of the stock, its own harm taken off.
        per_minute: the same per minute.
        moves: what each answer would do.
        why: why it comes before its turn ("" when it does not).
    """

    finding: str
    minutes: float
    gain: float
    per_minute: float
    moves: tuple[Move, ...]
    why: str = ""


@dataclass(frozen=True, slots=True)
class NextLooks:
    """Looks in order of worth, and whether to stop looking and act."""

    looks: tuple[Look, ...]
    stop: bool
    harm_now: float


def look_next(ranking: Ranking, *, cannot: frozenset[str] = frozenset()) -> NextLooks:
    """Order the looks still open by expected harm saved per minute.

    A look must save a set share of what the best look saves, however cheap it is; below a set
    saving the advice is to stop looking and act. When fish gasp or many died at once, the water
    tests still open come first, whatever else would save.

    Args:
        ranking: the ranking as it stands.
        cannot: findings that cannot be looked at here (no equipment, no consent).
    """
    number = ranking.tables.facts.number
    opened = [o for o in open_findings(ranking) if o.finding not in cannot]
    harm_now = float(_least_harm(ranking, ranking.by_cause))
    saved = _saved(ranking, opened, harm_now)
    best = max(saved, default=0.0)
    worth = [
        (o, gain)
        for o, gain in zip(opened, saved, strict=True)
        if gain >= number("look.stop_gain") and gain >= number("look.relevance") * best
    ]
    urgent = _urgent(ranking)
    water = [o for o in opened if urgent and _asked(ranking, o).role is Role.WATER_TEST]
    first = [
        _look(ranking, o, gain, urgent) for o, gain in zip(opened, saved, strict=True) if o in water
    ]
    rest = [_look(ranking, o, gain, "") for o, gain in worth if o not in water]
    in_order = [*sorted(first, key=_worth), *sorted(rest, key=_worth)]
    return NextLooks(tuple(in_order), not in_order, harm_now)


def _worth(look: Look) -> tuple[float, float, str]:
    return (-look.per_minute, look.minutes, look.finding)


def open_findings(ranking: Ranking) -> list[Open]:
    """Return the findings that can still be looked at, as each hypothesis would answer them."""
    facts = ranking.tables.facts
    closed = set(ranking.masks)
    return [
        _opened(ranking, name)
        for name, finding in facts.findings.items()
        if name not in closed
        and finding.looked_for
        and not shut(facts, ranking.evidence, name)
        and not (finding.gate and finding.gate_finding not in ranking.masks)
    ]


def _opened(ranking: Ranking, name: str) -> Open:
    tables = ranking.tables
    finding = tables.facts.findings[name]
    gated = finding.law is LikelihoodLaw.GATED
    answer_chance = _descriptor(ranking, name) if gated else ranking.space.answer_chance[name]
    return Open(name, finding.answers, answer_chance, tables.exponent[name] * np.log(answer_chance))


def _descriptor(ranking: Ranking, name: str) -> Floats:
    """Return the chances of a descriptor, given the descriptors already told."""
    tables, space = ranking.tables, ranking.space
    profile = spot_profile(tables, ranking.evidence, ranking.masks)
    answered = np.ones(tables.leak_row + 1) if profile is None else np.exp(profile)
    share = space.responsible * answered[space.members]
    share = share / share.sum(axis=1, keepdims=True)
    return np.asarray((share[:, :, None] * tables.cells[name].chance[space.members]).sum(axis=1))


def _least_harm(ranking: Ranking, by_cause: Floats) -> Floats:
    """Return the least expected harm for chances of causes along the last axis."""
    causes = ranking.tables.facts.conditions.values()
    missed = np.array([c.harm_missed.point for c in causes])
    in_vain = np.array([c.harm_in_vain.point for c in causes])
    return np.asarray(np.minimum(by_cause * missed, (1 - by_cause) * in_vain).sum(axis=-1))


def _saved(ranking: Ranking, opened: list[Open], harm_now: float) -> list[float]:
    """Return the expected harm each look saves, its own harm taken off."""
    if not opened:
        return []
    steps = np.concatenate([o.log_step.T for o in opened])
    answer_chance = np.concatenate([o.answer_chance.T for o in opened])
    after = normalised(ranking.log_weight + steps) @ ranking.space.membership
    expected = (answer_chance @ ranking.chance) * _least_harm(ranking, after)
    number = ranking.tables.facts.number
    saved, start = [], 0
    for o in opened:
        end = start + len(o.answers)
        of_look = number(f"look.harm.invasiveness_{_asked(ranking, o).invasiveness}")
        saved.append(harm_now - float(expected[start:end].sum()) - of_look)
        start = end
    return saved


def _asked(ranking: Ranking, opened: Open) -> FindingFacts:
    return ranking.tables.facts.findings[opened.finding]


def _urgent(ranking: Ranking) -> str:
    """Return why water tests come first, "" when nothing calls for it."""
    for rule in ranking.tables.facts.water_first:
        if rule.answer in ranking.evidence.answers.get(rule.finding, ()):
            return rule.why
    return ""


def _look(ranking: Ranking, opened: Open, gain: float, why: str) -> Look:
    asked = _asked(ranking, opened)
    minutes = asked.cost_minutes + ranking.tables.facts.number("look.setup_minutes")
    return Look(opened.finding, minutes, gain, gain / minutes, _moves(ranking, opened), why)


def _moves(ranking: Ranking, opened: Open) -> tuple[Move, ...]:
    names = ranking.names()
    presence = ranking.presence()
    now = ranking.chance @ presence
    chances = ranking.chance @ opened.answer_chance
    moves = []
    for column, answer in enumerate(opened.answers):
        after = normalised(ranking.log_weight + opened.log_step[:, column])
        then = after @ presence
        change = then - now
        up, down = int(change.argmax()), int(change.argmin())
        moves.append(
            Move(
                answer,
                float(chances[column]),
                names[int(then.argmax())],
                names[up] if change[up] > 0 else "",
                names[down] if change[down] < 0 else "",
            )
        )
    return tuple(moves)
