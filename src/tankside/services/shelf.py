"""Where the cases of a workbench stand: the files of one folder, or the journal of this user."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Protocol

from tankside.errors import BadInput
from tankside.records.case_path import LONGEST_NAME, SUFFIX, new_case_path
from tankside.records.journal.place import data_folder, journal_place
from tankside.records.stored_case import StoredCase
from tankside.services.board import Board, CaseBoard
from tankside.services.case_list import ListedCase, list_cases

LONGEST_NUMBER = 15


class Shelf(Protocol):
    """A place with cases.

    Args:
        folder: where what belongs to no case is kept, such as drafts.
        board: tells which case comes first.
    """

    folder: Path
    board: CaseBoard

    def find(self, name: str) -> Path | str:
        """Return the reference of a case.

        Args:
            name: what its pages are reached by.

        Raises:
            BadInput: E-PATH-02 no such case is here.
        """

    def place_for(self, name: str) -> Path | str:
        """Return the reference that a new case of a name is made under."""

    def name_of(self, stored: StoredCase) -> str:
        """Return what the pages of a case are reached by."""

    def listed(self) -> Sequence[ListedCase]:
        """Return every case in short, each with what its pages are reached by as its file."""


class FolderShelf:
    """The case files of one folder; nothing outside it is ever read or written."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.board: CaseBoard = Board(folder)

    def find(self, name: str) -> Path:
        """Return the path of the file of that very name, one that the folder lists."""
        is_bare = name.endswith(SUFFIX) and Path(name).name == name and name.isprintable()
        is_short = len(name) <= LONGEST_NAME and not name.startswith(".")
        if is_bare and is_short and (self.folder / name).is_file():
            return self.folder / name
        raise _none(name)

    def place_for(self, name: str) -> Path:
        """Return the path of a file that is not there yet."""
        return new_case_path(self.folder, name)

    def name_of(self, stored: StoredCase) -> str:
        """Return the name of the file."""
        return Path(stored.reference).name

    def listed(self) -> Sequence[ListedCase]:
        """Return every case file of the folder in short."""
        return list_cases(self.folder)


class JournalShelf:
    """The cases of the journal of this user, by number."""

    def __init__(self) -> None:
        from tankside.services.board_of_journal import JournalBoard

        self.folder = data_folder()
        self.board: CaseBoard = JournalBoard()

    def find(self, name: str) -> str:
        """Return the number, if it is one; that there is such a case is seen when it is read."""
        if name.isascii() and name.isdigit() and len(name) <= LONGEST_NUMBER and name[0] != "0":
            return name
        raise _none(name)

    def place_for(self, name: str) -> str:
        """Return the short name of a new case."""
        from tankside.services.records import free_label

        return free_label(name)

    def name_of(self, stored: StoredCase) -> str:
        """Return the number of the case."""
        return str(stored.reference)

    def listed(self) -> Sequence[ListedCase]:
        """Return every case of the journal in short."""
        from tankside.services.records import list_journal

        return [
            ListedCase(
                str(case.number), case.name, case.keeper, case.opened, case.last,
                case.entries, case.closed,
            )
            for case in list_journal()
        ]  # fmt: skip


def begin_journal() -> None:
    """Begin the journal of this user if there is none.

    Raises:
        CouldNotSave: E-DB-02 to E-DB-04 when it cannot be begun.
        NotPossible: E-DB-05 to E-DB-09 when it cannot be used.
    """
    from tankside.records.journal.opening import open_journal

    open_journal(make=True)


def journal_is_there() -> bool:
    """Tell whether this user has a journal."""
    place = journal_place()
    return place.file is None or place.file.exists()


def journal_name() -> str:
    """Return where the journal of this user stands, without a password."""
    return str(journal_place())


def _none(name: str) -> BadInput:
    return BadInput(
        "E-PATH-02",
        "There is no such case here.",
        given=name,
        needed="a case of the list",
        next_step="Go back to the cases.",
    )
