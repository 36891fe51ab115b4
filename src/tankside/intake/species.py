"""Which kind on file a name means: that kind itself, a stand-in that is named, or none."""

from __future__ import annotations

import difflib
import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import chain

from tankside.case import CaseView, StockView
from tankside.case.described import StockDescribed
from tankside.case.entry import Entry
from tankside.case.typed_value import Fields
from tankside.claims import Host, Knowledge
from tankside.errors import BadInput

OTHER_ANIMALS = "practice.other_animals"
NEAR, MOST_NEAR = 0.8, 5
"""How alike two names must be to be taken for one misspelt; near names that are listed."""
_PLURALS = (("ies", "y"), ("fishes", "fish"), ("s", ""))


@dataclass(frozen=True, slots=True)
class Species:
    """What a name means.

    Args:
        host: the kind on file that is reckoned with; None where there is none.
        stands_in: it is another kind than was named, and stands in for it.
    """

    host: Host | None
    stands_in: bool = False


def species(hosts: Mapping[str, Host], host_id: str | None, name: str) -> Species:
    """Return the kind on file that stands for a group of animals.

    The kind told as such comes first. Else the name: that of a kind on file; one that holds every
    word told and is the only such kind ("bristlenose" for bristlenose catfish). What follows is a
    stand-in: the most delicate of several such kinds; a relative of the genus told ("panda
    corydoras"); the kind whose name ends the name told ("red-cap oranda").

    Args:
        hosts: kinds of animals by id.
        host_id: the kind as told; None when only the name was.
        name: what the keeper calls them.
    """
    if host_id is not None and (chosen := host_named(hosts, host_id)) is not None:
        return Species(chosen, _plain(name) not in _names(chosen) | _parts(hosts, chosen))
    every_host = tuple(hosts.values())
    wanted = _plain(name)
    words = set(wanted.split())
    exact = [host for host in every_host if wanted in _names(host)]
    if exact:
        return Species(max(exact, key=_delicate))
    holding = [host for host in every_host if words and words <= set(_plain(host.name).split())]
    if holding:
        return Species(max(holding, key=_delicate), len(holding) > 1)
    genus = [host for host in every_host if host.latin and _plain(host.latin.split()[0]) in words]
    ending = [host for host in every_host if _ends_with(wanted, host)]
    for matching in (genus, ending):
        if matching:
            return Species(max(matching, key=_delicate), True)
    return Species(None)


def find_host(hosts: Mapping[str, Host], host_id: str | None, name: str) -> Host | None:
    """Return the kind on file that is reckoned with for a name; None where there is none."""
    return species(hosts, host_id, name).host


def host_named(hosts: Mapping[str, Host], typed: str) -> Host | None:
    """Return the kind on file of that very id or name; None where there is none."""
    if typed in hosts:
        return hosts[typed]
    exact = [host for host in hosts.values() if _plain(typed) in _names(host)]
    return max(exact, key=_delicate) if exact else None


def near_names(hosts: Iterable[Host], name: str) -> tuple[str, ...]:
    """Return names on file that are spelt nearly alike, else kinds of the group it ends with."""
    listed = tuple(hosts)
    by_name = {_plain(text): host.name for host in listed for text in _spellings(host)}
    alike = difflib.get_close_matches(_plain(name), by_name, MOST_NEAR, NEAR)
    if alike:
        return tuple(dict.fromkeys(by_name[text] for text in alike))
    last = _plain(name).split()[-1:]
    group = [host.name for host in listed if _plain(host.group).split()[-1:] == last]
    return tuple(group[:MOST_NEAR])


def settled(
    typed: Sequence[Fields], facts: Knowledge, before: Callable[[], CaseView]
) -> list[Fields]:
    """Hold typed groups of animals to the kinds on file; a kind told is kept by its id.

    Args:
        typed: fields of entries from a door where people type.
        facts: the kinds on file.
        before: returns the case so far.

    Raises:
        BadInput: E-HOST-01 no such kind, or a name that is misspelt; E-HOST-02 an animal of which
            nothing is known here.
    """
    return [_settled(f, facts, before) if f.get("kind") == "stock" else f for f in typed]


def _settled(fields: Fields, facts: Knowledge, before: Callable[[], CaseView]) -> Fields:
    name, host_id = str(fields.get("name", "")), fields.get("host")
    if host_id is not None:
        chosen = host_named(facts.hosts, str(host_id))
        if chosen is None:
            raise _no_kind(facts, str(host_id), "host")
        return fields | {"host": chosen.id}
    standing = before().stock.get(str(fields.get("group", "")))
    renewed = standing is not None and name in (standing.description.name, "")
    if renewed or species(facts.hosts, None, name).host is not None:
        return fields
    _refuse_other_animal(facts, name)
    asked = fields.get("not_known")
    kept = isinstance(asked, list) and "host" in asked
    if not kept and difflib.get_close_matches(_plain(name), _every_name(facts), 1, NEAR):
        raise _no_kind(facts, name, "name")
    return fields


