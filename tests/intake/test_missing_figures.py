"""A parasite without figures is refused by name, with what is missing and what print dates."""

from __future__ import annotations

from pathlib import Path

import pytest

from tankside import library
from tankside.case import CaseView
from tankside.errors import NotPossible
from tankside.intake.assemble import organism_of
from tankside.intake.missing_figures import with_parameters
from tankside.lifecycle.inputs.published_durations import published_durations
from tankside.present.published_duration import duration_words
from tankside.records.case_file import read_case
from tankside.services.cases import Opening, new_case

NO_TIME = "Print gives no time for any stage of it"
REFUSED = {  # missing figure; times as printed, from the works named (or none found in print)
    "brooklynella_hostilis": ("division rate", [NO_TIME]),
    "chilodonella_piscicola": ("division rate", [NO_TIME]),
    "ichthyobodo_necator": ("growth rate on the fish", ["to peak: 6 weeks [urawa_chum]"]),
    "lernaea_cyprinacea": ("egg laying and settling", ["18-25 d at 26-28 C [hossain_2018]"]),
    "neoichthyophthirius_schlotfeldti": ("only its description is known", [NO_TIME]),
    "tetrahymena_corlissi": ("rates on the fish", [NO_TIME]),
}


@pytest.fixture
def view(tmp_path: Path) -> CaseView:
    file = tmp_path / "case.jsonl"
    new_case(file, Opening("reed", "a keeper", "fresh", "Europe/London", "2026-03-02"), by="t")
    return read_case(file).view()


def test_every_organism_runs_or_stands_in_the_table() -> None:
    facts = library.load()
    assert set(facts.organisms) == set(with_parameters(facts)) | set(REFUSED)
    assert not set(with_parameters(facts)) & set(REFUSED)


@pytest.mark.parametrize("name", REFUSED)
def test_refusal_names_the_missing_figure_and_offers_the_printed_times(
    name: str, view: CaseView
) -> None:
    missing, offered = REFUSED[name]
    with pytest.raises(NotPossible) as raised:
        organism_of(view, library.load(), name, None)
    refusal = raised.value
    assert refusal.code == "E-FC-02"
    assert missing in refusal.needed
    assert "would change it: " in refusal.needed
    assert [words for words in offered if words not in refusal.next_step] == []
    assert (NO_TIME in refusal.next_step) == (offered == [NO_TIME])


TIMED = [name for name, (_, offered) in REFUSED.items() if offered != [NO_TIME]]


@pytest.mark.parametrize("name", TIMED)
def test_only_figures_with_a_source_are_offered(name: str) -> None:
    facts = library.load()
    for time in published_durations(name, facts, None):
        assert duration_words(time).rpartition("[")[2].removesuffix("]") in facts.sources


def test_an_organism_with_figures_is_not_refused(view: CaseView) -> None:
    organism = organism_of(view, library.load(), "trichodina_nobilis", None)
    assert organism.id == "trichodina_nobilis"


def test_an_unknown_parasite_is_answered_with_those_that_run(view: CaseView) -> None:
    with pytest.raises(NotPossible, match="E-FC-02") as raised:
        organism_of(view, library.load(), "sea serpent", None)
    assert "gyrodactylus_salaris" in raised.value.needed
    assert "brooklynella_hostilis" not in raised.value.needed
