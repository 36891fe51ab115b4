"""Limits of an agent by route and circumstances: where they stand, and why.

A limit is the strictest of what is printed of the agent, of the other forms of its active, and of
the animals there. Every comparison asks whether a value is inside, so that a value that is no
number never passes.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from tankside.claims import Claim, Knowledge, setting
from tankside.course.amounts.active_forms import same_active
from tankside.course.amounts.tolerance import BATHS, BETWEEN, most_borne
from tankside.course.amounts.young import what_tells_age
from tankside.course.bodies.stock import StockGroup
from tankside.course.bodies.words import show

FEED = "feed"
SOFT = "soft"
SCALES_WITH = "scales_with"


@dataclass(frozen=True, slots=True)
class Limit:
    """A limit of strength [mg/L on the agent's basis] and the claim it rests on.

    ``why`` says for whom or in what water it holds, and which fact, once told, lifts it; "" where
    it always holds.
    """

    mg_l: float
    claim_key: str
    source: str
    why: str = ""

    @property
    def cited(self) -> str:
        """The source in brackets after a blank, and what the limit hangs on; "" where neither."""
        source = f" ({self.source})" if self.source else ""
        return f"{source} {self.why}" if self.why else source


@dataclass(frozen=True, slots=True)
class Around:
    """What a limit may depend on at one body of water; None when not known.

    ``water`` is fresh, brackish or marine; ``groups`` are the animals there.
    """

    temperature_c: float | None
    alkalinity_mg_l_caco3: float | None
    young: bool | None
    water: str | None = None
    groups: tuple[StockGroup, ...] = ()


_SLACK = setting(1e-12, "a dose exactly at the limit passes whatever the last binary digit")
UNKNOWN = Around(None, None, None)


def is_inside(mg_l: float, limit: Limit) -> bool:
    """Whether a strength is inside a limit; never when it is no number."""
    return mg_l <= limit.mg_l * (1 + _SLACK)


def hard_limit(facts: Knowledge, agent: str, route: str, around: Around = UNKNOWN) -> Limit | None:
    """Return the strength that may never be passed by this route; None when none is known.

    It is the strictest of: the stated hard limit (or, where none is stated, the upper end of
    the usual range), the one for warm water unless the water is known to be cooler, the one for
    young fish unless they are known to be older, and the one set by alkalinity; the same of every
    other form of the active; and the most that is printed of the animals there.
    """
    if all(facts.find(f"agent.{agent}.{key}.{route}") is None for key in ("hard_max", "dose")):
        return None
    limits = [
        replace(limit, mg_l=limit.mg_l * factor)
        for form, factor in _forms(facts, agent)
        for limit in _of_form(facts, form, route, around)
    ]
    if not limits:
        return None
    limits += _of_animals(facts, agent, route, around, soft=False)
    return min(limits, key=lambda limit: limit.mg_l)


def soft_limit(facts: Knowledge, agent: str, route: str, around: Around = UNKNOWN) -> Limit | None:
    """Return the strength above which a reason or care is asked for; None when none is known.

    Where print gives the dose by the alkalinity, what it gives here is usual too.
    """
    usual = usual_most(facts, agent, route, around.water)
    printed = [
        replace(limit, mg_l=limit.mg_l * factor)
        for form, factor in _forms(facts, agent)
        for limit in _by_alkalinity(facts, form, around)
    ]
    stated = [*printed, *([] if usual is None else [usual])]
    most = max(stated, key=lambda limit: limit.mg_l, default=None)
    return reason_limit(facts, agent, route, around) or most


def reason_limit(
    facts: Knowledge, agent: str, route: str, around: Around = UNKNOWN
) -> Limit | None:
    """Return the stated soft limit, passed only with a typed reason; None when none is stated.

    Where only a usual range is printed its upper end asks for care (:func:`soft_limit`). What
    practice holds to be the most for the animals there counts as stated.
    """
    stated = [
        replace(limit, mg_l=limit.mg_l * factor)
        for form, factor in _forms(facts, agent)
        if (limit := _stated(facts, form, f"soft_max.{route}", around.water)) is not None
    ]
    for form, factor in _forms(facts, agent):
        small = _of_small(facts, form, route, around)
        stated += [] if small is None else [replace(small, mg_l=small.mg_l * factor)]
    stated += _of_animals(facts, agent, route, around, soft=True)
    return min(stated, key=lambda limit: limit.mg_l, default=None)


def lowest_useful(
    facts: Knowledge, agent: str, route: str, water: str | None = None
) -> Limit | None:
    """Return the lower end of the usual range: below it a day does not count.

    None where none is printed, and where the dose goes by something that is measured.
    """
    for form, factor in _forms(facts, agent):
        claim = facts.find(f"agent.{form}.dose.{route}")
        if claim is not None and _holds_in(claim, water):
            if SCALES_WITH in claim.conditions:
                return None
            return Limit(claim.bounds()[0] * factor, claim.key, claim.source)
    return None


@dataclass(frozen=True, slots=True)
class RouteLimit:
    """The limit of a timed route: the most [mg/L] and the longest time [min]; None if unknown."""

    route: str
    mg_l: float
    minutes: float | None


def other_routes(
    facts: Knowledge, agent: str, route: str, around: Around
) -> tuple[RouteLimit, ...]:
    """Return by which other routes, timed ones, an agent has a published limit."""
    routes = []
    for other in BATHS:
        limit = None if other == route else hard_limit(facts, agent, other, around)
        longest = facts.find(f"agent.{agent}.minutes_max.{other}")
        if limit is not None:
            minutes = None if longest is None else longest.bounds()[1]
            routes.append(RouteLimit(other, limit.mg_l, minutes))
    return tuple(routes)


def _forms(facts: Knowledge, agent: str) -> Iterator[tuple[str, float]]:
    """Yield the agent and every agent whose limits hold for it, with the factor to its basis."""
    yield agent, 1.0
    for other in same_active(facts, agent):
        if other.per_unit is not None:
            yield other.agent.id, other.per_unit


def _of_form(facts: Knowledge, form: str, route: str, around: Around) -> Iterator[Limit]:
    """Yield the limits of one form on its own basis; none where none is stated for this water."""
    stated = _stated(facts, form, f"hard_max.{route}", around.water) or _stated(
        facts, form, f"dose.{route}", around.water
    )
    if stated is not None:
        yield stated
        yield from _special(facts, form, route, around)


def _holds_in(claim: Claim, water: str | None) -> bool:
    """Whether a claim speaks of this water; what is not known, or lies between, is any water."""
    return claim.conditions.get("water") in (None, water) or water in (None, BETWEEN)


def _stated(facts: Knowledge, form: str, short: str, water: str | None) -> Limit | None:
    claim = facts.find(f"agent.{form}.{short}")
    if claim is None or not _holds_in(claim, water):
        return None
    holds_in = claim.conditions.get("water")
    why = "" if holds_in is None else f"in {holds_in} water"
    if holds_in is not None and water is None:
        other = "fresh" if holds_in != "fresh" else "marine"
        why += f"; water={other}, once told, lifts this stop"
    return _limit(claim, why)


def usual_most(facts: Knowledge, agent: str, route: str, water: str | None) -> Limit | None:
    """Return the upper end of the usual range, of another form where none is printed of this."""
    for form, factor in _forms(facts, agent):
        limit = _stated(facts, form, f"dose.{route}", water)
        if limit is not None:
            return replace(limit, mg_l=limit.mg_l * factor)
    return None


def _limit(claim: Claim, why: str = "") -> Limit:
    return Limit(claim.bounds()[1], claim.key, claim.source, _and_beside(claim, why))


def _and_beside(claim: Claim, why: str) -> str:
    """Return why a limit holds, with what stands beside it of this practice or of the release."""
    return "; ".join(filter(None, (why, claim.beside)))


def _of_animals(
    facts: Knowledge, agent: str, route: str, around: Around, soft: bool
) -> Iterator[Limit]:
    """Yield the most that is printed for each group there; ``soft`` for what a reason passes."""
    record = facts.agents.get(agent)
    if record is None or route == FEED:
        return
    usual = usual_most(facts, agent, route, around.water)
    for group in around.groups:
        usual_mg_l = None if usual is None else usual.mg_l
        for mg_l, claim in most_borne(facts, record, route, group, usual_mg_l):
            if (SOFT in claim.conditions) is soft:
                printed = claim.conditions.get("as_printed", "no words of the source on file")
                words = _and_beside(claim, f"for {group.name}: {printed}")
                yield Limit(mg_l, claim.key, claim.source, words)


def _of_small(facts: Knowledge, form: str, route: str, around: Around) -> Limit | None:
    """Return the soft limit for small fish unless every animal there is known to be longer."""
    small = facts.find(f"agent.{form}.soft_max_small.{route}")
    below = facts.find(f"agent.{form}.small_below.{route}")
    if small is None or below is None:
        return None
    from_cm = below.number()
    short = [g for g in around.groups if g.length_cm is None or not g.length_cm >= from_cm]
    if around.groups and not short:
        return None
    untold = [f"{group.name} {show(from_cm, 'cm')}" for group in short if group.length_cm is None]
    lifts = f"; a length of at least {', '.join(untold)}, once told, lifts it" if untold else ""
    return _limit(small, f"for fish under {from_cm:g} cm{lifts}")


def _special(facts: Knowledge, form: str, route: str, around: Around) -> Iterator[Limit]:
    warm = facts.find(f"agent.{form}.hard_max_warm.{route}")
    above = facts.find(f"agent.{form}.warm_above.{route}")
    read_c = around.temperature_c
    if warm is not None and (above is None or read_c is None or not read_c <= above.number()):
        why = "" if above is None else f"above {above.number():g} C"
        if above is not None and read_c is None:
            why += f"; a temperature of at most {above.number():g} C, once read, lifts this stop"
        yield _limit(warm, why)
    young = facts.find(f"agent.{form}.hard_max_young.{route}")
    if young is not None and around.young is not False:
        lifts = f"; {what_tells_age(facts, around.groups)}" if around.young is None else ""
        yield _limit(young, f"for young fish{lifts}")
    yield from _by_alkalinity(facts, form, around)


def _by_alkalinity(facts: Knowledge, form: str, around: Around) -> Iterator[Limit]:
    """Yield the dose that print gives by the alkalinity; none where it was not measured.

    A reading that is no number allows nothing.
    """
    per_alkalinity = facts.find(f"agent.{form}.dose_per_alkalinity")
    if per_alkalinity is not None and around.alkalinity_mg_l_caco3 is not None:
        read = around.alkalinity_mg_l_caco3
        yield Limit(
            per_alkalinity.number() * read if read >= 0 else 0.0,
            per_alkalinity.key,
            per_alkalinity.source,
            f"at an alkalinity of {read:g} mg/L as CaCO3",
        )
