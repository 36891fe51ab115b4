"""Strengths that print calls usual have their limits by the route without an end.

Figures: UF/IFAS CIR91 (levamisole 2 mg/L, 24 h), UF/IFAS FA37 (permanganate 2 mg/L for 4 h or more,
10 mg/L for 30 min), Chisholm & Whittington 2002 (praziquantel 5 mg/L, 40 h), Abou-Okada 2021
(acriflavine 10 mg/L), Russo 2007 (peroxide 1-6 mg/L, 24 h), a stream note (tricaine: 70 mg/L killed
fish of 4-5 cm). The fenbendazole strength is from memory of a textbook.
"""

from __future__ import annotations

from typing import Any

import pytest

from tankside.course.amounts.limits import Around, hard_limit, reason_limit
from tankside.course.bodies.stock import StockGroup
from tankside.errors import BadInput, NotPossible
from tankside.intake.dose_request import AtHand, DoseRequest
from tankside.library import load
from tankside.services.dose import DoseAnswer, work_out

FACTS = load()


def asked(agent: str, strength: str, **more: Any) -> DoseAnswer:
    fields: dict[str, Any] = {
        "volume": "100 L", "second_volume": "100 L", "label": "pure", "scale": "0.001 g",
        "animals": ("goldfish",), "stage": "adult", "gill_damage": "no",
        "at_hand": AtHand(seen_to=("demand-test=yes",)),
        "readings": {"temperature_c": "18 C", "oxygen_mg_l": "8 mg/L", "ph": "7.5",
                     "alkalinity_mg_l_caco3": "150 mg/L as CaCO3"},
        "choices": {"invertebrates": "no", "plants": "no", "food_fish": "no", "water": "fresh"},
    }  # fmt: skip
    return work_out(DoseRequest(agent, strength, **(fields | more)))


def test_what_has_an_end_in_print_says_it_beside_the_amount() -> None:
    hydrochloride = {"label": "pure as levamisole hydrochloride"}
    levamisole = asked("levamisole", "2 mg/L as levamisole hydrochloride", **hydrochloride)
    assert "After 24 h change" in levamisole.line
    assert "after 12 h" in asked("potassium permanganate", "2 mg/L").line
    bath = asked("potassium permanganate", "2 mg/L", route="bath", minutes="240 min")
    assert "after 12 h" not in bath.line


@pytest.mark.parametrize(
    ("agent", "strength", "code"),
    [
        ("potassium permanganate", "2.2 mg/L", "E-DOSE-10"),
        ("levamisole", "3 mg/L as levamisole hydrochloride", "E-DOSE-10"),
        ("acriflavine", "10.1 mg/L", "E-DOSE-10"),
        ("acriflavine", "6 mg/L", "E-DOSE-11"),
        ("fenbendazole", "3 mg/L", "E-DOSE-11"),
    ],
)
def test_above_what_print_bears_out_it_stays_refused(agent: str, strength: str, code: str) -> None:
    form = "pure as levamisole hydrochloride" if agent == "levamisole" else "pure"
    seen = AtHand(seen_to=("demand-test=yes", "predissolve=yes"))
    with pytest.raises((BadInput, NotPossible)) as refused:
        asked(agent, strength, label=form, at_hand=seen)
    assert refused.value.code == code


def test_a_bath_as_short_as_a_dip_is_held_to_the_limit_for_minutes() -> None:
    """10 mg/L for 30 min, closely watched (FA37); 31 min is held to the limit for hours."""
    short = asked("potassium permanganate", "10 mg/L", route="bath", minutes="30 min")
    assert short.hard_mg_l == 10
    for minutes, strength in (("31 min", "10 mg/L"), ("30 min", "10.2 mg/L")):
        with pytest.raises(BadInput) as refused:
            asked("potassium permanganate", strength, route="bath", minutes=minutes)
        assert refused.value.code == "E-DOSE-10"


def test_zebrafish_and_guppy_are_kept_from_permanganate_still() -> None:
    """96-h LC50 1.25 and 1.43 mg/L, under the usual dose."""
    for kind in ("danio_rerio", "poecilia_reticulata"):
        with pytest.raises(BadInput) as refused:
            asked("potassium permanganate", "1.25 mg/L", animals=(kind,))
        assert refused.value.code == "E-DOSE-26"


@pytest.mark.parametrize(("length_cm", "most"), [(4.5, 50), (9.9, 50), (None, 50), (10.0, None)])
def test_small_fish_keep_the_lower_limit_of_tricaine(
    length_cm: float | None, most: float | None
) -> None:
    group = StockGroup("f", "carassius_auratus", "goldfish", 1, length_cm, None, "main", "adult")
    around = Around(20.0, 150.0, False, "fresh", (group,))
    soft = reason_limit(FACTS, "tricaine", "bath", around)
    assert (None if soft is None else soft.mg_l) == most
    hard = hard_limit(FACTS, "tricaine", "bath", around)
    assert hard is not None
    assert hard.mg_l == 100
    nobody = reason_limit(FACTS, "tricaine", "bath", Around(20.0, 150.0, False, "fresh"))
    assert nobody is not None
    assert nobody.mg_l == 50
