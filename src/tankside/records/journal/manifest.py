"""The manifest beside a backup: what it holds, and the fingerprint that tells damage."""

from __future__ import annotations

import hashlib
import json
from dataclasses import asdict, dataclass
from pathlib import Path

from tankside.errors import Mistake, NotPossible
from tankside.quantity.strict_json import parse_json

FORMAT = "tankside-backup"
VERSION = 2
ENDING = ".manifest.json"
BLOCK = 1_000_000


@dataclass(frozen=True, slots=True)
class BackupManifest:
    """What a backup holds.

    Args:
        identity: which journal it is of.
        schema: its schema revision.
        entries: how many entries.
        cases: how many cases.
        head: hash of the last entry.
        size_bytes: size of the file.
        sha256: its fingerprint.
        made_at: when it was made, UTC.
    """

    identity: str
    schema: str
    entries: int
    cases: int
    head: str
    size_bytes: int
    sha256: str
    made_at: str

    def encode(self) -> bytes:
        """Return the manifest as it is written."""
        fields = {"format": FORMAT, "version": VERSION, **asdict(self)}
        said = json.dumps(fields, sort_keys=True).encode("utf-8")
        sealed = fields | {"seal": hashlib.sha256(said).hexdigest()}
        return (json.dumps(sealed, indent=1) + "\n").encode("utf-8")


def manifest_path(backup: Path) -> Path:
    """Return where the manifest of a backup stands."""
    return backup.with_name(backup.name + ENDING)


def read_manifest(backup: Path) -> BackupManifest:
    """Read the manifest of a backup and hold the file against it.

    Raises:
        NotPossible: E-DB-10 when either is missing, changed or cut short.
    """
    try:
        data = manifest_path(backup).read_bytes()
        value = parse_json(data)
    except OSError:
        raise damaged_backup(backup, "its manifest is missing") from None
    except Mistake:
        raise damaged_backup(backup, "its manifest cannot be read") from None
    names = set(BackupManifest.__dataclass_fields__)
    if not isinstance(value, dict) or set(value) != names | {"format", "version", "seal"}:
        raise damaged_backup(backup, "its manifest is none")
    if (value["format"], value["version"]) != (FORMAT, VERSION):
        raise damaged_backup(backup, "its manifest has another version")
    manifest = BackupManifest(**{name: value[name] for name in names})
    if manifest.encode() != data:
        raise damaged_backup(backup, "its manifest was changed")
    try:
        size, digest = fingerprint(backup)
    except OSError as refused:
        raise damaged_backup(backup, str(refused.strerror)) from None
    if size != manifest.size_bytes:
        raise damaged_backup(backup, f"{size} bytes instead of {manifest.size_bytes}")
    if digest != manifest.sha256:
        raise damaged_backup(backup, "its content was changed")
    return manifest


def fingerprint(file: Path) -> tuple[int, str]:
    """Return size and SHA-256 of a file."""
    digest = hashlib.sha256()
    size = 0
    with file.open("rb") as handle:
        while block := handle.read(BLOCK):
            digest.update(block)
            size += len(block)
    return size, digest.hexdigest()


def damaged_backup(backup: Path, words: str) -> NotPossible:
    """Return the refusal of a backup that is not whole."""
    return NotPossible(
        "E-DB-10",
        "This is not a whole backup.",
        given=f"{backup}: {words}",
        needed="a backup and its manifest, both as they were made",
        next_step="Use another backup; nothing was written.",
        field="backup",
    )
