"""What the laws of the ranking promise, as checks on single answers and small pictures.

The limits were set down before this ranking was written, from surveys of healthy and of presented
fish (carriage, two causes at once) and from the host range of the carp viruses.
"""

from __future__ import annotations

from typing import Any

import pytest
from tests.diagnose.more_evidence import and_also

from tankside.diagnose import NONE, Evidence, Ranking, Tables, also_seen, in_strip, rank

GRAVE: list[dict[str, str]] = [
    {"mortality": "rising_daily"}, {"mortality": "mass_24h"}, {"scales_raised": "all_over"},
    {"ulcer_depth": "into_muscle"}, {"head_pits_kind": "deep_with_slime"},
    {"gill_look": "mottled_necrotic"},
]  # fmt: skip
KHV_PICTURE = {
    "water_type": "freshwater", "water_temperature": "15_to_22", "mortality": "rising_daily",
    "gill_look": "mottled_necrotic", "onset_speed": "days", "new_fish": "unquarantined_30d",
    "skin_film": "local", "nitrogen": "safe",
}  # fmt: skip
PICTURES: list[dict[str, str]] = [
    {"nitrogen": "dangerous", "breathing": "gasping_surface", "water_type": "freshwater"},
    {"oxygen_gas": "low", "breathing": "gasping_surface", "mortality": "mass_24h"},
    {"chlorine_copper": "chlorine", "onset_speed": "hours", "breathing": "gasping_surface"},
    {**KHV_PICTURE, "host_species": "koi_and_carp"},
]


def ranked(tables: Tables, answers: dict[str, Any]) -> Ranking:
    return rank(tables, Evidence.of(answers))


def two_causes(ranking: Ranking) -> float:
    several = ranking.space.membership.sum(axis=1) > 1
    return float(ranking.chance[several].sum())


@pytest.mark.parametrize("answers", GRAVE)
def test_a_grave_sign_is_not_nothing_wrong(tables: Tables, answers: dict[str, str]) -> None:
    assert ranked(tables, answers).nothing_wrong < 0.02


def test_before_any_answer_the_shares_are_those_of_practice(tables: Tables) -> None:
    before = ranked(tables, {})
    assert 0.06 <= two_causes(before) <= 0.15
    assert 0.25 <= before.nothing_wrong + before.of("STRESSED") <= 0.35
    assert 0.10 <= before.of("NOT_IN_LIST") <= 0.25


@pytest.mark.parametrize("picture", PICTURES)
def test_a_few_bystanders_do_not_change_the_leading_cause(
    tables: Tables, picture: dict[str, str]
) -> None:
    """A third of shop fish carry two kinds of parasite (170 of 502): carriage is not guilt."""
    few = {"m_disc_ring": "few", "m_fluke_gill": "few", "m_fluke_skin": "few"}
    assert ranked(tables, {**picture, **few}).order()[0] == ranked(tables, picture).order()[0]


def test_organisms_that_are_not_the_cause_are_listed_as_also_seen(tables: Tables) -> None:
    ranking = ranked(tables, {"m_big_ciliate": "crescent_nucleus", "m_disc_ring": "few"})
    (seen,) = also_seen(ranking)
    assert (seen.finding, seen.condition) == ("m_disc_ring", "TRICHO")
    assert seen.chance < 0.1


def test_the_virus_of_koi_is_not_named_for_goldfish(tables: Tables) -> None:
    """Koi herpesvirus spares goldfish; CyHV-2 kills them and spares koi (UF/IFAS VM113)."""
    koi = ranked(tables, {**KHV_PICTURE, "host_species": "koi_and_carp"})
    goldfish = ranked(tables, {**KHV_PICTURE, "host_species": "goldfish"})
    assert koi.order()[0] == "KHV"
    assert "KHV" in (*in_strip(koi), koi.order()[0])
    assert goldfish.of("KHV") < 0.02
    assert goldfish.of("CYHV2") > 0.3
    assert "KHV" not in in_strip(goldfish)
    assert koi.of("CYHV2") < 0.01


def test_healthy_goldfish_beside_dying_koi_speak_for_the_virus(tables: Tables) -> None:
    """Measured on the odds against sepsis and water, which do not choose between kinds."""
    koi = {**KHV_PICTURE, "host_species": "koi_and_carp"}
    spared = ranked(tables, {**koi, "species_spread": "one_kind_of_several"})
    everyone = ranked(tables, {**koi, "species_spread": "all_kinds"})
    assert spared.of("KHV") > everyone.of("KHV")
    for other in ("NITROGEN", "HYPOXIA"):
        before = ranked(tables, koi)
        gained = spared.of("KHV") / spared.of(other)
        assert gained > before.of("KHV") / before.of(other)


