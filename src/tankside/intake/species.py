"""Which kind on file a name means."""

from __future__ import annotations

from collections.abc import Mapping

from tankside.claims import Host


def find_host(hosts: Mapping[str, Host], host_id: str | None, name: str) -> Host | None:
    """Return the host by its id, or by the name the keeper gives; None when not known.

    Exact id, common or scientific name first; then a name that holds every word told
    ("bristlenose" for bristlenose catfish); then the genus told ("panda corydoras"), of which
    the most delicate relative on file stands in.
    """
    if host_id is not None and host_id in hosts:
        return hosts[host_id]
    wanted = {_plain(text) for text in (host_id, name) if text}
    every_host = tuple(hosts.values())
    exact = [h for h in every_host if wanted & _names(h)]
    words = set(_plain(name).split())
    holding = [h for h in every_host if words and words <= set(_plain(h.name).split())]
    genus = [h for h in every_host if h.latin and _plain(h.latin.split()[0]) in words]
    for matching in (exact, holding, genus):
        if matching:
            return max(matching, key=_delicate)
    return None


def _names(host: Host) -> set[str]:
    return {_plain(name) for name in (host.name, host.latin, host.id, *host.also)}


def _delicate(host: Host) -> int:
    """Count what a host is known not to bear, avoid weighing twice as much as care."""
    rating = {"avoid": 2, "care": 1}
    tolerances = [c[0] for short, c in host.claims.items() if short.startswith("tolerance.")]
    return sum(rating.get(str(claim.value), 0) for claim in tolerances)


def _plain(text: str) -> str:
    return text.strip().lower().replace("_", " ").rstrip("s")
