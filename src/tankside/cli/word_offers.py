"""What the shell offers behind a command: kinds of entry, their words, findings, animals."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any


def offered_findings(incomplete: str) -> list[str]:
    """Return the short names of findings that begin as typed so far."""
    from tankside.library.diagnosis_files import load_diagnosis

    return [name for name in load_diagnosis().findings if name.startswith(incomplete)]


def offered_words(ctx: Any, incomplete: str) -> list[str]:  # noqa: ANN401 (as in the framework)
    """Return what may follow ``case add FILE``: a kind of entry, or a word of the kind typed.

    Args:
        ctx: the framework's state of the line typed so far.
        incomplete: what is typed of the last word.
    """
    from tankside.case.completion import kind_completions, word_completions
    from tankside.errors import BadInput

    typed = list(ctx.params.get("words") or ())
    if not typed:
        return list(kind_completions(incomplete))
    try:
        return [*word_completions(typed[0], incomplete), *_on_file(typed[0], incomplete)]
    except BadInput:
        return []


def _on_file(kind: str, incomplete: str) -> Iterator[str]:
    """Yield findings with their answers, and kinds of animals, that begin as typed so far."""
    from tankside.library import load
    from tankside.library.diagnosis_files import load_diagnosis

    name, equals, begun = incomplete.partition("=")
    if kind in ("finding", "wet-mount", "wet_mount"):
        asked = load_diagnosis().findings
        if not equals:
            yield from (f"{finding}=" for finding in asked if finding.startswith(name))
        elif name in asked:
            answers = (*asked[name].answers, "not-looked", "?")
            yield from (f"{name}={answer}" for answer in answers if answer.startswith(begun))
    elif kind == "stock" and name == "host" and equals:
        yield from (f"host={host}" for host in load().hosts if host.startswith(begun))
