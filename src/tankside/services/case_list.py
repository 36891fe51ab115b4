"""The cases of a folder, in short; a file that cannot be read is listed with its fault."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from tankside.errors import BadInput, Mistake
from tankside.records.case_store import read_case


@dataclass(frozen=True, slots=True)
class ListedCase:
    """One case file of a folder; ``fault`` says why it could not be read."""

    file: str
    name: str = ""
    keeper: str = ""
    opened: str = ""
    last: str = ""
    entries: int = 0
    closed: bool = False
    fault: str = ""


def list_cases(folder: str | Path) -> list[ListedCase]:
    """List the case files of a folder by name.

    Raises:
        BadInput: E-PATH-02 when there is no such folder.
    """
    if not Path(folder).is_dir():
        raise BadInput(
            "E-PATH-02",
            "There is no such folder.",
            given=str(folder),
            needed="a folder that exists",
            next_step="Check the name; cases of the journal: tankside records list",
            field="folder",
        )
    return [_listed(path) for path in sorted(Path(folder).glob("*.jsonl"))]


def _listed(path: Path) -> ListedCase:
    try:
        view = read_case(path).view()
    except Mistake as fault:
        return ListedCase(path.name, fault=str(fault))
    return ListedCase(
        path.name,
        view.name,
        view.opened.keeper,
        view.opened.moment.day.isoformat(),
        view.last_moment().day.isoformat(),
        view.version,
        view.closed is not None,
    )
