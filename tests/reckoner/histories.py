"""Random histories of one to four waters, each a list of lines as a person would type them."""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from tests.reckoner.typed_words import FIRST, MONTH_LENGTHS, Row

SYSTEMS = ("main", "side", "quiet", "shed")
OPENED_DAY, MONTH = 2, 3
DAY = 24 * 60
MARCH = sum(MONTH_LENGTHS[: MONTH - 1]) * DAY
"""Minute of the year at which March begins."""
SALTS = ("sodium_chloride", "NaCl", "cooking salt", "Kochsalz", "rock salt")
POWDERS = {
    "praziquantel": ("0.1 g", "250 mg", "35 mg"),
    "metronidazole": ("0.5 g", "0.9 g"),
    "chloroquine": ("1 g", "700 mg"),
    "diflubenzuron": ("2 mg", "5 mg"),
    "potassium_permanganate": ("120 mg", "0.15 g"),
    "bluestone": ("60 mg", "0.1 g"),
    "copper_ionic": ("12 mg", "20 mg"),
}
"""Names of what is weighed in, and amounts."""
LIQUIDS = {"methylene_blue": ("20 mL", "12.5 mL", "0.01 L"), "formalin": ("2 mL", "3.5 mL")}
LABELS = (
    ("methylene_blue", "1 % w/v as methylene blue trihydrate", "syringe=0.01 mL"),
    ("formalin", "37 % w/v as formaldehyde", "syringe=0.01 mL", "clear-solution=yes"),
    ("sodium_chloride", "pure", "scale=0.01 g"),
    ("praziquantel", "pure", "scale=0.001 g", "predissolve=yes"),
    ("metronidazole", "pure", "scale=0.001 g"),
)
STOCK = (
    "name=zebra danio", "host=danio_rerio", "count=6", "length=4 cm", "life-stage=adult",
    "gill-damage=no",
)  # fmt: skip
CLEAN = (
    "temperature=24 C", "ph=7.4", "oxygen=7.5 mg/L", "kh=8 dH", "ammonia=0 mg/L as N",
    "nitrite=0 mg/L as N",
)  # fmt: skip
LASTING = ("system", "label", "stock")
"""Kinds that are not taken back: without them nothing can be told of a water."""
FORMS = ("methylene blue", "formaldehyde", "anhydrous copper sulphate")
"""Names of which some tell a form, for a logged mass."""
STRENGTHS = {
    "sodium_chloride": ("0.5 g/L", "1 g/L", "1500 mg/L", "2 g/L"),
    "praziquantel": ("2 mg/L", "1.5 mg/L"),
    "metronidazole": ("5 mg/L",),
    "methylene_blue": ("1 mg/L as methylene blue trihydrate", "2 mg/L as methylene blue anhydrous"),
    "formalin": ("15 mg/L", "4 mg/L as formaldehyde"),
}
"""What is asked for; each agent is then logged with a number or by the asking alone."""
SALT_AMOUNTS = ("50 g", "120 g", "0.2 kg", "75500 mg", "0.5 lb")
CHANGES = ("10 L", "25.5 L", "7 US gal", "4 imperial gal", "60 L", "0.04 m3", "900 mL")
SALT_READINGS = ("salinity=1.2 g/L", "salinity=0.35 g/L", "salinity=0 g/L", "chloride=400 mg/L",
                 "chloride=25 mg/L", "chloride=1500 mg/L")  # fmt: skip
READINGS = ("0.18 mg/L as Cu", "0.05 mg/L as Cu", "0.4 mg/L as CuSO4.5H2O", "0 mg/L as Cu", "?")


def moment(minute: int) -> str:
    """Return the minute of the year as it is typed; all lie in March."""
    day, rest = divmod(minute - MARCH, DAY)
    return f"2026-03-{day + 1:02d}T{rest // 60:02d}:{rest % 60:02d}"


@dataclass
class History:
    """Lines in the order of typing; ``now`` is when the amount is asked about."""

    seed: int
    rows: list[Row]
    now: int


