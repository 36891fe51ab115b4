"""Which sitting is worth its minutes: the expected harm it saves, and when to stop looking.

With the chance p of a cause, the harm m of leaving it a day and the harm v of acting on it in
vain, the least expected harm is the sum over causes of min(p m, (1 - p) v). A sitting is worth
what all its answers together are expected to lower that sum by, less its own harm, once.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from tankside.claims.cited import whole_setting
from tankside.claims.diagnosis import DiagnosisFacts, Role
from tankside.claims.looking import Sitting
from tankside.diagnose.open_findings import Open, open_findings
from tankside.diagnose.outcomes import Believed, Sheets, believed, draw
from tankside.diagnose.ranking import Ranking, narrowed, normalised

OUTCOMES = whole_setting(4, "main outcomes told of a sitting")
SETS = whole_setting(150, "sets of several causes weighed; the others hold next to nothing")
TELLING = whole_setting(3, "answers told of an outcome")


@dataclass(frozen=True, slots=True)
class Move:
    """One main outcome of a sitting.

    Args:
        answer: the most telling answer, as ``finding=answer``.
        answers: the telling answers, each a finding and an answer.
        chance: how likely the outcome is.
        first: what would then come first.
        rises: the row whose chance would rise most ("" when none does).
        falls: the row whose chance would fall most ("" when none does).
        changes_step: whether another step would then be right, more often than not.
    """

    answer: str
    answers: tuple[tuple[str, str], ...]
    chance: float
    first: str
    rises: str
    falls: str
    changes_step: bool


@dataclass(frozen=True, slots=True)
class Look:
    """A sitting that may be worth its minutes.

    Args:
        sitting: identifier.
        finding: the finding of it that alone would save most.
        findings: what it answers that is still open, the most worth first.
        minutes: what it takes, once.
        gain: expected harm it saves, as a share of the stock, its own harm taken off.
        per_minute: the same per minute.
        moves: its main outcomes, likeliest first.
        days: until its answer comes, when it is sent away.
        why: why it comes before its turn ("" when it does not).
    """

    sitting: str
    finding: str
    findings: tuple[str, ...]
    minutes: float
    gain: float
    per_minute: float
    moves: tuple[Move, ...]
    days: float = 0
    why: str = ""


@dataclass(frozen=True, slots=True)
class NextLooks:
    """Sittings in order of worth, and whether to stop looking and act."""

    looks: tuple[Look, ...]
    stop: bool
    harm_now: float


def look_next(ranking: Ranking, *, cannot: frozenset[str] = frozenset()) -> NextLooks:
    """Order the sittings still open by expected harm saved per minute.

    A sitting must save a set share of what the best one saves, however cheap it is; below a set
    saving, or where no outcome would change the step, the advice is to stop looking and act. What
    is sent away comes after what can be seen today. When fish gasp or many died at once, the
    water is tested first, whatever else would save.

    Args:
        ranking: the ranking as it stands.
        cannot: findings or sittings that are not possible here (no equipment, no consent).
    """
    facts = ranking.tables.facts
    ranking = narrowed(ranking, SETS)
    held = believed(ranking)
    harm_now = float(held.harm(held.chance @ held.membership, held.acts))
    why = _urgent(ranking)
    offered = [
        _weighed(ranking, held, facts.sittings[name], opened, why)
        for name, opened in _by_sitting(ranking, cannot).items()
    ]
    best = max((w.look.gain for w in offered), default=0.0)
    least = max(facts.number("look.stop_gain"), facts.number("look.relevance") * best)
    worth = [w for w in offered if w.look.why or w.look.gain >= least]
    looks = [replace(w.look, moves=_moves(ranking, held, w.sheets)) for w in worth]
    in_order = sorted(looks, key=_turn)
    return NextLooks(tuple(in_order), not in_order, harm_now)


def _turn(look: Look) -> tuple[bool, bool, float, float, str]:
    return (not look.why, look.days > 0, -look.per_minute, look.minutes, look.sitting)


def _by_sitting(ranking: Ranking, cannot: frozenset[str]) -> dict[str, list[Open]]:
    """Return the open findings by sitting; coarse forms give way to the fine ones of a sitting."""
    facts = ranking.tables.facts
    opened = [
        o
        for o in open_findings(ranking, behind_gates=True)
        if o.finding not in cannot and facts.findings[o.finding].sitting not in cannot
    ]
    coarse = {
        form.finding for o in opened if (form := facts.findings[o.finding].fine_of) is not None
    }
    by_sitting: dict[str, list[Open]] = {}
    for o in opened:
        sitting = facts.findings[o.finding].sitting
        if sitting in facts.sittings and (o.finding not in coarse or _is_gate(facts, o.finding)):
            by_sitting.setdefault(sitting, []).append(o)
    return by_sitting


def _is_gate(facts: DiagnosisFacts, finding: str) -> bool:
    return any(f.gate_finding == finding for f in facts.findings.values())


def _urgent(ranking: Ranking) -> str:
    """Return why the water is tested first, "" when nothing calls for it."""
    for rule in ranking.tables.facts.water_first:
        if rule.answer in ranking.evidence.answers.get(rule.finding, ()):
            return rule.why
    return ""


@dataclass(frozen=True, slots=True)
class WeighedSitting:
    """A sitting with the sheets of answers it was weighed by."""

    look: Look
    sheets: Sheets


def _weighed(
    ranking: Ranking, held: Believed, sitting: Sitting, opened: list[Open], why: str
) -> WeighedSitting:
    facts = ranking.tables.facts
    sheets = draw(held, opened, _gates(facts, opened))
    alone = {o.finding: _alone(held, o) for o in opened}
    sampled = float(sheets.saved.mean()) if len(opened) > 1 else 0.0
    gain = max(sampled, max(alone.values()))  # a whole is worth at least each of its parts
    gain -= facts.number(f"look.harm.invasiveness_{sitting.invasiveness}")
    in_order = sorted(alone, key=lambda name: (-alone[name], name))
    asked = sum(facts.findings[o.finding].cost_minutes for o in opened)
    setup = facts.number("look.setup_minutes")
    minutes = sitting.minutes if sitting.shared else min(sitting.minutes, asked + setup)
    water = any(facts.findings[o.finding].role is Role.WATER_TEST for o in opened)
    look = Look(
        sitting.id, in_order[0], tuple(in_order), minutes, gain, gain / minutes, (), sitting.days,
        why if water else "",
    )  # fmt: skip
    return WeighedSitting(look, sheets)


def _gates(facts: DiagnosisFacts, opened: list[Open]) -> dict[str, tuple[str, str]]:
    """Return the gates of questions whose gate is open too."""
    here = {o.finding for o in opened}
    gates = {}
    for o in opened:
        finding = facts.findings[o.finding]
        if finding.gate_finding in here:
            gates[o.finding] = (finding.gate_finding, finding.gate_answer)
    return gates


def _alone(held: Believed, opened: Open) -> float:
    """Return the harm that one finding by itself would be expected to save."""
    chance = held.chance @ opened.answer_chance
    after = normalised(held.log_weight + opened.log_step.T) @ held.membership
    saved = held.harm(after, held.acts) - held.harm(after, held.best(after))
    return float(chance @ saved)


def _moves(ranking: Ranking, held: Believed, sheets: Sheets) -> tuple[Move, ...]:
    """Return the main outcomes: the sheets after which the same row comes first."""
    names = ranking.names()
    now = held.chance @ held.presence
    then = sheets.chance @ held.presence
    leader = then.argmax(axis=1)
    counts = np.bincount(leader, minlength=len(names))
    moves = []
    for place in np.argsort(-counts, kind="stable")[:OUTCOMES]:
        inside = leader == place
        if not inside.any():
            break
        change = then[inside].mean(axis=0) - now
        up, down = int(change.argmax()), int(change.argmin())
        telling = _telling(sheets, inside)
        moves.append(
            Move(
                "=".join(telling[0]) if telling else "",
                telling,
                float(inside.mean()),
                names[int(place)],
                names[up] if change[up] > 0 else "",
                names[down] if change[down] < 0 else "",
                bool(sheets.turned[inside].mean() > 1 / 2),
            )
        )
    return tuple(moves)


def _telling(sheets: Sheets, inside: NDArray[np.bool_]) -> tuple[tuple[str, str], ...]:
    """Return the answers that set these sheets apart from all: share times log of its lift."""
    here, anywhere = sheets.sheets[inside].mean(axis=0), sheets.sheets.mean(axis=0)
    lift = np.where(here > anywhere, here / np.where(anywhere > 0, anywhere, 1), 1.0)
    apart = here * np.log(lift)
    best: dict[str, str] = {}
    for place in np.argsort(-apart, kind="stable"):
        if apart[place] <= 0 or len(best) == TELLING:
            break
        finding, answer = sheets.columns[int(place)]
        best.setdefault(finding, answer)
    return tuple(best.items())
