"""Entries of a case, the fold to its present state, and the text codec of the case file."""

from tankside.case.catalogue import CATALOGUE
from tankside.case.codec import decode, encode, entry_from, to_object
from tankside.case.entry import Correction, Entry, Fact
from tankside.case.fold import fold
from tankside.case.parts import Amount, Reading, State
from tankside.case.view import (
    AnswerView,
    CaseView,
    HistoryLine,
    ReadingView,
    StockView,
    SystemView,
)
from tankside.case.volume import VolumeView

__all__ = [
    "CATALOGUE",
    "Amount",
    "AnswerView",
    "CaseView",
    "Correction",
    "Entry",
    "Fact",
    "HistoryLine",
    "Reading",
    "ReadingView",
    "State",
    "StockView",
    "SystemView",
    "VolumeView",
    "decode",
    "encode",
    "entry_from",
    "fold",
    "to_object",
]
