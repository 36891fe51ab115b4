"""The page of all codes, for the reference."""

from __future__ import annotations

from tankside.errors.code import Area, Code, Refusal, Warned
from tankside.errors.register import REGISTER

CODES_PAGE = "codes.md"
HEAD = """# Codes of refusals and cautions

Made from the register of codes by `tankside knowledge reference`; do not edit.

A refusal says what is wrong, what was given, what is needed and what to do next, and names the
field where there is one. A caution stands against a step of a course: it says what is the matter,
why, and what to do instead, and points to where and on what it rests. Blocked: the step is not
offered, and a single amount is refused with the same code. Care: possible, with care. Note: to
know. Commands end with exit code 2 for bad input, 3 when it is not possible, 5 when it could not
be saved.
"""


def codes_page() -> str:
    """Return the text of the page: one table for each area, every code in it once."""
    return HEAD + "".join(_section(area) for area in Area)


def _section(area: Area) -> str:
    lines = [
        f"\n## {area.capitalize()}\n",
        "| code | meaning | refused as | carries | caution | points to |",
        "|---|---|---|---|---|---|",
    ]
    lines += [_row(code) for code in REGISTER.values() if code.area is area]
    return "\n".join(lines) + "\n"


def _row(code: Code) -> str:
    cells = (code.name, code.meaning, *_refused(code.refusal), *_warned(code.caution))
    return f"| {' | '.join(cells)} |"


def _refused(refusal: Refusal | None) -> tuple[str, str]:
    if refusal is None:
        return "", ""
    shown = f"given (or none: {refusal.nothing_given})" if refusal.nothing_given else "given"
    carried = [shown, "needed", "next step", *(["field"] if refusal.field else [])]
    return refusal.kind, ", ".join(carried)


def _warned(caution: Warned | None) -> tuple[str, str]:
    if caution is None:
        return "", ""
    return ", ".join(caution.levels), ", ".join(caution.points_to)
