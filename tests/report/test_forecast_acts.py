"""A forecast in words says what acts and what is not known."""

from __future__ import annotations

from tankside import library
from tankside.lifecycle import ActiveFactor
from tankside.report.forecast_acts import factors_lines

FACTS = library.load()


def test_what_acts_is_named_with_its_stages_and_what_is_left_out() -> None:
    factor = ActiveFactor(
        "kill", "copper_sulphate", ("swimming",), (("feeding", "may go on dividing"),)
    )
    lines = factors_lines((factor,), FACTS)
    assert lines[0] == "acts: Copper sulphate: swimming"
    assert lines[1] == "not known, so left out: feeding (may go on dividing)"


def test_an_agent_without_figures_is_said_to_do_nothing_here() -> None:
    factor = ActiveFactor(
        "kill", "copper_chelated", (), (("swimming", ""), ("cyst", "no figure found"))
    )
    lines = factors_lines((factor,), FACTS)
    assert "nothing here, no figure is on record" in lines[0]
    assert lines[1] == "not known, so left out: swimming; cyst (no figure found)"


def test_feed_light_and_plain_water_have_words_of_their_own() -> None:
    feed, light = (
        ActiveFactor("feed", "fenbendazole", ("adult",)),
        ActiveFactor("water", "light", ("cyst",)),
    )
    lines = factors_lines((feed, light), FACTS)
    assert "in the feed" in lines[0]
    assert lines[1] == "acts: ends by the hours of light: cyst"
    assert factors_lines((), FACTS) == ("acts: nothing here acts on the parasite in this forecast",)
