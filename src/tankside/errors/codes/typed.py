"""Codes of what is typed: numbers, units, ranges, counts, dates, words, JSON and CSV."""

from __future__ import annotations

from tankside.errors.code import Area, CautionTarget, Code, Level, Refusal, RefusalKind, Warned

HERE = Area.TYPED
ANYWHERE = Refusal(RefusalKind.BAD_INPUT)
IN_A_FIELD = Refusal(RefusalKind.BAD_INPUT, field=True)
LEFT_OUT = Refusal(RefusalKind.BAD_INPUT, field=True, nothing_given="what is needed was left out")
STEP = Warned((Level.BLOCKED,), (CautionTarget.BODY, CautionTarget.AGENT, CautionTarget.HOUR))

CODES = (
    Code("E-NUM-01", HERE, "A number is missing.", LEFT_OUT),
    Code("E-NUM-02", HERE, "A comma, mark or blank stands inside a number.", IN_A_FIELD),
    Code("E-NUM-03", HERE, "A point lacks a digit, or an extra 0 goes in front.", IN_A_FIELD),
    Code("E-NUM-04", HERE, "This is not a number.", IN_A_FIELD),
    Code("E-NUM-05", HERE, "The number is not finite.", ANYWHERE),
    Code("E-NUM-06", HERE, "The value is of the wrong type, for example text.", ANYWHERE),
    Code("E-NUM-07", HERE, "A number is not written out in plain digits.", IN_A_FIELD),
    Code("E-NUM-08", HERE, "A letter or foreign sign stands where a digit should be.", IN_A_FIELD),
    Code("E-NUM-09", HERE, "A number must be above 0, or cannot be below it.", ANYWHERE, STEP),
    Code("E-NUM-10", HERE, "A number has too many digits, or is too small to tell.", IN_A_FIELD),
    Code("E-NUM-11", HERE, "A range, a limit or words stand in place of one number.", IN_A_FIELD),
    Code("E-UNIT-01", HERE, "A unit is missing.", IN_A_FIELD),
    Code("E-UNIT-02", HERE, "The unit measures something else.", IN_A_FIELD),
    Code("E-UNIT-03", HERE, "The unit does not say what the mass or share is of.", IN_A_FIELD),
    Code("E-UNIT-04", HERE, "The unit is not safe: it differs by place or spoon.", IN_A_FIELD),
    Code("E-UNIT-05", HERE, "The unit is not on the list as it is spelt.", IN_A_FIELD),
    Code("E-RANGE-01", HERE, "The value is outside what can be.", IN_A_FIELD),
    Code("E-COUNT-01", HERE, "The count is no whole number, or does not fit others.", IN_A_FIELD),
    Code("E-DATE-01", HERE, "The date is not written as it must be.", IN_A_FIELD),
    Code("E-DATE-02", HERE, "There is no such day or time, or it comes twice.", IN_A_FIELD),
    Code("E-DATE-03", HERE, "The date lies too early, or in the future.", ANYWHERE),
    Code("E-DATE-04", HERE, "The time zone is not known.", IN_A_FIELD),
    Code("E-TEXT-01", HERE, "The text holds something that cannot be kept.", ANYWHERE),
    Code("E-WORD-01", HERE, "The kind of entry, or the key of a word, is not known.", IN_A_FIELD),
    Code("E-WORD-02", HERE, "The answer is missing or not on the list.", IN_A_FIELD),
    Code("E-WORD-03", HERE, "A part of the entry was not told.", LEFT_OUT),
    Code("E-HOST-01", HERE, "The kind of animal is not on file by that name.", IN_A_FIELD),
    Code("E-HOST-02", HERE, "The animal is of a sort of which nothing is known.", IN_A_FIELD),
    Code("E-DUP-01", HERE, "The same thing is told twice.", ANYWHERE),
    Code("E-JSON-01", HERE, "The text is not JSON, or is nested too deeply.", ANYWHERE),
    Code("E-JSON-02", HERE, "The JSON is not UTF-8, or is too large.", ANYWHERE),
    Code("E-CSV-01", HERE, "The header or the first line of a table is wrong.", IN_A_FIELD),
    Code("E-CSV-02", HERE, "A row of the table is not whole.", Refusal(
        RefusalKind.BAD_INPUT, field=True, nothing_given="the cell is empty")),
    Code("E-CSV-03", HERE, "The table is not UTF-8, or is too large.", IN_A_FIELD),
)  # fmt: skip
