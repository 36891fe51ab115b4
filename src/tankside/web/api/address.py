"""Where the interface stands, and which requests are for it."""

from __future__ import annotations

API = "/api/v1"
"""The version is that of the addresses; each answer has one of its own."""
JSON = "application/json"


def is_api(path: str) -> bool:
    """Tell whether a request is for the interface."""
    return path == API or path.startswith(f"{API}/")
