"""What fits, typed as a keeper types it: kinds of fish, carriers, words old and new."""

from __future__ import annotations

from collections.abc import Callable
from itertools import count
from typing import Any

import pytest
from tests.scenarios.conftest import Answer, Ran, Typing

Fits = Callable[..., Answer]
NUMBER = count()
OPENING = ["--name", "Mill Pond", "--keeper", "R. Lowe", "--zone", "Europe/London",
           "--opened", "2026-10-31T09:00", "--water", "fresh"]  # fmt: skip
KOI = ["stock", "name=koi", "count=6", "length=30 cm"]
GOLDFISH = ["stock", "name=common goldfish", "count=6", "length=12 cm"]
PICTURE = ["finding", "gill_look=mottled", "mortality=rising", "onset_speed=days",
           "skin_film=local"]  # fmt: skip


@pytest.fixture(scope="module")
def fits(typed: Typing, run: Callable[..., Ran]) -> Fits:
    """Return a function that types a case and asks what fits."""

    def asked(*rows: list[str]) -> Answer:
        file = typed(f"fits{next(NUMBER)}", [OPENING], list(rows))
        return run("differential", str(file), "--no-own-idea", "--json").answer

    return asked


def chances(answer: Answer) -> dict[str, float]:
    return {row["condition"]: row["probability"] for row in answer["ranked"]}


def alarms(answer: Answer) -> set[str]:
    return {name for a in answer["must_not_miss"] for name in (a["condition"], *a["also"])}


def test_the_stock_says_which_kind_is_ill(fits: Fits) -> None:
    koi, goldfish = fits(KOI, PICTURE), fits(GOLDFISH, PICTURE)
    assert chances(koi)["KHV"] > 0.5
    assert chances(goldfish)["KHV"] < 0.02
    assert chances(goldfish)["CYHV2"] > 0.2
    assert "KHV" not in alarms(goldfish)


def test_a_kind_without_odds_of_its_own_takes_its_group(fits: Fits) -> None:
    """An unlisted kind beside koi: the kind is not told, the groups are."""
    mixed = fits(KOI, ["stock", "name=stream thing", "count=2", "length=5 cm"], PICTURE)
    assert 0.02 < chances(mixed)["KHV"] < chances(fits(KOI, PICTURE))["KHV"] + 0.05


def test_a_few_carried_parasites_are_also_seen_and_not_blamed(fits: Fits) -> None:
    few = ["wet-mount", "gill-clip", "m_disc_ring=few", "m_fluke_gill=few"]
    plain, carried = fits(KOI, PICTURE), fits(KOI, PICTURE, few)
    assert plain["ranked"][0]["condition"] == carried["ranked"][0]["condition"]
    assert {"m_disc_ring", "m_fluke_gill"} & {seen["finding"] for seen in carried["also_seen"]}
    assert carried["ranked"][0]["condition"] not in {s["condition"] for s in carried["also_seen"]}


@pytest.mark.parametrize(
    ("coarse", "fine"),
    [
        (["eye=popeye"], ["eye_bulge=both"]),
        (["red_ulcer=ulcer"], ["ulcer_depth=shallow"]),
        (["activity=lethargic"], ["posture=on_bottom"]),
    ],
)
def test_words_of_old_case_files_keep_their_meaning_beside_the_new(
    fits: Fits, coarse: list[str], fine: list[str]
) -> None:
    """A case that says a thing in the old words and in the new says it once."""
    once = chances(fits(KOI, ["finding", *fine]))
    twice = chances(fits(KOI, ["finding", *coarse], ["finding", *fine]))
    assert twice == pytest.approx(once, abs=1e-12)
    old = chances(fits(KOI, ["finding", *coarse]))
    nothing = chances(fits(KOI))
    assert old["NONE"] < nothing["NONE"]


def test_not_looked_and_none_stay_apart(fits: Fits) -> None:
    none = chances(fits(KOI, ["finding", "belly=normal"]))
    unlooked = chances(fits(KOI, ["finding", "belly=not-looked"]))
    assert unlooked == pytest.approx(chances(fits(KOI)), abs=1e-12)
    assert none["SEPTIC"] < unlooked["SEPTIC"]


def test_the_advice_names_a_sitting_with_its_outcomes(fits: Fits) -> None:
    looks: list[dict[str, Any]] = fits(KOI, PICTURE)["look_next"]
    assert looks
    fields = {"sitting", "finding", "findings", "minutes", "gain", "gain_per_minute", "moves"}
    assert fields <= looks[0].keys()
    assert all(look["finding"] in look["findings"] for look in looks)
    assert {move["first"] for move in looks[0]["moves"]}


@pytest.mark.parametrize("old", ["NOT_IN_LIST", "SEPTIC", "STRESSED"])
def test_what_was_confirmed_in_old_words_is_read_still(fits: Fits, old: str) -> None:
    confirmed = fits(KOI, ["confirmed", f"condition={old}", "shown-by=post mortem"])["confirmed"]
    assert confirmed == [old]
