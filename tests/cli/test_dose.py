"""``tankside dose``: amounts of scenarios S1, S3 and S6, refusals, and the shape of ``--json``."""

from __future__ import annotations

import json
from typing import Any

import pytest

from tankside.cli.main import app
from tankside.errors import Mistake


def dose(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, dict[str, Any]]:
    import sys

    arguments = ["dose", *words, "--json"]
    old = sys.argv
    sys.argv = ["tankside", *arguments]
    try:
        app(arguments, standalone_mode=True)
        code = 0
    except SystemExit as ended:
        code = int(ended.code or 0)
    finally:
        sys.argv = old
    return code, json.loads(capsys.readouterr().out)


SALT = ("--agent", "salt", "--label", "pure", "--scale", "1 g", "--animal", "clown loach")


def test_s1_salt(capsys: pytest.CaptureFixture[str]) -> None:
    code, answer = dose(
        capsys, *SALT, "--strength", "2 g/L", "--volume", "173 L", "--second-volume", "175 L"
    )
    assert code == 0
    assert answer["amount"]["text"] == "346 g"
    assert answer["limits_mg_l"]["hard"] == 5000
    assert answer["people"]["hazard"] == "low"
    assert answer["sources"]
    assert any("call a poison centre" in line for line in answer["emergency"])


def test_s1_amount_to_put_back(capsys: pytest.CaptureFixture[str]) -> None:
    code, answer = dose(
        capsys,
        *SALT,
        "--strength",
        "2 g/L",
        "--volume",
        "173 L",
        "--changed",
        "40 L",
        "--tap",
        "chlorine",
    )
    assert code == 0
    assert answer["amount"]["text"] == "80 g"
    assert answer["amount"]["for_l"] == "40.0"


def test_s6_salt_already_there(capsys: pytest.CaptureFixture[str]) -> None:
    code, answer = dose(
        capsys, *SALT, "--strength", "2 g/L", "--volume", "556 L", "--in-water", "salt=0.90 g/L"
    )
    assert code == 0
    assert answer["amount"]["text"] == "612 g"


def test_s3_copper_as_element_from_blue_crystals(capsys: pytest.CaptureFixture[str]) -> None:
    code, answer = dose(
        capsys, "--agent", "copper_ionic", "--strength", "0.18 mg/L as Cu", "--volume", "120.6 L",
        "--label", "pure as CuSO4.5H2O", "--scale", "1 mg", "--animal", "clownfish",
        "--water", "marine", "--invertebrates", "no", "--plants", "no",
        "--alkalinity", "140 mg/L as CaCO3",
    )  # fmt: skip
    assert code == 0
    assert answer["amount"]["text"] == "85 mg"
    assert "21.71 mg" in answer["amount"]["sum"]


REFUSED = {
    "E-DOSE-10": (*SALT, "--strength", "20 g/L", "--volume", "173 L"),
    "E-DOSE-21": (*SALT, "--strength", "2 g/L", "--volume", "173 L", "--second-volume", "217 L"),
    "E-UNIT-04": (*SALT, "--strength", "2 g/L", "--volume", "40 gallons"),
    "E-UNIT-03": (*SALT, "--strength", "2 ppm", "--volume", "173 L"),
    "E-NUM-02": (*SALT, "--strength", "2 g/L", "--volume", "1,250 L"),
    "E-DOSE-20": (
        "--agent", "copper_sulphate", "--strength", "0.4 mg/L as CuSO4.5H2O", "--volume", "100 L",
        "--label", "pure as CuSO4.5H2O", "--scale", "1 mg", "--animal", "goldfish",
    ),
    "E-DOSE-25": (
        "--agent", "copper_sulphate", "--strength", "0.4 mg/L as CuSO4.5H2O", "--volume", "100 L",
        "--label", "pure as CuSO4.5H2O", "--scale", "1 mg", "--animal", "goldfish",
        "--alkalinity", "36 mg/L as CaCO3",
    ),
    "E-DOSE-12": (
        "--agent", "formalin", "--strength", "150 mg/L", "--volume", "100 L", "--label",
        "as product", "--syringe", "0.1 mL", "--fishless", "--route", "bath", "--minutes",
        "90 min", "--temperature", "20 C", "--oxygen", "8 mg/L", "--seen-to", "clear-solution=yes",
    ),
    "E-PROD-02": (
        "--agent", "wonder water", "--strength", "1 mg/L", "--volume", "100 L", "--label", "pure",
        "--scale", "1 g",
    ),
    "E-DOSE-24": (
        "--agent", "malachite_green", "--strength", "0.05 mg/L as oxalate", "--volume", "60 L",
        "--label", "pure as oxalate", "--scale", "1 g", "--fishless", "--ph", "7.0", "--seen-to",
        "zinc-free=yes",
    ),
}  # fmt: skip


@pytest.mark.parametrize("code", REFUSED)
def test_refused_with_its_code_and_what_to_do(
    capsys: pytest.CaptureFixture[str], code: str
) -> None:
    exit_code, answer = dose(capsys, *REFUSED[code])
    assert answer["error"]["code"] == code
    assert answer["error"]["next"]
    assert exit_code == (3 if code == "E-DOSE-20" else 2)


