"""What is looked up in the knowledge base, as documents and as the documented JSON objects."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from tankside.claims import Claim, Host, Knowledge, Source
from tankside.library.problem import Problem
from tankside.library.views import as_object, origin_in_words, source_as_object, value_in_words
from tankside.present.blocks import Document, Words
from tankside.services.knowledge import ClaimsAnswer, RivalsAnswer, SourceAnswer, SourcesAnswer

ALONE = "It stands alone."
NO_FAULT = "No fault found."


def problems_document(problems: Sequence[Problem]) -> Document:
    """Return the faults of a data folder and their number."""
    number = f"{len(problems)} faults." if problems else NO_FAULT
    return Document(
        "Knowledge: house checks", (Words("", (*(str(problem) for problem in problems), number)),)
    )


def problems_json(problems: Sequence[Problem]) -> dict[str, object]:
    """Return the documented answer of ``knowledge lint --json``."""
    rows = [
        {
            "check": problem.check,
            "file": problem.file,
            "key": problem.key,
            "message": problem.message,
            "repair": problem.repair,
            **({"line": problem.line} if problem.line else {}),
        }
        for problem in problems
    ]
    return {"ok": not problems, "problems": rows}


def look_up_document(answer: ClaimsAnswer | SourceAnswer) -> Document:
    """Return the claims under a key, or a work, for a person."""
    if isinstance(answer, SourceAnswer):
        return Document(f"Knowledge: {answer.work.key}", (_work(answer),))
    blocks = (Words(claim.key, _claim(claim, answer.knowledge)) for claim in answer.claims)
    return Document(f"Knowledge: {answer.key}", tuple(blocks))


def look_up_json(answer: ClaimsAnswer | SourceAnswer) -> dict[str, object]:
    """Return the documented answer of ``knowledge show --json``."""
    if isinstance(answer, SourceAnswer):
        return {"source": source_as_object(answer.work), "cited_by": list(answer.cited_by)}
    return {"claims": [as_object(claim) for claim in answer.claims]}


def rivals_document(answer: RivalsAnswer) -> Document:
    """Return the claims that stand side by side, the default first, and why it is."""
    return Document(f"Knowledge: {answer.rivals.key}", tuple(_side_by_side(answer)))


def rivals_json(answer: RivalsAnswer) -> dict[str, object]:
    """Return the documented answer of ``knowledge rivals --json``."""
    side = answer.rivals
    return {
        "key": side.key,
        "default": as_object(side.default) if side.default else None,
        "why": side.why,
        "others": [as_object(other) for other in side.others],
        "rejected": [as_object(other) for other in side.rejected],
    }


def sources_document(answer: SourcesAnswer) -> Document:
    """Return every work with how many claims cite it."""
    lines = (
        f"{work.key} ({work.status.value}, {answer.claims[work.key]} claims): {work.citation}"
        for work in answer.works
    )
    return Document("Knowledge: sources", (Words("", tuple(lines)),))


def sources_json(answer: SourcesAnswer) -> dict[str, object]:
    """Return the documented answer of ``knowledge sources --json``."""
    works = [_with_claims(work, answer.claims[work.key]) for work in answer.works]
    return {"sources": works}


def counts_document(counts: Mapping[str, Mapping[str, int] | int]) -> Document:
    """Return the counts of claims and works, one a line."""
    lines = (f"{name.replace('_', ' ')}: {_number(number)}" for name, number in counts.items())
    return Document("Knowledge: counts", (Words("", tuple(lines)),))


def _number(number: Mapping[str, int] | int) -> str:
    if isinstance(number, int):
        return str(number)
    return ", ".join(f"{word} {count}" for word, count in number.items())


def _with_claims(work: Source, claims: int) -> dict[str, object]:
    return {**source_as_object(work), "claims": claims}


def _work(answer: SourceAnswer) -> Words:
    work = answer.work
    lines = (
        f"doi: {work.doi}" if work.doi else "",
        f"{work.status.value}; {work.note}",
        f"cited by {len(answer.cited_by)} claims",
    )
    return Words(f"{work.key}: {work.citation}", tuple(line for line in lines if line))


def _side_by_side(answer: RivalsAnswer) -> Iterable[Words]:
    side, knowledge = answer.rivals, answer.knowledge
    if side.default is not None:
        why = (f"why: {side.why}",) if side.why else ()
        yield Words("Used unless another is asked for", (*_claim(side.default, knowledge), *why))
    elif side.why:
        yield Words("", (f"why: {side.why}",))
    for other in side.others:
        yield Words("Beside it", _claim(other, knowledge))
    for other in side.rejected:
        yield Words("Kept but never used", _claim(other, knowledge))
    if not side.others and not side.rejected:
        yield Words("", (ALONE,))


def _claim(claim: Claim, knowledge: Knowledge) -> tuple[str, ...]:
    """Return what a claim says, where it holds and where it comes from."""
    lines = [value_in_words(claim)]
    if claim.basis:
        lines.append(f"basis: {claim.basis}")
    if claim.conditions:
        places = "; ".join(f"{name}: {text}" for name, text in claim.conditions.items())
        lines.append(f"holds for: {places}")
    for name, text in (("evidence", claim.evidence), ("study size", claim.study_size)):
        if text:
            lines.append(f"{name}: {text}")
    lines.append(f"{origin_in_words(claim)}; confidence {claim.confidence.value}")
    work = knowledge.sources.get(claim.source)
    if work is not None:
        lines.append(f"{work.citation}{f' doi:{work.doi}' if work.doi else ''}")
    if claim.beside:
        lines.append(f"{claim.beside}; the stricter holds")
    if claim.rejected_because:
        lines.append(f"NOT USED: {claim.rejected_because}")
    if claim.note:
        lines.append(f"note: {claim.note}")
    return tuple(lines)


def kinds_document(listed: Sequence[Host]) -> Document:
    """Return the kinds of animals and plants on file, by their group."""
    groups = dict.fromkeys(host.group for host in listed)
    blocks = (
        Words(group, tuple(_kind(host) for host in listed if host.group == group))
        for group in groups
    )
    return Document("Kinds on file", tuple(blocks), "Type one as name= or host= of stock.")


def kinds_json(listed: Sequence[Host]) -> dict[str, object]:
    """Return the documented answer of ``knowledge kinds --json``."""
    return {
        "kinds": [
            {"host": host.id, "name": host.name, "latin": host.latin, "group": host.group,
             "water": host.water, "also": list(host.also)}
            for host in listed
        ]
    }  # fmt: skip


def _kind(host: Host) -> str:
    latin = f" ({host.latin})" if host.latin else ""
    also = f"; also {', '.join(host.also)}" if host.also else ""
    return f"{host.name}{latin}, {host.water} water: host={host.id}{also}"
