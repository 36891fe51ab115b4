"""The plain file of findings: ``{"findings": {finding: answer or [answers]}}``."""

from __future__ import annotations

import hashlib
from pathlib import Path

from tankside.diagnose import Evidence
from tankside.errors import BadInput
from tankside.quantity.strict_json import parse_json

_SEED_BYTES = 6
_KEYS = ("findings", "unconfirmed")


def read_findings(path: Path) -> Evidence:
    """Read a file of findings.

    Args:
        path: a JSON file; ``unconfirmed`` may list context findings only remembered.

    Raises:
        BadInput: the file is missing, is no JSON, or has another shape.
    """
    try:
        content = parse_json(path.read_bytes())
    except OSError:
        raise _refuse(path.name, "a file that can be read", "E-PATH-02") from None
    return findings_of(content)


def findings_of(content: object) -> Evidence:
    """Return the findings of a file of findings, or of what was sent in the same shape.

    Raises:
        BadInput: it has another shape.
    """
    if not isinstance(content, dict) or not isinstance(content.get("findings"), dict):
        raise _refuse(type(content).__name__, 'an object with "findings": {finding: answer}')
    for key in content:
        if key not in _KEYS:
            raise _refuse(key, f"only the fields {', '.join(_KEYS)}")
    answers = {name: answers_of(name, typed) for name, typed in content["findings"].items()}
    remembered = content.get("unconfirmed", [])
    if not isinstance(remembered, list) or not all(isinstance(x, str) for x in remembered):
        raise _refuse(remembered, '"unconfirmed": a list of findings')
    return Evidence(answers, frozenset(remembered))


def answers_of(name: str, typed: object) -> frozenset[str]:
    """Return one answer, or several that are possible, as a set.

    Raises:
        BadInput: it is neither a text nor a list of texts.
    """
    if isinstance(typed, str):
        return frozenset((typed,))
    if isinstance(typed, list) and typed and all(isinstance(a, str) for a in typed):
        return frozenset(typed)
    raise BadInput(
        "E-FIND-02",
        "An answer is a text, or a list of texts that are all possible.",
        given=typed,
        needed='for example "fast" or ["fast", "gasping_surface"]',
        next_step="Leave the finding out when it was not looked at.",
        field=name,
    )


def seed_of(evidence: Evidence) -> int:
    """Return a seed that is the same for the same findings, whatever their order."""
    text = repr(sorted((name, sorted(answers)) for name, answers in evidence.answers.items()))
    digest = hashlib.sha256(text.encode("utf-8")).digest()
    return int.from_bytes(digest[:_SEED_BYTES], "big")


def _refuse(typed: object, needed: str, code: str = "E-FIND-03") -> BadInput:
    return BadInput(
        code,
        "This is not a file of findings.",
        given=typed,
        needed=needed,
        next_step="Correct the file.",
        field="findings",
    )
