"""Cited facts as typed, immutable objects; lookup; no files."""

from tankside.claims.agent import Agent, AgentName
from tankside.claims.cited import cited, setting, unit_factor, whole_setting
from tankside.claims.claim import THIS_PRACTICE, Claim, Confidence, Provenance, Source
from tankside.claims.host import Host
from tankside.claims.knowledge import Knowledge, Rivals

__all__ = [
    "THIS_PRACTICE",
    "Agent",
    "AgentName",
    "Claim",
    "Confidence",
    "Host",
    "Knowledge",
    "Provenance",
    "Rivals",
    "Source",
    "cited",
    "setting",
    "unit_factor",
    "whole_setting",
]
