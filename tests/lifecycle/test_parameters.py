"""A forecast without figures is refused and the missing figures are named."""

from __future__ import annotations

import pytest
from tests.lifecycle.tanks import body, fish, tank_hours, white_spot, without

from tankside import lifecycle
from tankside.errors import NotPossible


@pytest.mark.parametrize("key", ["trophont.residence", "cyst.residence_t0", "swimmer.establish"])
def test_a_missing_figure_stops_the_forecast_and_is_named(key: str) -> None:
    bare = without(white_spot(), key)
    with pytest.raises(NotPossible, match="E-FC-02") as refused:
        lifecycle.compile(bare, tank_hours(body()), (fish(),))
    assert key in refused.value.needed
    assert refused.value.next_step