def test_a_soft_limit_is_passed_only_with_a_typed_reason_that_is_kept(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """3.5 g/L, of which 1.5 are there: 200 g are missing, a rise of 2 g/L in one day."""
    strong = (*SALT[:-1], "goldfish", "--strength", "3.5 g/L", "--volume", "100 L",
              "--second-volume", "100 L", "--in-water", "salt=1.5 g/L")  # fmt: skip
    exit_code, answer = dose(capsys, *strong)
    assert exit_code == 2
    assert answer["error"]["code"] == "E-DOSE-11"
    assert "reason of at least 10 characters" in answer["error"]["needed"]
    assert dose(capsys, *strong, "--reason", "because")[1]["error"]["code"] == "E-DOSE-11"
    code, shown = dose(capsys, *strong, "--reason", "advised by the vet")
    assert code == 0
    assert shown["amount"]["text"] == "200 g"
    assert shown["amount"]["reason"] == "advised by the vet"


def test_the_amount_to_put_back_above_a_soft_limit_takes_a_reason_too(
    capsys: pytest.CaptureFixture[str],
) -> None:
    back = (*SALT, "--strength", "3.5 g/L", "--volume", "100 L", "--second-volume", "100 L",
            "--changed", "20 L", "--tap", "none")  # fmt: skip
    assert dose(capsys, *back)[1]["error"]["code"] == "E-DOSE-11"
    code, shown = dose(capsys, *back, "--reason", "advised by the vet")
    assert code == 0
    assert shown["amount"]["text"] == "70 g"


def test_no_reason_passes_a_hard_limit(capsys: pytest.CaptureFixture[str]) -> None:
    _, answer = dose(
        capsys, *SALT, "--strength", "6 g/L", "--volume", "100 L", "--second-volume", "100 L",
        "--reason", "advised by the vet",
    )  # fmt: skip
    assert answer["error"]["code"] == "E-DOSE-10"


def test_an_agent_that_is_not_offered_is_refused_with_its_reason(
    capsys: pytest.CaptureFixture[str],
) -> None:
    exit_code, answer = dose(
        capsys, "--agent", "trichlorfon", "--strength", "0.25 mg/L", "--volume", "100 L",
        "--second-volume", "100 L", "--label", "pure", "--scale", "1 mg", "--animal", "goldfish",
    )  # fmt: skip
    assert exit_code == 2
    assert answer["error"]["code"] == "E-DOSE-27"
    assert "cholinesterase" in answer["error"]["needed"]
    assert "veterinarian" in answer["error"]["next"]


def test_copper_without_a_basis_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    exit_code, answer = dose(
        capsys, "--agent", "copper_ionic", "--strength", "0.18 mg/L", "--volume", "120.6 L",
        "--label", "pure as CuSO4.5H2O", "--scale", "1 mg", "--animal", "clownfish",
    )  # fmt: skip
    assert exit_code == 2
    assert answer["error"]["code"] == "E-UNIT-03"
    assert "as Cu" in answer["error"]["needed"]


@pytest.mark.parametrize("agent", ["chloroquine", "malachite_green", "quinine", "copper_sulphate"])
def test_a_strength_without_its_form_is_asked_for_where_forms_differ(agent: str) -> None:
    from tankside.intake.strength import read_strength
    from tankside.library import load

    with pytest.raises(Mistake) as refused:
        read_strength(load().agents[agent], "0.1 mg/L")
    assert refused.value.code == "E-UNIT-03"


def test_a_strength_in_another_form_is_brought_to_the_basis() -> None:
    """Chloroquine base 319.9, diphosphate 515.9 g/mol: 1 mg of base is 1.613 mg of salt."""
    from tankside.intake.strength import read_strength
    from tankside.library import load

    answer = read_strength(load().agents["chloroquine"], "5 mg/L as chloroquine base")
    assert answer == pytest.approx(5 * 515.9 / 319.9, rel=1e-3)


@pytest.mark.parametrize("name", ["goldfish", "shubunkin", "panda corydoras"])
def test_animals_are_known_by_the_names_keepers_use(
    capsys: pytest.CaptureFixture[str], name: str
) -> None:
    code, answer = dose(
        capsys, "--agent", "malachite_green", "--strength", "0.05 mg/L as oxalate", "--label",
        "pure as oxalate", "--scale", "0.1 mg", "--volume", "100 L", "--second-volume", "100 L",
        "--animal", name, "--ph", "7.0", "--temperature", "20 C", "--seen-to", "zinc-free=yes",
    )  # fmt: skip
    assert "Species not known" not in str(answer)
    assert code == 0 or answer["error"]["code"] == "E-DOSE-26"


def test_nobody_named_nothing_weighed_out(capsys: pytest.CaptureFixture[str]) -> None:
    _, answer = dose(
        capsys, "--agent", "salt", "--label", "pure", "--scale", "1 g", "--strength", "2 g/L",
        "--volume", "173 L",
    )  # fmt: skip
    assert answer["error"]["code"] == "E-DOSE-20"
    assert "No animals" in answer["error"]["message"]
