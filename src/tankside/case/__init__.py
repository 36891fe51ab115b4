"""Dated entries of a case, the fold to its present state, and the text codec."""
