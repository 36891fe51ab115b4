"""Time a plan for a site of many tanks against one for its first tank alone.

Processor seconds of this process, so that other work on the machine does not count.
"""

from __future__ import annotations

import time
from pathlib import Path

from tankside.bench.plan_site import Site, make_site
from tankside.intake.plan_setup import PlanRequest
from tankside.services.plan import plan


def measure(folder: Path, site: Site) -> dict[str, float]:
    """Plan for a site and for one tank of it with one group, in the same run.

    The first plan of all, which makes the site's history, is not timed: what is compiled or read
    once is at hand for both.

    Args:
        folder: where the case files are written.
        site: how large the site is.

    Returns:
        Seconds of the plan for the site (``site_s``) and for one tank (``one_tank_s``).
    """
    whole, alone = make_site(folder, site), make_site(folder, Site(1, 1))
    return {"site_s": _seconds(whole), "one_tank_s": _seconds(alone)}


def _seconds(path: Path) -> float:
    start = time.process_time()
    plan(path, PlanRequest())
    return time.process_time() - start
