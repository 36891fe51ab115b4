"""Codes of courses, plans, forecasts and the follow-up."""

from __future__ import annotations

from tankside.errors.code import Area, Code, Refusal, RefusalKind

HERE = Area.COURSES
ANYWHERE = Refusal(RefusalKind.BAD_INPUT)
IN_A_FIELD = Refusal(RefusalKind.BAD_INPUT, field=True)
NOT_POSSIBLE = Refusal(RefusalKind.NOT_POSSIBLE)
NOT_POSSIBLE_IN_A_FIELD = Refusal(RefusalKind.NOT_POSSIBLE, field=True)

CODES = (
    Code("E-COURSE-01", HERE, "A step lies outside the course or at no tank of it.", IN_A_FIELD),
    Code("E-COURSE-02", HERE, "Animals, tank or schedule are not of the case.", IN_A_FIELD),
    Code("E-COURSE-03", HERE, "The day lies outside the course.", NOT_POSSIBLE_IN_A_FIELD),
    Code("E-COURSE-04", HERE, "No step of that name is open.", IN_A_FIELD),
    Code("E-COURSE-05", HERE, "No amount asked for has that number.", IN_A_FIELD),
    Code("E-PLAN-01", HERE, "At this temperature no course has an end.", NOT_POSSIBLE_IN_A_FIELD),
    Code("E-PLAN-02", HERE, "No fish are entered.", NOT_POSSIBLE_IN_A_FIELD),
    Code("E-PLAN-03", HERE, "No course was chosen.", NOT_POSSIBLE_IN_A_FIELD),
    Code("E-PLAN-04", HERE, "There is no course of that name.", IN_A_FIELD),
    Code("E-PLAN-05", HERE, "The course has steps without an amount.", NOT_POSSIBLE_IN_A_FIELD),
    Code("E-PLAN-06", HERE, "No date changes.", Refusal(
        RefusalKind.NOT_POSSIBLE, field=True, nothing_given="no step was missed or done twice")),
    Code("E-PLAN-07", HERE, "Animals or water forbid the course of care.", NOT_POSSIBLE_IN_A_FIELD),
    Code("E-PLAN-08", HERE, "A check of the course bears danger.", NOT_POSSIBLE_IN_A_FIELD),
    Code("E-PLAN-09", HERE, "A check of the course was not answered.", IN_A_FIELD),
    Code("E-PLAN-10", HERE, "No two different courses to lay over each other.", IN_A_FIELD),
    Code("E-PLAN-11", HERE, "A step of an added course cannot be read.", IN_A_FIELD),
    Code("E-PLAN-12", HERE, "Nothing has a figure against this parasite.", NOT_POSSIBLE),
    Code("E-FC-01", HERE, "A number, hour or place is outside the forecast.", ANYWHERE),
    Code("E-FC-02", HERE, "There is no life cycle with figures to run.", NOT_POSSIBLE),
    Code("E-FC-03", HERE, "No course or claim of that name is in the forecast.", IN_A_FIELD),
    Code("E-FU-01", HERE, "The count cannot be compared with the forecast.", ANYWHERE),
)  # fmt: skip
