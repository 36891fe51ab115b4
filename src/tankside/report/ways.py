"""Where a page leads when an answer names a command: to the form or page that does the same.

Refusals and hints are written for the command line too. A page says the same sentence without the
command, and offers the page that does what the command does.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace

from tankside.present.blocks import Block, Rows, Runs, Words
from tankside.report.entry_form import VALUE
from tankside.report.entry_form_words import TITLES

COMMAND = re.compile(r"`?\btankside (?P<words>[a-z][^`;]*?)(?=`|;|\.(?:\s|$)| is refused|\)\.|$)`?")
OPTION = re.compile(r"(?:^|\s)--[a-z][a-z-]*")
SENTENCE = re.compile(r"(?<=[.!?;])\s+")
TYPED = re.compile(r"\b[a-z]{3,}(?:-[a-z]+)*=(?:no\b|yes\b|(?=[\s.,)]))")
"""A property as it is typed (``host=``, ``gill-damage=no``); a page has a field for it."""
ASIDE = re.compile(rf"\s*\((?=[^()]*(?:--[a-z]|{TYPED.pattern}))[^()]*\)")


@dataclass(frozen=True, slots=True)
class Way:
    """A way on: what a button says, and the page of the case it opens; "" for the list of cases."""

    words: str
    page: str


PAGES_OF_COMMANDS = {
    "plan": Way("Compare courses", "plans"),
    "differential": Way("See what fits", "fits"),
    "findings": Way("Look at the fish", "look"),
    "forecast": Way("See the forecast", "forecast"),
    "follow": Way("See the follow-up", "follow"),
    "today": Way("Open the day card", "day"),
    "dose": Way("Work out an amount", "amount"),
    "reschedule": Way("Open the day card", "day"),
}
STEPS = ("done", "not_done", "other_amount")
"""Words for what became of a step; it is said on the day card."""


def way_in(text: str) -> Way | None:
    """Return where a sentence leads that names a command; None when it names none with a page.

    Args:
        text: a sentence, as the command line says it.
    """
    command = COMMAND.search(text)
    if command is None:
        return None
    name, *rest = command["words"].split()
    if name != "case":
        return PAGES_OF_COMMANDS.get(name)
    if rest[:1] == ["show"]:
        return Way("Read the story", "story")
    return _form(rest[2:]) if rest[:1] == ["add"] and len(rest) > 2 else Way("Enter it", "enter")


def ways_in(texts: Iterable[str]) -> tuple[Way, ...]:
    """Return the different ways that sentences lead, in their order."""
    ways = (way_in(text) for text in texts)
    return tuple(dict.fromkeys(way for way in ways if way is not None))


def without_commands(text: str) -> str:
    """Return a sentence without what only a terminal understands.

    A sentence that leads up to a command ("Add it: ...") keeps its beginning; what is nothing but
    a command, or speaks of an option or of a property as it is typed, is left out.

    Args:
        text: one or more sentences, as the command line says them.
    """
    if not any(("tankside " in text, OPTION.search(text), TYPED.search(text))):
        return text
    kept = (_without(sentence) for sentence in SENTENCE.split(ASIDE.sub("", text)))
    left = " ".join(sentence for sentence in kept if sentence)
    return f"{left[:-1]}." if left.endswith(";") else left


def plain_blocks(blocks: Iterable[Block]) -> tuple[Block, ...]:
    """Return the pieces of an answer without what only a terminal understands, for paper."""
    return tuple(_plain(block) for block in blocks)


def _plain(block: Block) -> Block:
    if isinstance(block, Words):
        lines = (without_commands(line) for line in block.lines)
        return replace(block, lines=tuple(line for line in lines if line))
    if isinstance(block, Rows | Runs):
        return replace(block, note=without_commands(block.note))
    return block


def _without(sentence: str) -> str:
    command = COMMAND.search(sentence)
    if command is not None:
        before = sentence[: command.start()].rstrip(" :,`(")
        before = re.sub(r"(?:,? then|,? with|,? see|,? by)$", "", before, flags=re.IGNORECASE)
        return f"{before}." if len(before.split()) > 1 else ""
    if TYPED.search(sentence):
        before, colon, _ = sentence.partition(": ")
        return f"{before}." if colon else ""
    return "" if OPTION.search(sentence) else sentence


def _form(words: list[str]) -> Way:
    word, *said = words
    word = word.replace("-", "_")
    if word in STEPS and any(text.startswith(("step=", "action=")) for text in said):
        return Way("Answer it on the day card", "day")
    if word not in TITLES:
        return Way("Enter it", "enter")
    at = next((f"#{VALUE}{text.partition('=')[0]}" for text in said if "=" in text), "")
    return Way(f"Enter: {TITLES[word][:1].lower()}{TITLES[word][1:]}", f"enter/{word}{at}")
