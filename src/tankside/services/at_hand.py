"""What every long answer reads first, fetched before somebody asks."""

from __future__ import annotations

from contextlib import suppress
from types import ModuleType

from tankside import library
from tankside.errors import Mistake
from tankside.library.diagnosis_files import load_diagnosis
from tankside.lifecycle import prepare
from tankside.sampling import largest_share


def have_at_hand() -> None:
    """Read the knowledge, import what answers rest on and fetch the compiled loop.

    What cannot be fetched is said by the answer that needs it, not here.
    """
    with suppress(Mistake, ImportError, OSError):
        library.load()
        load_diagnosis()
        asked_for()
        largest_share(1, 2)
        prepare()


def asked_for() -> tuple[ModuleType, ...]:
    """Import the services whose first answer would wait for what they import."""
    from tankside.services import differential_case, follow, forecast, plan, today

    return differential_case, plan, forecast, follow, today
