"""The pictures of a case file: a folder beside it, each picture under its fingerprint.

``elm.jsonl`` has its pictures in ``elm.photos``. Exports of the journal are laid out the same way.
"""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from tankside.errors import BadInput, CouldNotSave
from tankside.records.kept_photo import LARGEST_PHOTO_BYTES, KeptPhoto, ending_of, fingerprint_of
from tankside.records.whole_file import write_whole

SUFFIX = ".photos"
ENDINGS = (".jpg", ".png", ".webp")


def photo_folder(case_file: Path) -> Path:
    """Return the folder of the pictures of a case file; it need not exist."""
    return case_file.with_suffix(SUFFIX)


def write_photos(folder: Path, photos: Iterable[KeptPhoto]) -> None:
    """Write pictures into a folder; one that is there as it was is left.

    Raises:
        BadInput: E-PATH-01 when the folder is a link or a file.
        CouldNotSave: E-DB-02 to E-DB-04.
    """
    for photo in photos:
        _make(folder)
        there = folder / photo.file_name
        if read_photo(folder, photo.sha256) != photo.data:
            write_whole(there, photo.data)


def read_photo(folder: Path, sha256: str) -> bytes | None:
    """Return the bytes of a picture; None when it is not there, or not as it was."""
    for ending in ENDINGS:
        file = folder / (sha256 + ending)
        if file.is_symlink() or not file.is_file() or file.stat().st_size > LARGEST_PHOTO_BYTES:
            continue
        data = file.read_bytes()
        if fingerprint_of(data) == sha256:
            return data
    return None


def photos_there(folder: Path, wanted: Iterable[str]) -> list[KeptPhoto]:
    """Return those of the wanted pictures that a folder holds as they were kept."""
    read = {sha256: read_photo(folder, sha256) for sha256 in wanted}
    return [
        KeptPhoto(sha256, ending_of(data), data)
        for sha256, data in read.items()
        if data is not None and ending_of(data)
    ]


def _make(folder: Path) -> None:
    if folder.is_symlink() or (folder.exists() and not folder.is_dir()):
        raise BadInput(
            "E-PATH-01",
            "The place of the pictures is a link, or no folder.",
            given=folder,
            needed="a folder beside the case file",
            next_step="Move it away; nothing was saved.",
            field="case",
        )
    try:
        folder.mkdir(mode=0o700, exist_ok=True)
    except OSError as refused:
        raise CouldNotSave(
            "E-DB-04",
            "The folder of the pictures cannot be made.",
            given=f"{folder}: {refused.strerror}",
            needed="a folder that may be written to",
            next_step="What was there before is unchanged. Choose another place.",
            field="case",
        ) from None
