"""Any flipped bit in what was entered, in what is made from it or in a backup is found (D7)."""

from __future__ import annotations

import random
from pathlib import Path

import pytest
from sqlalchemy import BigInteger, Connection, Integer, select, text, update
from sqlalchemy.exc import DBAPIError
from tests.records.case_entries import entry, opened
from tests.records.pictures import photo_entry, picture
from tests.records.postgresql import Cluster

from tankside.errors import NotPossible
from tankside.records.case_store import append_entries, create_case, read_case
from tankside.records.journal import cases
from tankside.records.journal.backup import back_up, check_backup
from tankside.records.journal.opening import open_journal
from tankside.records.journal.people import remove_person
from tankside.records.journal.place import JournalPlace, journal_place
from tankside.records.journal.schema import CASE_LIST, ENTRY, JOURNAL, METADATA, PERSON
from tankside.records.journal.verify import verify, verify_place

FLIPS = pytest.mark.parametrize("flips", [100, pytest.param(1000, marks=pytest.mark.slow)])
ENTRIES = 6
CASES = 2
LARGEST_INTEGER_BITS = 30


def fill() -> None:
    for number in range(CASES):
        made = create_case(f"case-{number}", [opened(f"Name {number}", f"Keeper {number}")])
        photo = picture(number, 700)
        entries = [*(entry(n) for n in range(2, ENTRIES)), photo_entry(ENTRIES, photo)]
        append_entries(made, entries, submission=f"k{number}", photos=[photo])


def test_a_whole_journal_has_no_fault(place: JournalPlace) -> None:
    fill()
    said = verify_place(place)
    assert (said.faults, said.entries, said.cases) == ((), CASES * ENTRIES, CASES)
    assert len(said.head) == 64


def written_bytes(place: JournalPlace, data: bytes) -> list[range]:
    """Find in the file where the rows of people and entries and the list of cases stand."""
    places = []
    with open_journal(place).reading() as connection:
        for table in (ENTRY, PERSON, CASE_LIST, JOURNAL):
            for row in connection.execute(select(table)):
                texts = [value for value in row if isinstance(value, str)]
                last = texts[-2] + texts[-1] if table is not CASE_LIST else texts[-1]
                end = data.find(last.encode()) + len(last.encode())
                length = sum(len(value.encode()) for value in texts)
                if table is CASE_LIST:  # three whole numbers stand before the last text
                    length += 2
                assert end > length, row
                places.append(range(end - length, end))
    return places


