"""The cases of a folder in words and as the documented JSON object."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict

from tankside.services.case_list import ListedCase

NONE_HERE = "No cases here. Open one with: tankside case new FILE ..."


def list_text(cases: Sequence[ListedCase]) -> str:
    """Return one line a case."""
    return "\n".join(map(_line, cases)) or NONE_HERE


def list_json(cases: Sequence[ListedCase]) -> dict[str, object]:
    """Return the documented answer of ``case list --json``."""
    return {"cases": [asdict(case) for case in cases]}


def _line(case: ListedCase) -> str:
    if case.fault:
        return f"{case.file}  BROKEN: {case.fault}"
    return (
        f"{case.file}  {case.name}  keeper {case.keeper}  opened {case.opened}  last {case.last}  "
        f"{case.entries} entries{'  closed' if case.closed else ''}"
    )
