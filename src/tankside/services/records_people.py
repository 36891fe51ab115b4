"""The people of the journal: who wrote and who keeps, and taking the name of one away."""

from __future__ import annotations

from tankside.errors import BadInput
from tankside.records.journal.opening import open_journal
from tankside.records.journal.people import JournalPerson, people_list, remove_person
from tankside.records.journal.place import journal_place


def people(journal: str | None = None) -> list[JournalPerson]:
    """Return the people of the journal by number.

    Raises:
        BadInput: E-PATH-02 when there is none.
        NotPossible: E-DB-05 to E-DB-09.
    """
    with open_journal(journal_place(journal)).reading() as connection:
        return people_list(connection)


def remove(number: int, name: str, journal: str | None = None) -> JournalPerson:
    """Take the name of a person out of the journal; it cannot be had back.

    Entries and their chain stay as they are, "person 3" stands in place of the name, and no later
    export or backup holds it. Earlier backups and files do, and so may free text.

    Args:
        number: of the person.
        name: as it stands there, so that nobody is taken for another.
        journal: its place; None for the one of this user.

    Raises:
        BadInput: E-WORD-02 there is no such person, or the name is another.
        CouldNotSave: E-DB-02 to E-DB-04; the name stands as it was.
    """
    opened = open_journal(journal_place(journal))
    with opened.writing() as connection:
        there = {person.number: person for person in people_list(connection)}
        person = there.get(number)
        if person is None or person.removed or person.name != name.strip():
            raise BadInput(
                "E-WORD-02",
                "No person of the journal has this number and this name.",
                given=f"{number} {name}",
                needed="number and name as tankside records people prints them",
                next_step="List the people, then try again; nothing was removed.",
                field="person",
            )
        remove_person(connection, number)
        return next(p for p in people_list(connection) if p.number == number)
