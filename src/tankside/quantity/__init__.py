"""Strict numbers and units at the edge; the only conversions.

The doors for dates (``tankside.quantity.moment``), JSON (``strict_json``) and CSV (``table``) are
imported by name, because rooms that may not know the calendar import this one.
"""

from tankside.quantity.counts import check_share, parse_count, whole_count
from tankside.quantity.kind import AMOUNT, DOSE, IN_FOOD, STRENGTH, Kind
from tankside.quantity.measured import Measured, find_unit, measured, parse_quantity
from tankside.quantity.number import parse_number
from tankside.quantity.units import CANONICAL, UNITS, Unit

__all__ = [
    "AMOUNT",
    "CANONICAL",
    "DOSE",
    "IN_FOOD",
    "STRENGTH",
    "UNITS",
    "Kind",
    "Measured",
    "Unit",
    "check_share",
    "find_unit",
    "measured",
    "parse_count",
    "parse_number",
    "parse_quantity",
    "whole_count",
]
