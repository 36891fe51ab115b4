"""What n examined fish can show, and what zero findings cannot exclude."""

from tankside.sampling.bound import Interval, clopper_pearson, largest_number, largest_share
from tankside.sampling.needed import needed_in_large_stock, needed_in_stock
from tankside.sampling.words import in_words

__all__ = [
    "Interval",
    "clopper_pearson",
    "in_words",
    "largest_number",
    "largest_share",
    "needed_in_large_stock",
    "needed_in_stock",
]
