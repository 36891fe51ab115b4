"""The page of one cited number: what it says, from where, and what stands beside it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from tankside.claims import Claim, Knowledge, Provenance
from tankside.library.views import origin_in_words, value_in_words
from tankside.services.knowledge import ClaimsAnswer, RivalsAnswer, SourceAnswer
from tankside.services.numbers_behind import NumbersBehind, UsedFor

USED, BESIDE, NEVER = "Used unless another is asked for", "Beside it", "Kept, never used"
READ, RECALLED, GUESSED = "read", "recalled", "a guess"
HOW_SURE: Mapping[Provenance, str] = {
    Provenance.FOUND: READ,
    Provenance.MEMORY: RECALLED,
    Provenance.COMMON_PRACTICE: "common practice, no source",
    Provenance.ESTIMATE: GUESSED,
}
"""What each provenance means to a reader."""
USES: Mapping[UsedFor, str] = {
    UsedFor.STOP: "The day before which nobody stops",
    UsedFor.AMOUNTS: "Amounts and their limits",
    UsedFor.ANIMALS: "What the animals bear",
    UsedFor.CAUTIONS: "Cautions",
}


@dataclass(frozen=True, slots=True)
class ShownClaim:
    """One claim as a page shows it.

    Args:
        key: its key.
        role: whether it is used, stands beside, or is never used.
        value: value, range and unit in words.
        sure: whether its source was read, is recalled, or it is a guess.
        is_read: whether its source was read.
        lines: where it holds, evidence, origin, source and notes.
        source: key of its work, "" where it has none.
    """

    key: str
    role: str
    value: str
    sure: str
    is_read: bool
    lines: tuple[str, ...]
    source: str


@dataclass(frozen=True, slots=True)
class ClaimPage:
    """The page of a key.

    Args:
        key: the key.
        title: what it speaks of, in plain words.
        lead: the value that is used.
        why: why that one, "" where it stands alone.
        claims: all that stand under the key.
    """

    key: str
    title: str
    lead: str
    why: str
    claims: tuple[ShownClaim, ...]


@dataclass(frozen=True, slots=True)
class SourcePage:
    """The page of a work: citation, what was read of it, the keys that cite it."""

    key: str
    citation: str
    lines: tuple[str, ...]
    cited_by: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class NumberLine:
    """One number behind a case: what it is, its value, how sure, and how many rivals it has."""

    key: str
    title: str
    value: str
    sure: str
    rivals: int


def claim_page(answer: RivalsAnswer) -> ClaimPage:
    """Return the page of a key with all that stands under it, the default first."""
    side, facts = answer.rivals, answer.knowledge
    roles = [
        *(() if side.default is None else ((USED, side.default),)),
        *((BESIDE, claim) for claim in side.others),
        *((NEVER, claim) for claim in side.rejected),
    ]
    lead = "Nothing is used here." if side.default is None else value_in_words(side.default)
    shown = tuple(_shown(role, claim, facts) for role, claim in roles)
    return ClaimPage(side.key, title_of(side.key), lead, side.why, shown)


def source_page(answer: SourceAnswer) -> SourcePage:
    """Return the page of a work."""
    work = answer.work
    doi = f"doi: {work.doi}" if work.doi else ""
    lines = (doi, work.where, work.status.value.replace("_", " "), work.note)
    return SourcePage(work.key, work.citation, tuple(x for x in lines if x), answer.cited_by)


def number_lines(claims: ClaimsAnswer) -> tuple[NumberLine, ...]:
    """Return the claims under the start of a key, to choose from."""
    facts = claims.knowledge.facts
    return tuple(_line(claim, len(facts.get(claim.key, ())) - 1) for claim in claims.claims)


def behind_lines(behind: NumbersBehind) -> tuple[tuple[str, tuple[NumberLine, ...]], ...]:
    """Return the numbers behind a case, by what they are used for; empty uses are left out."""
    return tuple(
        (USES[use], tuple(_line(claim, behind.rivals[claim.key]) for claim in claims))
        for use, claims in behind.claims.items()
        if claims
    )


def title_of(key: str) -> str:
    """Return a key in plain words: ``agent.salt.dose.bath`` is "salt: dose, bath"."""
    _, *rest = key.split(".")
    if not rest:
        return key
    subject, *what = (part.replace("_", " ") for part in rest)
    return f"{subject}: {', '.join(what)}" if what else subject


def _line(claim: Claim, rivals: int) -> NumberLine:
    sure = HOW_SURE[claim.provenance]
    return NumberLine(claim.key, title_of(claim.key), value_in_words(claim), sure, max(rivals, 0))


def _shown(role: str, claim: Claim, facts: Knowledge) -> ShownClaim:
    places = "; ".join(f"{name}: {text}" for name, text in claim.conditions.items())
    work = facts.sources.get(claim.source)
    cited = "" if work is None else f"{work.citation}{f' doi:{work.doi}' if work.doi else ''}"
    lines = (
        f"basis: {claim.basis}" if claim.basis else "",
        f"holds for: {places}" if places else "",
        f"evidence: {claim.evidence}" if claim.evidence else "",
        f"study size: {claim.study_size}" if claim.study_size else "",
        f"{origin_in_words(claim)}; confidence {claim.confidence.value}",
        cited,
        f"not used: {claim.rejected_because}" if claim.rejected_because else "",
        f"note: {claim.note}" if claim.note else "",
    )
    is_read = claim.provenance is Provenance.FOUND
    return ShownClaim(
        claim.key, role, value_in_words(claim), HOW_SURE[claim.provenance], is_read,
        tuple(line for line in lines if line), claim.source if work else "",
    )  # fmt: skip
