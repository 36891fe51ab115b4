"""Codes of files and of the entries of a case."""

from __future__ import annotations

from tankside.errors.code import Area, Code, Refusal, RefusalKind

HERE = Area.FILES
ANYWHERE = Refusal(RefusalKind.BAD_INPUT)
IN_A_FIELD = Refusal(RefusalKind.BAD_INPUT, field=True)
NOT_SAVED = Refusal(RefusalKind.COULD_NOT_SAVE, field=True)
NOT_POSSIBLE = Refusal(RefusalKind.NOT_POSSIBLE, field=True)

CODES = (
    Code("E-CASE-01", HERE, "The case file is broken, cut short, or none.", ANYWHERE),
    Code("E-CASE-02", HERE, "The entry, or its correction, does not fit the others.", ANYWHERE),
    Code("E-CASE-03", HERE, "The case is closed.", ANYWHERE),
    Code("E-CASE-04", HERE, "A field of an entry is missing, misspelt or wrong.", Refusal(
        RefusalKind.BAD_INPUT,
        nothing_given="a part that the entry cannot do without was left out")),
    Code("E-CASE-05", HERE, "Only some of a group are in another water.", IN_A_FIELD),
    Code("E-CASE-06", HERE, "There is no such case in the journal.", IN_A_FIELD),
    Code("E-CASE-07", HERE, "Several cases have the name.", IN_A_FIELD),
    Code("E-DB-01", HERE, "The case file has another version than is read.", ANYWHERE),
    Code("E-DB-02", HERE, "The disk is full.", NOT_SAVED),
    Code("E-DB-03", HERE, "Somebody else is writing the case.", NOT_SAVED),
    Code("E-DB-04", HERE, "The disk refused to write.", NOT_SAVED),
    Code("E-DB-05", HERE, "The journal does not hold what was written.", NOT_POSSIBLE),
    Code("E-DB-06", HERE, "The journal has another schema than is read.", NOT_POSSIBLE),
    Code("E-DB-07", HERE, "The file or database is no journal.", NOT_POSSIBLE),
    Code("E-DB-08", HERE, "A journal would be in danger there.", NOT_POSSIBLE),
    Code("E-DB-09", HERE, "The database cannot be reached.", NOT_POSSIBLE),
    Code("E-DB-10", HERE, "The backup is damaged or not whole.", NOT_POSSIBLE),
    Code("E-DUP-02", HERE, "A key of a save was used for another one.", IN_A_FIELD),
    Code("E-DUP-03", HERE, "The same stands in the case already.", IN_A_FIELD),
    Code("E-FILE-01", HERE, "The file is too large for a case.", IN_A_FIELD),
    Code("E-FILE-02", HERE, "The file is no picture that can be kept.", IN_A_FIELD),
    Code("E-PATH-01", HERE, "The name or place cannot be used.", ANYWHERE),
    Code("E-PATH-02", HERE, "There is no such file or folder, or it cannot be read.", ANYWHERE),
    Code("E-PATH-03", HERE, "A file or case of that name is there already.", IN_A_FIELD),
    Code("E-WEB-04", HERE, "The case was changed by somebody else meanwhile.", NOT_SAVED),
)  # fmt: skip
