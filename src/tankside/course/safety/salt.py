"""How fast the salt rises and how high it goes, against what each kind bears, baths included."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from tankside.claims import Claim
from tankside.course.amounts.stock_solution import COARSEST
from tankside.course.bodies.caution import Caution, Level
from tankside.course.bodies.effects import SALT
from tankside.course.bodies.facts import find_number, find_range
from tankside.course.bodies.stock import StockGroup
from tankside.course.bodies.tank_hours import Channel, Hourly
from tankside.course.bodies.words import show
from tankside.course.safety.rate_of_change import rise_in_a_day
from tankside.course.safety.scene import PROLONGED, CourseScene, first_hour
from tankside.course.safety.strength import unknown_there
from tankside.course.water.body_run import FRESH, FRESH_KEY, SALINITY
from tankside.quantity.per import MG_PER_G

SALT_KEY = "practice.course.salt_rise_per_day"
SALT_SHARE_KEY = "practice.course.salt_share_of_lethal"


def check(scene: CourseScene) -> Iterator[Caution]:
    """Yield S-SALT-RATE, S-SALT-THERE and S-SALT-HOST."""
    yield from _baths(scene)
    for body in scene.bodies:
        groups = [g for g in scene.stock if bool(scene.in_body(g.id, body).any())]
        if groups:
            yield from _fast(scene, body)
            yield from _there_already(scene, body)
            yield from _in_the_water(scene, body, groups)


def _fast(scene: CourseScene, body: str) -> Iterator[Caution]:
    """Hold the rise of the salt to the rule; what was there before need not be known for it."""
    limit = find_range(scene.facts, SALT_KEY)
    if limit is None:
        return
    harsh, point = (_rise(scene, body, at) for at in (scene.harsh, scene.middle))
    hour = first_hour(harsh > limit[1] * (1 + COARSEST))
    if hour is None:
        return
    above = bool((point > limit[2] * (1 + COARSEST)).any())
    yield Caution(
        Level.BLOCKED if above else Level.CARE,
        "S-SALT-RATE",
        "The salt rises fast.",
        f"Up to {harsh.max():.3g} g/L in 24 h; usual at most {limit[1]:g}, never above "
        f"{limit[2]:g}.{unknown_there(scene, body, SALT, PROLONGED) if above else ''}",
        SALT_KEY,
        "Split it into more steps, 12 h or more apart.",
        hour=hour,
        body=body,
    )


def _rise(scene: CourseScene, body: str, at: int) -> Hourly:
    """Return the rise of the salt over 24 h in one stratum [g/L], counted from before hour 0."""
    mixing = scene.bodies[body].mixing
    salt = mixing.names.index(SALINITY)
    return rise_in_a_day(scene.bodies[body].solved[salt, at], float(mixing.start[salt, at]))


def _there_already(scene: CourseScene, body: str) -> Iterator[Caution]:
    """Point to a salinity reading that the salt account does not explain."""
    system = scene.bodies[body].system
    fresh = find_range(scene.facts, FRESH_KEY)
    salt_entered = any(residue.agent == SALT for residue in system.residues)
    read = system.salinity_g_l
    if fresh is None or read is None or salt_entered or system.water != FRESH:
        return
    if scene.doses(body, SALT) and read > fresh[2]:
        yield Caution(
            Level.CARE,
            "S-SALT-THERE",
            "There may be salt in the water already.",
            f"The reading is {read:g} g/L, fresh water holds at most {fresh[2]:g}; no salt "
            "was entered, so the amounts do not count it.",
            FRESH_KEY,
            "Ask what was put in, enter it, and work the amounts out again.",
            body=body,
            agent=SALT,
        )


def _in_the_water(scene: CourseScene, body: str, groups: list[StockGroup]) -> Iterator[Caution]:
    """Hold the highest salt each group meets to what is printed of its kind.

    A printed figure is most often the salt that kills half of them in days, so that a share of it
    is the most to go to, or the most that killed none where that is printed; where only an upper
    end is printed nothing beyond it was tried.
    """
    if not scene.given(body, SALT):
        return
    for group in groups:
        bears = _bears(scene, group)
        if bears is None:
            continue
        harsh, point = (_met(scene, body, group, at) for at in (scene.harsh, scene.middle))
        if bool((harsh <= bears.care_g_l).all()):
            continue
        lethal = bool((point > bears.most_g_l).any())
        highest = (
            f"up to {harsh.max():.2g} g/L"
            if np.isfinite(harsh).all()
            else "not known (no reading of the salt)"
        )
        yield _host(
            Level.BLOCKED if lethal else Level.CARE,
            f"The salt comes near what {group.name} does not tolerate.",
            f"Salt is {highest}; {bears.printed}.",
            "Stay below it, or move them out first.",
            bears.claim, body, group,
        )  # fmt: skip


def _baths(scene: CourseScene) -> Iterator[Caution]:
    """Name the animals of a salt bath of which print knows only what they bear for days."""
    for event, group in scene.handed():
        bears, host = _bears(scene, group), scene.host(group)
        bath = event.channel is Channel.BATH and event.agent == SALT
        if not bath or bears is None or host is None or host.find("most_bath.salt") is not None:
            continue
        if not event.amount / MG_PER_G <= bears.care_g_l:
            yield _host(
                Level.CARE,
                f"No figure says how long {group.name} bears so much salt.",
                f"The {event.route} holds {show(event.amount / MG_PER_G, 'g/L')}; for days: "
                f"{bears.printed}; nothing is printed for minutes.",
                "Try one animal first, stay beside it, out at the first roll, or choose another "
                "way.",
                bears.claim, event.body, group,
            )  # fmt: skip


@dataclass(frozen=True, slots=True)
class SaltBorne:
    """What is printed of the salt a kind bears for days [g/L].

    Above ``care_g_l`` it is told, above ``most_g_l`` the course is not offered (never where only
    an upper end of what was tried is printed).
    """

    claim: Claim
    care_g_l: float
    most_g_l: float
    printed: str


def _bears(scene: CourseScene, group: StockGroup) -> SaltBorne | None:
    host, share = scene.host(group), find_number(scene.facts, SALT_SHARE_KEY)
    claim = None if host is None else host.find("salt_tolerance")
    if host is None or claim is None or share is None:
        return None
    words = claim.conditions.get("as_printed", "")
    cited = f"({claim.bounds()[1]:g} g/L printed: {words}, {claim.source or 'no source'})"
    if claim.value is None:
        tried = claim.bounds()[1]
        return SaltBorne(claim, tried, math.inf, f"at most {tried:.2g} g/L {cited}")
    care_g_l, none_died = share * claim.number(), host.find("figure.salt_no_death")
    if none_died is None or none_died.bounds()[0] <= care_g_l:
        return SaltBorne(claim, care_g_l, care_g_l, f"at most {care_g_l:.2g} g/L {cited}")
    most_g_l = none_died.bounds()[0]
    printed = f"none died up to {most_g_l:.3g} g/L {cited}"
    return SaltBorne(claim, care_g_l, most_g_l, printed)


def _met(scene: CourseScene, body: str, group: StockGroup, at: int) -> Hourly:
    """Return the salt a group meets [g/L]; where none was read, what the course knows of."""
    run = scene.bodies[body]
    base = find_number(scene.facts, FRESH_KEY) if run.system.salinity_g_l is None else None
    met: Hourly = run.salinity_g_l[at][scene.in_body(group.id, body)] - (base or 0.0)
    return met


def _host(
    level: Level, words: str, why: str, instead: str, claim: Claim, body: str, group: StockGroup
) -> Caution:
    return Caution(
        level, "S-SALT-HOST", words, why, claim.key, instead,
        body=body, group=group.id, agent=SALT,
    )  # fmt: skip
