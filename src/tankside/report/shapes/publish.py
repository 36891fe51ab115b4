"""Write the published schemas of the JSON answers, one file for each version.

    python -m tankside.report.shapes.publish docs/schema/answers

A version that is published is a promise: keys may be added to it, but where one goes, or changes
its type, nothing is written until the version in ``catalogue`` is raised. Older versions stay.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path

from tankside.report.shapes.catalogue import ANSWERS
from tankside.report.shapes.json_schema import Schema, answer_schema


def file_name(name: str, version: int) -> str:
    """Return the name of the file that holds the schema of an answer."""
    return f"{name}.v{version}.json"


def schema_text(schema: Schema) -> str:
    """Return a schema as the text of its file."""
    return json.dumps(schema, indent=1, sort_keys=True, ensure_ascii=False) + "\n"


def broken_promises(published: Schema, now: Schema) -> list[str]:
    """Say what a published schema promises that is not so any more.

    Args:
        published: the schema as it was written.
        now: the schema of the same version as it is declared.

    Returns:
        Where a key went, is not always there any more, or has another type; empty when the version
        still holds.
    """
    was, is_now = published["$defs"], now["$defs"]
    broken = [f"{name} is gone" for name in was if name not in is_now]
    for name in was.keys() & is_now.keys():
        before, after = was[name], is_now[name]
        for key, kind in before["properties"].items():
            if key not in after["properties"]:
                broken.append(f"{name}.{key} is gone")
            elif after["properties"][key] != kind:
                broken.append(f"{name}.{key} has another type")
        lost = set(before["required"]) - set(after["required"])
        broken += [f"{name}.{key} is not always there" for key in lost & set(after["properties"])]
    return sorted(broken)


def publish(folder: Path) -> list[str]:
    """Write the schema of every answer into a folder.

    Returns:
        The broken promises; where there is any, nothing is written.
    """
    texts, broken = {}, []
    for name, answer in ANSWERS.items():
        place = folder / file_name(name, answer.version)
        schema = answer_schema(name, answer.shape, answer.version)
        texts[place] = schema_text(schema)
        if place.exists():
            published = json.loads(place.read_text(encoding="utf-8"))
            broken += [f"{place.name}: {said}" for said in broken_promises(published, schema)]
    if not broken:
        folder.mkdir(parents=True, exist_ok=True)
        for place, text in texts.items():
            place.write_text(text, encoding="utf-8")
    return broken


if __name__ == "__main__":
    for line in (said := publish(Path(sys.argv[1]))):
        print(line, file=sys.stderr)
    sys.exit(2 if said else 0)
