"""Where a case file may stand: a plain ``.jsonl`` file, no link, no hidden characters."""

from __future__ import annotations

import re
import stat
import unicodedata
from collections.abc import Iterator
from itertools import chain, count
from pathlib import Path

from tankside.errors import BadInput

SUFFIX = ".jsonl"
LONGEST_NAME = 200
LONGEST_PATH = 2000
LONGEST_STEM = 60


def _refuse(message: str, path: object, needed: str) -> BadInput:
    return BadInput(
        "E-PATH-01",
        message,
        given=path,
        needed=needed,
        next_step="Give another file name; nothing was read or written.",
        field="case",
    )


def check_case_path(text: str | Path) -> Path:
    """Check the path of a case file, whether it exists or is to be made.

    Args:
        text: the path as typed; it ends in ``.jsonl``.

    Returns:
        The path.

    Raises:
        BadInput: E-PATH-01 for a wrong ending, hidden, control or direction characters, a path too
            long, a folder, a link, or a folder that does not exist.
    """
    typed = str(text)
    if any(unicodedata.category(sign) in ("Cc", "Cf", "Cs") for sign in typed):
        raise _refuse("The path holds hidden characters.", typed, "visible characters only")
    path = Path(typed)
    if len(typed) > LONGEST_PATH or len(path.name) > LONGEST_NAME:
        raise _refuse(
            "The path is too long.", typed, f"a name of at most {LONGEST_NAME} characters"
        )
    if path.suffix != SUFFIX or path.name.startswith("."):
        raise _refuse(f"A case file ends in {SUFFIX}.", typed, f"for example elm{SUFFIX}")
    if not path.parent.is_dir():
        raise _refuse("The folder does not exist.", typed, "a folder that exists")
    try:
        status = path.lstat()
    except FileNotFoundError:
        return path
    if not stat.S_ISREG(status.st_mode) or status.st_nlink > 1:
        message = "This is a link, or not a plain file."
        raise _refuse(message, typed, "a plain file with one name")
    return path


def new_case_path(folder: Path, name: str) -> Path:
    """Return a path for a new case that no file has yet, named after the case.

    Args:
        folder: where the case is to stand.
        name: the name of the case; letters outside ASCII lose their marks.
    """
    taken = {path.stem for path in folder.glob(f"*{SUFFIX}")}
    return folder / f"{next(stem for stem in stems(name) if stem not in taken)}{SUFFIX}"


def stems(name: str) -> Iterator[str]:
    """Yield what a case of a name may be called in plain letters, numbered from the second on."""
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().lower()
    stem = re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:LONGEST_STEM] or "case"
    stem = f"case-{stem}" if stem.isdigit() else stem
    return chain([stem], (f"{stem}-{number}" for number in count(2)))
