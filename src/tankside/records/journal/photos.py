"""The pictures of a journal: each once, under its fingerprint, never changed or taken away.

The entry that came with a picture says so in the chain, so that one that is missing is seen.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from sqlalchemy import Connection, insert, select

from tankside.records.journal.place import JournalPlace
from tankside.records.journal.refusals import broken
from tankside.records.journal.schema import ENTRY, PHOTO
from tankside.records.kept_photo import KeptPhoto, ending_of, fingerprint_of


def keep_photos(connection: Connection, photos: Iterable[KeptPhoto]) -> frozenset[str]:
    """Put pictures into the journal within a transaction that writes; return what is kept now."""
    wanted = {photo.sha256: photo for photo in photos}
    there = held(connection, wanted)
    for sha256 in wanted.keys() - there:
        row = {"sha256": sha256, "size_bytes": len(wanted[sha256].data)}
        connection.execute(insert(PHOTO).values(row | {"data": wanted[sha256].data}))
    return frozenset(wanted)


def held(connection: Connection, wanted: Iterable[str]) -> frozenset[str]:
    """Return those of the wanted pictures that the journal holds."""
    rows = connection.execute(select(PHOTO.c.sha256).where(PHOTO.c.sha256.in_(sorted(wanted))))
    return frozenset(map(str, rows.scalars()))


def photo_in(connection: Connection, sha256: str, place: JournalPlace) -> KeptPhoto | None:
    """Return a picture; None when the journal has none of this fingerprint.

    Raises:
        NotPossible: E-DB-05 when it is not as it was kept.
    """
    data = connection.execute(select(PHOTO.c.data).where(PHOTO.c.sha256 == sha256)).scalar()
    if data is None:
        return None
    if fingerprint_of(bytes(data)) != sha256:
        raise broken(place, f"photo {sha256} is not as it was kept")
    return KeptPhoto(sha256, ending_of(bytes(data)), bytes(data))


def copy_photos(source: Connection, target: Connection, place: JournalPlace) -> None:
    """Copy every picture into another journal, one at a time.

    Raises:
        NotPossible: E-DB-05 at the first that is not as it was kept.
    """
    for sha256 in _fingerprints(source):
        photo = photo_in(source, sha256, place)
        keep_photos(target, [photo] if photo else [])


def damaged_photos(connection: Connection) -> Iterator[str]:
    """Say of each picture that is not as it was kept, or is gone, what is wrong."""
    for sha256 in _fingerprints(connection):
        wanted = select(PHOTO.c.size_bytes, PHOTO.c.data).where(PHOTO.c.sha256 == sha256)
        row = connection.execute(wanted).first()
        data = b"" if row is None else bytes(row.data)
        if row is None or fingerprint_of(data) != sha256 or len(data) != row.size_bytes:
            yield f"photo {sha256} is not as it was kept"
    gone = (
        select(ENTRY.c.sequence)
        .outerjoin(PHOTO, PHOTO.c.sha256 == ENTRY.c.photo)
        .where(ENTRY.c.photo.is_not(None), PHOTO.c.sha256.is_(None))
        .order_by(ENTRY.c.sequence)
    )
    for sequence in connection.execute(gone).scalars():
        yield f"entry {sequence}: its photo is missing"


def _fingerprints(connection: Connection) -> list[str]:
    wanted = select(PHOTO.c.sha256).order_by(PHOTO.c.sha256)
    return [str(sha256) for sha256 in connection.execute(wanted).scalars()]
