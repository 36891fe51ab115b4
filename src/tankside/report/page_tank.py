"""The page of the tank: each water seen from the side, its volume by every method, who bears what.

Nothing is drawn that nobody measured: a water without sides has its volume as bars alone.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from tankside.case import CaseView, StockView, SystemView
from tankside.case.system import properties_told
from tankside.case.volume import Geometry, MethodResult
from tankside.case.wording import amount_text
from tankside.intake.stock import lengths_cm
from tankside.present.blocks import Block
from tankside.present.words import percent_words
from tankside.quantity import Kind
from tankside.quantity.dates import day_words
from tankside.quantity.show import COMPARED_DIGITS, volume_words
from tankside.report.case_words import system_volume_words
from tankside.report.page import OpenCase
from tankside.report.tank import NEVER_DOSED, joined_words, tank_document
from tankside.services.bearing import agents_asked, bearing

WIDE_PX, NARROW_PX = 592, 350
LEFT, TOP, FOOT, RIGHT = 46, 30, 34, 16
"""Room around the box for water line, scale and labels [px]."""
TALLEST = 0.62
"""Most of the width that the height of the drawing may be."""
ROW, GAP, LETTER, EDGE, BASE = 22, 7, 7.4, 12, 5
"""Height of a row of strokes, gap between strokes, width of a letter, room inside the box, how far
letters stand below the middle of their row [px]."""
MOST_STROKES = 16
VERDICTS = {"tolerant": "borne", "care": "care", "avoid": "not for it"}
NOT_KNOWN = "not known"


@dataclass(frozen=True, slots=True)
class Stroke:
    """A line on the drawing [px]: left end, height, length; as long as the animal is."""

    x: float
    y: float
    length: float


@dataclass(frozen=True, slots=True)
class SideLabel:
    """Words on the drawing and where they begin [px]."""

    x: float
    y: float
    text: str


@dataclass(frozen=True, slots=True)
class SideView:
    """A water from the side, to scale.

    Args:
        width: of the drawing [px].
        height: of the drawing [px].
        left: left edge of the box [px].
        line: height of the water line [px].
        bottom: bottom of the box [px].
        right: right edge of the box [px].
        strokes: one for each animal.
        labels: what the strokes are.
        across: length of the box as measured.
        up: height of the water as measured.
    """

    width: int
    height: int
    left: float
    line: float
    bottom: float
    right: float
    strokes: tuple[Stroke, ...]
    labels: tuple[SideLabel, ...]
    across: str
    up: str


@dataclass(frozen=True, slots=True)
class VolumeBar:
    """One way in which the volume was found.

    Args:
        method: by what.
        words: litres, and how far a told one lies from the measured.
        share: of the longest bar.
        measured: whether it was measured; what is only told is never dosed on.
    """

    method: str
    words: str
    share: float
    measured: bool


@dataclass(frozen=True, slots=True)
class WaterShown:
    """One body of water.

    Args:
        title: its name.
        volume: how much, and how that is known.
        gap: how far two ways of measuring differ.
        bars: the ways.
        views: the drawing for the desk and for the phone; none without sides.
        spoken: the drawing in words.
        joined: with what it is one water.
        run: how it is run: label and value.
    """

    title: str
    volume: str
    gap: str
    bars: tuple[VolumeBar, ...]
    views: tuple[SideView, ...]
    spoken: str
    joined: tuple[str, ...]
    run: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class AnimalRow:
    """A group of animals or plants and what it bears of each agent, in words."""

    name: str
    about: str
    bears: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class TankPage:
    """The page: the waters, the animals with the agents they are asked about; ``more`` in words."""

    lead: str
    waters: tuple[WaterShown, ...]
    agents: tuple[str, ...]
    animals: tuple[AnimalRow, ...]
    more: tuple[Block, ...]


def tank_page(case: OpenCase) -> TankPage:
    """Return the page of a case."""
    view = case.view
    waters = tuple(_water(view, system) for system in view.systems.values())
    verdicts = {row.group: row.verdicts for row in bearing(view)}
    animals = tuple(
        AnimalRow(
            _counted(group),
            _about(group),
            tuple(VERDICTS.get(word, NOT_KNOWN) for word in verdicts.get(group.id, ())),
        )
        for group in view.stock.values()
    )
    return TankPage(_lead(view), waters, agents_asked(), animals, tank_document(case).blocks)


def _lead(view: CaseView) -> str:
    main = view.main
    if main is None:
        return "No water is described yet."
    if main.volume.point_l is None:
        return "Nobody measured the volume yet: no dose can be worked out."
    litres = volume_words(main.volume.point_l)
    ways = "measured two ways" if main.volume.second_l is not None else "measured one way"
    by_label = main.volume.told_l
    label = "" if by_label is None else f" Not the {volume_words(by_label)} told."
    return f"{litres}, {ways}.{label}"


def _water(view: CaseView, system: SystemView) -> WaterShown:
    geometry = next((m for m in system.description.volume if isinstance(m, Geometry)), None)
    living = [group for group in view.stock.values() if group.system == system.id]
    views = () if geometry is None else tuple(
        side_view(geometry, living, width) for width in (WIDE_PX, NARROW_PX)
    )  # fmt: skip
    apart = system.volume.difference_percent
    return WaterShown(
        title=system.name,
        volume=system_volume_words(system),
        gap="" if apart is None else f"The two measured ways differ by {percent_words(apart)}.",
        bars=_bars(system),
        views=views,
        spoken=_spoken(system, geometry, living),
        joined=joined_words(view, system),
        run=tuple((label, f"{value} ({remark})" if remark else value)
                  for label, value, remark in properties_told(system.description)),
    )  # fmt: skip


def _bars(system: SystemView) -> tuple[VolumeBar, ...]:
    results = system.volume.results
    longest = max((float(result.litres) for result in results), default=0.0) or 1.0
    return tuple(
        VolumeBar(
            _method_words(result),
            volume_words(result.litres, COMPARED_DIGITS),
            float(result.litres) / longest,
            result.measured,
        )
        for result in results
    )


def _method_words(result: MethodResult) -> str:
    if result.measured:
        return f"by {result.method.replace('_', ' ')}"
    teller = "the keeper says" if result.method == "keeper_says" else f"the {result.method} says"
    return f"{teller}; {NEVER_DOSED}"


def side_view(geometry: Geometry, living: Sequence[StockView], width: int) -> SideView:
    """Return a box of water from the side, each animal a stroke as long as it is.

    Args:
        geometry: the sides as measured.
        living: the groups that live in it.
        width: of the drawing [px].
    """
    long_cm, high_cm = (
        float(side.measured(Kind.LENGTH).to("cm"))
        for side in (geometry.inside_length, geometry.water_height)
    )
    room = width - LEFT - RIGHT
    px_per_cm = min(room / long_cm, (width * TALLEST - TOP - FOOT) / high_cm)
    right, bottom = LEFT + long_cm * px_per_cm, TOP + high_cm * px_per_cm
    strokes: list[Stroke] = []
    labels: list[SideLabel] = []
    y = float(TOP + ROW)
    for group in living:
        made = _strokes(group, px_per_cm, LEFT + EDGE, right - EDGE, y)
        strokes += made
        label = _label(_counted(group), made, right - EDGE, y)
        labels.append(label)
        y = max([label.y - BASE, *(stroke.y for stroke in made)]) + ROW
    inside = tuple(stroke for stroke in strokes if stroke.y < bottom - EDGE / 2)
    labels = [label for label in labels if label.y < bottom]
    return SideView(
        width, round(bottom + FOOT), LEFT, TOP, bottom, right, inside, tuple(labels),
        amount_text(geometry.inside_length), amount_text(geometry.water_height),
    )  # fmt: skip


def _label(text: str, strokes: Sequence[Stroke], right: float, y: float) -> SideLabel:
    """Return what strokes are called: behind the first row where there is room, else below them."""
    row = [stroke for stroke in strokes if stroke.y == y]
    behind = max((stroke.x + stroke.length for stroke in row), default=LEFT) + EDGE
    if behind + LETTER * len(text) <= right:
        return SideLabel(behind, y + BASE, text)
    return SideLabel(LEFT + EDGE, max(stroke.y for stroke in strokes) + ROW, text)


def _strokes(
    group: StockView, px_per_cm: float, left: float, right: float, y: float
) -> list[Stroke]:
    """Return the strokes of a group in rows; none where number or length is not known."""
    length_cm, _ = lengths_cm(group)
    if not group.alive or length_cm is None:
        return []
    long = length_cm * px_per_cm
    each_row = max(1, int((right - left + GAP) // (long + GAP)))
    return [
        Stroke(left + (n % each_row) * (long + GAP), y + (n // each_row) * ROW * 0.6, long)
        for n in range(min(group.alive, MOST_STROKES))
    ]


def _spoken(system: SystemView, geometry: Geometry | None, living: Sequence[StockView]) -> str:
    if geometry is None:
        return ""
    sides = f"{amount_text(geometry.inside_length)} long, {amount_text(geometry.inside_width)} deep"
    animals = ", ".join(map(_counted, living)) or "nothing entered that lives in it"
    return (
        f"{system.name} from the side, to scale: {sides}, water "
        f"{amount_text(geometry.water_height)} high; {animals}, each a stroke as long as it is."
    )


def _counted(group: StockView) -> str:
    number = "number not known of" if group.alive is None else str(group.alive)
    return f"{number} {group.description.name}"


def _about(group: StockView) -> str:
    description = group.description
    said = [] if description.length is None else [amount_text(description.length)]
    said += [f"{group.deaths} dead"] if group.deaths else []
    said += (
        [f"arrived {day_words(date.fromisoformat(description.arrived[:10]))}"]
        if description.arrived
        else []
    )
    return ", ".join(said)
