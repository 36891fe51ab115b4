"""Which country is meant: its letters or number, or its name at home, in English or in German.

Names come from the published territory lists that go with the locale library; what else people
call a country is in ``practice/country_names.toml``.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Mapping
from difflib import get_close_matches
from functools import lru_cache

from tankside.claims import Knowledge
from tankside.errors import BadInput

KEY = "practice.country_names"
FIRST = ("en", "de")
"""Languages in which every country is known; each is known in its own languages as well."""
_CODE_LENGTH = 2
_UMLAUTS = str.maketrans({"ä": "ae", "ö": "oe", "ü": "ue"})
_NEAR, _MOST_NEAR = 0.75, 3


def country_code(facts: Knowledge, typed: str, field: str = "country") -> str:
    """Return the two letters of a country.

    Args:
        facts: what else countries are called.
        typed: a code or a name.
        field: box or option it was typed into.

    Raises:
        BadInput: E-WORD-02 no such country.
    """
    code = find_country(facts, typed)
    if code is None:
        near = ", ".join(_near(facts, typed))
        raise BadInput(
            "E-WORD-02",
            "This country is not known by that name.",
            given=typed,
            needed=f"perhaps {near}" if near else "its two letters or its name, for example GB",
            next_step="Type it again, or leave it out when it is not known.",
            field=field,
        )
    return code


def find_country(facts: Knowledge, typed: str) -> str | None:
    """Return the two letters of a country, or None when there is none of that name."""
    from babel.core import get_global

    letters = _plain(typed).upper()
    aliases: list[str] = get_global("territory_aliases").get(letters, [])
    candidates: list[str] = [letters, *(aliases if len(aliases) == 1 else [])]
    for code in candidates:
        if code in _codes(facts):
            return code
    name = _plain(typed)
    return _other_names(facts).get(name) or _common_names().get(name) or _names_at_home().get(name)


def country_name(code: str) -> str:
    """Return a country as it is shown: its name and its two letters."""
    name = _territories(FIRST[0]).get(code)
    return code if name is None else f"{name} ({code})"


def country_read(typed: str | None, code: str | None) -> tuple[str, ...]:
    """Say which country a name was read as; nothing where the two letters were typed."""
    if typed is None or code is None or typed == code:
        return ()
    return (f"{typed}: read as {country_name(code)}.",)


def _plain(typed: str) -> str:
    """Return a name without capital letters, accents, blanks and signs."""
    letters = unicodedata.normalize("NFKD", typed.casefold().strip().removeprefix("the "))
    return "".join(sign for sign in letters if sign.isalnum())


def _codes(facts: Knowledge) -> frozenset[str]:
    """Return the codes of countries, without those of unions and of nothing."""
    claim = facts.find(f"{KEY}.no_country")
    no_country = set() if claim is None else set(_listed(str(claim.value)))
    return frozenset(set(_territories(FIRST[0])) - no_country)


def _listed(text: str) -> list[str]:
    return [part.strip() for part in text.split(",")]


def _other_names(facts: Knowledge) -> Mapping[str, str]:
    """Return the code by each name that only the knowledge files hold."""
    begins = f"{KEY}.also_"
    return {
        _plain(name): key.removeprefix(begins).upper()
        for key, claims in facts.facts.items()
        if key.startswith(begins)
        for name in _listed(str(claims[0].value))
    }


@lru_cache
def _territories(language: str) -> Mapping[str, str]:
    """Return the names of all territories with two letters in one language."""
    from babel import Locale, UnknownLocaleError

    try:
        names = Locale.parse(language).territories
    except UnknownLocaleError:
        return {}
    codes = (str(code) for code in names if len(str(code)) == _CODE_LENGTH)
    return {code: str(names[code]) for code in codes if code.isalpha() and names.get(code)}


@lru_cache
def _common_names() -> Mapping[str, str]:
    return _by_name((_territories(language), None) for language in FIRST)


@lru_cache
def _names_at_home() -> Mapping[str, str]:
    """Return the code by the name of each country in its official languages."""
    from babel.languages import get_official_languages

    spoken: dict[str, set[str]] = {}
    for code in _territories(FIRST[0]):
        for language in get_official_languages(code, de_facto=True):
            spoken.setdefault(language, set()).add(code)
    return _by_name((_territories(language), codes) for language, codes in sorted(spoken.items()))


def _by_name(lists: Iterable[tuple[Mapping[str, str], set[str] | None]]) -> Mapping[str, str]:
    """Turn lists of names by code round; a name of two countries names neither."""
    codes_by_name: dict[str, set[str]] = {}
    for names, codes in lists:
        for code, name in names.items():
            if codes is None or code in codes:
                for spelling in {_plain(name), _plain(name.casefold().translate(_UMLAUTS))}:
                    codes_by_name.setdefault(spelling, set()).add(code)
    return {name: next(iter(codes)) for name, codes in codes_by_name.items() if len(codes) == 1}


def _near(facts: Knowledge, typed: str) -> list[str]:
    """Return the countries whose names differ by little from what was typed."""
    names = {**_names_at_home(), **_common_names(), **_other_names(facts)}
    close = get_close_matches(_plain(typed), names, _MOST_NEAR, _NEAR)
    return list(dict.fromkeys(country_name(names[name]) for name in close))
