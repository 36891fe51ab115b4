"""What became of a planned step."""

from __future__ import annotations

from enum import StrEnum


class Happened(StrEnum):
    """What became of a planned step."""

    DONE = "done"
    MISSED = "missed"
    OTHER_AMOUNT = "other amount"
    TWICE = "twice"
    NOT_KNOWN = "not known"