def test_temperature_is_read_within_the_kind_of_fish(tables: Tables) -> None:
    """Cold water says little of a koi, which stands in it half the year, and much of a discus."""

    def change(kind: str) -> float:
        plain = ranked(tables, {"host_species": kind, "mortality": "few"})
        cold = ranked(
            tables, {"host_species": kind, "mortality": "few", "water_temperature": "below_15"}
        )
        return abs(cold.of("TEMPSHOCK") - plain.of("TEMPSHOCK"))

    assert change("koi_and_carp") < change("discus")


@pytest.mark.parametrize(
    ("answers", "leaders"),
    [
        ({"vent": "worms_hanging"}, {"GUTWORM", "NOT_IN_LIST"}),
        ({"lab_histology": "brain_holes"}, {"NOT_IN_LIST"}),
        ({"m_spores": "two_capsules", "m_gill_cysts": "spore_sac"}, {"MYXO", "NOT_IN_LIST"}),
        ({"n_kidney": "fluid_cysts", "belly_speed": "months"}, {"PKIDNEY"}),
    ],
)
def test_a_specific_finding_points_to_its_cause_or_outside_the_list(
    tables: Tables, answers: dict[str, str], leaders: set[str]
) -> None:
    order = ranked(tables, answers).order()
    assert order[0] in leaders
    assert order[0] != NONE


@pytest.mark.parametrize(
    ("answers", "cause"),
    [
        ({"host_species": "goldfish", "temp_swing_48h": "fell", "mortality": "rising_daily",
          "lab_histology": "blood_tissue_necrosis"}, "CYHV2"),
        ({"host_species": "koi_and_carp", "posture": "on_bottom", "eye_sunken": "yes",
          "lab_pcr_cev": "strong_positive"}, "CEV"),
        ({"host_species": "dwarf_gourami", "body_colour": "darker", "belly": "swollen_even",
          "lab_pcr_megalo": "strong_positive"}, "MEGALO"),
        ({"motion": "whirling", "eye_bulge": "both", "eye_blood": "yes",
          "smear_stain": "gram_positive_cocci"}, "STREP"),
        ({"buoyancy": "floats", "food_taken": "eats", "imaging": "swim_bladder",
          "host_species": "goldfish", "share_affected": "one"}, "BUOY"),
        ({"belly": "swollen_one_side", "fish_age": "old", "imaging": "mass",
          "share_affected": "one"}, "TUMOUR_IN"),
        ({"imaging": "eggs", "sex_state": "female_spent", "vent": "tissue_showing"}, "EGGBOUND"),
        ({"water_type": "marine", "head_pits_kind": "shallow_erosion", "carbon_used": "yes",
          "host_species": "tangs"}, "HLLE"),
        ({"m_stomach_granuloma": "knots_with_flagellates", "host_species": "discus"},
         "CRYPTOBIA_I"),
        ({"chemical_exposure": "spray_or_aerosol", "onset_speed": "hours",
          "mortality": "mass_24h", "nitrogen": "safe", "species_spread": "all_kinds"}, "POISON"),
        ({"host_species": "koi_and_carp", "water_temperature_fine": "8_to_13",
          "eye_bulge": "both", "belly": "swollen_even", "haemorrhage_form": "pinpoints",
          "lab_pcr_svc": "strong_positive"}, "SVC"),
    ],
)  # fmt: skip
def test_each_added_cause_leads_its_own_picture(
    tables: Tables, answers: dict[str, str], cause: str
) -> None:
    """The pictures are those the sources of the added causes describe."""
    assert ranked(tables, answers).order()[0] == cause


def test_a_weak_positive_of_a_carrier_moves_less_than_a_strong_one(tables: Tables) -> None:
    seen = Evidence.of({"host_species": "goldfish", "mortality": "few"})
    by_answer = {
        answer: rank(tables, and_also(seen, "lab_pcr_cyhv2", answer)).of("CYHV2")
        for answer in ("negative", "weak_positive", "strong_positive")
    }
    plain = rank(tables, seen).of("CYHV2")
    assert by_answer["negative"] < plain
    assert by_answer["weak_positive"] < 1.5 * plain
    assert by_answer["strong_positive"] > 4 * plain
