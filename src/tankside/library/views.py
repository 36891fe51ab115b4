"""Views of the base: a claim as an object, its value and origin in words, counts, citations."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

from tankside.claims import THIS_PRACTICE, Claim, Confidence, Knowledge, Provenance, Source

PRACTICE = "common practice, no source"


def number(value: float) -> str:
    """Write a number without trailing zeros."""
    return f"{value:.10g}"


def value_in_words(claim: Claim) -> str:
    """Return value, range and unit as one phrase; "not known" with its reason when unknown."""
    if not claim.known:
        return f"not known: {claim.unknown_because}"
    if isinstance(claim.value, str):
        return claim.value
    low = "" if claim.low is None else number(claim.low)
    high = "" if claim.high is None else number(claim.high)
    edges = f"{low}-{high}" if low and high else f"from {low}" if low else f"up to {high}"
    if claim.value is None:
        figure = edges
    elif low or high:
        figure = f"{number(float(claim.value))} ({edges})"
    else:
        figure = number(float(claim.value))
    return f"{figure} {claim.unit}".rstrip()


def origin_in_words(claim: Claim) -> str:
    """Return where a claim comes from, in words that do not say more than is known."""
    if claim.overlay:
        works = f"; after {', '.join(claim.further)}" if claim.further else ""
        return f"{THIS_PRACTICE}: {claim.provenance.value.replace('_', ' ')}{works}"
    if claim.provenance is Provenance.COMMON_PRACTICE and not claim.source:
        return PRACTICE
    origin = claim.provenance.value.replace("_", " ")
    place = f", {claim.place}" if claim.place else ""
    also = f"; also {', '.join(claim.further)}" if claim.further else ""
    return f"{origin}: {claim.source}{place}{also}" if claim.source else origin


def as_object(claim: Claim) -> dict[str, object]:
    """Return a claim as the documented JSON object; empty fields are left out."""
    fields: dict[str, object] = {
        "key": claim.key,
        "value": claim.value,
        "unit": claim.unit,
        "low": claim.low,
        "high": claim.high,
        "conditions": dict(claim.conditions),
        "basis": claim.basis,
        "evidence": claim.evidence,
        "study_size": claim.study_size,
        "source": claim.source,
        "further": list(claim.further),
        "place": claim.place,
        "provenance": claim.provenance.value,
        "confidence": claim.confidence.value,
        "default": claim.default,
        "why_default": claim.why_default,
        "unknown": claim.unknown_because,
        "rejected": claim.rejected_because,
        "note": claim.note,
        "overlay": claim.overlay,
        "beside": claim.beside,
    }
    return {name: value for name, value in fields.items() if value not in (None, "", {}, [], False)}


def source_as_object(work: Source) -> dict[str, object]:
    """Return a work as a JSON object; empty fields are left out."""
    fields = {
        "key": work.key,
        "citation": work.citation,
        "doi": work.doi,
        "where": work.where,
        "status": work.status.value,
        "note": work.note,
    }
    return {name: value for name, value in fields.items() if value}


def every_claim(knowledge: Knowledge) -> list[Claim]:
    """Return every claim, rivals included and rejected ones left out, in order of key."""
    return [claim for key in sorted(knowledge.facts) for claim in knowledge.facts[key]]


def cited_by(knowledge: Knowledge) -> Counter[str]:
    """Return how many claims cite each work."""
    claims = every_claim(knowledge)
    return Counter(key for claim in claims for key in (claim.source, *claim.further) if key)


def summary(knowledge: Knowledge) -> dict[str, Mapping[str, int] | int]:
    """Return the counts of claims and works, by provenance, confidence and kind."""
    claims = every_claim(knowledge)
    provenance = Counter(claim.provenance.value for claim in claims)
    confidence = Counter(claim.confidence.value for claim in claims)
    kinds = Counter(claim.key.split(".")[0] for claim in claims)
    cells = Counter(
        cell.provenance.value
        for condition in knowledge.conditions.values()
        for cell in condition.cells.values()
    )
    return {
        "claims": len(claims),
        "with_source": sum(1 for claim in claims if claim.source),
        "by_provenance": {p.value: provenance[p.value] for p in Provenance},
        "by_confidence": {c.value: confidence[c.value] for c in Confidence},
        "by_kind": dict(sorted(kinds.items())),
        "likelihoods_by_provenance": {p.value: cells[p.value] for p in Provenance},
        "unknown": sum(1 for claim in claims if not claim.known),
        "keys_with_rivals": sum(1 for rivals in knowledge.facts.values() if len(rivals) > 1),
        "rejected": sum(len(rivals) for rivals in knowledge.rejected.values()),
        "sources": len(knowledge.sources),
        "sources_read": sum(1 for w in knowledge.sources.values() if w.status == "found"),
    }
