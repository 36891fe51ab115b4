"""Entries that hold what was seen: findings, water tests, slides, counts, photos."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from tankside.case.dated import Dated, need
from tankside.case.parts import (
    Count,
    FileName,
    Key,
    Looked,
    Name,
    NumberText,
    Text,
    Time,
    WaterReading,
    YesNo,
)
from tankside.errors import BadInput
from tankside.quantity import check_share, parse_number

Sample = Literal["skin_scrape", "fin_clip", "gill_clip", "spot", "droppings", "organ", "other"]
Sampled = Literal["by_eye", "photo", "skin_scrape", "fin_clip", "gill_clip", "other"]


class Finding(Dated):
    """One finding, answered in the words of the finding list or in three-state words."""

    kind: Literal["finding"] = "finding"
    looked: Looked
    system: Key | None = None
    group: Key | None = None
    fish: Name | None = None
    note: Text | None = None


class WaterTest(Dated):
    """Readings of one water at one time."""

    kind: Literal["water_test"] = "water_test"
    system: Key = "main"
    sample: Literal["tank", "tap", "bag"] = "tank"
    readings: Annotated[tuple[WaterReading, ...], Field(strict=False, min_length=1)]
    kit: Name | None = None
    conditioner: YesNo | None = None
    dawn: YesNo | None = None
    note: Text | None = None

    @model_validator(mode="after")
    def _once(self) -> WaterTest:
        what = [reading.what for reading in self.readings]
        if len(set(what)) != len(what):
            raise BadInput(
                "E-DUP-01",
                "The same reading stands twice in one test.",
                given=", ".join(what),
                needed="each reading once",
                next_step="Keep the right one; nothing was saved.",
                field="readings",
            )
        return self


class WetMount(Dated):
    """A living sample on a slide: of what, how fresh, and what was seen on it."""

    kind: Literal["wet_mount"] = "wet_mount"
    sample: Sample
    looks: Annotated[tuple[Looked, ...], Field(strict=False, min_length=1)]
    system: Key | None = None
    group: Key | None = None
    fish: Name | None = None
    alive: YesNo | None = None
    time_dead: Time | None = None
    slide_age: Time | None = None
    examined: Count | None = None
    fields: Count | None = None
    objective: Name | None = None
    note: Text | None = None


class CountMade(Dated):
    """Parasites or spots on named fish, or how many of the fish looked at carried any.

    ``number`` is one fish counted; ``mean`` several fish averaged, as told; ``examined`` and
    ``infected`` the fish looked at and those that carried any.
    """

    kind: Literal["count"] = "count"
    what: Key
    method: Sampled = "by_eye"
    state: Literal["answered", "not_looked", "keeper_does_not_know"] = "answered"
    number: Count | None = None
    mean: NumberText | None = None
    examined: Count | None = None
    infected: Count | None = None
    fish: Name | None = None
    group: Key | None = None
    system: Key | None = None
    fields: Count | None = None
    note: Text | None = None

    @model_validator(mode="after")
    def _whole(self) -> CountMade:
        if self.mean is not None:
            parse_number(self.mean, field="mean")
        told = any(x is not None for x in (self.number, self.mean, self.infected))
        needed = "a number, a mean, or examined and infected"
        need(told == (self.state == "answered"), "A count needs its number.", needed, "count")
        if self.infected is not None:
            need(self.examined is not None, "Say how many were looked at.", "examined", "examined")
        if self.infected is not None and self.examined is not None:
            names = {"part_name": "carrying fish", "whole_name": "fish looked at"}
            check_share(self.infected, self.examined, **names, field="infected")
        return self


class Photo(Dated):
    """A picture kept beside the case file, by its bare file name."""

    kind: Literal["photo"] = "photo"
    file: FileName
    of: Name | None = None
    sha256: Annotated[str, Field(pattern=r"^[0-9a-f]{64}$")] | None = None
    note: Text | None = None
