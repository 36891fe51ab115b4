"""An invented practice that keeps its own knowledge: files for the tests of it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from tankside.library.load import shipped

AGENT = """[agent]
id = "{id}"
name = "{name}"
kind = "substance"
basis = "{basis}"
actives = [{actives}]
host_class = "{host_class}"
"""
CLAIM = """
[[claim]]
key = "{key}"
{said}
provenance = "common_practice"
confidence = "medium"
"""
HOST = """[host]
id = "{id}"
name = "{name}"
latin = "{latin}"
group = "{group}"
water = "fresh"
"""
CLASSES = (
    "copper", "formalin", "heat", "levamisole", "malachite", "methylene_blue", "organophosphate",
    "permanganate", "peroxide", "praziquantel", "salt",
)  # fmt: skip
UNKNOWN = 'unknown = "no figure found"'


def claim(key: str, said: str) -> str:
    """Return one claim of a file."""
    return CLAIM.format(key=key, said=said)


def agent_file(folder: Path, agent: str, *claims: str, **head: str) -> Path:
    """Write a file about a released agent, with its head as released."""
    of = shipped().agents[agent]
    stated = {
        "id": of.id, "name": of.name, "basis": of.basis, "host_class": of.host_class,
        "actives": ", ".join(f'"{active}"' for active in of.actives),
    } | head  # fmt: skip
    return _write(folder / "agents" / f"{agent}.toml", AGENT.format(**stated) + "".join(claims))


def host_file(
    folder: Path, host: str = "lane_tetra", *claims: str, unknown: bool = True, **head: Any
) -> Path:
    """Write a file about a kind that was not released; without more nothing is known of it."""
    stated = {"id": host, "name": "lane tetra", "latin": "", "group": "tetra"} | head
    keys = {text.split('"')[1] for text in claims}
    rest = [claim(f"tolerance.{name}", UNKNOWN) for name in CLASSES] if unknown else []
    texts = [*claims, *(text for text in rest if text.split('"')[1] not in keys)]
    whole = HOST.format(**stated) + "".join(sorted(texts, key=lambda text: text.split('"')[1]))
    return _write(folder / "hosts" / f"{host}.toml", whole)


def label_file(folder: Path, name: str, **words: str) -> Path:
    """Write the label of a container."""
    lines = "".join(f'{key} = "{text}"\n' for key, text in words.items())
    return _write(folder / "labels" / f"{name}.toml", f"[label]\n{lines}")


def _write(path: Path, text: str) -> Path:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")
    return path
