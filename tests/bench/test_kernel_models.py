"""The frozen bench models stay frozen, and the measurement prints its stable names."""

from __future__ import annotations

import hashlib
import json

from typer.testing import CliRunner

from tankside.bench.kernel_models import folder, model
from tankside.cli.bench import app

FROZEN = "ac024168e5b44b99341646eaa1bee0b52eb5b0fa5c3f923ad2e9d51673d7f0c2"


def test_the_frozen_models_have_not_changed() -> None:
    digest = hashlib.sha256()
    for path in sorted(folder().rglob("*.toml")):
        digest.update(path.read_bytes())
    assert digest.hexdigest() == FROZEN


def test_eight_swimmers_of_a_brood_settle_in_the_untreated_model() -> None:
    # The model is built for 8 of 300 swimmers: contact over contact and death, 20 fish in 1 L.
    claims = model("A").organism.claims
    contact = 20 * claims["swimmer.search_l_per_h"].number()
    death = 0.6931471805599453 / claims["swimmer.life"].number()
    assert abs(300 * contact / (contact + death) - 8) < 1e-9


def test_measurement_prints_the_names_of_the_design() -> None:
    ran = CliRunner().invoke(app, ["kernel", "--quick", "--histories", "64", "--json"])
    figures = {f["name"]: f for f in json.loads(ran.stdout)["figures"]}
    over = ("event_over_bare_draw", "event_over_bare_alias_draw", "event_over_bare_event")
    for name in ("histories_per_second", "ns_per_event", *over):
        assert figures[name]["value"] > 0
    assert figures["ratio_exact_peer"]["value"] is None
