"""The pieces an answer is made of, independent of how it is shown: terminal, page or paper."""

from __future__ import annotations

from dataclasses import dataclass

from tankside.present.table import Table


@dataclass(frozen=True, slots=True)
class Words:
    """A title with lines of text; without a title, plain paragraphs.

    ``strong`` puts a thick frame and this word in front; ``folded`` shows the lines on demand.
    """

    title: str
    lines: tuple[str, ...]
    strong: str = ""
    folded: bool = False


@dataclass(frozen=True, slots=True)
class Cause(Words):
    """One cause of a differential, each line a kind of reason: ``for: ...; ...``.

    ``reach`` counts steps of words: the fewest and the most that the tables allow, and those of
    the word that is said; ``steps`` is how many there are.
    """

    reach: tuple[int, int, int] = (0, 0, 0)
    steps: int = 0


@dataclass(frozen=True, slots=True)
class NextSitting(Words):
    """One sitting worth its minutes; ``key`` is its identifier."""

    key: str = ""


@dataclass(frozen=True, slots=True)
class Rows:
    """A table under a title, with a note below it; ``folded`` shows the table on demand."""

    title: str
    table: Table
    note: str = ""
    folded: bool = False


@dataclass(frozen=True, slots=True)
class Drawing:
    """A figure: its SVG ("" when it cannot be drawn here), its sentence and its table."""

    title: str
    svg: str
    sentence: str
    table: Table


@dataclass(frozen=True, slots=True)
class Runs:
    """Natural frequencies: so many of 20 runs, as words and as 20 marks.

    A row is a name, the number of marks, and both outcomes in words.
    """

    title: str
    rows: tuple[tuple[str, int, str], ...]
    note: str


Block = Words | Rows | Drawing | Runs


@dataclass(frozen=True, slots=True)
class Document:
    """One whole answer: what the terminal prints, a page embeds and paper carries."""

    title: str
    blocks: tuple[Block, ...]
    lead: str = ""


@dataclass(frozen=True, slots=True)
class NextStep:
    """What to do next: as a button says it, why, and the page of the case where it is done."""

    words: str
    why: str
    page: str


@dataclass(frozen=True, slots=True)
class Strip:
    """What stands on top of every page of a case: tank, water, litres, day, warnings, next."""

    case: str
    file: str
    keeper: str
    water: str
    litres: str
    day: str
    warnings: tuple[str, ...]
    example: bool
    closed: str
    next: NextStep


@dataclass(frozen=True, slots=True)
class Page:
    """One page of a case."""

    key: str
    title: str
    lead: str
    blocks: tuple[Block, ...]
