"""Each kind of fish has its printed factor, or a wide one and no share of dead fish."""

from __future__ import annotations

import pytest

from tankside import library
from tankside.claims import Knowledge
from tankside.intake.host_factor import meeting
from tankside.lifecycle import HostGroup

WIDE = (0.5, 1.0, 2.0)


@pytest.fixture(scope="module")
def facts() -> Knowledge:
    return library.load()


def met(facts: Knowledge, host: str, parasite: str) -> HostGroup:
    group = HostGroup("fish", 10, (5.0,) * 3, host, WIDE)
    (as_met,) = meeting((group,), facts.organisms[parasite], facts)
    return as_met


def test_blue_tilapia_take_the_printed_thirty_third_of_what_catfish_take(facts: Knowledge) -> None:
    # Straus & Griffin 2001: channel catfish 33 times more susceptible than blue tilapia.
    catfish, tilapia = (
        met(facts, host, "ichthyophthirius_multifiliis")
        for host in ("ictalurus_punctatus", "oreochromis_spp")
    )
    assert tilapia.susceptibility[0] == pytest.approx(catfish.susceptibility[1] / 33, rel=0.02)
    assert catfish.dose_known
    assert tilapia.dose_known
    assert catfish.bearing == (1.0, 1.0, 1.0)


def test_words_alone_give_a_factor_but_no_share_of_dead_fish(facts: Knowledge) -> None:
    goldfish = met(facts, "carassius_auratus", "ichthyophthirius_multifiliis")
    assert goldfish.susceptibility == WIDE
    assert goldfish.bearing[0] >= 1
    assert not goldfish.dose_known


@pytest.mark.parametrize("host", ["", "paracheirodon_innesi"])
def test_a_kind_without_print_keeps_the_wide_range_and_has_no_dose(
    facts: Knowledge, host: str
) -> None:
    group = met(facts, host, "ichthyophthirius_multifiliis")
    assert group.susceptibility == WIDE
    assert group.bearing == (0.33, 3.3, 33.0)
    assert not group.dose_known


def test_a_factor_holds_for_its_own_parasite_only(facts: Knowledge) -> None:
    assert not met(facts, "ictalurus_punctatus", "cryptocaryon_irritans").dose_known
    assert met(facts, "epinephelus_spp", "cryptocaryon_irritans").dose_known


def test_no_kind_has_a_dose_for_either_velvet(facts: Knowledge) -> None:
    for parasite in ("amyloodinium_ocellatum", "piscinoodinium_pillulare"):
        assert not any(met(facts, host, parasite).dose_known for host in facts.hosts)
