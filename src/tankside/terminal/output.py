"""The one door between commands and the terminal: answers, mistakes and exit codes.

Exit codes: 0 done, 2 bad input, 3 not possible, 5 could not save. With ``--json`` one object goes
to standard output and nothing else; a mistake is ``{"error": {...}}``.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Mapping

from tankside.errors import Mistake

JSON_FLAG = "--json"


def as_line(answer: Mapping[str, object]) -> str:
    """Write an answer as one JSON object on one line; NaN and Infinity are refused."""
    return json.dumps(answer, ensure_ascii=False, allow_nan=False)


def answer(result: Mapping[str, object], text: str, *, as_json: bool) -> None:
    """Print what a command found, once.

    Args:
        result: the documented JSON shape of the command.
        text: the same for a person.
        as_json: whether ``--json`` was given.
    """
    print(as_line(result) if as_json else text.rstrip("\n"))


def report(mistake: Mistake, *, as_json: bool) -> int:
    """Print a mistake and return the exit code of its kind."""
    if as_json:
        print(as_line({"error": mistake.as_json()}))
    else:
        print(in_words(mistake), file=sys.stderr)
    return mistake.exit_code


def in_words(mistake: Mistake) -> str:
    """Write a mistake for a person: what is wrong, then given, needed and next, one a line."""
    rows = (
        ("Field", mistake.field),
        ("Given", mistake.given),
        ("Needed", mistake.needed),
        ("Next", mistake.next_step),
    )
    lines = [f"  {name}: {text}" for name, text in rows if text]
    return "\n".join([f"{mistake.code}: {mistake.message}", *lines])


def note(line: str) -> None:
    """Tell progress on standard error, so that standard output stays the answer alone."""
    print(line, file=sys.stderr, flush=True)
