"""Where a SQLite journal must not stand: places known to corrupt a database.

The places are those of "How To Corrupt An SQLite Database File" (sqlite.org): network file systems
whose locks do not hold, two names of one file; a file of somebody else is refused beside them.
"""

from __future__ import annotations

import os
import stat
from pathlib import Path

from tankside.errors import NotPossible

MOUNTS = Path("/proc/self/mountinfo")
NETWORK = ("nfs", "cifs", "smb", "9p", "afs", "ceph", "gluster", "lustre", "ncpfs", "davfs")
NETWORK_FUSE = ("fuse.sshfs", "fuse.rclone", "fuse.davfs", "fuse.s3fs", "fuse.gvfsd")


def check_place(file: Path) -> None:
    """Refuse a place where a journal would be in danger.

    Raises:
        NotPossible: E-DB-08.
    """
    if str(file).startswith("\\\\") or _file_system(file.parent).startswith(
        (*NETWORK, *NETWORK_FUSE)
    ):
        raise _unsafe("The journal stands on a network drive.", file, "a disk of this computer")
    try:
        status = file.lstat()
    except (FileNotFoundError, NotADirectoryError):
        return
    except OSError as refused:
        raise _unsafe("The journal cannot be looked at.", file, str(refused.strerror)) from None
    if not stat.S_ISREG(status.st_mode) or status.st_nlink > 1:
        raise _unsafe("This is a link, or not a plain file.", file, "a plain file with one name")
    if hasattr(os, "geteuid") and status.st_uid != os.geteuid():
        raise _unsafe("The journal belongs to another user.", file, "a file of yours")


def _file_system(folder: Path) -> str:
    """Return the kind of file system a folder stands on; "" where the system does not say."""
    try:
        lines = MOUNTS.read_text(encoding="utf-8", errors="replace").splitlines()
    except OSError:
        return ""
    target = str(folder.resolve())
    best, kind = "", ""
    for line in lines:
        before, _, after = line.partition(" - ")
        point = before.split(" ")[4].encode().decode("unicode_escape")
        inside = target == point or target.startswith(point.rstrip("/") + "/")
        if inside and len(point) >= len(best):
            best, kind = point, after.split(" ")[0]
    return kind


def _unsafe(message: str, file: Path, needed: str) -> NotPossible:
    return NotPossible(
        "E-DB-08",
        message,
        given=str(file),
        needed=needed,
        next_step="Set --journal or TANKSIDE_JOURNAL to another place; for several computers "
        "use a PostgreSQL database. Nothing was read or written.",
        field="journal",
    )
