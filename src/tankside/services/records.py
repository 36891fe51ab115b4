"""The journal as a whole: list its cases, take in and give out case files, verify, back up."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from tankside.case import decode, encode
from tankside.errors import BadInput, Mistake
from tankside.records.case_path import stems
from tankside.records.journal import backup as backups
from tankside.records.journal import cases as journal_cases
from tankside.records.journal.case_list import JournalCase, listed_cases
from tankside.records.journal.grants import grant_writing
from tankside.records.journal.manifest import BackupManifest
from tankside.records.journal.opening import open_journal
from tankside.records.journal.photos import photo_in
from tankside.records.journal.place import JournalPlace, journal_place
from tankside.records.journal.rebuild import rebuild
from tankside.records.journal.upgrading import Upgraded, upgrade_journal
from tankside.records.journal.verify import Verified, verify_place
from tankside.records.photo_folder import photo_folder, photos_there, write_photos
from tankside.records.stored_case import StoredCase
from tankside.records.whole_file import write_whole
from tankside.services.case_photos import kept_with
from tankside.services.cases import bytes_of, checked_entries
from tankside.services.records_tables import PHOTOS, TABLE_ENDINGS, cases_in_table

ENDING = ".jsonl"


@dataclass(frozen=True, slots=True)
class Transferred:
    """What became of one case file.

    Args:
        file: its name.
        number: of the case in the journal; 0 when there is none.
        entries: how many entries were taken or written.
        respelled: the file was not in the canonical spelling, which is the one that is kept.
        photos: how many of its photos were taken or written.
        photos_missing: how many it says were kept and that are not there.
        fault: why nothing was done; None when all is well.
    """

    file: str
    number: int = 0
    entries: int = 0
    respelled: bool = False
    photos: int = 0
    photos_missing: int = 0
    fault: Mistake | None = None


def list_journal(journal: str | None = None) -> list[JournalCase]:
    """List the cases of the journal by number.

    Raises:
        BadInput: E-PATH-02 when there is none.
        NotPossible: E-DB-05 to E-DB-09.
    """
    opened = open_journal(journal_place(journal))
    with opened.reading() as connection:
        return listed_cases(connection)


def free_label(name: str, journal: str | None = None) -> str:
    """Return a short name for a new case that no case of the journal has yet.

    Args:
        name: the name of the case.
        journal: its place; None for the one of this user.
    """
    opened = open_journal(journal_place(journal), make=True)
    with opened.reading() as connection:
        return next(
            stem for stem in stems(name) if journal_cases.labelled(connection, stem) is None
        )


def import_folder(folder: str | Path, journal: str | None = None) -> list[Transferred]:
    """Take the case files of a folder, or the cases of a table, into the journal, each whole.

    A table is ``entries.csv`` or ``cases.json`` as ``export_tables`` writes them.

    The name of the file becomes the short name of the case. A file that was taken before adds
    what is new in it; one that says something else is refused, and the others go on.

    Raises:
        BadInput: E-PATH-02 when there is no such folder, or no case file in it.
        CouldNotSave: the disk refused.
    """
    place = journal_place(journal)
    if Path(folder).suffix in TABLE_ENDINGS:
        tables = cases_in_table(Path(folder))
        open_journal(place, make=True)
        return [
            _each(label + ENDING, partial(_taken, label, data, place, Path(folder).parent / PHOTOS))
            for label, data in tables.items()
        ]
    files = sorted(Path(folder).glob("*" + ENDING))
    if not files:
        raise BadInput(
            "E-PATH-02",
            "There are no case files here.",
            given=str(folder),
            needed=f"a folder with files ending in {ENDING}",
            next_step="Check the name; nothing was taken.",
            field="folder",
        )
    open_journal(place, make=True)
    return [_each(file.name, partial(_taken_in, file, place)) for file in files]


def export_folder(folder: str | Path, journal: str | None = None) -> list[Transferred]:
    """Write each case of the journal as a case file named by its short name.

    A file that is there already and is the beginning of the case is written anew; one that says
    something else is left as it is.

    Raises:
        BadInput: E-PATH-01 when the folder is missing, E-PATH-02 without a journal.
    """
    target = Path(folder)
    if not target.is_dir():
        raise BadInput(
            "E-PATH-01",
            "The folder does not exist.",
            given=str(folder),
            needed="a folder that exists",
            next_step="Make the folder; nothing was written.",
            field="folder",
        )
    place = journal_place(journal)
    return [
        _each(case.label + ENDING, partial(_given_out, case, target, place))
        for case in list_journal(journal)
    ]


def verify_journal(journal: str | None = None) -> Verified:
    """Look over the whole journal, also one that cannot be opened any more.

    Raises:
        BadInput: E-PATH-02 when there is none.
    """
    return verify_place(journal_place(journal))


def back_up(target: str | Path, journal: str | None = None) -> BackupManifest:
    """Back up the journal while it is used; see ``records.journal.backup``."""
    return backups.back_up(journal_place(journal), Path(target).absolute())


def restore(backup: str | Path, to: str | None) -> BackupManifest:
    """Restore a backup to a new place, or, without one, only try it."""
    source = Path(backup).absolute()
    return backups.drill(source) if to is None else backups.restore(source, journal_place(to))


def rebuild_journal(journal: str | None = None) -> int:
    """Make everything that is made from the entries again; return the number of cases."""
    return rebuild(open_journal(journal_place(journal)))


def migrate_journal(journal: str | None = None) -> Upgraded:
    """Bring the schema of a journal up to date, with a backup first."""
    return upgrade_journal(journal_place(journal))


def grant(role: str, journal: str | None = None) -> JournalPlace:
    """Let a database role read and add; begin the journal when there is none."""
    place = journal_place(journal)
    opened = open_journal(place, make=place.file is None)
    with opened.writing() as connection:
        grant_writing(connection, place, role)
    return place


def _each(file: str, step: Callable[[], Transferred]) -> Transferred:
    try:
        return step()
    except Mistake as fault:
        if fault.exit_code != BadInput.exit_code:
            raise
        return Transferred(file, fault=fault)


def _taken_in(file: Path, place: JournalPlace) -> Transferred:
    return _taken(file.stem, bytes_of(file), place, photo_folder(file))


def _taken(stem: str, data: bytes, place: JournalPlace, beside: Path) -> Transferred:
    entries = checked_entries(data)
    wanted = kept_with(entries)
    photos = photos_there(beside, wanted)
    counts = (len(photos), len(wanted) - len(photos))
    canonical = encode(entries)
    respelled = canonical != data
    label = f"file-{stem}" if stem.isdigit() else stem
    name = stem + ENDING
    standing = _standing(label, place)
    if standing is None:
        stored = journal_cases.create_case(label, entries, place, photos)
        return Transferred(name, int(str(stored.reference)), stored.version, respelled, *counts)
    number = int(str(standing.reference))
    if entries[: standing.version] != standing.entries:
        raise BadInput(
            "E-PATH-03",
            "The journal has another case with this short name; both are left as they are.",
            given=f"{name}, case {number}",
            needed="the same case, or a file of another name",
            next_step="Give the file another name and import it again.",
            field="folder",
        )
    new = entries[standing.version :]
    if new:
        journal_cases.append_entries(standing, new, place=place, photos=photos)
    elif photos:
        journal_cases.add_photos(photos, place)
    return Transferred(name, number, len(new), respelled, *counts)


def _standing(label: str, place: JournalPlace) -> StoredCase | None:
    """Return the case with a short name; a name that another case merely carries is none."""
    with open_journal(place).reading() as connection:
        number = journal_cases.labelled(connection, label)
    return None if number is None else journal_cases.read_case(str(number), place)


def _given_out(case: JournalCase, folder: Path, place: JournalPlace) -> Transferred:
    file = folder / (case.label + ENDING)
    with open_journal(place).reading() as connection:
        data = journal_cases.case_text(connection, case.number, place).data
        wanted = kept_with(decode(data))
        read = (photo_in(connection, sha256, place) for sha256 in wanted)
        photos = [photo for photo in read if photo is not None]
    there = file.read_bytes() if file.is_file() else b""
    if not data.startswith(there):
        raise BadInput(
            "E-PATH-03",
            "The file says something else than the journal; it is left as it is.",
            given=file.name,
            needed="an empty folder, or files written from this journal",
            next_step="Move the file away and export again.",
            field="folder",
        )
    if there != data:
        write_whole(file, data)
    write_photos(photo_folder(file), photos)
    missing = len(wanted) - len(photos)
    return Transferred(
        file.name, case.number, case.entries, photos=len(photos), photos_missing=missing
    )
