"""The independent reckoner: what is in every water of a case, from what was typed alone.

It uses nothing of the program. Fractions where nothing decays, 45 digits where something does.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from tests.reckoner.joined_waters import Links
from tests.reckoner.pool import NOTHING, POINT, Edges, Mass, Pool, Volumes, carry, everywhere
from tests.reckoner.printed_rates import SALT, Shelf
from tests.reckoner.typed_words import (
    COPPER_MG_L,
    FIRST,
    MASS_MG,
    STRENGTH_MG_L,
    VOLUME_L,
    Row,
    measured,
    needed,
    standing,
)
from tests.reckoner.volumes import volume_of

COPPER = ("copper_ionic", "copper_sulphate")
"""Agents whose copper a test kit reads."""
CHLORIDE_OF_SALT = Fraction("35.45") / Fraction("58.44")
"""Share of chloride in salt by mass (atomic masses)."""
Water = dict[str, Mass | None]
"""Strength of each agent [mg/L]; None where nobody can say."""
GIVEN, NOT_GIVEN, OTHER = "done", "not-done", "other-amount"
ANSWER_WITHIN_MINUTES = 3 * 24 * 60
"""An answer by the name alone is taken for one to an asking of the last three days."""
ML_OF_A_PART_PER_MG = 10
"""1 % w/v is 10 mg in each mL."""


@dataclass
class Asking:
    """One amount asked for: how much it was, and whether anybody answered."""

    system: str
    agent: str
    mg: Fraction | None
    beside: bool


@dataclass
class Reckoner:
    """Walk the standing rows in the order in which they happened."""

    shelf: Shelf
    typed: Sequence[Row]
    shown: dict[tuple[int, Row], Fraction | None] = field(default_factory=dict)
    again: set[int] = field(default_factory=set)
    described: dict[str, list[str]] = field(default_factory=dict)
    links: Links = field(default_factory=Links)
    pools: list[Pool] = field(default_factory=list)
    askings: dict[int, Asking] = field(default_factory=dict)
    labels: dict[str, Fraction] = field(default_factory=dict)
    minute: int = 0

    def __post_init__(self) -> None:
        self.rows = standing(self.typed)

    def walk(self, now: int) -> dict[str, Water | None]:
        """Return what is in each water at minute ``now``; None for one that was not measured."""
        answered, self.again = answers(self.rows, self.shelf)
        for number, row in self.rows:
            if row.minute > now:
                break
            self._age_to(row.minute)
            self._enter(number, row, answered)
        self._age_to(now)
        return {system: self._water(system) for system in sorted(self.described)}

    def _water(self, system: str) -> Water | None:
        pool = self._pool(system)
        if pool.volumes is None:
            return None
        return {agent: pool.strengths(agent) for agent in sorted({*pool.content, *pool.unknown})}

    def volumes(self, system: str) -> Volumes:
        """Return the water of the body of a system [L]; only where all of it was measured."""
        volumes = self._pool(system).volumes
        assert volumes is not None
        return volumes

    def _age_to(self, minute: int) -> None:
        if minute > self.minute:
            for pool in self.pools:
                pool.age(minute - self.minute, self._carbon_may_be_in(pool), self.shelf)
        self.minute = minute

    def _carbon_may_be_in(self, pool: Pool) -> bool:
        return any("carbon=no" not in self.described[name] for name in pool.members)

    def _pool(self, system: str) -> Pool:
        return next(pool for pool in self.pools if system in pool.members)

    def _enter(self, number: int, row: Row, answered: dict[int, int | None]) -> None:
        keys = row.keys
        if row.kind == "system":
            self._describe(row)
        elif row.kind == "label":
            self._label(keys)
        elif row.kind == "event" and "changed" in keys:
            self._exchange(keys)
        elif row.kind == "water-moved":
            carry(self._pool(keys["from"]), self._pool(keys["to"]), keys,
                  needed(row.bare[0], VOLUME_L))  # fmt: skip
        elif row.kind == "water":
            self._read(keys)
        elif row.kind == "in-water" and "agent" in keys:
            self._told(keys)
        elif row.kind == "dose":
            self._ask(number, keys, unanswered=number not in answered.values())
        elif row.kind in (GIVEN, OTHER):
            self._done(number, keys, answered.get(number))

    def _describe(self, row: Row) -> None:
        system = row.bare[0] if row.bare else "main"
        renewed = {word.split("=", 1)[0] for word in row.words[1:]}
        measured_before = self._measured()
        before = self.described.get(system, [])
        kept = [word for word in before if word.split("=", 1)[0] not in renewed]
        self.described[system] = [*kept, *row.words[1:]]
        if "shares-water-with" in row.keys:
            self.links.describe(system, row.keys["shares-water-with"])
        self._rearrange(measured_before)
        if "salt-rise" in row.keys:
            mass = needed(row.keys["salt-rise"].split(" raised ")[0], MASS_MG)
            self._pool(system).put_in(SALT, everywhere(mass, mass))

    def _measured(self) -> dict[str, Volumes | None]:
        return {name: volume_of(words, self.shelf) for name, words in self.described.items()}

    def _rearrange(self, before: dict[str, Volumes | None]) -> None:
        """Part the waters by the volumes of before, and join them as they are described now."""
        now = self._measured()
        groups = self.links.bodies(self.described)
        old = self.pools
        self.pools = []
        for group in groups:
            same = next((pool for pool in old if pool.members == group), None)
            if same is None:
                same = Pool(frozenset(), None)
                for pool in old:
                    if group & pool.members:
                        same.join(_piece(pool, group & pool.members, before))
            same.members = group
            same.volumes = added_up(group, now)
            self.pools.append(same)

    def _label(self, keys: dict[str, str]) -> None:
        resolved = self.shelf.named(keys["agent"])
        percent, sign, form = keys["strength"].partition(" % w/v")
        if resolved is None or not sign:
            return
        agent, _ = resolved
        parts = self.shelf.agents[agent].parts.get(form.strip(), Fraction(1))
        self.labels[agent] = Fraction(percent) * ML_OF_A_PART_PER_MG * parts

    def _exchange(self, keys: dict[str, str]) -> None:
        self._pool(keys.get("system", "main")).exchange(needed(keys["changed"], VOLUME_L))

    def _read(self, keys: dict[str, str]) -> None:
        if keys.get("sample", "tank") != "tank":
            return
        pool = self._pool(keys.get("system", "main"))
        if pool.volumes is None:
            return
        salt = measured(keys.get("salinity", ""), STRENGTH_MG_L)
        if salt is not None:
            self._salt_is(pool, *((volume * salt,) * 2 for volume in pool.volumes))
        chloride = measured(keys.get("chloride", ""), STRENGTH_MG_L)
        if chloride is not None:
            most = [volume * chloride / CHLORIDE_OF_SALT for volume in pool.volumes]
            lows = [low for low, _ in pool.content.get(SALT, NOTHING)]
            highs = [high for _, high in pool.content.get(SALT, NOTHING)]
            above = most if SALT in pool.unknown else map(min, highs, most)
            self._salt_is(pool, *zip(map(min, lows, most), above, strict=True))
        copper = measured(keys.get("copper", ""), COPPER_MG_L)
        if copper is None:
            return
        small, point, large = ((volume * copper,) * 2 for volume in pool.volumes)
        for agent in COPPER:
            pool.content.pop(agent, None)
            pool.unknown.discard(agent)
        pool.content[COPPER[0]] = (small, point, large)

    def _salt_is(self, pool: Pool, small: Edges, point: Edges, large: Edges) -> None:
        pool.unknown.discard(SALT)
        pool.content[SALT] = (small, point, large)

    def _told(self, keys: dict[str, str]) -> None:
        resolved = self.shelf.named(keys["agent"])
        if resolved is None:
            return
        agent, parts = resolved
        pool = self._pool(keys.get("system", "main"))
        text = keys.get("amount", "?")
        strength = measured(text, STRENGTH_MG_L)
        mass = self._mass(agent, parts, text)
        if strength is not None and pool.volumes is not None:
            small, point, large = ((volume * strength * parts,) * 2 for volume in pool.volumes)
            pool.put_in(agent, _told_edges(agent, (small, point, large)))
        elif mass is not None:
            pool.put_in(agent, _told_edges(agent, everywhere(mass, mass)))
        else:
            self._put(pool, agent, None)

    def _mass(self, agent: str, parts: Fraction, text: str) -> Fraction | None:
        """Return mg of the agent, or None: by mass, or by volume of a liquid with a label."""
        mass = measured(text, MASS_MG)
        if mass is not None:
            return mass * parts
        volume = measured(text, VOLUME_L)
        if volume is None or agent not in self.labels:
            return None
        return volume * 1000 * self.labels[agent]

    def _put(self, pool: Pool, agent: str, mass: Fraction | None) -> None:
        if mass is None:
            pool.unknown.add(agent)
            pool.put_in(agent, NOTHING)
        else:
            pool.put_in(agent, everywhere(mass, mass))

    def _ask(self, number: int, keys: dict[str, str], *, unanswered: bool) -> None:
        resolved = self.shelf.named(keys["agent"])
        if resolved is None:
            return
        agent, _ = resolved
        system = keys.get("system", "main")
        beside = keys.get("route", "prolonged") != "prolonged"
        asking = Asking(system, agent, None if beside else self._asked_mg(number), beside)
        self.askings[number] = asking
        if unanswered and not beside:
            self._put_between(self._pool(system), agent, asking.mg)

    def _asked_mg(self, number: int) -> Fraction | None:
        """Return what the answer to an asking showed, by what was typed before it."""
        row = dict(self.rows)[number]
        if (number, row) not in self.shown:
            reckoner = Reckoner(self.shelf, self.typed[: number - FIRST], shown=self.shown)
            reckoner.walk(row.minute)
            self.shown[number, row] = reckoner.to_reach(row.keys)
        return self.shown[number, row]

    def to_reach(self, keys: dict[str, str]) -> Fraction | None:
        """Return the mass [mg] that brings what is surely there up to a strength."""
        resolved = self.shelf.named(keys["agent"])
        bare, _, form = keys["strength"].partition(" as ")
        if resolved is None:
            return None
        agent, parts = resolved
        if form:
            parts = self.shelf.agents[agent].parts.get(f"as {form}", Fraction(1))
        strength = needed(bare, STRENGTH_MG_L) * parts
        pool = self._pool(keys.get("system", "main"))
        if "changed" in keys:
            return strength * needed(keys["changed"], VOLUME_L)
        if pool.volumes is None or agent in pool.unknown:
            return None
        there = pool.content.get(agent, NOTHING)[POINT][0]
        return max(Fraction(0), strength * pool.volumes[POINT] - there)

    def _done(self, number: int, keys: dict[str, str], asked: int | None) -> None:
        if "changed" in keys and not is_top_up(keys["action"]):
            self._exchange(keys)
        asking = self.askings.get(asked) if asked is not None else None
        resolved = self.shelf.named(keys.get("agent", keys["action"]))
        if resolved is None and asking is not None:
            resolved = asking.agent, Fraction(1)
        if resolved is None or (asking is not None and asking.beside):
            return
        agent, parts = resolved
        by_number = asking is not None and "index" in keys
        pool = self._pool(asking.system if asking and by_number else keys.get("system", "main"))
        if "amount" in keys or asking is None:
            self._put(pool, agent, self._mass(agent, parts, keys.get("amount", "?")))
        elif number in self.again:
            self._put_between(pool, agent, asking.mg)
        else:
            self._put(pool, agent, asking.mg)

    def _put_between(self, pool: Pool, agent: str, mass: Fraction | None) -> None:
        """Count what may have been put in, or not."""
        if mass is None:
            self._put(pool, agent, None)
        else:
            pool.put_in(agent, everywhere(Fraction(0), mass))


def is_top_up(action: str) -> bool:
    """Whether water was put back in place of what evaporated: nothing left with it."""
    return "top" in action.replace("-", " ").split() or "topped" in action.split()


def _told_edges(agent: str, mass: Mass) -> Mass:
    """Return what somebody says is in the water: when it went in, and what is left, nobody knows.

    Salt alone cannot have been lost since.
    """
    if agent == SALT:
        return mass
    small, point, large = ((Fraction(0), high) for _, high in mass)
    return small, point, large


def added_up(members: frozenset[str], measured: dict[str, Volumes | None]) -> Volumes | None:
    """Return the volumes of several waters together; None when one was never measured."""
    small = point = large = Fraction(0)
    for part in (measured[name] for name in members):
        if part is None:
            return None
        small, point, large = small + part[0], point + part[1], large + part[2]
    return small, point, large


def _piece(pool: Pool, members: frozenset[str], measured: dict[str, Volumes | None]) -> Pool:
    if members == pool.members:
        return Pool(members, pool.volumes, dict(pool.content), set(pool.unknown))
    return pool.part(members, added_up(members, measured))


def answers(
    rows: Sequence[tuple[int, Row]], shelf: Shelf
) -> tuple[dict[int, int | None], set[int]]:
    """Return which asking each row of what was done answers, and the rows that answer once more."""
    asked: list[tuple[int, Row]] = []
    closed: set[int] = set()
    again: set[int] = set()
    joined: dict[int, set[str]] = {}
    answered: dict[int, int | None] = {}
    links = Links()
    for number, row in rows:
        if "shares-water-with" in row.keys:
            links.describe(row.bare[0], row.keys["shares-water-with"])
        if row.kind == "dose":
            asked.append((number, row))
            joined[number] = links.body_of(row.keys.get("system", "main"))
        elif row.kind in (GIVEN, NOT_GIVEN, OTHER):
            asking = _answered(
                row, [pair for pair in asked if pair[0] not in closed], joined, shelf
            )
            answered[number] = asking
            if asking in closed:
                again.add(number)
            if asking is not None:
                closed.add(asking)
    return answered, again


def _answered(
    row: Row, still_open: list[tuple[int, Row]], joined: dict[int, set[str]], shelf: Shelf
) -> int | None:
    keys = row.keys
    if "index" in keys:
        wanted = int(keys["index"])
        return wanted if wanted in joined else None
    meant = shelf.named(keys.get("agent", keys["action"]))
    for number, asking in reversed(still_open):
        asked_for = shelf.named(asking.keys["agent"])
        if asked_for is None or meant is None or asked_for[0] != meant[0]:
            continue
        near = 0 <= row.minute - asking.minute <= ANSWER_WITHIN_MINUTES
        if near and keys.get("system", "main") in joined[number]:
            return number
    return None


def reckoner_at(rows: Sequence[Row], now: int, shelf: Shelf) -> Reckoner:
    """Return the reckoner as it stands at minute ``now``."""
    reckoner = Reckoner(shelf, tuple(rows))
    reckoner.walk(now)
    return reckoner


def reckon(rows: Sequence[Row], now: int, shelf: Shelf) -> dict[str, Water | None]:
    """Return the strength of every agent in every water at minute ``now`` [mg/L]."""
    return Reckoner(shelf, tuple(rows)).walk(now)
