"""The tank is drawn to scale, its bars are the litres, its verdicts those that doses meet."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import pytest

from tankside.demo import script
from tankside.report.page import open_case
from tankside.report.page_tank import TankPage, tank_page
from tankside.services.cases import Opening, add_words, new_case


@pytest.fixture
def page(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> TankPage:
    return made(tmp_path, monkeypatch, [(e.kind, *e.words) for e in script.TANK_ENTRIES])


def made(
    folder: Path, monkeypatch: pytest.MonkeyPatch, rows: Sequence[tuple[str, ...]]
) -> TankPage:
    monkeypatch.setenv("TANKSIDE_NOW", "2026-03-18T18:30+00:00")
    path = folder / "kiln.jsonl"
    new_case(path, Opening("Kiln", "keeper", "fresh", "Europe/Dublin"), by="test")
    for kind, *words in rows:
        add_words(path, kind, words, by="test")
    return tank_page(open_case(path))


def test_the_box_and_its_animals_are_drawn_to_one_scale(page: TankPage) -> None:
    """98 cm long, 42 cm of water; 6 platies of 5 cm, 8 danios of 3.5 cm, one of 9 cm."""
    for view in page.waters[0].views:
        px_per_cm = (view.right - view.left) / 98
        assert (view.bottom - view.line) / px_per_cm == pytest.approx(42)
        lengths = sorted(round(stroke.length / px_per_cm, 3) for stroke in view.strokes)
        assert lengths == [3.5] * 8 + [5.0] * 6 + [9.0]
        assert all(view.left < s.x and s.x + s.length < view.right for s in view.strokes)
        assert all(view.line < s.y < view.bottom for s in view.strokes)
        assert view.right < view.width
        assert [label.text for label in view.labels] == [row.name for row in page.animals]
    assert [view.width for view in page.waters[0].views] == [592, 350]


def test_bars_are_the_litres_and_only_measured_ones_are_solid(page: TankPage) -> None:
    """98 x 38 x 42 cm = 156.4 L less 13 L plus 5 L = 148.4 L; 11 L/min x 13.5 min = 148.5 L."""
    bars = {bar.words.replace("\xa0", " "): bar for bar in page.waters[0].bars}
    assert set(bars) == {"148.4 L", "148.5 L", "180 L"}
    assert bars["148.4 L"].share == pytest.approx(148.408 / 180)
    assert [bar.measured for bar in bars.values()] == [True, True, False]
    assert page.lead == "148\xa0L, measured two ways. Not the 180\xa0L told."


def test_who_bears_what_is_what_a_dose_is_held_against(page: TankPage) -> None:
    verdicts = {row.name: dict(zip(page.agents, row.bears, strict=True)) for row in page.animals}
    assert verdicts["6 platy"]["Copper sulphate"] == "not for it"
    assert verdicts["6 platy"]["Salt (sodium chloride)"] == "borne"
    assert verdicts["1 bristlenose"]["Formalin"] == "not known"


def test_what_nobody_measured_is_not_drawn(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    rows = [("system", "main", "label=180 L"), ("stock", "name=zorgfish"), ("stock", "name=shrimp")]
    page = made(tmp_path, monkeypatch, rows)
    assert page.waters[0].views == ()
    assert page.lead.startswith("Nobody measured the volume yet")
    assert set(page.animals[0].bears) == {"not known"}
