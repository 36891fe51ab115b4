"""Entries that hold what was seen: findings, slides, counts, photos."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Annotated, Literal

from pydantic import Field, model_validator

from tankside.case import typed_value as tv
from tankside.case.dated import Dated, need
from tankside.case.entry_kind import EntryKind, KindWord, OpenWords, Word
from tankside.case.parts import Count, FileName, Key, Looked, Name, NumberText, Text, Time, YesNo
from tankside.case.reader import GROUP, SYSTEM
from tankside.case.typed_value import Door, Fields, Typed, refuse
from tankside.case.wording import STATES, Wording, joined, plain
from tankside.quantity import check_share, parse_number

Sample = Literal["skin_scrape", "fin_clip", "gill_clip", "spot", "droppings", "organ", "other"]
Sampled = Literal["by_eye", "photo", "skin_scrape", "fin_clip", "gill_clip", "other"]

WHICH_FISH = Word("name of the one fish", "worst loach")
WHICH_GROUP = Word("group of stock it belongs to", "loach", read=GROUP)
WHICH_SYSTEM = Word("the water it lives in", "main", read=SYSTEM)
NOTE = Word("anything else")


class Finding(Dated):
    """One finding, answered in the words of the finding list or in three-state words."""

    kind: Literal["finding"] = "finding"
    looked: Looked
    system: Annotated[Key | None, WHICH_SYSTEM] = None
    group: Annotated[Key | None, WHICH_GROUP] = None
    fish: Annotated[Name | None, WHICH_FISH] = None
    note: Annotated[Text | None, NOTE] = None


def _looked(typed: Sequence[Typed], kind: str) -> list[Fields]:
    if not typed:
        needed = "for example spot_size=grain"
        raise refuse("E-WORD-03", "Say what was looked for.", "", needed, kind)
    return [tv.looked(name, text) for name, text in typed]


def _findings(base: Fields, typed: Sequence[Typed], door: Door) -> list[Fields]:
    del door
    return [base | {"looked": look} for look in _looked(typed, "finding")]


def _finding_text(entry: Finding, wording: Wording) -> str:
    return joined(wording.looked(entry.looked), entry.fish, entry.group, entry.note)


FINDING = EntryKind(
    model=Finding,
    text=_finding_text,
    typed_as=(KindWord("finding"),),
    open_words=OpenWords(
        "FINDING",
        "ANSWER",
        "a finding and what was seen of it; several answers separated by commas, the first word"
        " of an answer will do, how many of the fish show it (3 of 12), or none, not-looked, ?",
        _findings,
    ),
    examples=('finding flashing=frequent spot_size="grain, dust" fin_edge=none',),
    observed=True,
    looks=lambda entry: (entry.looked,),
)


class WetMount(Dated):
    """A living sample on a slide: of what, how fresh, and what was seen on it."""

    kind: Literal["wet_mount"] = "wet_mount"
    sample: Annotated[Sample, Word("what was taken", bare=True)]
    looks: Annotated[tuple[Looked, ...], Field(strict=False, min_length=1)]
    system: Annotated[Key | None, WHICH_SYSTEM] = None
    group: Annotated[Key | None, WHICH_GROUP] = None
    fish: Annotated[Name | None, WHICH_FISH] = None
    alive: Annotated[YesNo | None, Word("the fish was alive")] = None
    time_dead: Annotated[Time | None, Word("how long the fish had been dead", "30 min")] = None
    slide_age: Annotated[Time | None, Word("how old the slide was", "5 min")] = None
    examined: Annotated[Count | None, Word("how many slides were looked at", "3")] = None
    fields: Annotated[Count | None, Word("how many fields of view were looked at", "10")] = None
    objective: Annotated[Name | None, Word("objective of the microscope", "10x")] = None
    note: Annotated[Text | None, NOTE] = None


def _slide(base: Fields, typed: Sequence[Typed], door: Door) -> list[Fields]:
    del door
    return [base | {"looks": _looked(typed, "wet_mount")}]


def _wet_mount_text(entry: WetMount, wording: Wording) -> str:
    looks = map(wording.looked, entry.looks)
    return joined(plain(entry.sample), entry.fish, entry.group, *looks, entry.note)


WET_MOUNT = EntryKind(
    model=WetMount,
    text=_wet_mount_text,
    typed_as=(KindWord("wet_mount"),),
    open_words=OpenWords(
        "FINDING",
        '"7 ANSWER"|"2 of 5 ANSWER"',
        "a finding under the microscope and what was seen of it, with a number where it was"
        " counted, or how many of the fish carried any; or none, not-looked, ?",
        _slide,
    ),
    examples=(
        'wet-mount skin-scrape fish="worst loach" m_big_ciliate="7 crescent" m_fluke_skin=none',
        'wet-mount gill-clip m_fluke_gill="2 of 5 few"',
    ),
    observed=True,
    looks=lambda entry: entry.looks,
)


class CountMade(Dated):
    """Parasites or spots on named fish, or how many of the fish looked at carried any.

    ``number`` is one fish counted; ``mean`` several fish averaged, as told; ``examined`` and
    ``infected`` the fish looked at and those that carried any.
    """

    kind: Literal["count"] = "count"
    what: Key
    method: Annotated[Sampled, Word("how it was counted; left out, by eye")] = "by_eye"
    state: Literal["answered", "not_looked", "keeper_does_not_know"] = "answered"
    number: Count | None = None
    mean: NumberText | None = None
    examined: Count | None = None
    infected: Count | None = None
    fish: Annotated[Name | None, WHICH_FISH] = None
    group: Annotated[Key | None, WHICH_GROUP] = None
    system: Annotated[Key | None, WHICH_SYSTEM] = None
    fields: Annotated[Count | None, Word("how many fields of view were looked at", "10")] = None
    note: Annotated[Text | None, NOTE] = None

    @property
    def positive(self) -> bool:
        """Whether anything was counted on any fish."""
        some = self.number or self.infected or (self.mean is not None and Decimal(self.mean))
        return bool(some)

    @model_validator(mode="after")
    def _whole(self) -> CountMade:
        if self.mean is not None:
            parse_number(self.mean, field="mean")
        stated = any(x is not None for x in (self.number, self.mean, self.infected))
        needed = "a number, a mean, or examined and infected"
        need(stated == (self.state == "answered"), "A count needs a number.", needed, "count")
        if self.infected is not None:
            need(self.examined is not None, "Say how many were looked at.", "examined", "examined")
        if self.infected is not None and self.examined is not None:
            names = {"part_name": "carrying fish", "whole_name": "fish looked at"}
            check_share(self.infected, self.examined, **names, field="infected")
        return self


def _counts(base: Fields, typed: Sequence[Typed], door: Door) -> list[Fields]:
    if not typed:
        raise refuse("E-NUM-01", "A count needs a number.", "", "for example spots=61", "count")
    return [base | tv.counted(name, text, door) for name, text in typed]


def _count_text(entry: CountMade, _: Wording) -> str:
    what = plain(entry.what)
    method = "" if entry.method == "by_eye" else plain(entry.method)
    if entry.number is not None:
        stated = f"{entry.number} {what}"
    elif entry.mean is not None:
        stated = f"mean {entry.mean} {what}"
    elif entry.infected is not None:
        stated = f"{what} on {entry.infected} of {entry.examined}"
    else:
        stated = f"{what} {STATES[entry.state]}"
    return joined(stated, entry.fish, entry.group, method, entry.note)


COUNT = EntryKind(
    model=CountMade,
    text=_count_text,
    typed_as=(KindWord("count"),),
    open_words=OpenWords(
        "WHAT",
        'NUMBER|"mean NUMBER"|"NUMBER of NUMBER"',
        "what was counted: on one fish, on average, or fish carrying any of fish looked at",
        _counts,
    ),
    examples=('count spots=61 fish="worst loach"', 'count spots="mean 5"', 'count flukes="0 of 5"'),
    observed=True,
)


class Photo(Dated):
    """A picture kept beside the case file, by its bare file name."""

    kind: Literal["photo"] = "photo"
    file: Annotated[FileName, Word("name of the file, without its folder", "loach.jpg")]
    of: Annotated[Name | None, Word("what it shows", "worst loach")] = None
    sha256: Annotated[str, Field(pattern=r"^[0-9a-f]{64}$")] | None = None
    note: Annotated[Text | None, NOTE] = None


def _photo_text(entry: Photo, _: Wording) -> str:
    return joined(entry.file, entry.of, entry.note)


PHOTO = EntryKind(
    model=Photo,
    text=_photo_text,
    typed_as=(KindWord("photo"),),
    examples=('photo file=loach.jpg of="worst loach"',),
    before_opening=True,
    after_closing=True,
)
