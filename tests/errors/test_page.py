"""The page of codes names every code once, with what it carries."""

from __future__ import annotations

from tankside.errors.code import Area
from tankside.errors.page import CODES_PAGE, codes_page
from tankside.errors.register import REGISTER
from tankside.library import load
from tankside.library.reference import reference_pages


def rows() -> list[list[str]]:
    lines = [line for line in codes_page().splitlines() if line.startswith("| ")]
    return [[cell.strip() for cell in line.strip("|").split("|")] for line in lines]


def test_every_code_stands_once_in_a_table_of_its_area() -> None:
    heads, codes = [row for row in rows() if row[0] == "code"], rows()
    assert len(heads) == len(Area)
    assert all(len(row) == len(heads[0]) for row in codes)
    assert sorted(row[0] for row in codes if row[0] != "code") == sorted(REGISTER)
    for area in Area:
        section = codes_page().split(f"\n## {area.capitalize()}\n")[1].split("\n## ")[0]
        for code in REGISTER.values():
            assert (f"| {code.name} |" in section) == (code.area is area)


def test_a_row_says_how_it_is_raised_and_what_it_carries() -> None:
    by_code = {row[0]: row[1:] for row in rows()}
    assert by_code["E-DB-02"] == [
        "The disk is full.", "could not save", "given, needed, next step, field", "", "",
    ]  # fmt: skip
    assert by_code["S-PH"][1:] == ["", "", "care", "body, hour, claim"]
    assert by_code["E-DOSE-20"][1:] == [
        "not possible", "given, needed, next step", "blocked, care", "body, agent",
    ]  # fmt: skip
    assert "no step was missed" in by_code["E-PLAN-06"][2]


def test_it_is_made_with_the_other_pages_of_the_reference() -> None:
    pages = reference_pages(load())
    assert pages[CODES_PAGE] == codes_page()
    assert f"`{CODES_PAGE}`" in pages["README.md"]
