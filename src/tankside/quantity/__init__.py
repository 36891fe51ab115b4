"""Strict numbers and units at the edge; the only conversions."""
