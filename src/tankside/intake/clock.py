"""The present moment, in one place; ``TANKSIDE_NOW`` sets it when a story is replayed."""

from __future__ import annotations

import os
from datetime import UTC, datetime

from tankside.errors import BadInput

VARIABLE = "TANKSIDE_NOW"


def now() -> datetime:
    """Return the present moment with its offset.

    Raises:
        BadInput: E-DATE-01 when ``TANKSIDE_NOW`` is set to something else than a full moment.
    """
    text = os.environ.get(VARIABLE)
    if not text:
        return datetime.now(UTC)
    try:
        moment = datetime.fromisoformat(text)
    except ValueError:
        moment = None
    if moment is None or moment.tzinfo is None:
        raise BadInput(
            "E-DATE-01",
            "The present is not set to a full moment.",
            given=text,
            needed="for example 2026-03-04T18:30+00:00",
            next_step=f"Correct or unset {VARIABLE}.",
            field=VARIABLE,
        )
    return moment


def this_minute() -> datetime:
    """Return the minute that runs, by which answers that hang on the present are kept.

    Raises:
        BadInput: E-DATE-01 as for ``now``.
    """
    return now().replace(second=0, microsecond=0)


def zone_here() -> str:
    """Return the IANA zone that this machine keeps, ``UTC`` where it does not say."""
    from babel.localtime import get_localzone

    return getattr(get_localzone(), "key", "UTC")
