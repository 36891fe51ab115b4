"""Look at the knowledge base: one key, its rivals, the sources, the house checks."""

from __future__ import annotations

import difflib
from dataclasses import dataclass
from pathlib import Path

from tankside.claims import Claim, Knowledge
from tankside.errors import BadInput
from tankside.library import load
from tankside.library.lint import lint
from tankside.library.reference import write_reference
from tankside.library.views import (
    as_object,
    cited_by,
    in_words,
    source_as_object,
    summary,
    value_in_words,
)


@dataclass(frozen=True, slots=True)
class Answer:
    """What is told: the JSON object and the words; ``good`` is false when faults were found."""

    object: dict[str, object]
    text: str
    good: bool = True


def lint_base(folder: str | None = None) -> Answer:
    """Run all house checks over a data folder (None: the shipped one)."""
    problems = lint(Path(folder) if folder else None)
    told = [
        {
            "check": p.check,
            "file": p.file,
            "key": p.key,
            "message": p.message,
            "repair": p.repair,
        }
        for p in problems
    ]
    count = f"{len(problems)} faults." if problems else "No fault found."
    lines = [*(str(p) for p in problems), count]
    return Answer({"ok": not problems, "problems": told}, "\n".join(lines), not problems)


def show(key: str) -> Answer:
    """Tell everything under a key, or under the start of one (a subject).

    Raises:
        BadInput: E-KNOW-02 when nothing is recorded there.
    """
    knowledge = load()
    if key in knowledge.sources:
        work = knowledge.sources[key]
        citing = [c.key for found in knowledge.facts.values() for c in found if c.source == key]
        lines = [f"{work.key}: {work.citation}", f"  doi: {work.doi}" if work.doi else ""]
        lines += [f"  {work.status.value}; {work.note}", f"  cited by {len(citing)} claims"]
        told: dict[str, object] = {"source": source_as_object(work), "cited_by": sorted(citing)}
        return Answer(told, "\n".join(line for line in lines if line))
    claims = _under(key, knowledge)
    if not claims:
        raise _unknown(key, knowledge)
    text = "\n".join(line for claim in claims for line in in_words(claim, knowledge))
    return Answer({"claims": [as_object(claim) for claim in claims]}, text)


def rivals(key: str) -> Answer:
    """Tell the claims that stand side by side under one key, the default first, and why.

    Raises:
        BadInput: E-KNOW-02 when nothing is recorded under the key.
    """
    knowledge = load()
    try:
        found = knowledge.rivals(key)
    except KeyError:
        raise _unknown(key, knowledge) from None
    lines = [f"{key}"]
    if found.default is not None:
        lines += ["Used unless another is asked for:", *in_words(found.default, knowledge)[1:]]
    if found.why:
        lines.append(f"  why: {found.why}")
    for other in found.others:
        lines += ["Beside it:", *in_words(other, knowledge)[1:]]
    for other in found.rejected:
        lines += ["Kept but never used:", *in_words(other, knowledge)[1:]]
    if not found.others and not found.rejected:
        lines.append("It stands alone.")
    told: dict[str, object] = {
        "key": key,
        "default": as_object(found.default) if found.default else None,
        "why": found.why,
        "others": [as_object(other) for other in found.others],
        "rejected": [as_object(other) for other in found.rejected],
    }
    return Answer(told, "\n".join(lines))


def sources(*, only_summary: bool = False) -> Answer:
    """Tell the register with how many claims cite each work, or only the counts."""
    knowledge = load()
    counts = summary(knowledge)
    if only_summary:
        lines = []
        for name, told in counts.items():
            if isinstance(told, int):
                lines.append(f"{name.replace('_', ' ')}: {told}")
            else:
                parts = ", ".join(f"{word} {count}" for word, count in told.items())
                lines.append(f"{name.replace('_', ' ')}: {parts}")
        return Answer(dict(counts), "\n".join(lines))
    citing = cited_by(knowledge)
    works = [
        {**source_as_object(work), "claims": citing[key]}
        for key, work in sorted(knowledge.sources.items())
    ]
    text = "\n".join(
        f"{key} ({work.status.value}, {citing[key]} claims): {work.citation}"
        for key, work in sorted(knowledge.sources.items())
    )
    return Answer({"sources": works}, text)


def reference(folder: str) -> Answer:
    """Write the reference pages into a folder."""
    names = write_reference(load(), Path(folder))
    return Answer({"written": list(names)}, f"Written to {folder}: {', '.join(names)}")


def _under(key: str, knowledge: Knowledge) -> list[Claim]:
    exact = [*knowledge.facts.get(key, ()), *knowledge.rejected.get(key, ())]
    if exact:
        return exact
    start = f"{key.rstrip('.')}."
    return [c for k in sorted(knowledge.facts) if k.startswith(start) for c in knowledge.facts[k]]


def _unknown(key: str, knowledge: Knowledge) -> BadInput:
    subjects = {".".join(k.split(".")[:2]) for k in knowledge.facts}
    candidates = [*knowledge.facts, *subjects]
    near = difflib.get_close_matches(key, candidates, n=3, cutoff=0.5)
    example = (
        value_in_words(knowledge.claim(near[0])) if near and near[0] in knowledge.facts else ""
    )
    return BadInput(
        "E-KNOW-02",
        "Nothing is recorded under this key.",
        given=key,
        needed="a key, the start of one (agent.formalin), or the key of a source",
        next_step=f"Did you mean {', '.join(near)}? {example}".rstrip()
        if near
        else "Type less of the key: `tankside knowledge show agent` lists all that begin so.",
        field="key",
    )
