"""Letters: no all-clear before the rule is met, and a quarantine that starts anew."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from scipy.stats import hypergeom

from tankside.errors import BadInput
from tankside.present.blocks import Words
from tankside.report.letters import NOT_YET, letter_document
from tankside.services import cases
from tankside.services.care_case import care_of_case
from tankside.services.letters import ALL_CLEAR, LABORATORY, QUARANTINE, letter

SPACE = "\N{NO-BREAK SPACE}"
ARRIVED = "2026-07-01"


@pytest.fixture(autouse=True)
def _now(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TANKSIDE_NOW", "2026-07-20T12:00+00:00")


def typed(tmp_path: Path, *rows: tuple[str, ...]) -> Path:
    path = tmp_path / "letter.jsonl"
    opening = cases.Opening("Loom Street", "J. Amsel", "fresh", "UTC", opened="2026-07-01")
    cases.new_case(path, opening, by="test")
    cases.add_words(path, "system", ("inside-length=90 cm", "inside-width=45 cm",
                    "water-height=40 cm", "hose=16.2 L/min for 10 min"), by="test")  # fmt: skip
    stock = ("name=goldfish", "count=6", "length=8 cm", f"arrived={ARRIVED}", "on=2026-07-01")
    cases.add_words(path, "stock", stock, by="test")
    for kind, *words in rows:
        cases.add_words(path, kind, words, by="test")
    return path


CLEAN = (("confirmed", "condition=TUBERCLE", "shown-by=points on gill covers", "on=2026-07-01"),
         ("finding", "breathing=normal", "on=2026-07-04"))  # fmt: skip


def test_before_the_rule_is_met_the_letter_says_what_is_missing(tmp_path: Path) -> None:
    document = letter_document(letter(typed(tmp_path, CLEAN[0]), ALL_CLEAR))
    assert document.title.startswith(NOT_YET)
    assert any("The rule runs to day 3" in str(block) for block in document.blocks)


def test_when_the_rule_is_met_the_letter_clears_and_says_what_to_watch(tmp_path: Path) -> None:
    answer = letter(typed(tmp_path, *CLEAN), ALL_CLEAR)
    document = letter_document(answer)
    assert document.title.startswith("All-clear")
    titles = {getattr(block, "title", "") for block in document.blocks}
    assert {"What it was", "What was done", "What to watch", "Next time"} <= titles


@pytest.mark.parametrize(
    ("row", "began"),
    [
        ((), date(2026, 7, 1)),
        (("death", "1", "group=goldfish", "on=2026-07-09"), date(2026, 7, 9)),
        (("finding", "flashing=frequent", "on=2026-07-11"), date(2026, 7, 11)),
        (("stock", "name=koi", "count=2", "length=10 cm", "arrived=2026-07-15"), date(2026, 7, 15)),
    ],
)
def test_the_clock_starts_anew_for_all_that_share_the_water(
    tmp_path: Path, row: tuple[str, ...], began: date
) -> None:
    """Australian import advice 41-2025: the clock restarts with the last arrival."""
    (water,) = letter(typed(tmp_path, *([row] if row else [])), QUARANTINE).quarantines
    assert water.began == began
    assert (water.ends - water.began).days == 21
    assert (water.long_end - water.began).days == 42


def test_what_a_clean_look_excludes_is_that_of_the_hypergeometric_law(tmp_path: Path) -> None:
    """Against scipy: the most carriers among 6 under which 4 clean fish have over 5 % chance."""
    (water,) = letter(typed(tmp_path), QUARANTINE).quarantines
    most = max(k for k in range(7) if hypergeom.pmf(0, 6, k, 4) > 0.05)
    assert f"in this stock up to {most} of 6" in water.excludes[0]


def test_the_laboratory_gets_history_water_what_was_given_and_questions(tmp_path: Path) -> None:
    path = typed(tmp_path, ("water", "temperature=22 C", "on=2026-07-02"),
                 ("done", "action=salt", "agent=salt", "amount=60 g", "on=2026-07-03"),
                 ("event", "what=two fish came from a show", "on=2026-07-01"))  # fmt: skip
    blocks = letter_document(letter(path, LABORATORY)).blocks
    words = (block for block in blocks if isinstance(block, Words))
    text = " ".join(line.replace(SPACE, " ") for b in words for line in (b.title, *b.lines))
    for part in ("two fish came from a show", "temperature 22 C", "60 g", "sodium chloride",
                  "dead since", "Questions"):  # fmt: skip
        assert part in text


def test_a_quarantine_can_be_chosen_while_print_keeps_new_fish_apart(tmp_path: Path) -> None:
    offers = care_of_case(typed(tmp_path)).offers
    assert [offer.kind.value for offer in offers][-1] == "quarantine"


def test_a_letter_that_is_not_written_is_refused_with_those_that_are(tmp_path: Path) -> None:
    with pytest.raises(BadInput) as refused:
        letter(typed(tmp_path), "epitaph")
    assert ALL_CLEAR in refused.value.needed
