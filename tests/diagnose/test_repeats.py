"""One thing said twice counts once: fine and coarse words, the kind of fish and its group."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from tankside.diagnose import Evidence, Tables, rank

FINE_AND_COARSE: list[tuple[dict[str, Any], dict[str, Any]]] = [
    ({"eye_bulge": "both"}, {"eye_bulge": "both", "eye": "popeye"}),
    ({"eye_cloud": "surface"}, {"eye_cloud": "surface", "eye": ["cloudy", "popeye"]}),
    ({"eye": "normal"}, {"eye": "normal", "eye_bulge": "none"}),
    ({"motion": "whirling"}, {"motion": "whirling", "activity": "balance_loss_darting"}),
    ({"ammonia_level": "raised"}, {"ammonia_level": "raised", "nitrogen": "raised"}),
    ({"ulcer_depth": "shallow"}, {"ulcer_depth": "shallow", "red_ulcer": "ulcer"}),
    ({"m_bacteria": "long_gliding"}, {"m_bacteria": "long_gliding", "m_rods_haystack": "yes"}),
    ({"organ_squash": "granuloma"}, {"organ_squash": "granuloma", "m_granuloma": "granuloma"}),
    ({"host_species": "discus"}, {"host_species": "discus", "host_fw": "cichlid"}),
    ({"host_species": "tangs"}, {"host_species": "tangs", "water_type": "marine"}),
]


@pytest.mark.parametrize(("once", "twice"), FINE_AND_COARSE)
def test_a_thing_said_in_fine_and_in_coarse_words_counts_once(
    tables: Tables, once: dict[str, Any], twice: dict[str, Any]
) -> None:
    first, second = rank(tables, Evidence.of(once)), rank(tables, Evidence.of(twice))
    for name in first.order():
        assert second.of(name) == pytest.approx(first.of(name), abs=1e-12), name


def test_different_things_both_count(tables: Tables) -> None:
    """A cloudy eye, told coarsely, is not taken back by an eye that does not bulge."""
    cloudy = rank(tables, Evidence.of({"eye": "cloudy"}))
    both = rank(tables, Evidence.of({"eye": "cloudy", "eye_bulge": "none"}))
    assert {"eye", "eye_bulge"} <= both.masks.keys()
    assert cloudy.masks.keys() == {"eye"}


def test_an_unlooked_finding_is_never_nothing(tables: Tables) -> None:
    """No finding has an answer that means "not done": what was not done is left out."""
    answers = {a for f in tables.facts.findings.values() for a in f.answers}
    assert not {a for a in answers if a.startswith("not_") and a != "not_known"}
    plain = rank(tables, Evidence({}))
    empty = rank(tables, Evidence.of({"lab_histology": "nothing"}))
    assert plain.of("MYCOBACT") > empty.of("MYCOBACT")


def test_the_order_of_typing_does_not_matter(tables: Tables) -> None:
    """With fine and coarse forms, hosts and gates among the answers."""
    answers: dict[str, Any] = {
        "eye": "popeye", "eye_bulge": "both", "host_fw": "goldfish_koi", "belly": "swollen_even",
        "host_species": ["koi_and_carp", "goldfish"], "activity": "lethargic_hiding",
        "posture": "on_bottom", "water_temperature": "15_to_22",
        "water_temperature_fine": "17_to_24", "spot_size": "grain_0p3_1mm", "red_ulcer": "redness",
        "haemorrhage_form": "pinpoints", "mass_count": "one", "new_fish": "unquarantined_30d",
        "days_since_new": "3_to_21d",
    }  # fmt: skip
    rng = np.random.default_rng(8)
    first = rank(tables, Evidence.of(answers))
    for _ in range(20):
        names = [str(name) for name in rng.permutation(list(answers))]
        again = rank(tables, Evidence.of({name: answers[name] for name in names}))
        assert [again.of(n) for n in first.order()] == [first.of(n) for n in first.order()]
