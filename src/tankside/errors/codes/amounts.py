"""Codes of amounts: what is weighed out, from which container, of which agent, how strong."""

from __future__ import annotations

from tankside.errors.code import Area, CautionTarget, Code, Level, Refusal, RefusalKind, Warned

HERE = Area.AMOUNTS
BAD = Refusal(RefusalKind.BAD_INPUT)
NOT_POSSIBLE = Refusal(RefusalKind.NOT_POSSIBLE)
BLOCKED, CARE, NOTE = (Level.BLOCKED,), (Level.CARE,), (Level.NOTE,)
AGENT = (CautionTarget.AGENT,)
THERE = (CautionTarget.BODY, CautionTarget.AGENT)
THEN = (*THERE, CautionTarget.HOUR)
CITED = (*THEN, CautionTarget.CLAIM)

CODES = (
    Code("E-PROD-01", HERE, "The label does not say what the sum needs.", BAD,
         Warned((*BLOCKED, *NOTE), AGENT)),
    Code("E-PROD-02", HERE, "The name means no substance on file, or several.", BAD),
    Code("E-PROD-03", HERE, "The container has expired or was read too long ago.", BAD,
         Warned(BLOCKED, AGENT)),
    Code("E-PROD-04", HERE, "The label names no form: compare before weighing.", None,
         Warned(CARE, (*AGENT, CautionTarget.CLAIM))),
    Code("E-DOSE-10", HERE, "Above the hard limit, or no limit is known.", BAD,
         Warned((*BLOCKED, *CARE), THERE)),
    Code("E-DOSE-11", HERE, "Above the soft limit: a written reason is needed.", BAD,
         Warned((*BLOCKED, *CARE), CITED)),
    Code("E-DOSE-12", HERE, "Too long a bath, or food for too many days; or nothing ends it.", BAD,
         Warned(BLOCKED, THEN)),
    Code("E-DOSE-13", HERE, "The strength is never useful: is the form right?", None,
         Warned(CARE, (*THERE, CautionTarget.CLAIM))),
    Code("E-DOSE-20", HERE, "Something must be known or measured first.", NOT_POSSIBLE,
         Warned((*BLOCKED, *CARE), THERE)),
    Code("E-DOSE-21", HERE, "Two volumes differ too much, or one is weak.", BAD,
         Warned(CARE, (CautionTarget.BODY, CautionTarget.HOUR, CautionTarget.CLAIM))),
    Code("E-DOSE-22", HERE, "The same active is there, or it is given too soon again.", BAD,
         Warned(BLOCKED, THEN)),
    Code("E-DOSE-23", HERE, "A forbidden pair, or too close in time.", BAD,
         Warned((*BLOCKED, *CARE), CITED)),
    Code("E-DOSE-24", HERE, "The amount cannot be measured with the tool.", BAD,
         Warned(BLOCKED, THEN)),
    Code("E-DOSE-25", HERE, "What is known of water, fish or container forbids it.", BAD,
         Warned(BLOCKED, CITED)),
    Code("E-DOSE-26", HERE, "Animals or plants there do not bear it, or nobody knows.", BAD,
         Warned((*BLOCKED, *CARE), THERE)),
    Code("E-DOSE-27", HERE, "The agent is not offered; its file says why.", BAD,
         Warned(BLOCKED, AGENT)),
    Code("E-DOSE-28", HERE, "An amount asked for was never answered: given or not?",
         NOT_POSSIBLE),
    Code("E-DOSE-900", HERE, "The internal check of an amount failed.", NOT_POSSIBLE,
         Warned(BLOCKED, THEN)),
)  # fmt: skip
