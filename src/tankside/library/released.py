"""The fingerprints of the knowledge files as released, and which files differ from them.

A file changed by hand on disk is read like any other, so it is told wherever an amount is shown.
The list guards against slips, not against somebody who renews it too. It is in the common
``sha256sum`` form; ``python3 dev.py fingerprints`` renews it for a release.
"""

from __future__ import annotations

import hashlib
import os
from collections.abc import Mapping
from functools import lru_cache
from importlib.resources import files
from pathlib import Path

ENDINGS = (".toml", ".csv")


def data_root() -> Path:
    """Return the folder of the shipped knowledge files."""
    return Path(str(files("tankside.library") / "data"))


def released_list() -> Path:
    """Return the file that holds the fingerprints."""
    return Path(str(files("tankside.library") / "data.sha256"))


def fingerprints(root: Path) -> dict[str, str]:
    """Return the SHA-256 of every knowledge file below a folder, by its path from there."""
    top = os.fspath(root)
    below = [
        os.path.join(folder, name)
        for folder, _, names in os.walk(top)
        for name in names
        if name.endswith(ENDINGS)
    ]
    named = {os.path.relpath(path, top).replace(os.sep, "/"): path for path in below}
    return {name: hashlib.sha256(_text(named[name])).hexdigest() for name in sorted(named)}


def _text(path: str) -> bytes:
    """Return the bytes with the line ends of the release."""
    with open(path, "rb") as file:
        return file.read().replace(b"\r\n", b"\n")


@lru_cache(maxsize=1)
def shipped() -> Mapping[str, str]:
    """Return the fingerprints of the shipped files, taken once."""
    return fingerprints(data_root())


def altered_files(root: Path, listed: str) -> frozenset[str]:
    """Return which files differ from a list of fingerprints, are new, or are gone.

    Args:
        root: data folder.
        listed: lines of a fingerprint, two spaces and a path.
    """
    return differing(fingerprints(root), listed)


def differing(there: Mapping[str, str], listed: str) -> frozenset[str]:
    """Return which files differ from a list; as ``altered_files``, of fingerprints taken."""
    rows = (line.split("  ", 1) for line in listed.splitlines())
    released = {name: fingerprint for fingerprint, name in rows}
    return frozenset(n for n in {*released, *there} if released.get(n) != there.get(n))


def as_list(root: Path) -> str:
    """Return the list for the files as they are."""
    return "".join(f"{value}  {name}\n" for name, value in fingerprints(root).items())


def renew() -> None:
    """Write the list anew."""
    target = released_list()
    target.write_text(as_list(target.parent / "data"), encoding="utf-8")
