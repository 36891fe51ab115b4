"""Codes of the command line, the pages and what is printed or drawn."""

from __future__ import annotations

from tankside.errors.code import Area, Code, Refusal, RefusalKind

HERE = Area.PROGRAM
ANYWHERE = Refusal(RefusalKind.BAD_INPUT)
IN_A_FIELD = Refusal(RefusalKind.BAD_INPUT, field=True)
NOT_INSTALLED = Refusal(
    RefusalKind.NOT_POSSIBLE, nothing_given="nothing typed is at fault: a library is not installed"
)

CODES = (
    Code("E-CLI-01", HERE, "The words of the command do not fit together.", Refusal(
        RefusalKind.BAD_INPUT, nothing_given="the words lack one, so there is none to show")),
    Code("E-CLI-02", HERE, "One of two things was to be given, not both or neither.", IN_A_FIELD),
    Code("E-CLI-04", HERE, "What the case tells was typed beside it.", IN_A_FIELD),
    Code("E-WEB-01", HERE, "The request names another server.", ANYWHERE),
    Code("E-WEB-02", HERE, "The server does not answer that way of asking.", ANYWHERE),
    Code("E-WEB-03", HERE, "Another site caused the request.", ANYWHERE),
    Code("E-WEB-05", HERE, "There is no such page.", ANYWHERE),
    Code("E-WEB-06", HERE, "The port is taken by another program.", Refusal(
        RefusalKind.NOT_POSSIBLE, field=True)),
    Code("E-WEB-07", HERE, "The browser did not come in by the printed address.", Refusal(
        RefusalKind.BAD_INPUT, nothing_given="what a request carries in place of it is not shown")),
    Code("E-WEB-08", HERE, "What was sent is not a form of these pages.", ANYWHERE),
    Code("E-WEB-09", HERE, "More was sent than one form may hold.", Refusal(
        RefusalKind.BAD_INPUT)),
    Code("E-WEB-10", HERE, "What was sent to the interface has another shape.", IN_A_FIELD),
    Code("E-WEB-99", HERE, "The page could not be made, by a fault of the program.", Refusal(
        RefusalKind.NOT_POSSIBLE)),
    Code("E-PRINT-01", HERE, "The libraries that make a PDF are not installed.", NOT_INSTALLED),
    Code("E-PRINT-02", HERE, "The library that draws figures is not installed.", NOT_INSTALLED),
    Code("E-PRINT-03", HERE, "A figure cannot be drawn as that kind of file.", IN_A_FIELD),
    Code("E-LEARN-01", HERE, "No teaching page, parasite or practice case has that name.",
         IN_A_FIELD),
    Code("E-LEARN-02", HERE, "A teaching page was set to what cannot be.",
         IN_A_FIELD),
    Code("E-BENCH-01", HERE, "The file holds no vignettes.", IN_A_FIELD),
)  # fmt: skip
