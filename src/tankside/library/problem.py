"""What is wrong in a knowledge file: which file, which key, and how to repair it."""

from __future__ import annotations

from dataclasses import dataclass

from tankside.errors import BadInput


@dataclass(frozen=True, slots=True)
class Problem:
    """One fault in one knowledge file.

    Args:
        check: name of the house check that found it.
        file: path below the data folder.
        key: key of the claim or source concerned ("" when the whole file).
        message: what is wrong.
        repair: what to do about it.
        line: of the file, counted from 1; 0 where it is not told.
    """

    check: str
    file: str
    key: str
    message: str
    repair: str
    line: int = 0

    @property
    def place(self) -> str:
        """The file, and the line where it is told."""
        return f"{self.file}, line {self.line}" if self.line else self.file

    def __str__(self) -> str:
        at = f"{self.place}: {self.key}" if self.key else self.place
        return f"{at}: {self.message} Repair: {self.repair} [{self.check}]"


def refuse(problems: list[Problem]) -> None:
    """Raise when there is a problem.

    Raises:
        BadInput: names the first problem and how many more there are.
    """
    if not problems:
        return
    first = problems[0]
    more = f" ({len(problems) - 1} more)" if len(problems) > 1 else ""
    raise BadInput(
        "E-KNOW-01",
        f"The knowledge files cannot be used: {first.message}{more}",
        given=first.key,
        needed=first.repair,
        next_step="Run `tankside knowledge lint` for the whole list.",
        field=first.place,
    )
