"""A country by its letters, its number or its name; what is none is refused with what is near.

The names at home, in English and in German, and the codes were typed from general knowledge
(ISO 3166-1), not taken from the list that the program reads.
"""

from __future__ import annotations

import pytest

from tankside.errors import BadInput
from tankside.intake.country import country_code, country_name, country_read, find_country
from tankside.intake.law import law_lines
from tankside.library import load

FACTS = load()
CALLED = {
    "GB": ("GB", "gb", "UK", "U.K.", "GBR", "826", "United Kingdom", "the United Kingdom",
           "Great Britain", "great-britain", "Britain", "England", "Scotland", "Wales",
           "Northern Ireland", "Vereinigtes Königreich", "Großbritannien", "Grossbritannien"),
    "US": ("US", "USA", "U.S.A.", "840", "United States", "United States of America", "America",
           "Vereinigte Staaten"),
    "DE": ("DE", "DEU", "276", "Germany", "Deutschland", "DEUTSCHLAND"),
    "AT": ("Austria", "Österreich", "Oesterreich", "Osterreich", "AUT"),
    "CH": ("Switzerland", "Schweiz", "Suisse", "Svizzera"),
    "FR": ("France", "Frankreich", "fra"),
    "NL": ("Netherlands", "the Netherlands", "Holland", "Niederlande", "Nederland"),
    "BE": ("Belgium", "Belgien", "Belgique", "België"),
    "ES": ("Spain", "Spanien", "España", "Espana"),
    "CZ": ("Czechia", "Czech Republic", "Tschechien", "Česko"),
    "IE": ("Ireland", "Irland", "Éire"),
    "NZ": ("New Zealand", "Neuseeland", "NZL"),
    "JP": ("Japan", "日本"),
    "GR": ("Greece", "Griechenland", "Ελλάδα"),
    "ZA": ("South Africa", "Südafrika"),
    "TR": ("Turkey", "Türkei"),
}  # fmt: skip


@pytest.mark.parametrize("code", CALLED)
def test_a_country_is_known_by_its_letters_its_number_and_its_names(code: str) -> None:
    assert {typed: country_code(FACTS, typed) for typed in CALLED[code]} == dict.fromkeys(
        CALLED[code], code
    )
    assert country_name(code).endswith(f"({code})")


@pytest.mark.parametrize(
    ("typed", "near"),
    [("Germny", "Germany (DE)"), ("Untied Kingdom", "United Kingdom (GB)"),
     ("Deutchland", "Germany (DE)"), ("Irlnad", "Ireland (IE)"),
     ("Untied States", "United States (US)")],
)  # fmt: skip
def test_a_slip_is_refused_with_what_it_is_near_to(typed: str, near: str) -> None:
    with pytest.raises(BadInput) as refusal:
        country_code(FACTS, typed)
    assert refusal.value.code == "E-WORD-02"
    assert near in refusal.value.needed
    assert (refusal.value.given, refusal.value.field) == (typed, "country")


@pytest.mark.parametrize("typed", ["XX", "zz", "EU", "UN", "Atlantis", "", "?", "419", "1", "SU"])
def test_what_is_no_country_is_refused(typed: str) -> None:
    assert find_country(FACTS, typed) is None
    with pytest.raises(BadInput):
        country_code(FACTS, typed)


def test_only_what_was_not_typed_as_two_letters_is_read_back() -> None:
    assert country_read("England", "GB") == ("England: read as United Kingdom (GB).",)
    assert country_read("UK", "GB") == ("UK: read as United Kingdom (GB).",)
    assert country_read("GB", "GB") == country_read(None, None) == ()


@pytest.mark.parametrize(("code", "spelt"), [("GB", "UK"), ("US", "USA"), ("DE", "Deutschland")])
@pytest.mark.parametrize("agent", ["formalin", "copper_sulphate", "malachite_green"])
def test_the_law_does_not_hang_on_how_the_country_is_spelt(
    agent: str, code: str, spelt: str
) -> None:
    assert law_lines(FACTS, agent, spelt) == law_lines(FACTS, agent, code)
    assert all(line.startswith("Law") for line in law_lines(FACTS, agent, code))
    assert "no rule" not in " ".join(law_lines(FACTS, "formalin", code))


def test_a_country_of_an_old_file_that_is_none_has_no_rule() -> None:
    (line,) = law_lines(FACTS, "formalin", "XX")
    assert line.startswith("Law (XX): no rule")
    assert "neither allowed nor forbidden" in line
