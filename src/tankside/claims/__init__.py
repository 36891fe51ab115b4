"""Cited facts as typed, immutable objects; lookup; no files."""

from tankside.claims.cited import cited, setting, unit_factor, whole_setting
from tankside.claims.claim import Claim, Confidence, Provenance, Source

__all__ = [
    "Claim",
    "Confidence",
    "Provenance",
    "Source",
    "cited",
    "setting",
    "unit_factor",
    "whole_setting",
]
