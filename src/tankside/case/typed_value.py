"""Typed text to one field of an entry: amounts, choices, days, counts, three-state words."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass, field
from datetime import datetime

from tankside.case.parts import Amount
from tankside.errors import BadInput
from tankside.quantity import Kind, parse_count, parse_number, parse_quantity
from tankside.quantity.moment import Moment, check_moment, parse_moment

NOT_KNOWN = ("?", "not known", "not-known", "keeper does not know", "keeper_does_not_know")
NOT_LOOKED = ("not-looked", "not looked", "not_looked", "not measured", "not-measured")
NONE = "none"
PRESENT = "present"
"""Seen, and no more said of it."""
NEVER = "never"
ALONE = (NONE, NOT_KNOWN[0])
"""What may be typed in place of an entry: there is none, or the keeper does not know."""


@dataclass(frozen=True, slots=True)
class Door:
    """What typed text needs to be understood.

    Args:
        zone: IANA zone of the tank, for times typed without offset.
        now: the present, with zone.
        opened: when the case began; None while it is being opened.
        standing_at: when an entry without ``on`` happened.
        comma_declared: the file that is read declares a decimal comma.
        groups: groups of stock described so far, each with what people call it; a group outside
            them is a slip.
        systems: systems described so far.
        system_of_step: from the name of a step of a course to the system it is done in; "" where
            the case has no such step.
    """

    zone: str
    now: datetime
    opened: Moment | None
    standing_at: Moment
    comma_declared: bool = False
    groups: Mapping[str, str] = field(default_factory=dict)
    systems: tuple[str, ...] = ()
    system_of_step: Callable[[str], str] = lambda name: ""


Fields = dict[str, object]
"""Fields of an entry as a case file holds them."""

Typed = tuple[str, str]
"""A typed word: its key ("" for a value without one) and its text."""

Parser = Callable[[str, str, Door], object]


def refuse(code: str, message: str, typed: object, needed: str, field: str) -> BadInput:
    """Return the refusal of a typed word."""
    next_step = "Type it again; nothing was saved."
    return BadInput(code, message, given=typed, needed=needed, next_step=next_step, field=field)


def amount(*kinds: Kind) -> Parser:
    """Return the parser of a number with its unit."""

    def parse(text: str, field: str, door: Door) -> object:
        wanted = kinds[0] if len(kinds) == 1 else kinds
        typed = parse_quantity(text, wanted, field=field, comma_declared=door.comma_declared)
        return amount_fields(Amount.of(typed))

    return parse


def amount_fields(typed: Amount) -> dict[str, object]:
    """Return an amount as the fields of a case file."""
    return typed.model_dump(exclude_none=True)


def words(text: str, field: str, door: Door) -> object:
    """Take text as it is."""
    del field, door
    return text


def names(text: str, field: str, door: Door) -> object:
    """Take a list of names separated by commas."""
    del field, door
    return [part.strip() for part in text.split(",")]


def count(text: str, field: str, door: Door) -> object:
    """Read a whole number; ``none`` is 0."""
    del door
    return 0 if text == NONE else parse_count(text, field=field)


def yes_no(text: str, field: str, door: Door) -> object:
    """Read yes, no, or ? for "keeper does not know"."""
    del door
    if text in NOT_KNOWN:
        return "keeper_does_not_know"
    if text in ("yes", "no"):
        return text
    needed = "yes, no or ? (keeper does not know); leave it out when not asked"
    raise refuse("E-WORD-02", "Only yes, no or ? can be answered here.", text, needed, field)


def choice(*allowed: str) -> Parser:
    """Return the parser of one word of a closed list; blanks and hyphens count as underscore."""

    def parse(text: str, field: str, door: Door) -> object:
        del door
        if text in NOT_KNOWN and "keeper_does_not_know" in allowed:
            return "keeper_does_not_know"
        plain = re.sub(r"[ -]", "_", text.strip())
        if plain not in allowed:
            needed = "one of: " + ", ".join(allowed)
            raise refuse(
                "E-WORD-02", "This is not one of the words to choose from.", text, needed, field
            )
        return plain

    return parse


def day(text: str, field: str, door: Door) -> object:
    """Read a day or moment that lies in the past (an arrival)."""
    value = parse_moment(text, field=field, zone=door.zone)
    check_moment(value, field=field, now=door.now)
    return value.text


def day_or_never(text: str, field: str, door: Door) -> object:
    """Read a day that lies in the past, or never."""
    return NEVER if text in (NEVER, NONE) else day(text, field, door)


def moment(text: str, field: str, door: Door) -> object:
    """Read a day or moment that may lie ahead (the start of a course)."""
    return parse_moment(text, field=field, zone=door.zone).text


def key(text: str, field: str, door: Door) -> object:
    """Read a short id; blanks and hyphens become underscores."""
    del field, door
    return slug(text)


def group(text: str, field: str, door: Door) -> object:
    """Read the id of a group of stock; once any is described it must be one of them."""
    return _described(text, door.groups, "group of stock", field)


def system(text: str, field: str, door: Door) -> object:
    """Read the id of a system; once any is described it must be one of them."""
    return _described(text, door.systems, "system", field)


def _described(text: str, choices: Collection[str], what: str, field: str) -> str:
    name = slug(text)
    if choices and name not in choices:
        message = f"The case describes no such {what}."
        raise refuse("E-WORD-02", message, text, "one of: " + ", ".join(choices), field)
    return name


def slug(text: str) -> str:
    """Return a short id made from a name."""
    return re.sub(r"[\W_]+", "_", text.strip().lower()).strip("_")


def reading(*kinds: Kind) -> Parser:
    """Return the parser of one line of a water test: a value, not looked, or not known."""
    parse_amount = amount(*kinds)

    def parse(text: str, field: str, door: Door) -> object:
        if text in NOT_KNOWN:
            return {"state": "keeper_does_not_know"}
        if text in NOT_LOOKED:
            return {"state": "not_looked"}
        return {"amount": parse_amount(text, field, door)}

    return parse


def amount_or_not_known(*kinds: Kind) -> Parser:
    """Return the parser of an amount that was asked for and may not be known."""
    parse_amount = amount(*kinds)

    def parse(text: str, field: str, door: Door) -> object:
        if text in NOT_KNOWN:
            return {"amount_state": "keeper_does_not_know"}
        return {"amount_state": "answered", "amount": parse_amount(text, field, door)}

    return parse


def bare_state(text: str) -> str | None:
    """Read ``none`` or ``?`` typed in place of an entry; None when it is neither."""
    return NONE if text == NONE else "keeper_does_not_know" if text in NOT_KNOWN else None


def looked(finding: str, text: str) -> dict[str, object]:
    """Read the answer to a finding: ``grain``, ``grain, dust``, ``none``, ``?``, ``7 seen``.

    A whole number in front of the answer is how many were seen; ``2 of 5`` how many fish of those
    looked at showed it, with the answer behind it or without one (then it is ``present``).
    """
    if text in NOT_KNOWN:
        return {"finding": finding, "state": "keeper_does_not_know"}
    if text in NOT_LOOKED:
        return {"finding": finding, "state": "not_looked"}
    if text == NONE:
        return {"finding": finding, "state": "none"}
    value: dict[str, object] = {"finding": finding, "state": "answered"}
    shared = re.fullmatch(r"([0-9]\S*) of ([0-9]\S*)( .*)?", text)
    if shared:
        value |= share(finding, shared.group(1), shared.group(2))
        if not value["infected"]:
            return value | {"state": "none"}
        text = (shared.group(3) or PRESENT).strip()
    numbered = None if shared else re.fullmatch(r"(\S+) +(\S.*)", text)
    if numbered and re.match(r"[-+]?[0-9.,]+$", numbered.group(1)):
        value["number"] = parse_count(numbered.group(1), field=finding)
        text = numbered.group(2)
    answers = answer_parts(text)
    if not all(answers):
        needed = "an answer, several separated by commas, none, not-looked or ?"
        raise refuse("E-WORD-02", "An answer is missing.", text, needed, finding)
    return value | {"answers": answers}


def share(field: str, part: str, whole: str) -> dict[str, int]:
    """Read how many fish of those looked at showed something: ``2`` and ``5``."""
    infected, examined = (parse_count(text, field=field) for text in (part, whole))
    if not (examined or infected):
        needed = "how many of at least one fish, for example 0 of 5"
        raise refuse("E-COUNT-01", "No fish was looked at.", f"{part} of {whole}", needed, field)
    return {"infected": infected, "examined": examined}


def answer_parts(text: str) -> list[str]:
    """Return typed answers as short ids, those separated by commas or "or" one by one."""
    return [slug(part) for part in re.split(r",| or ", text)]


def counted(what: str, text: str, door: Door) -> dict[str, object]:
    """Read a count: ``61``, ``none``, ``mean 5.5``, ``0 of 5``, ``not-looked`` or ``?``."""
    value: dict[str, object] = {"what": what}
    if text == NONE:
        return value | {"number": 0}
    if text in NOT_KNOWN:
        return value | {"state": "keeper_does_not_know"}
    if text in NOT_LOOKED:
        return value | {"state": "not_looked"}
    shared = re.fullmatch(r"(\S+) of (\S+)", text)
    if shared:
        return value | share(what, *shared.groups())
    if text.startswith("mean "):
        comma = door.comma_declared
        mean = parse_number(text.removeprefix("mean "), field=what, comma_declared=comma)
        return value | {"mean": str(mean)}
    return value | {"number": parse_count(text, field=what)}


def hose(text: str, field: str, door: Door) -> object:
    """Read ``14 L/min for 12.5 min``."""
    flow, _, time = text.partition(" for ")
    if not time:
        needed = "a flow and a time, for example 14 L/min for 12.5 min"
        raise refuse("E-WORD-02", "Give the flow and how long it ran.", text, needed, field)
    return {
        "method": "hose",
        "flow": amount(Kind.FLOW)(flow, field, door),
        "time": amount(Kind.TIME)(time, field, door),
    }


def salt_rise(text: str, field: str, door: Door) -> object:
    """Read ``500 g raised 0.90 g/L``."""
    salt, _, rise = text.partition(" raised ")
    if not rise:
        needed = "a mass and the rise, for example 500 g raised 0.90 g/L"
        raise refuse("E-WORD-02", "Give the salt and the rise in salinity.", text, needed, field)
    return {
        "method": "salt_rise",
        "salt": amount(Kind.MASS)(salt, field, door),
        "rise": amount(Kind.SALINITY)(rise, field, door),
    }


def room(text: str, field: str, door: Door) -> object:
    """Read ``11 L gravel``: a volume and what takes or adds it."""
    typed = re.fullmatch(r"(\S+ (?:US gal|imperial gal|\S+)) +(\S.*)", text.strip())
    if not typed:
        amount(Kind.VOLUME)(text, field, door)
        needed = "a volume and a name, for example 11 L gravel"
        raise refuse("E-WORD-02", "Say what this volume belongs to.", text, needed, field)
    return {"volume": amount(Kind.VOLUME)(typed.group(1), field, door), "what": typed.group(2)}


def told(method: str) -> Parser:
    """Return the parser of a volume read from a meter, a label, or told by the keeper."""

    def parse(text: str, field: str, door: Door) -> object:
        return {"method": method, "volume": amount(Kind.VOLUME)(text, field, door)}

    return parse