@FLIPS
def test_bits_flipped_in_the_file_are_all_found(
    flips: int, sqlite_place: JournalPlace, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TANKSIDE_JOURNAL", str(sqlite_place.file))
    fill()
    assert sqlite_place.file
    data = bytearray(sqlite_place.file.read_bytes())
    places = written_bytes(sqlite_place, bytes(data))
    chance = random.Random(7)
    copy = journal_place(tmp_path / "flipped.db")
    assert copy.file
    copy.file.write_bytes(data)
    assert verify_place(copy).faults == ()
    missed = []
    for _ in range(flips):
        at = chance.choice(chance.choice(places))
        bit = 1 << chance.randrange(8)
        data[at] ^= bit
        copy.file.write_bytes(data)
        if not verify_place(copy).faults:
            missed.append((at, bit))
        data[at] ^= bit
    assert missed == []


def flipped(value: object, chance: random.Random, *, whole: bool) -> object:
    if value is None:
        return 0 if whole else "x"
    if isinstance(value, int):
        return value ^ (1 << chance.randrange(LARGEST_INTEGER_BITS))
    if isinstance(value, bytes):
        at = chance.randrange(len(value))
        return value[:at] + bytes([value[at] ^ (1 << chance.randrange(8))]) + value[at + 1 :]
    signs = list(str(value)) or ["a"]
    at = chance.randrange(len(signs))
    signs[at] = chr(ord(signs[at]) ^ (1 << chance.randrange(7))) or "x"
    return "".join(signs).replace("\0", "\1")


def flip_one(connection: Connection, chance: random.Random) -> str:
    """Change one value of one row behind the guards; say which."""
    filled = [n for n, t in METADATA.tables.items() if connection.execute(select(t)).first()]
    assert len(filled) > 5
    table = METADATA.tables[chance.choice([*sorted(filled), *["entry"] * 8])]
    row = chance.choice(connection.execute(select(table)).all())
    column = chance.choice(list(table.columns))
    whole = isinstance(column.type, Integer | BigInteger)
    value = flipped(getattr(row, column.name), chance, whole=whole)
    this_row = [key == getattr(row, key.name) for key in table.primary_key.columns]
    changed = update(table).where(*this_row).values({column.name: value})
    connection.execute(changed)
    return f"{table.name}.{column.name} of {row[0]}: {value!r}"


@FLIPS
def test_values_changed_on_the_server_are_all_found(
    flips: int, cluster: Cluster, monkeypatch: pytest.MonkeyPatch
) -> None:
    url = cluster.new_url()
    monkeypatch.setenv("TANKSIDE_JOURNAL", url)
    fill()
    place = journal_place(url)
    chance = random.Random(8)
    missed = []
    done = 0
    engine = open_journal(place).engine
    with engine.connect().execution_options(tankside_writes=True) as connection:
        while done < flips:
            with connection.begin() as transaction:
                connection.execute(text("SET LOCAL session_replication_role = replica"))
                try:
                    change = flip_one(connection, chance)
                except DBAPIError:  # the table itself refuses the value
                    transaction.rollback()
                    continue
                done += 1
                if not verify(connection, place).faults:
                    missed.append(change)
                transaction.rollback()
    assert missed == []


def test_the_entry_that_was_changed_is_named(sqlite_place: JournalPlace) -> None:
    made = sqlite_place
    assert made.file
    stored = cases.create_case("elm", [opened()], made)
    cases.append_entries(stored, [entry(2), entry(3)], place=made)
    data = made.file.read_bytes()
    assert data.count(b"note 2") == 1
    made.file.write_bytes(data.replace(b"note 2", b"note 4"))
    assert verify_place(made).faults == ("entry 2: is not as it was written",)


def test_a_tail_that_was_cut_off_is_found(
    cluster: Cluster, monkeypatch: pytest.MonkeyPatch
) -> None:
    url = cluster.new_url()
    monkeypatch.setenv("TANKSIDE_JOURNAL", url)
    fill()
    place = journal_place(url)
    last = CASES * ENTRIES
    database = url.partition("@/")[2].partition("?")[0]
    cut = f"SET session_replication_role = replica; DELETE FROM entry WHERE sequence = {last}"
    cluster.sql(cut, database)
    assert "case_list does not reach the last entry" in verify_place(place).faults


def test_a_removed_person_leaves_the_journal_whole(place: JournalPlace) -> None:
    fill()
    with open_journal(place).writing() as connection:
        keeper = connection.execute(
            select(PERSON.c.number).where(PERSON.c.name == "Keeper 1")
        ).scalar_one()
        remove_person(connection, keeper)
    assert verify_place(place).faults == ()
    stored = read_case("case-1")
    assert stored.view().opened.keeper == f"person {keeper}"
    append_entries(stored, [entry(stored.version + 1)])
    assert verify_place(place).faults == ()
    with open_journal(place).reading() as connection:
        names = connection.execute(select(PERSON.c.name, PERSON.c.salt)).all()
    assert (None, None) in names
    assert f"person {keeper}" not in {name for name, _ in names}


@FLIPS
def test_a_flipped_bit_in_a_backup_or_its_manifest_is_found(
    flips: int, place: JournalPlace, tmp_path: Path
) -> None:
    fill()
    backup = tmp_path / "backup.db"
    back_up(place, backup)
    chance = random.Random(9)
    manifest = backup.with_name(backup.name + ".manifest.json")
    whole = {file: file.read_bytes() for file in (backup, manifest)}
    missed = []
    for _ in range(flips):
        file = chance.choice([backup, backup, manifest])
        data = bytearray(whole[file])
        at = chance.randrange(len(data))
        data[at] ^= 1 << chance.randrange(8)
        file.write_bytes(data)
        try:
            check_backup(backup)
            missed.append((file.name, at))
        except NotPossible:
            pass
        file.write_bytes(whole[file])
    assert missed == []
    check_backup(backup)
