"""What takes time to make is kept on disk, sealed and private; whatever is wrong, it is made anew.

A file is taken only when it and its folder belong to this account, nobody else may write to
them, and it is, byte for byte, what was kept under the same key. The seal tells damage, not
malice: who can write as this account can also change the program.
"""

from __future__ import annotations

import os
import stat
from contextlib import suppress
from hashlib import sha256

SEAL_BYTES = sha256().digest_size
OWNER_ONLY_FILE, OWNER_ONLY_FOLDER = stat.S_IRUSR | stat.S_IWUSR, stat.S_IRWXU
_OTHERS_WRITE = stat.S_IWGRP | stat.S_IWOTH
_READ = os.O_RDONLY | sum(getattr(os, n, 0) for n in ("O_NOFOLLOW", "O_NONBLOCK", "O_BINARY"))


def place(name: str, base: str = "") -> str:
    """Return the folder of one kind of kept file.

    Args:
        name: what is kept there.
        base: where; "" for ``NUMBA_CACHE_DIR``, else the account's own place for caches.
    """
    stated = base or os.environ.get("NUMBA_CACHE_DIR")
    if not stated:
        import platformdirs

        stated = platformdirs.user_cache_dir("tankside", appauthor=False)
    return os.path.join(stated, name)


def sealed(key: bytes, data: bytes) -> bytes:
    """Return the bytes of a file: a fingerprint of key and data, then the data."""
    return sha256(key + data).digest() + data


def fetch(path: str, key: bytes) -> bytes | None:
    """Return what was kept under this key, or None when there is nothing that may be used."""
    try:
        whole = _private_bytes(path)
    except OSError:
        return None
    data = whole[SEAL_BYTES:]
    return data if whole == sealed(key, data) else None


def keep(path: str, key: bytes, data: bytes, most: int) -> str:
    """Keep data under a key.

    Args:
        path: file to write.
        key: what the data depends on, as a fingerprint.
        data: what is kept.
        most: files left in the folder; those written longest ago go.

    Returns:
        Why it could not be kept; empty when it was.
    """
    beside = f"{path}.{os.getpid()}.new"
    folder = os.path.dirname(path)
    try:
        _make_private(folder)
        _write(beside, sealed(key, data))
        os.replace(beside, path)
        _leave_newest(folder, most)
    except OSError as refused:  # keeping is a gain of time alone: its failure is only told
        with suppress(OSError):
            os.unlink(beside)
        return refused.strerror or str(refused) or type(refused).__name__
    return ""


def _is_private(status: os.stat_result) -> bool:
    """Say whether it is this account's own; on Windows the rights of the folder decide."""
    own_id = getattr(os, "getuid", None)
    return own_id is None or (status.st_uid == own_id() and not status.st_mode & _OTHERS_WRITE)


def _private_bytes(path: str) -> bytes:
    if not _is_private(os.stat(os.path.dirname(path), follow_symlinks=False)):
        raise PermissionError(path)
    with os.fdopen(os.open(path, _READ), "rb") as file:
        status = os.fstat(file.fileno())
        if not (stat.S_ISREG(status.st_mode) and _is_private(status)):
            raise PermissionError(path)
        return file.read()


def _make_private(folder: str) -> None:
    """Make the folder; close one of our own that stood open, refuse one of somebody else."""
    os.makedirs(folder, mode=OWNER_ONLY_FOLDER, exist_ok=True)
    if not _is_private(os.stat(folder, follow_symlinks=False)):
        os.chmod(folder, OWNER_ONLY_FOLDER)
    if not _is_private(os.stat(folder, follow_symlinks=False)):
        raise PermissionError("the folder belongs to somebody else")


def _write(path: str, data: bytes) -> None:
    flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0)
    with os.fdopen(os.open(path, flags, OWNER_ONLY_FILE), "wb") as file:
        file.write(data)


def _leave_newest(folder: str, most: int) -> None:
    """Drop what was kept longest ago, for other sources and versions."""
    with os.scandir(folder) as listing:
        kept = sorted((entry.stat().st_mtime, entry.path) for entry in listing if entry.is_file())
    for _, path in kept[:-most]:
        os.unlink(path)
