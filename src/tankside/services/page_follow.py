"""The page of the follow-up: counts against what was expected, and the date to wait for."""

from __future__ import annotations

from tankside.present.blocks import Page
from tankside.services.page import OpenCase, seen


def follow_page(case: OpenCase) -> Page:
    """Return the follow-up of the case."""
    return Page("follow", "Follow-up", "", seen(case))