def _every_name(facts: Knowledge) -> list[str]:
    return [_plain(text) for host in facts.hosts.values() for text in _spellings(host)]


def _no_kind(facts: Knowledge, typed: str, field: str) -> BadInput:
    near = ", ".join(near_names(facts.hosts.values(), typed.replace("_", " ")))
    return BadInput(
        "E-HOST-01",
        "No kind of animal or plant on file has that name.",
        given=typed,
        needed=f"perhaps {near}" if near else "a kind that tankside knowledge kinds lists",
        next_step="Type it again with host= and a kind on file that is most like it, or with "
        "host=? to keep it as a kind of which nothing is known; nothing was saved.",
        field=field,
    )


def _refuse_other_animal(facts: Knowledge, name: str) -> None:
    for kind, names in facts.words_under(OTHER_ANIMALS).items():
        called = (_plain(text) for text in names.split(","))
        if any(re.search(rf"(^| ){re.escape(word)}( |$)", _plain(name)) for word in called):
            raise BadInput(
                "E-HOST-02",
                f"Nothing here holds for an animal of this kind ({kind}): it is no fish, and what "
                "fish bear may kill it.",
                given=name,
                needed="fish, shrimps, snails and the like, corals or plants",
                next_step="Keep it out of any water that is treated and ask a veterinarian for "
                "it; a note of the case can say that it is there.",
                field="name",
            )


def kinds_read(entries: Iterable[Entry], view: CaseView, facts: Knowledge) -> list[str]:
    """Return one note for each new group that is not the kind on file it is reckoned as.

    Args:
        entries: entries just added.
        view: the case with them.
        facts: the kinds on file.
    """
    groups = dict.fromkeys(e.group for e in entries if isinstance(e, StockDescribed))
    standing = (view.stock[group] for group in groups if group in view.stock)
    return [words for group in standing if (words := reckoned_as(group, facts, view.opened.water))]


def reckoned_as(group: StockView, facts: Knowledge, water: str) -> str:
    """Say which kind stands in for a group, or that none does; "" where it is the kind itself."""
    name, host_id = group.description.name, group.description.host
    meant = species(facts.hosts, host_id, name)
    if meant.host is None:
        near = ", ".join(near_names(facts.hosts.values(), name))
        listed = f" Perhaps {near}: name it with host=." if near else ""
        return (
            f"{name}: not on file, so nothing is known of what they bear or catch, and they are "
            f"treated with care.{listed}"
        )
    shown = f"{meant.host.name} ({meant.host.latin})" if meant.host.latin else meant.host.name
    if meant.stands_in:
        return (
            f"{name}: not on file by that name; {shown} stands in for them wherever a figure or "
            "the odds of a disease depend on the kind. Name another with host=."
        )
    if _other_water(meant.host, water):
        return f"{name}: {shown} lives in {meant.host.water} water, and this case is {water}."
    return ""


def stand_ins(view: CaseView, facts: Knowledge) -> tuple[str, ...]:
    """Return what is to be said of every group that is not the kind it is reckoned as."""
    groups = (group for group in view.stock.values() if group.alive != 0)
    said = (reckoned_as(group, facts, view.opened.water) for group in groups)
    return tuple(words for words in said if words)


def _other_water(host: Host, water: str) -> bool:
    return water in ("fresh", "marine") and host.water not in (water, "brackish")


def _ends_with(wanted: str, host: Host) -> bool:
    return any(wanted.endswith(f" {name}") for name in _names(host))


def _parts(hosts: Mapping[str, Host], chosen: Host) -> set[str]:
    """Return the parts of its name that only this kind has."""
    words = set(_plain(chosen.name).split())
    others = set(chain.from_iterable(_plain(h.name).split() for h in hosts.values() if h != chosen))
    return words - others


def _spellings(host: Host) -> tuple[str, ...]:
    return (host.name, *([host.latin] if host.latin else []), host.id, *host.also)


def _names(host: Host) -> frozenset[str]:
    return _plainly(_spellings(host))


@lru_cache(maxsize=4096)
def _plainly(spellings: tuple[str, ...]) -> frozenset[str]:
    return frozenset(_plain(name) for name in spellings)


def _delicate(host: Host) -> int:
    """Count what a host is known not to bear, avoid weighing twice as much as care."""
    rating = {"avoid": 2, "care": 1}
    tolerances = [c[0] for short, c in host.claims.items() if short.startswith("tolerance.")]
    return sum(rating.get(str(claim.value), 0) for claim in tolerances)


@lru_cache(maxsize=8192)
def _plain(text: str) -> str:
    """Return a name in lower case, its words apart by blanks and each in the singular."""
    words = re.sub(r"[\s_-]+", " ", text.strip().lower()).split(" ")
    return " ".join(_singular(word) for word in words)


def _singular(word: str) -> str:
    for ending, instead in _PLURALS:
        if word.endswith(ending) and len(word) > len(ending) + 2 and not word.endswith("ss"):
            return word.removesuffix(ending) + instead
    return word
