"""Where a practice keeps what it adds to the released knowledge.

``TANKSIDE_PRACTICE`` names the folder; without it, ``practice`` in the user's data folder, where
there is one. Set to nothing it means: none.
"""

from __future__ import annotations

import os
from functools import lru_cache
from pathlib import Path

from tankside.errors import BadInput

VARIABLE = "TANKSIDE_PRACTICE"
FOLDER = "practice"


def overlay_folder() -> Path | None:
    """Return the folder of this practice's own knowledge; None where there is none.

    Raises:
        BadInput: E-KNOW-03 a folder is named and is not there.
    """
    named = os.environ.get(VARIABLE)
    if named is None:
        usual = _usual(os.environ.get("XDG_DATA_HOME"))
        return usual if usual.is_dir() else None
    if not named:
        return None
    folder = Path(named).absolute()
    if not folder.is_dir():
        raise BadInput(
            "E-KNOW-03",
            "The folder of this practice's own knowledge is not there.",
            given=named,
            needed="the folder that was there before, or no such setting",
            next_step=f"Bring it back, or correct --practice or the variable {VARIABLE}; without "
            "it stricter limits of this practice would not hold.",
            field="practice",
        )
    return folder


@lru_cache(maxsize=4)
def _usual(data_home: str | None) -> Path:
    from platformdirs import user_data_path

    del data_home  # what the answer hangs on
    return user_data_path("tankside") / FOLDER
