"""Which status an answer has that tells of a mistake."""

from __future__ import annotations

from tankside.errors import CouldNotSave, Mistake, NotPossible

BAD_INPUT, NOT_THERE = 422, 404
STATUS: dict[type[Mistake], int] = {NotPossible: 409, CouldNotSave: 507}
BY_CODE = {"E-PATH-02": NOT_THERE, "E-CASE-06": NOT_THERE, "E-WEB-04": 409, "E-WEB-09": 413}


def status_of(mistake: Mistake) -> int:
    """Return the status of a page that tells a mistake."""
    return BY_CODE.get(mistake.code, STATUS.get(type(mistake), BAD_INPUT))
