"""What water that is put in must be, and what becomes of water that is let out, in words.

New water is matched to the tank: its warmth, its salt, and steps of pH and alkalinity that the
animals bear; chlorine and chloramine are gone before it goes in.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from tankside.claims import Knowledge, whole_setting
from tankside.course.bodies.effects import SALT
from tankside.course.bodies.facts import find_range, find_text
from tankside.course.bodies.system import SALTY, NewWater, System, Treated
from tankside.course.bodies.unnamed import as_told, is_unnamed, shown
from tankside.course.bodies.words import show
from tankside.water import specific_gravity

STEP = "practice.new_water."
CONDITIONER = "sodium_thiosulphate"
_GRAVITY_PLACES = whole_setting(4, "decimal places that a hydrometer is read to")


@dataclass(frozen=True, slots=True)
class Filled:
    """Water that goes into a body.

    Args:
        system: the body and its readings at hour 0.
        new: what is known of the water that goes in.
        litres: how much goes in [L].
        holds: agents the body holds, by id.
        temperature_c: the latest temperature of the body [C]; None when not measured.
        ph: its latest pH; None when not measured.
        alkalinity_mg_l_caco3: its latest alkalinity [mg/L as CaCO3]; None when not measured.
        salinity_g_l: its latest salinity [g/L]; None when not measured.
    """

    system: System
    new: NewWater
    litres: float
    holds: tuple[str, ...] = ()
    temperature_c: float | None = None
    ph: float | None = None
    alkalinity_mg_l_caco3: float | None = None
    salinity_g_l: float | None = None


def recipe(facts: Knowledge, filled: Filled) -> str:
    """Return what the new water must be, as sentences; what is not known is asked for."""
    parts = (
        *_warmth(facts, filled),
        *_salt(facts, filled),
        _chlorine(facts, filled),
        *_ph_and_alkalinity(facts, filled),
    )
    return f"New water: {'; '.join(part for part in parts if part)}."


def let_out(facts: Knowledge, agents: Iterable[str]) -> str:
    """Return where water that holds some agents may go, each rule once; "" when it holds none."""
    rules: dict[str, list[str]] = {}
    for agent in agents:
        rule = "" if is_unnamed(agent) else find_text(facts, f"agent.{agent}.people.disposal") or ""
        rules.setdefault(rule, []).append(_name(facts, agent))
    return " ".join(
        f"It may hold {', '.join(names)}. {rule or _UNRULED}" for rule, names in rules.items()
    )


_UNRULED = "No rule on file, so never to a pond, stream or ditch; ask the local authority."


def _warmth(facts: Knowledge, filled: Filled) -> Iterator[str]:
    step = find_range(facts, f"{STEP}temperature_step")
    near = "as warm as" if step is None else f"within {show(step[1], 'C')} of"
    if filled.new.temperature_c is not None:
        yield f"at {show(filled.new.temperature_c, 'C')}"
    elif filled.temperature_c is None:
        yield f"{near} the tank (read both)"
    else:
        yield f"{near} the tank ({show(filled.temperature_c, 'C')} when read)"


def _salt(facts: Knowledge, filled: Filled) -> Iterator[str]:
    """Say the salt: sea salt mix where the water is salty, else nothing but what is stirred in."""
    if filled.system.water not in SALTY:
        if SALT in filled.holds:
            yield "no other salt"
        return
    step = find_range(facts, f"{STEP}salinity_step")
    near = "" if step is None else f", to within {show(step[1], 'g/L')}"
    kind = "sea water" if filled.system.water == "marine" else "brackish water"
    if filled.salinity_g_l is None:
        yield (
            f"{kind} made with sea salt mix by its label, as salty as the tank{near} "
            "(read the salinity of both first)"
        )
        return
    yield (
        f"{kind} made with sea salt mix by its label, read at "
        f"{show(filled.salinity_g_l, 'g/L')}{near}{_gravity(filled)}"
    )


def _gravity(filled: Filled) -> str:
    temperature_c = filled.temperature_c
    if temperature_c is None or filled.salinity_g_l is None:
        return ""
    gravity = specific_gravity(temperature_c, filled.salinity_g_l)
    return (
        f" (specific gravity {gravity:.{_GRAVITY_PLACES}f} at {show(temperature_c, 'C')}, "
        "against pure water of the same warmth)"
    )


def _chlorine(facts: Knowledge, filled: Filled) -> str:
    new, read = filled.new, filled.new.chlorine_mg_l
    if new.treated is None:
        return (
            "find out first whether the tap water is treated with chlorine or chloramine (ask the "
            "water supplier); until then put none in"
        )
    if new.treated is Treated.NONE and not read:
        return "untreated, so without chlorine"
    conditioner = f"conditioner by its label for {show(filled.litres, 'L')}{_covering(facts, read)}"
    spoiled = _spoiled_by_conditioner(facts, filled.holds)
    if spoiled:
        conditioner += f", none of it left over, since it spoils {', '.join(spoiled)}"
    stands_h = find_range(facts, f"{STEP}chlorine_stands")
    if new.treated is Treated.CHLORINE and stands_h is not None:
        free = f"{conditioner}, or {show(stands_h[2], 'h')} open with air"
        return f"free of chlorine ({free}; a test reads 0)"
    return (
        f"free of chloramine ({conditioner}; standing and air do not remove it; a test of total "
        "chlorine reads 0, then test the ammonia)"
    )


def _covering(facts: Knowledge, read_mg_l: float | None) -> str:
    """Say what the conditioner must take up where the tap water was tested."""
    if not read_mg_l:
        return ""
    ratio = find_range(facts, f"{STEP}thiosulphate_per_chlorine")
    as_much = "" if ratio is None else (
        f", as sodium thiosulphate {show(ratio[2] * read_mg_l, 'mg/L')} of the pentahydrate"
    )  # fmt: skip
    return f" (tap read {show(read_mg_l, 'mg/L')} of chlorine{as_much})"


def _spoiled_by_conditioner(facts: Knowledge, holds: Iterable[str]) -> list[str]:
    pairs = (
        (agent, f"agent.{first}.incompatible.{other}")
        for agent in holds
        for first, other in ((agent, CONDITIONER), (CONDITIONER, agent))
    )
    return list(
        dict.fromkeys(_name(facts, agent) for agent, key in pairs if facts.find(key) is not None)
    )


def _ph_and_alkalinity(facts: Knowledge, filled: Filled) -> Iterator[str]:
    new = filled.new
    sides = (
        ("pH", "ph_step", filled.ph, new.ph, ""),
        ("alkalinity", "alkalinity_step", filled.alkalinity_mg_l_caco3, new.alkalinity_mg_l_caco3,
         "mg/L as CaCO3"),
    )  # fmt: skip
    share = min(1.0, filled.litres / filled.system.volume.point_l)
    unread: list[tuple[str, str]] = []
    for name, key, tank, tap, unit in sides:
        step = find_range(facts, STEP + key)
        if step is None:
            continue
        most = show(step[0], unit) if unit else f"{step[0]:g}"
        if tank is None or tap is None or filled.system.water in SALTY:
            unread.append((name, most))
        elif abs(tap - tank) * share > step[0]:
            yield (
                f"{name} {tap:.3g} against {tank:.3g} in the tank is too far: smaller changes, "
                f"stop when the tank has moved by {most} today"
            )
        else:
            yield f"{name} fits ({tap:.3g}, tank {tank:.3g})"
    if unread:
        names, steps = (" and ".join(column) for column in zip(*unread, strict=True))
        yield f"{names} of both read first (the tank may move by {steps} a day)"


def _name(facts: Knowledge, agent: str) -> str:
    if is_unnamed(agent):
        return shown(agent) if as_told(agent) else "something nobody named"
    record = facts.agents.get(agent)
    name = agent.replace("_", " ") if record is None else record.short_name
    return name[:1].lower() + name[1:]