@dataclass
class Storyteller:
    """Draws what happens next, and keeps what must be kept in mind to type on."""

    draw: random.Random
    joins: bool
    moves: bool
    rows: list[Row] = field(default_factory=list)
    minute: int = MARCH + OPENED_DAY * DAY
    names: tuple[str, ...] = ()
    open_asking: int | None = None
    asked: list[int] = field(default_factory=list)
    times: set[int] = field(default_factory=set)

    def tell(self, seed: int) -> History:
        """Return one history: waters and labels first, then 3 to 14 things that happened."""
        self.names = SYSTEMS[: self.draw.choice((1, 1, 2, 3, 4))]
        for name in self.names:
            self._type("system", name, *self._measuring(), *self._equipment(name))
            self._type("stock", f"danio-{name}", *STOCK, f"system={name}")
        for agent, strength, *more in LABELS:
            self._type("label", f"agent={agent}", f"strength={strength}", *more)
        for _ in range(self.draw.randint(3, 14)):
            self.minute += self.draw.choice((7, 55, 300, DAY, 2 * DAY // 3))
            self.draw.choice(self._turns())()
        later = self.draw.choice((0, 3, 60, 20 * 60, 3 * DAY))
        return History(seed, self.rows, max(self.minute, max(self.times)) + later)

    def _turns(self) -> Sequence[Callable[[], None]]:
        turns = [self._log, self._log, self._change, self._told, self._read, self._no_matter]
        turns += [self._replace, self._void, self._equip, self._ask, self._ask]
        if self.open_asking is not None:
            turns += [self._answer] * 6
        elif self.asked:
            turns.append(self._once_more)
        if self.joins and len(self.names) > 1:
            turns += [self._join, self._join, self._part]
        if self.moves and len(self.names) > 1:
            turns += [self._move] * 3
        return turns

    def _type(self, kind: str, *words: str, late: bool = False) -> int:
        at = self.minute
        if late:
            at -= self.draw.randint(1, max(1, at - MARCH - OPENED_DAY * DAY - 60))
        while at in self.times:
            at += 1
        self.times.add(at)
        self.minute = max(self.minute, at)
        self.rows.append(Row((kind, *words, f"on={moment(at)}")))
        return len(self.rows) + FIRST - 1

    def _system(self) -> str:
        return self.draw.choice(self.names)

    def _where(self) -> str:
        return f"system={self._system()}"

    def _late(self) -> bool:
        return self.draw.random() < 0.2

    def _measuring(self) -> list[str]:
        box = [
            f"inside-length={self.draw.choice((60, 80, 100))} cm", "inside-width=40.5 cm",
            "water-height=0.4 m", f"takes-away={self.draw.choice((2, 3.5))} L gravel",
            "adds=1.5 L filter",
        ]  # fmt: skip
        meter = [f"meter={self.draw.choice((97, 118, 142.5, 210))} L"]
        salt = [f"salt-rise={self.draw.choice((40, 75))} g raised 0.5 g/L"]
        hose = [f"hose={self.draw.choice((8, 10))} L/min for 12.5 min"]
        both = [*hose, f"meter={self.draw.choice((105, 115))} L", "volume-by=meter"]
        return self.draw.choice((box, meter, salt, hose, both))

    def _equipment(self, name: str) -> list[str]:
        use = "main" if name == "main" else self.draw.choice(("main", "hospital", "quarantine"))
        life = ["uv=no", "plants=no", "invertebrates=no", "filter-ripe=yes", "food-fish=no"]
        return [
            f"use={use}",
            *life,
            *self.draw.choice(([], ["carbon=no"], ["carbon=yes"], ["carbon=?"])),
        ]

    def _equip(self) -> None:
        self._type("system", self._system(), f"carbon={self.draw.choice(('yes', 'no'))}")

    def _given(self) -> tuple[str, str]:
        kind = self.draw.random()
        if kind < 0.45:
            return self.draw.choice(SALTS), self.draw.choice(SALT_AMOUNTS)
        if kind < 0.75:
            name = self.draw.choice(list(POWDERS))
            return name, self.draw.choice(POWDERS[name])
        if kind < 0.9:
            name = self.draw.choice(list(LIQUIDS))
            return name, self.draw.choice(LIQUIDS[name])
        return self.draw.choice(FORMS), self.draw.choice(("150 mg", "0.2 g"))

    def _log(self) -> None:
        agent, amount = self._given()
        words = [f"action={agent}", f"agent={agent}", f"amount={amount}", self._where()]
        kind = self.draw.choice(("done", "done", "other-amount", "not-done"))
        if self.draw.random() < 0.1 and kind != "other-amount":
            words.remove(f"amount={amount}")
        if self.draw.random() < 0.2:
            words.remove(f"agent={agent}")
        self._type(kind, *words, late=self._late())

    def _change(self) -> None:
        litres = f"changed={self.draw.choice(CHANGES)}"
        late = self._late()
        if self.draw.random() < 0.5:
            self._type("event", "what=water change", litres, self._where(), late=late)
        else:
            kind = self.draw.choice(("done", "done", "not-done"))
            self._type(kind, "action=water change", litres, self._where(), late=late)

    def _move(self) -> None:
        """Carry water from one tank into another."""
        name, other = self.draw.sample(self.names, 2)
        words = [self.draw.choice(CHANGES), f"from={name}", f"to={other}"]
        for key in ("room-made", "refilled"):
            words += self.draw.choice(([], [f"{key}=yes"], [f"{key}=no"], [f"{key}=?"]))
        self._type("water-moved", *words, late=self._late())

    def _told(self) -> None:
        agent, amount = self._given()
        amount = self.draw.choice((amount, amount, "2.5 mg/L" if agent not in LIQUIDS else amount))
        amount = "?" if self.draw.random() < 0.05 else amount
        self._type(
            "in-water", f"agent={agent}", f"amount={amount}", self._where(), late=self._late()
        )

    def _read(self) -> None:
        sample = self.draw.choice(([], [], ["sample=tank"], ["sample=tap"]))
        copper = f"copper={self.draw.choice(READINGS)}"
        reading = copper if self.draw.random() < 0.6 else self.draw.choice(SALT_READINGS)
        self._type("water", reading, self._where(), *sample, late=self._late())

    def _no_matter(self) -> None:
        """Type something that moves no substance: fish moved, a look, evaporated water put back."""
        where = self._where()
        self.draw.choice((
            lambda: self._type("event", "what=fish moved to the other tank", where),
            lambda: self._type("event", "what=topped up what evaporated", "topic=top-up", where),
            lambda: self._type("event", "what=topped up", "topped-up=12 L", where),
            lambda: self._type("water", "ph=7.4", "copper=not-looked", where),
            lambda: self._type("note", "water looks clear"),
        ))()  # fmt: skip

    def _ask(self) -> None:
        if self.open_asking is not None:
            return
        agent = self.draw.choice(("sodium_chloride", "sodium_chloride", *STRENGTHS))
        where = self._where()
        if self.draw.random() < 0.7:
            self._type("water", *CLEAN, where)
        words = [f"agent={agent}", f"strength={self.draw.choice(STRENGTHS[agent])}", where]
        if self.draw.random() < 0.2:
            words.append("changed=20 L")
        if self.draw.random() < 0.1:
            words += ["route=bath", "minutes=30 min"]
        self.open_asking = self._type("dose", *words)
        self.asked.append(self.open_asking)

    def _answer(self) -> None:
        number, self.open_asking = self.open_asking, None
        keys = self.rows[(number or 0) - FIRST].keys
        agent, system = keys["agent"], f"system={keys['system']}"
        by = self.draw.choice(
            ([f"agent={agent}"], [f"index={number}"], [f"index={number}", system])
        )
        if by[0].startswith("agent"):
            by = [*by, system]
        kind = self.draw.choice(("done", "done", "not-done", "other-amount"))
        amount = self.draw.choice(("30 g", "0.1 g", "150 mg"))
        amounts = [f"amount={amount}"] if kind == "other-amount" else []
        self._type(kind, f"action={agent}", *by, *amounts)

    def _once_more(self) -> None:
        number = self.draw.choice(self.asked)
        keys = self.rows[number - FIRST].keys
        self._type("done", f"action={keys['agent']}", f"index={number}", f"system={keys['system']}")

    def _replace(self) -> None:
        """Correct one earlier line: the same kind, told anew, at its own time or another."""
        kinds = ("done", "event", "in-water", "water", "water-moved")
        numbers = [
            number for number, row in enumerate(self.rows, FIRST)
            if row.kind in kinds and row.of is None and "index" not in row.keys
        ]  # fmt: skip
        if not numbers:
            return
        number = self.draw.choice(numbers)
        old = self.rows[number - FIRST]
        anew = {"changed": f"changed={self.draw.choice(CHANGES)}", "amount": "amount=90 mg"}
        words = [anew.get(word.split("=", 1)[0], word) for word in old.words]
        self.rows.append(Row(tuple(words), number))

    def _void(self) -> None:
        numbers = [
            number for number, row in enumerate(self.rows, FIRST)
            if row.of is None and row.kind not in LASTING and number != self.open_asking
        ]  # fmt: skip
        if numbers:
            self.rows.append(Row((), self.draw.choice(numbers)))

    def _join(self) -> None:
        name, other = self.draw.sample(self.names, 2)
        self._type("system", name, f"shares-water-with={other}")

    def _part(self) -> None:
        self._type("system", self._system(), "shares-water-with=none")


def history(seed: int, *, joins: bool) -> History:
    """Return the history of a seed; ``joins`` has waters joined and parted on the way.

    In every other one of either sort water is carried from one tank into another.
    """
    return Storyteller(random.Random(seed), joins, moves=seed % 4 > 1).tell(seed)
