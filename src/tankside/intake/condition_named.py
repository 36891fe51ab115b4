"""A condition as a person names it: by its code, its name, or words that only one name holds."""

from __future__ import annotations

import difflib
import re

from tankside.claims.diagnosis import DiagnosisFacts
from tankside.diagnose import OUTSIDE
from tankside.errors import BadInput

_NEAR = 4
"""How many near names a refusal tells."""


def condition_named(typed: str, facts: DiagnosisFacts) -> str:
    """Return the id of the condition that was meant.

    The code; else the name, with or without what stands in brackets behind it; else the only
    condition whose name holds every word typed.

    Args:
        typed: as typed, for example "ICH" or "white spot".
        facts: the conditions.

    Raises:
        BadInput: E-COND-01 no condition of that name is in the list, or several are.
    """
    names = {n: c.name for n, c in facts.conditions.items() if not c.outside} | {OUTSIDE: OUTSIDE}
    code = typed.strip().upper()
    if code in names:
        return code
    wanted = _words(typed)
    heads = [n for n, name in names.items() if _words(name.split("(")[0]) == wanted]
    whole = [n for n, name in names.items() if _words(name) == wanted]
    holding = [n for n, name in names.items() if wanted and set(wanted) <= set(_words(name))]
    for meant in (whole, heads, holding):
        if len(meant) == 1:
            return meant[0]
    raise _refused(typed, names, heads or holding)


def _words(text: str) -> list[str]:
    return re.findall(r"[a-z0-9]+", text.lower())


def _refused(typed: str, names: dict[str, str], several: list[str]) -> BadInput:
    lowered = {name.lower(): n for n, name in names.items()}
    close = difflib.get_close_matches(typed.lower(), [*lowered, *(n.lower() for n in names)], _NEAR)
    near = several or [lowered.get(match, match.upper()) for match in close]
    told = "; ".join(f"{n} ({names[n]})" for n in dict.fromkeys(near))
    listed = told or f"one of {', '.join(names)}"
    return BadInput(
        "E-COND-01",
        "Several conditions have that name." if several else "This condition is not in the list.",
        given=typed,
        needed=f"perhaps {told}" if told else listed,
        next_step=f"Type a code or a name from the list; {OUTSIDE} for any other cause.",
        field="own-idea",
    )
