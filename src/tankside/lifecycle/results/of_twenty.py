"""Say a share of runs as "n of 20", never as certainty in either direction."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

from tankside.claims import setting, whole_setting

TWENTY = whole_setting(20, "the same number of runs is spoken of everywhere")
_HALF_RUN = setting(0.5, "half a run is added to both sides, so that no share is ever 0 or 1")


@dataclass(frozen=True, slots=True)
class OfTwenty:
    """A share of simulated runs, ready to be said.

    Args:
        share: estimated share of runs, always above 0 and below 1.
        standard_error: of the share, from the number of runs alone.
        runs: how many runs it rests on (the effective number when they are weighted).
    """

    share: float
    standard_error: float
    runs: float

    @property
    def number(self) -> int:
        """Return the whole number nearest to the share of 20, never 0 and never 20."""
        return min(max(round(self.share * TWENTY), 1), TWENTY - 1)

    @property
    def words(self) -> str:
        """Return "7 of 20", "fewer than 1 of 20" or "more than 19 of 20"."""
        if self.share * TWENTY < 1:
            return f"fewer than 1 of {TWENTY}"
        if self.share * TWENTY > TWENTY - 1:
            return f"more than {TWENTY - 1} of {TWENTY}"
        return f"{self.number} of {TWENTY}"

    @property
    def short(self) -> str:
        """Return the same for a column of runs of 20: "7", "<1" or ">19"."""
        words = self.words.removesuffix(f" of {TWENTY}")
        return words.replace("fewer than ", "<").replace("more than ", ">")


def of_twenty(hits: float, runs: float) -> OfTwenty:
    """Return the share of runs in which something happened.

    The estimate is (hits + 1/2) / (runs + 1), the middle of what a flat-in-information prior
    leaves: with no run it is one half, and it never reaches 0 or 1.

    Args:
        hits: runs in which it happened (a weighted sum is allowed).
        runs: runs in all.

    Returns:
        Share, standard error and number of runs.
    """
    share = (hits + _HALF_RUN) / (runs + 1)
    return OfTwenty(share, sqrt(share * (1 - share) / (runs + 1)), runs)


def opposite(chance: OfTwenty) -> OfTwenty:
    """Return the share of runs in which it did not happen."""
    return OfTwenty(1 - chance.share, chance.standard_error, chance.runs)
