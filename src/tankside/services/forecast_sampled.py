"""Everything that differs between the runs of a forecast: range, spread, weights, source."""

from __future__ import annotations

from dataclasses import dataclass

from tankside.claims import Claim
from tankside.intake.forecast_setup import Scene
from tankside.lifecycle import Compiled
from tankside.lifecycle.inputs.initial_state import is_logarithmic, ranges
from tankside.lifecycle.results.sampled import Sampled, sampled_claims
from tankside.lifecycle.results.sensitivity import acting, idle, in_use

FROM = {
    "weight_g": "practice.forecast.weight_factor",
    "susceptibility": "practice.forecast.susceptibility",
    "per_fish": "practice.forecast.burden_spread",
    "carriers": "practice.forecast.carriers",
}
"""The claim behind each range of the beginning; the figures come from the case and the host."""
UNITS = {"weight_g": "g", "per_fish": "parasites"}
WATER_ROWS = (
    ("water.in_bracket", "between the low and the high edge of every residue, hour by hour"),
    ("action.share_in_range", "between the low and the high end of every share taken out"),
)


@dataclass(frozen=True, slots=True)
class Rival:
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
        spread: "even" (by difference), "by ratio", "half below, half above the middle", "weighted".
        source: key of the work, "" for an estimate of our own.
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
    spread: str
    source: str
    provenance: str
    confidence: str
    note: str
    rivals: tuple[Rival, ...]
    in_use: bool


def sampled_rows(scene: Scene, compiled: Compiled) -> tuple[SampledRow, ...]:
    """Return everything that differs between the runs of the followed course."""
    organism = scene.trial.organism
    claims = [
        _row(one, scene) for one in sampled_claims(organism, acting(compiled), idle(compiled))
    ]
    return (*claims, *_beginning(scene, compiled), *_water(scene, compiled))


def _row(one: Sampled, scene: Scene) -> SampledRow:
    claim = one.claim
    rivals = tuple(
        Rival(*a.claim.bounds(), a.weight, a.claim.source, str(a.claim.provenance))
        for a in one.among
    )
    even = "by ratio" if one.logarithmic else "even"
    return SampledRow(
        key=one.key,
        low=one.low,
        high=one.high,
        unit=one.unit,
        spread="weighted" if len(rivals) > 1 else even,
        source=claim.source,
        provenance=str(claim.provenance),
        confidence=str(claim.confidence),
        note=claim.note,
        rivals=rivals if len(rivals) > 1 else (),
        in_use=one.in_use,
    )


def _beginning(scene: Scene, compiled: Compiled) -> list[SampledRow]:
    rows = []
    drawn = ranges(scene.case.hosts, compiled.tank_hours.body_ids, scene.trial.start)
    for name, (low, _, high) in drawn.items():
        if not low < high:
            continue
        head = name.partition(".")[0]
        claim = scene.case.facts.find(FROM.get(head, ""))
        rows.append(_told(scene, name, (low, high), UNITS.get(head, "1"), claim))
    return rows


def _told(
    scene: Scene, name: str, ends: tuple[float, float], unit: str, claim: Claim | None
) -> SampledRow:
    even = "half below, half above the middle"
    return SampledRow(
        key=name,
        low=ends[0],
        high=ends[1],
        unit=unit,
        spread=f"{even}, by ratio" if is_logarithmic(name) else even,
        source="" if claim is None else claim.source or claim.key,
        provenance="estimate" if claim is None else str(claim.provenance),
        confidence="low" if claim is None else str(claim.confidence),
        note="" if claim is None else claim.note,
        rivals=(),
        in_use=True,
    )


def _water(scene: Scene, compiled: Compiled) -> list[SampledRow]:
    return [
        SampledRow(
            key=key,
            low=0.0,
            high=1.0,
            unit="1",
            spread="even",
            source="ranges of the agents and actions of the course",
            provenance="estimate",
            confidence="medium",
            note=note,
            rivals=(),
            in_use=in_use(key, (), idle(compiled)),
        )
        for key, note in WATER_ROWS
    ]
