"""What may be sent to the interface: text as it is typed on a command line, of bounded length."""

from __future__ import annotations

from typing import Annotated, Literal

from fastapi import Path, Query
from pydantic import BaseModel, ConfigDict, Field

LONGEST, LONGEST_NOTE, MOST_WORDS = 300, 20_000, 200
HIGHEST_SEED = 2**31 - 1
FEWEST_RUNS, MOST_RUNS = 16, 4096

CaseName = Annotated[
    str, Path(max_length=LONGEST, description="a case as the list of cases names it")
]
Text = Annotated[str | None, Query(max_length=LONGEST)]
Several = Annotated[list[str], Query(max_length=MOST_WORDS)]
Flag = Annotated[bool, Query()]
Seed = Annotated[int | None, Query(ge=0, le=HIGHEST_SEED, description="of chance")]
Day = Annotated[str | None, Query(max_length=LONGEST, description="a day", examples=["2026-03-19"])]
System = Annotated[
    str | None, Query(max_length=LONGEST, description="which water of the case", examples=["main"])
]
Organism = Annotated[
    str | None, Query(max_length=LONGEST, description="parasite, when the case names none")
]


def quantity(example: str) -> object:
    """Return how a quantity with its unit is described."""
    return Query(max_length=LONGEST, description=f'for example "{example}"', examples=[example])


class SentBody(BaseModel):
    """What is sent as JSON; a key that is not declared is refused."""

    model_config = ConfigDict(extra="forbid", strict=True)


Word = Annotated[str, Field(max_length=LONGEST_NOTE)]
Role = Literal["keeper", "practitioner", "student"]


class NewCaseBody(SentBody):
    """What opens a case, as typed."""

    name: Annotated[str, Field(max_length=LONGEST, examples=["Elm Road"])]
    keeper: Annotated[str, Field(max_length=LONGEST, examples=["M. Vell"])]
    water: Annotated[str, Field(max_length=LONGEST, examples=["fresh", "marine", "?"])]
    zone: Annotated[str, Field(max_length=LONGEST, examples=["Europe/London"])]
    opened: Annotated[str | None, Field(max_length=LONGEST, examples=["2026-03-02"])] = None
    place: Annotated[str | None, Field(max_length=LONGEST)] = None
    call: Annotated[str | None, Field(max_length=LONGEST_NOTE)] = None
    country: Annotated[str | None, Field(max_length=LONGEST, examples=["GB"])] = None
    practitioner: Annotated[str | None, Field(max_length=LONGEST)] = None
    role: Role | None = None


class EntriesBody(SentBody):
    """What is added: a kind and its words, as behind ``tankside case add FILE``."""

    kind: Annotated[str, Field(max_length=LONGEST, examples=["finding", "water", "note", "count"])]
    words: Annotated[
        list[Word],
        Field(max_length=MOST_WORDS, examples=[["spots_visible=yes"], ["temperature=25 C"]]),
    ] = []
    seen: Annotated[
        int | None, Field(ge=1, le=HIGHEST_SEED, description="version of the case that was seen")
    ] = None
    submission: Annotated[
        str | None, Field(max_length=64, description="key of this save; sent again it is one save")
    ] = None
    again: bool = False
    role: Role | None = None


class CorrectionBody(SentBody):
    """What an entry should have said; without a kind it is taken back."""

    reason: Annotated[str, Field(min_length=1, max_length=LONGEST_NOTE, examples=["misread"])]
    kind: Annotated[str | None, Field(max_length=LONGEST, examples=["note"])] = None
    words: Annotated[list[Word], Field(max_length=MOST_WORDS, examples=[["text"]])] = []
    seen: Annotated[int | None, Field(ge=1, le=HIGHEST_SEED)] = None
    role: Role | None = None


class CourseBody(SentBody):
    """Which course is started, and what was seen and said before it."""

    course: Annotated[str, Field(max_length=LONGEST, description="its id, as the plan says it")]
    label_read: bool = False
    second: Annotated[str, Field(max_length=LONGEST)] = ""
    stop_signs: Annotated[str, Field(max_length=LONGEST_NOTE)] = ""
    reason: Annotated[str, Field(max_length=LONGEST_NOTE)] = ""


class IdeaBody(SentBody):
    """The first idea of whoever examines."""

    condition: Annotated[str, Field(max_length=LONGEST, examples=["ICH"])]


class FindingsBody(SentBody):
    """Findings without a case, and how they are ranked."""

    findings: Annotated[
        dict[Word, Word | list[Word]],
        Field(examples=[{"spots_visible": "yes", "flashing": ["frequent"]}]),
    ]
    unconfirmed: list[Word] = []
    cannot: list[Word] = []
    seed: Annotated[int | None, Field(ge=0, le=HIGHEST_SEED)] = None


ReadingName = Literal["temperature", "alkalinity", "ph", "oxygen", "salinity"]


class DoseBody(SentBody):
    """One amount asked for, as typed; with ``case`` what the case tells is left out."""

    agent: Annotated[str, Field(max_length=LONGEST, examples=["salt"])]
    strength: Annotated[str, Field(max_length=LONGEST, examples=["2 g/L"])]
    case: Annotated[str | None, Field(max_length=LONGEST)] = None
    system: Annotated[str | None, Field(max_length=LONGEST)] = None
    volume: Annotated[str | None, Field(max_length=LONGEST, examples=["173 L"])] = None
    second_volume: Annotated[str | None, Field(max_length=LONGEST, examples=["175 L"])] = None
    label: Annotated[str | None, Field(max_length=LONGEST, examples=["pure"])] = None
    density: Annotated[str | None, Field(max_length=LONGEST)] = None
    scale: Annotated[str | None, Field(max_length=LONGEST, examples=["1 g"])] = None
    syringe: Annotated[str | None, Field(max_length=LONGEST, examples=["0.5 mL"])] = None
    expires: Annotated[str | None, Field(max_length=LONGEST)] = None
    label_read: Annotated[str | None, Field(max_length=LONGEST)] = None
    seen_to: Annotated[list[Word], Field(max_length=MOST_WORDS)] = []
    in_water: Annotated[list[Word], Field(max_length=MOST_WORDS)] = []
    changed: Annotated[str | None, Field(max_length=LONGEST)] = None
    route: Annotated[
        str, Field(max_length=LONGEST, examples=["prolonged", "bath", "dip", "feed", "equipment"])
    ] = "prolonged"
    minutes: Annotated[str | None, Field(max_length=LONGEST, examples=["30 min"])] = None
    ration: Annotated[str | None, Field(max_length=LONGEST, examples=["1 % of body weight"])] = None
    days: Annotated[str | None, Field(max_length=LONGEST, examples=["5 d"])] = None
    fish_weight: Annotated[str | None, Field(max_length=LONGEST, examples=["200 g"])] = None
    vessel: Annotated[str | None, Field(max_length=LONGEST, examples=["10 L"])] = None
    reason: Annotated[str, Field(max_length=LONGEST_NOTE)] = ""
    animals: Annotated[list[Word], Field(max_length=MOST_WORDS, examples=[["cardinal tetra"]])] = []
    stage: Annotated[str | None, Field(max_length=LONGEST)] = None
    gill_damage: Annotated[str | None, Field(max_length=LONGEST)] = None
    fishless: bool = False
    country: Annotated[str | None, Field(max_length=LONGEST)] = None
    readings: Annotated[
        dict[ReadingName, Word],
        Field(examples=[{"temperature": "25 C"}]),
    ] = {}
    choices: dict[
        Literal["water", "carbon", "filter", "plants", "invertebrates", "food_fish", "tap"], Word
    ] = {}
