"""Codes of findings, conditions and the knowledge files."""

from __future__ import annotations

from tankside.errors.code import Area, Code, Refusal, RefusalKind

HERE = Area.FINDINGS
ANYWHERE = Refusal(RefusalKind.BAD_INPUT)
IN_A_FIELD = Refusal(RefusalKind.BAD_INPUT, field=True)

CODES = (
    Code("E-FIND-01", HERE, "The finding is not in the list.", ANYWHERE),
    Code("E-FIND-02", HERE, "The answer does not belong to the finding.", ANYWHERE),
    Code("E-FIND-03", HERE, "The file holds no findings.", IN_A_FIELD),
    Code("E-COND-01", HERE, "The condition is not in the list.", IN_A_FIELD),
    Code("E-KNOW-01", HERE, "The knowledge files cannot be used.", ANYWHERE),
    Code("E-KNOW-02", HERE, "Nothing is recorded under the key.", IN_A_FIELD),
    Code("E-KNOW-03", HERE, "The folder of a practice's own knowledge is not there.", IN_A_FIELD),
)
