"""One fact more, typed: it lifts only a stop that had asked for it, in words that can be typed.

The everyday cases of ``routine_amounts.json`` are typed again, one fact left out each. Where the
amount then does not come, telling that fact would bring it: so the refusal must have named it.
"""

from __future__ import annotations

import json
import random
from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

Run = Callable[..., Any]
Item = dict[str, Any]

HERE = Path(__file__).resolve().parent
NAMED_BY = {
    "kh": ("alkalinity",), "oxygen": ("oxygen",), "ph": ("pH",), "temperature": ("temperature",),
    "ammonia": ("ammonia",), "nitrite": ("nitrite",), "chloride": ("chloride",),
    "salinity": ("salinity", "salt"), "name": ("species", "Name the"), "host": ("species",),
    "filter-ripe": ("filter",), "food-fish": ("eaten", "food-fish"), "carbon": ("carbon",),
    "count": ("animals", "count"), "length": ("length",), "life-stage": ("life-stage",),
    "gill-damage": ("gill",), "plants": ("plants",), "invertebrates": ("invertebrates",),
    "air-stone": ("air",), "scale": ("scale",), "syringe": ("syringe",), "strength": ("label",),
    "hose": ("volume",), "meter": ("volume",), "predissolve": ("predissolve",),
    "zinc-free": ("zinc-free",), "clear-solution": ("clear-solution",), "buffer": ("buffer",),
    "demand-test": ("demand-test",), "formulation-named": ("formulation-named",),
    "in-water": ("in the water",),
}  # fmt: skip
"""Word of an entry, and what a refusal that asks for it says."""
LEFT_ALONE = ("inside-", "water-height", "takes-away", "adds", "on=", "agent=", "id=", "use=",
              "system=", "group=", "arrived", "quarantined", "expires", "water=")  # fmt: skip
"""What makes a case another case when it is left out, or is no fact of animals, water or people."""


def items() -> list[Item]:
    read: list[Item] = json.loads((HERE / "routine_amounts.json").read_text("utf-8"))["items"]
    return read


def less_one(item: Item) -> Iterator[tuple[str, Item]]:
    """Yield each fact that can be left out, with the case that lacks it."""
    for number, entry in enumerate(item["entries"]):
        for word in entry[1:]:
            key = word.partition("=")[0]
            if "=" not in word or word.startswith(LEFT_ALONE) or len(entry) == 2:
                continue
            rest = [other for other in entry if other is not word]
            entries = [*item["entries"][:number], rest, *item["entries"][number + 1 :]]
            yield key, {**item, "entries": entries}


@pytest.fixture
def play(run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Callable[[Item], Any]:
    """Return what types one case and asks for its amount; None where it cannot be typed so."""
    numbers = iter(range(1_000_000))

    def played(item: Item) -> Any:
        monkeypatch.setenv("TANKSIDE_NOW", item["present"])
        file = str(tmp_path / f"{next(numbers)}.jsonl")
        assert run("case", "new", file, *item["opening"]).code == 0
        if any(run("case", "add", file, *entry).code for entry in item["entries"]):
            return None
        asked = item["dose"]
        if asked[0] == "dose":
            return run("case", "add", file, *asked, "--json")
        return run("dose", "--case", file, *asked, "--json")

    return played


def unasked(items: list[Item], play: Callable[[Item], Any]) -> tuple[list[str], Counter[str]]:
    """Return the facts that lift a stop which had not named them, and how the rest went."""
    silent, seen = [], Counter[str]()
    for item in items:
        whole = play(item)
        if whole is None or whole.code:
            continue
        for key, lacking in less_one(item):
            ran = play(lacking)
            if ran is None or ran.code == 0:
                seen["refused as typed" if ran is None else "still comes"] += 1
                continue
            seen["stopped"] += 1
            words = " ".join(str(part) for part in ran.error.values())
            if not any(name.lower() in words.lower() for name in NAMED_BY.get(key, (key,))):
                silent.append(f"{item['name']}: {key} lifts {words}")
    return silent, seen


def test_a_fact_left_out_is_asked_for_by_its_name(play: Callable[[Item], Any]) -> None:
    silent, seen = unasked(random.Random(3).sample(items(), 6), play)
    assert silent == []
    assert seen["stopped"] >= 3


@pytest.mark.slow
@pytest.mark.timeout(3600)
def test_every_fact_left_out_of_every_everyday_case_is_asked_for(
    play: Callable[[Item], Any],
) -> None:
    silent, seen = unasked(items(), play)
    assert silent == []
    assert seen["stopped"] >= 150
