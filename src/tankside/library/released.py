"""The fingerprints of the knowledge files as released, and which files differ from them.

A file changed by hand on disk is read like any other, so it is told wherever an amount is shown.
The list guards against slips, not against somebody who renews it too. It is in the common
``sha256sum`` form; ``python3 dev.py fingerprints`` renews it for a release.
"""

from __future__ import annotations

import hashlib
from importlib.resources import files
from pathlib import Path

ENDINGS = (".toml", ".csv")


def released_list() -> Path:
    """Return the file that holds the fingerprints."""
    return Path(str(files("tankside.library") / "data.sha256"))


def fingerprints(root: Path) -> dict[str, str]:
    """Return the SHA-256 of every knowledge file below a folder, by its path from there."""
    paths = sorted(path for path in root.rglob("*") if path.suffix in ENDINGS)
    return {
        path.relative_to(root).as_posix(): hashlib.sha256(_text(path)).hexdigest() for path in paths
    }


def _text(path: Path) -> bytes:
    """Return the bytes with the line ends of the release."""
    return path.read_bytes().replace(b"\r\n", b"\n")


def altered_files(root: Path, listed: str) -> frozenset[str]:
    """Return which files differ from a list of fingerprints, are new, or are gone.

    Args:
        root: data folder.
        listed: lines of a fingerprint, two spaces and a path.
    """
    rows = (line.split("  ", 1) for line in listed.splitlines())
    released = {name: fingerprint for fingerprint, name in rows}
    there = fingerprints(root)
    return frozenset(n for n in {*released, *there} if released.get(n) != there.get(n))


def as_list(root: Path) -> str:
    """Return the list for the files as they are."""
    return "".join(f"{value}  {name}\n" for name, value in fingerprints(root).items())


def renew() -> None:
    """Write the list anew."""
    target = released_list()
    target.write_text(as_list(target.parent / "data"), encoding="utf-8")
