"""A picture is kept with its entry or not at all, byte for byte, once, and damage to it is seen."""

from __future__ import annotations

import random
from pathlib import Path

import pytest
from sqlalchemy import Executable, delete, func, select, text, update
from tests.records.case_entries import entry, opened
from tests.records.pictures import PNG, photo_entry, picture

from tankside.errors import BadInput, CouldNotSave, NotPossible
from tankside.records.case_store import (
    append_entries,
    create_case,
    read_case,
    read_case_photo,
)
from tankside.records.journal.backup import back_up, check_backup, restore
from tankside.records.journal.opening import open_journal
from tankside.records.journal.photo_guards import SQLITE_PHOTO_GUARDS
from tankside.records.journal.place import VARIABLE, JournalPlace, journal_place
from tankside.records.journal.schema import PHOTO
from tankside.records.journal.verify import verify, verify_place
from tankside.records.kept_photo import LARGEST_PHOTO_BYTES, kept_photo
from tankside.records.photo_folder import photo_folder
from tankside.records.stored_case import StoredCase

WEBP = b"RIFF\x1a\x00\x00\x00WEBPVP8L"


@pytest.fixture(params=["journal", "file"])
def label(request: pytest.FixtureRequest, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    """Name a case of either store."""
    monkeypatch.setenv(VARIABLE, str(tmp_path / "data" / "journal.db"))
    return "elm" if request.param == "journal" else str(tmp_path / "elm.jsonl")


def with_photo(label: str, seed: int = 1) -> StoredCase:
    photo = picture(seed)
    return append_entries(create_case(label, [opened()]), [photo_entry(2, photo)], photos=[photo])


def test_a_picture_comes_back_byte_for_byte(label: str) -> None:
    with_photo(label)
    stored = read_case(label)
    assert read_case_photo(stored, picture().sha256) == picture().data
    assert read_case_photo(stored, "0" * 64) is None


def test_pictures_of_the_first_entries_are_kept_too(label: str) -> None:
    photo = picture()
    create_case(label, [opened(), photo_entry(2, photo)], [photo])
    assert read_case_photo(read_case(label), photo.sha256) == photo.data


def test_a_save_that_is_refused_keeps_no_picture(label: str) -> None:
    stale = create_case(label, [opened()])
    append_entries(stale, [entry(2)])
    with pytest.raises(CouldNotSave, match="E-WEB-04"):
        append_entries(stale, [photo_entry(2, picture())], photos=[picture()])
    assert read_case_photo(read_case(label), picture().sha256) is None


def test_a_picture_changed_beside_its_case_file_is_not_taken_for_it(tmp_path: Path) -> None:
    file = tmp_path / "elm.jsonl"
    with_photo(str(file))
    kept = photo_folder(file) / picture().file_name
    kept.write_bytes(picture().data[:-1] + b"!")
    assert read_case_photo(read_case(file), picture().sha256) is None
    kept.unlink()
    kept.symlink_to(tmp_path / "elsewhere.png")
    (tmp_path / "elsewhere.png").write_bytes(picture().data)
    assert read_case_photo(read_case(file), picture().sha256) is None


def test_a_link_in_place_of_the_folder_of_pictures_is_refused(tmp_path: Path) -> None:
    file = tmp_path / "elm.jsonl"
    (tmp_path / "elsewhere").mkdir()
    photo_folder(file).symlink_to(tmp_path / "elsewhere")
    with pytest.raises(BadInput, match="E-PATH-01"):
        with_photo(str(file))
    assert read_case(file).version == 1
    assert not list((tmp_path / "elsewhere").iterdir())


@pytest.mark.parametrize(
    ("data", "code"),
    [
        (b"", "E-FILE-02"), (b"<html>", "E-FILE-02"), (b"GIF89a", "E-FILE-02"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "E-FILE-02"),
        (b"RIFF\x00\x00\x00\x00WAVE", "E-FILE-02"), (PNG[1:], "E-FILE-02"),
        (PNG + bytes(LARGEST_PHOTO_BYTES), "E-FILE-01"),
    ],
)  # fmt: skip
def test_what_is_no_picture_or_too_large_is_refused(data: bytes, code: str) -> None:
    with pytest.raises(BadInput, match=code):
        kept_photo(data, "a.jpg")


def test_pictures_of_three_kinds_are_kept() -> None:
    whole = PNG + bytes(LARGEST_PHOTO_BYTES - len(PNG))
    kinds = [kept_photo(data, "a").ending for data in (b"\xff\xd8\xff\xe0", whole, WEBP)]
    assert kinds == [".jpg", ".png", ".webp"]


def test_the_same_picture_of_two_cases_is_kept_once(place: JournalPlace) -> None:
    with_photo("elm")
    with_photo("oak")
    with open_journal(place).reading() as connection:
        assert connection.execute(select(func.count()).select_from(PHOTO)).scalar() == 1
    assert verify_place(place).faults == ()


def test_entries_without_a_picture_have_the_hash_they_had_before_there_were_any(
    place: JournalPlace,
) -> None:
    """The chain of a golden journal of the first schema is in ``test_migrations``."""
    append_entries(create_case("elm", [opened()]), [photo_entry(2, picture())])
    said = verify_place(place)
    assert (said.faults, said.entries) == ((), 2), "a picture that was only named is no fault"


def damage(place: JournalPlace, change: Executable) -> tuple[str, ...]:
    """Change a table behind its guards, look over the journal, and take the change back."""
    engine = open_journal(place).engine.execution_options(tankside_writes=True)
    with engine.connect() as connection, connection.begin() as transaction:
        guards = SQLITE_PHOTO_GUARDS if place.file else {}
        if place.file:
            connection.execute(text("PRAGMA defer_foreign_keys = ON"))
        else:
            connection.execute(text("SET LOCAL session_replication_role = replica"))
        for name in guards:
            connection.execute(text(f"DROP TRIGGER {name}"))
        connection.execute(change)
        for statement in guards.values():
            connection.execute(text(statement))
        faults = verify(connection, place).faults
        transaction.rollback()
    return faults


def test_a_picture_that_is_gone_is_seen_by_the_entry_that_came_with_it(
    place: JournalPlace,
) -> None:
    with_photo("elm")
    assert damage(place, delete(PHOTO)) == ("entry 2: its photo is missing",)


@pytest.mark.parametrize("flips", [30, pytest.param(300, marks=pytest.mark.slow)])
def test_any_bit_of_a_picture_that_flips_is_seen(
    flips: int, sqlite_place: JournalPlace, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(VARIABLE, str(sqlite_place.file))
    with_photo("elm")
    assert sqlite_place.file
    data = bytearray(sqlite_place.file.read_bytes())
    # A page that goes on elsewhere begins with the number of the next; what stands of the picture
    # in one page is found whole.
    begin = data.find(picture().data[:64])
    assert begin > 0
    chance = random.Random(5)
    copy = tmp_path / "copy.db"
    copy.write_bytes(data)
    assert verify_place(journal_place(copy)).faults == ()
    for _ in range(flips):
        at = begin + chance.randrange(64)
        data[at] ^= 1 << chance.randrange(8)
        copy.write_bytes(data)
        assert verify_place(journal_place(copy)).faults == (
            f"photo {picture().sha256} is not as it was kept",
        )
        data[at : at + 1] = sqlite_place.file.read_bytes()[at : at + 1]


@pytest.mark.parametrize("flips", [20, pytest.param(200, marks=pytest.mark.slow)])
def test_any_bit_of_a_picture_in_its_table_that_flips_is_seen(
    flips: int, place: JournalPlace
) -> None:
    with_photo("elm")
    chance = random.Random(6)
    for _ in range(flips):
        data = bytearray(picture().data)
        data[chance.randrange(len(data))] ^= 1 << chance.randrange(8)
        faults = damage(place, update(PHOTO).values(data=bytes(data)))
        assert faults == (f"photo {picture().sha256} is not as it was kept",)


def test_a_damaged_picture_is_not_shown(sqlite_place: JournalPlace, tmp_path: Path) -> None:
    from tankside.records.journal import cases

    assert sqlite_place.file
    photo = picture()
    stored = cases.create_case("elm", [opened()], sqlite_place)
    cases.append_entries(stored, [photo_entry(2, photo)], place=sqlite_place, photos=[photo])
    data = sqlite_place.file.read_bytes()
    copy = tmp_path / "copy.db"
    copy.write_bytes(data.replace(photo.data[80:100], photo.data[81:101]))
    with pytest.raises(NotPossible, match="E-DB-05"):
        cases.read_photo(photo.sha256, journal_place(copy))
    with pytest.raises(NotPossible, match="E-DB-05"):
        back_up(journal_place(copy), tmp_path / "backup.db")
    assert not (tmp_path / "backup.db").exists()


def test_a_backup_holds_the_pictures_and_gives_them_back(
    place: JournalPlace, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for seed, label in enumerate(("elm", "oak"), 1):
        with_photo(label, seed)
    backup = tmp_path / "backup.db"
    back_up(place, backup)
    check_backup(backup)
    back = journal_place(tmp_path / "back.db")
    restore(backup, back)
    monkeypatch.setenv(VARIABLE, str(back.file))
    for seed, label in enumerate(("elm", "oak"), 1):
        assert read_case_photo(read_case(label), picture(seed).sha256) == picture(seed).data
    assert verify_place(back).faults == ()
