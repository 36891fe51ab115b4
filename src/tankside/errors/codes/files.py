"""Codes of files and of the entries of a case."""

from __future__ import annotations

from tankside.errors.code import Area, Code, Refusal, RefusalKind

HERE = Area.FILES
ANYWHERE = Refusal(RefusalKind.BAD_INPUT)
IN_A_FIELD = Refusal(RefusalKind.BAD_INPUT, field=True)
NOT_SAVED = Refusal(RefusalKind.COULD_NOT_SAVE, field=True)

CODES = (
    Code("E-CASE-01", HERE, "The case file is broken, cut short, or none.", ANYWHERE),
    Code("E-CASE-02", HERE, "The entry, or its correction, does not fit the others.", ANYWHERE),
    Code("E-CASE-03", HERE, "The case is closed.", ANYWHERE),
    Code("E-CASE-04", HERE, "A field of an entry is missing, misspelt or wrong.", Refusal(
        RefusalKind.BAD_INPUT,
        nothing_given="a part that the entry cannot do without was left out")),
    Code("E-CASE-05", HERE, "Only some of a group are in another water.", IN_A_FIELD),
    Code("E-DB-01", HERE, "The case file has another version than is read.", ANYWHERE),
    Code("E-DB-02", HERE, "The disk is full.", NOT_SAVED),
    Code("E-DB-03", HERE, "Somebody else is writing the case.", NOT_SAVED),
    Code("E-DB-04", HERE, "The disk refused to write.", NOT_SAVED),
    Code("E-FILE-01", HERE, "The file is too large for a case.", IN_A_FIELD),
    Code("E-PATH-01", HERE, "The name or place cannot be used.", ANYWHERE),
    Code("E-PATH-02", HERE, "There is no such file or folder, or it cannot be read.", ANYWHERE),
    Code("E-PATH-03", HERE, "A file of that name is there already.", IN_A_FIELD),
    Code("E-WEB-04", HERE, "The case was changed by somebody else meanwhile.", NOT_SAVED),
)  # fmt: skip
