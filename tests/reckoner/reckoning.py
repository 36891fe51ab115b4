"""The independent reckoner: what is in every water of a case, from what was typed alone.

It uses nothing of the program. Exact fractions where nothing decays, 45 digits where something does.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from tests.reckoner.joined_waters import Links
from tests.reckoner.pool import NOTHING, PLACES, Mass, Pool, Volumes, everywhere
from tests.reckoner.printed_rates import SALT, Shelf
from tests.reckoner.typed_words import (
    COPPER_MG_L,
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
Water = dict[str, Mass | None]
"""Strength of each agent [mg/L]; None where nobody can say."""
GIVEN, NOT_GIVEN, OTHER = "done", "not-done", "other-amount"
ML_OF_A_PART_PER_MG = 10
"""1 % w/v is 10 mg in each mL."""


@dataclass
class Asking:
    """One amount asked for: how much it was, and whether anybody answered."""

    system: str
    agent: str
    amount: tuple[Fraction, Fraction] | None
    beside: bool


@dataclass
class Reckoner:
    """Walk the standing rows in the order in which they happened."""

    shelf: Shelf
    rows: list[tuple[int, Row]]
    described: dict[str, list[str]] = field(default_factory=dict)
    links: Links = field(default_factory=Links)
    pools: list[Pool] = field(default_factory=list)
    askings: dict[int, Asking] = field(default_factory=dict)
    labels: dict[str, Fraction] = field(default_factory=dict)
    minute: int = 0

    def walk(self, now: int) -> dict[str, Water | None]:
        """Return what is in each water at minute ``now``; None for one that was not measured."""
        answered = answers(self.rows, self.shelf)
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
        elif row.kind == "water":
            self._read(keys)
        elif row.kind == "in-water" and "agent" in keys:
            self._told(keys)
        elif row.kind == "dose":
            self._ask(number, keys, unanswered=number not in answered.values())
        elif row.kind in (GIVEN, OTHER):
            self._done(keys, answered.get(number))

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
        copper = measured(keys.get("copper", ""), COPPER_MG_L)
        pool = self._pool(keys.get("system", "main"))
        if copper is None or pool.volumes is None:
            return
        small, point, large = ((volume * copper,) * 2 for volume in pool.volumes)
        for agent in COPPER:
            pool.content.pop(agent, None)
            pool.unknown.discard(agent)
        pool.content[COPPER[0]] = (small, point, large)

    def _told(self, keys: dict[str, str]) -> None:
        resolved = self.shelf.named(keys["agent"])
        if resolved is None:
            return
        agent, parts = resolved
        pool = self._pool(keys.get("system", "main"))
        text = keys.get("amount", "?")
        strength = measured(text, STRENGTH_MG_L)
        if strength is not None and pool.volumes is not None:
            small, point, large = ((volume * strength * parts,) * 2 for volume in pool.volumes)
            pool.put_in(agent, (small, point, large))
            return
        self._put(pool, agent, self._mass(agent, parts, text))

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
        strength = measured(" ".join(keys["strength"].split()[:2]), STRENGTH_MG_L)
        if resolved is None or strength is None:
            return
        agent, _ = resolved
        system = keys.get("system", "main")
        pool = self._pool(system)
        amount = _asked(pool, agent, strength, keys)
        beside = keys.get("route", "prolonged") != "prolonged"
        self.askings[number] = Asking(system, agent, amount, beside)
        if not unanswered or beside:
            return
        if amount is None:
            pool.unknown.add(agent)
            pool.put_in(agent, NOTHING)
        else:
            pool.put_in(agent, everywhere(Fraction(0), amount[1]))

    def _done(self, keys: dict[str, str], answers_number: int | None) -> None:
        if "changed" in keys and "top" not in keys["action"]:
            self._exchange(keys)
        asking = self.askings.get(answers_number) if answers_number is not None else None
        resolved = self.shelf.named(keys["agent"]) if "agent" in keys else None
        if resolved is None and asking is not None:
            resolved = asking.agent, Fraction(1)
        if resolved is None or (asking is not None and asking.beside):
            return
        agent, parts = resolved
        pool = self._pool(keys.get("system", asking.system if asking else "main"))
        if "amount" in keys or asking is None or asking.amount is None:
            self._put(pool, agent, self._mass(agent, parts, keys.get("amount", "?")))
        else:
            pool.put_in(agent, everywhere(*asking.amount))


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


def _asked(
    pool: Pool, agent: str, strength: Fraction, keys: dict[str, str]
) -> tuple[Fraction, Fraction] | None:
    """Return (low, high) mg of what was asked; what was there already was not weighed again."""
    if "changed" in keys:
        mass = strength * needed(keys["changed"], VOLUME_L)
        return mass, mass
    if pool.volumes is None or agent in pool.unknown:
        return None
    there_low, there_high = pool.content.get(agent, NOTHING)[PLACES[1]]
    full = strength * pool.volumes[1]
    return max(Fraction(0), full - there_high), max(Fraction(0), full - there_low)


def answers(rows: Sequence[tuple[int, Row]], shelf: Shelf) -> dict[int, int | None]:
    """Return for each row of what was done the asking that it answers, if any."""
    asked: list[tuple[int, Row]] = []
    closed: set[int] = set()
    found: dict[int, int | None] = {}
    for number, row in rows:
        if row.kind == "dose":
            asked.append((number, row))
        elif row.kind in (GIVEN, NOT_GIVEN, OTHER):
            found[number] = _answered(row, asked, closed, shelf)
            if found[number] is not None:
                closed.add(found[number] or 0)
    return found


def _answered(
    row: Row, asked: list[tuple[int, Row]], closed: set[int], shelf: Shelf
) -> int | None:
    keys = row.keys
    if "index" in keys:
        wanted = int(keys["index"])
        return wanted if any(number == wanted for number, _ in asked) else None
    if "agent" not in keys:
        return None
    for number, asking in reversed(asked):
        same = shelf.named(asking.keys["agent"]), shelf.named(keys["agent"])
        if number in closed or same[0] is None or same[1] is None or same[0][0] != same[1][0]:
            continue
        if keys.get("system", "main") == asking.keys.get("system", "main"):
            return number
    return None


def reckon(rows: Sequence[Row], now: int, shelf: Shelf) -> dict[str, Water | None]:
    """Return the strength of every agent in every water at minute ``now`` [mg/L]."""
    return Reckoner(shelf, standing(rows)).walk(now)
