"""Pictures of a case: attach one, show one, list them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path, PurePath

from tankside.case import Entry
from tankside.case.seen import Photo
from tankside.case.typed_entry import typed_entries
from tankside.case.typed_value import Typed
from tankside.errors import BadInput
from tankside.records.case_store import read_case, read_case_photo
from tankside.records.kept_photo import KeptPhoto, ending_of, kept_photo
from tankside.records.photo_folder import write_photos
from tankside.records.stored_case import StoredCase
from tankside.services.cases import Writer, door_of, number_on
from tankside.services.saving import JUST_SENT, Added, Sent, save

KIND = "photo"


@dataclass(frozen=True, slots=True)
class CasePhoto:
    """A picture that a case names.

    Args:
        entry: what the case says of it.
        kept: whether its bytes are kept with the case.
    """

    entry: Photo
    kept: bool


def attach_photo(
    path: str | Path,
    data: bytes,
    words: Sequence[Typed] = (),
    *,
    file: str,
    by: str,
    sent: Sent = JUST_SENT,
) -> Added:
    """Keep a picture with a case and add the entry that says so; both or neither.

    Args:
        path: the case.
        data: the bytes of the picture, already without what they need not tell (a place).
        words: what else is typed of it: ``of``, ``note``, ``on``.
        file: what it is called; only the last part of a path is kept.
        by: who writes.
        sent: how it was sent.

    Raises:
        BadInput: E-FILE-01 too large, E-FILE-02 no picture, E-PATH-01 a name that cannot be kept.
        CouldNotSave: E-WEB-04, E-DB-02 to E-DB-04; nothing was saved.
    """
    name = PurePath(file.replace("\\", "/")).name or file
    photo = kept_photo(data, name)
    typed = [(key, text) for key, text in words if key != "file"]

    def make(stored: StoredCase) -> tuple[Entry, ...]:
        fields = typed_entries(KIND, [("file", name), *typed], door_of(stored))
        completed = [each | {"sha256": photo.sha256} for each in fields]
        return number_on(stored, completed, Writer(by, sent.role))

    return save(path, make, sent, [photo])


def photos_of(path: str | Path) -> list[CasePhoto]:
    """Return the pictures that a case names, in the order of its entries."""
    stored = read_case(path)
    return [CasePhoto(entry, _bytes(stored, entry) is not None) for entry in stored.view().photos]


def photo_of(path: str | Path, entry: int) -> KeptPhoto:
    """Return a picture of a case.

    Args:
        path: the case.
        entry: number of the entry that names it.

    Raises:
        BadInput: E-CASE-02 that entry names no picture, E-PATH-02 its bytes are not there.
    """
    stored = read_case(path)
    said = next((each for each in stored.view().photos if each.id == entry), None)
    if said is None:
        raise BadInput(
            "E-CASE-02",
            "This entry names no photo.",
            given=entry,
            needed="the number of an entry that does",
            next_step="List them with: tankside case photos CASE",
            field="entry",
        )
    data = _bytes(stored, said)
    if data is None or said.sha256 is None:
        raise BadInput(
            "E-PATH-02",
            "This photo is only named; it was not kept with the case.",
            given=said.file,
            needed="a photo that was attached",
            next_step="Attach it with: tankside case attach CASE FILE",
            field="entry",
        )
    return KeptPhoto(said.sha256, ending_of(data), data)


def save_photos(path: str | Path, folder: str | Path) -> tuple[str, ...]:
    """Write the pictures kept with a case into a folder; return the names of the files.

    Raises:
        BadInput: E-PATH-01 there is no such folder.
        CouldNotSave: E-DB-02 to E-DB-04.
    """
    target = Path(folder)
    if not target.is_dir():
        raise BadInput(
            "E-PATH-01",
            "The folder does not exist.",
            given=folder,
            needed="a folder that exists",
            next_step="Make the folder; nothing was written.",
            field="save",
        )
    kept = photos_kept(read_case(path))
    write_photos(target, kept)
    return tuple(photo.file_name for photo in kept)


def kept_with(entries: Iterable[Entry]) -> list[str]:
    """Return the fingerprints of the pictures that entries say were kept, each once."""
    said = (entry.sha256 for entry in entries if isinstance(entry, Photo))
    return list(dict.fromkeys(sha256 for sha256 in said if sha256 is not None))


def photos_kept(stored: StoredCase) -> list[KeptPhoto]:
    """Return the pictures that are kept with a case; what is not there is left out."""
    read = {sha256: read_case_photo(stored, sha256) for sha256 in kept_with(stored.entries)}
    return [
        KeptPhoto(sha256, ending_of(data), data)
        for sha256, data in read.items()
        if data is not None
    ]


def _bytes(stored: StoredCase, entry: Photo) -> bytes | None:
    return None if entry.sha256 is None else read_case_photo(stored, entry.sha256)
