"""Everything that differs between the runs of a forecast: range, spread, weights, source."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from tankside.claims import Claim
from tankside.intake.forecast_setup import ForecastSetup
from tankside.intake.host_factor import BEARING, SETTLING, UNKNOWN_BEARING, host_claim
from tankside.lifecycle import Compiled
from tankside.lifecycle.inputs.claim_sampling import WATER_KEYS
from tankside.lifecycle.inputs.initial_state import is_logarithmic, ranges
from tankside.lifecycle.results.sampled import Sampled, sampled_claims
from tankside.lifecycle.results.sensitivity import acting, idle, in_use

FROM = {
    "weight_g": "practice.forecast.weight_factor",
    "susceptibility": "practice.forecast.susceptibility",
    "bearing": UNKNOWN_BEARING,
    "per_fish": "practice.forecast.burden_spread",
    "carriers": "practice.forecast.carriers",
}
"""The claim behind each range of the beginning; the figures come from the case and the host."""
UNITS = {"weight_g": "g", "per_fish": "parasites"}
IN_BRACKET, ACTION_SHARES = WATER_KEYS
"""How strong each residue really is, and how much each action really takes out."""


class HowDrawn(StrEnum):
    """How values are drawn over a range."""

    EVEN = "even"
    BY_RATIO = "by_ratio"
    WEIGHTED = "weighted"
    IN_HALVES = "in_halves"
    IN_HALVES_BY_RATIO = "in_halves_by_ratio"


@dataclass(frozen=True, slots=True)
class RivalClaim:
    """One of several claims that contradict each other, and how often it is taken."""

    low: float
    high: float
    weight: float
    source: str
    provenance: str


@dataclass(frozen=True, slots=True)
class SampledRow:
    """One thing that differs between runs.

    Args:
        key: as drawn.
        low: lowest value of any run.
        high: highest value.
        unit: of both.
        spread: how values are drawn between them.
        source: key of the work; "" for an estimate of our own, and for what the course itself says.
        provenance: found, memory, common practice, estimate.
        confidence: high, medium, low.
        note: what the claim adds.
        rivals: more than one where sources contradict each other.
        in_use: whether it can move the parasite in the followed course.
    """

    key: str
    low: float
    high: float
    unit: str
    spread: HowDrawn
    source: str
    provenance: str
    confidence: str
    note: str
    rivals: tuple[RivalClaim, ...]
    in_use: bool


def sampled_rows(setup: ForecastSetup, compiled: Compiled) -> tuple[SampledRow, ...]:
    """Return everything that differs between the runs of the followed course."""
    organism = setup.trial.organism
    claims = [
        _row(sampled) for sampled in sampled_claims(organism, acting(compiled), idle(compiled))
    ]
    return (*claims, *_beginning(setup, compiled), *_water(compiled))


def _row(sampled: Sampled) -> SampledRow:
    claim = sampled.claim
    rivals = tuple(
        RivalClaim(*a.claim.bounds(), a.weight, a.claim.source, str(a.claim.provenance))
        for a in sampled.among
    )
    even = HowDrawn.BY_RATIO if sampled.logarithmic else HowDrawn.EVEN
    return SampledRow(
        key=sampled.key,
        low=sampled.low,
        high=sampled.high,
        unit=sampled.unit,
        spread=HowDrawn.WEIGHTED if len(rivals) > 1 else even,
        source=claim.source,
        provenance=str(claim.provenance),
        confidence=str(claim.confidence),
        note=claim.note,
        rivals=rivals if len(rivals) > 1 else (),
        in_use=sampled.in_use,
    )


def _beginning(setup: ForecastSetup, compiled: Compiled) -> list[SampledRow]:
    rows = []
    drawn = ranges(setup.trial.hosts, compiled.tank_hours.body_ids, setup.trial.start)
    for name, (low, _, high) in drawn.items():
        if not low < high:
            continue
        head = name.partition(".")[0]
        claim = setup.case.facts.find(FROM.get(head, ""))
        if head in (SETTLING, BEARING):
            claim = _of_the_kind(setup, head, name.partition(".")[2]) or claim
        rows.append(_beginning_row(name, (low, high), UNITS.get(head, "1"), claim))
    return rows


def _of_the_kind(setup: ForecastSetup, what: str, group: str) -> Claim | None:
    """Return what print says of the kind of fish of a group: settling, or what it bears."""
    hosts = {host.id: host.host_id for host in setup.trial.hosts}
    return host_claim(setup.case.facts, hosts.get(group, ""), what, setup.trial.organism)


def _beginning_row(
    name: str, ends: tuple[float, float], unit: str, claim: Claim | None
) -> SampledRow:
    return SampledRow(
        key=name,
        low=ends[0],
        high=ends[1],
        unit=unit,
        spread=HowDrawn.IN_HALVES_BY_RATIO if is_logarithmic(name) else HowDrawn.IN_HALVES,
        source="" if claim is None else claim.source or claim.key,
        provenance="estimate" if claim is None else str(claim.provenance),
        confidence="low" if claim is None else str(claim.confidence),
        note="" if claim is None else claim.note,
        rivals=(),
        in_use=True,
    )


def _water(compiled: Compiled) -> list[SampledRow]:
    return [
        SampledRow(
            key=key,
            low=0.0,
            high=1.0,
            unit="1",
            spread=HowDrawn.EVEN,
            source="",
            provenance="estimate",
            confidence="medium",
            note="",
            rivals=(),
            in_use=in_use(key, (), idle(compiled)),
        )
        for key in WATER_KEYS
    ]
