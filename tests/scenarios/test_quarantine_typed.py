"""A quarantine of new fish typed from the first entry to card, calendar and a clock begun anew.

Expected by hand. Print (common practice, no source) keeps new fish apart for 21 to 42 days. At 16 C
the slow cycle of *Dactylogyrus* is longer: its figures stand in the knowledge with their sources,
and the test reads how long from the life cycle itself, not from the quarantine.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from math import ceil
from pathlib import Path

import pytest
from icalendar import Calendar
from tests.scenarios.conftest import Ran, Typing, add_at

from tankside import library
from tankside.lifecycle import stage_durations

Run = Callable[..., Ran]
FIRST = date(2026, 7, 3)
FLUKE = "dactylogyrus_vastator"


def at(day: int) -> str:
    return f"{FIRST + timedelta(days=day)}T12:00+00:00"


@pytest.fixture
def new_fish(
    typed: Typing, monkeypatch: pytest.MonkeyPatch, request: pytest.FixtureRequest
) -> Path:
    """Return six new goldfish in a quarantine tank at a temperature (the parameter) [C]."""
    monkeypatch.setenv("TANKSIDE_NOW", at(0))
    opening = ["--name", "Larch Way", "--keeper", "J. Amsel", "--water", "fresh", "--zone",
               "Europe/London", "--opened", f"{FIRST}T08:00"]  # fmt: skip
    rows = [
        ["system", "inside-length=60 cm", "inside-width=30 cm", "water-height=30 cm",
         "hose=5.4 L/min for 10 min", "tap=chlorine", "filter-ripe=yes"],
        ["stock", "name=goldfish", "count=6", "length=6 cm", f"arrived={FIRST}"],
        ["water", f"temperature={request.param} C", "ph=7.4", "ammonia=0 mg/L as N",
         "nitrite=0 mg/L as N"],
    ]  # fmt: skip
    return typed(f"larch-{request.node.name}", [opening], rows)


def quarantine_of(run: Run, file: Path) -> dict[str, object]:
    offers = run("plan", str(file), "--json").answer["care_courses"]
    return next(offer for offer in offers if offer["kind"] == "quarantine")


def looks(offer: dict[str, object]) -> dict[int, str]:
    """Return the words of each look by its day of the quarantine."""
    steps = offer["steps"]
    assert isinstance(steps, list)
    return {step["at_h"] // 24: step["words"] for step in steps[1:]}


@pytest.mark.parametrize("new_fish", [16, 24], indirect=True)
def test_days_go_by_temperature(run: Run, new_fish: Path, request: pytest.FixtureRequest) -> None:
    warm_c = float(request.node.callspec.params["new_fish"])
    slow = ceil(stage_durations(library.load().organisms[FLUKE], warm_c).cycle[2])
    days = sorted(looks(quarantine_of(run, new_fish)))
    earliest = max(21, slow)
    assert days == sorted({*range(7, earliest, 7), earliest, max(42, 2 * slow)})
    assert (slow > 21) == (warm_c == 16)


@pytest.mark.parametrize("new_fish", [24], indirect=True)
def test_each_look_says_which_parasite_must_show_by_then(run: Run, new_fish: Path) -> None:
    said = looks(quarantine_of(run, new_fish))
    organisms = library.load().organisms
    for name, way in (("ichthyophthirius_multifiliis", "spots on skin and fins, by eye"),
                      (FLUKE, "a scrape of skin and gill, under a microscope")):  # fmt: skip
        slow = ceil(stage_durations(organisms[name], 24.0).cycle[2])
        due = next(day for day in sorted(said) if day >= slow)
        must = f"{organisms[name].name} (must show by now: {slow} d)"
        assert [day for day, words in said.items() if must in words] == [due]
        assert way in said[due]
    assert "marine" not in " ".join(said.values())
    assert "up to" in said[21]
    assert "Earliest end" in said[21]


@pytest.mark.parametrize("new_fish", [24], indirect=True)
def test_from_the_entries_to_card_and_calendar_and_anew_after_an_arrival(
    run: Run, new_fish: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    offer = quarantine_of(run, new_fish)
    assert run("plan", str(new_fish), "--choose", str(offer["id"]), "--json").answer["chosen"]
    ics = tmp_path / "q.ics"
    card = run("today", str(new_fish), "--ics", str(ics), "--json").answer
    assert any("Keep this water apart" in line["text"] for line in card["lines"])
    days = {event.decoded("DTSTART").date() for event in
            Calendar.from_ical(ics.read_bytes()).walk("VEVENT")}  # fmt: skip
    assert {FIRST + timedelta(days=day) for day in (7, 14, 21, 42)} <= days
    assert "started anew" not in card["text"]
    add_at(new_fish, at(10), ["stock", "name=koi", "count=2", "length=8 cm",
                              f"arrived={FIRST + timedelta(days=10)}"])  # fmt: skip
    monkeypatch.setenv("TANKSIDE_NOW", at(14))
    text = " ".join(run("today", str(new_fish), "--json").answer["text"].split())
    assert (
        "The clock of the quarantine started anew on Mon 13 Jul 2026, because koi arrived" in text
    )
    assert "it ends on Mon 3 Aug 2026 at the earliest" in text
    letter = run("letter", str(new_fish), "quarantine", "--json").answer
    assert "Mon 3 Aug 2026" in str(letter)


@pytest.mark.parametrize("new_fish", [24], indirect=True)
@pytest.mark.parametrize(
    "row",
    [["count", "spots=3", "group=goldfish", "fish=a"],
     ["confirmed", "condition=ICH", "shown-by=skin scrape"],
     ["finding", "flashing=frequent"], ["death", "1", "group=goldfish"]],
    ids=lambda row: row[0],
)  # fmt: skip
def test_a_finding_starts_the_clock_anew(run: Run, new_fish: Path, row: list[str]) -> None:
    add_at(new_fish, at(9), row)
    (water,) = run("letter", str(new_fish), "quarantine", "--json").answer["quarantine"]
    assert water["began"] == (FIRST + timedelta(days=9)).isoformat()


@pytest.mark.parametrize("new_fish", [8], indirect=True)
def test_a_parasite_too_slow_for_any_quarantine_is_named(run: Run, new_fish: Path) -> None:
    text = " ".join(run("letter", str(new_fish), "quarantine").out.split())
    assert "Too slow at 8 C for any quarantine: egg-laying gill fluke" in text
    assert "Without days on file, looked for on every day" in text
