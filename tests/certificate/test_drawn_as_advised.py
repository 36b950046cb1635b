"""The drawing of pressure calls recommended only what keeps to the limit, and draws no job that cannot be true."""

from __future__ import annotations

from typing import Any

import pytest

from heaterapp.rules import Job, assess
from heaterapp.sheet.draw import pressure_svg, pressure_words

CA, UT = "gas_storage_us_ca", "gas_storage_shared_vent_us_ut"
EIGHTY = {"house_pressure_psi": 80, "prv_setting_psi": 80, "precharge_psi": 80}


@pytest.fixture(scope="module")
def judged(answers_of: Any) -> Any:
    """A whole job with changed answers: what is stored of it, and its report."""

    def judge(name: str, **changes: Any) -> tuple[dict[str, Any], dict[str, Any]]:
        asked = Job({**answers_of(name), **changes}).canonical()
        return asked, assess(asked).as_json()

    return judge


@pytest.mark.parametrize(
    ("job", "changes", "as_set"),
    [
        (UT, {**EIGHTY, "precharge_air_f": 60, "installed_air_f": 60}, "80 psi cold, 96.3 psi hot."),
        (CA, {"expansion_acceptance_gal": "0.4"}, "60 psi cold, 150 psi hot: the relief valve opens."),
        (CA, EIGHTY, "80 psi cold, 90.6 psi hot."),
    ],
    ids=["over the book's limit", "its label takes too little", "over good practice"],
)  # fmt: skip
def test_what_the_paper_fails_is_never_drawn_as_recommended(
    job: str, changes: dict[str, Any], as_set: str, judged: Any
) -> None:
    told = judged(job, **changes)
    said = pressure_words(*told)
    assert f"Tank as set: {as_set}" in said
    assert not any("recommended" in one for one in said)
    assert "advised</text>" not in pressure_svg(*told)


def test_a_larger_tank_is_drawn_beside_one_whose_label_takes_too_little(judged: Any) -> None:
    said = " ".join(pressure_words(*judged(CA, expansion_tank_gal=2, expansion_acceptance_gal="0.4")))
    assert "As recommended, 2.2 gal charged to 60 psi: 79.3 psi hot." in said


def test_the_drawn_size_keeps_to_the_limit_for_which_it_was_reckoned(judged: Any) -> None:
    answers, report = judged(CA, house_pressure_psi="77.16", precharge_psi="77.16")
    assert report["figures"]["precharge_target_psi"]["value"] == "77.16"
    said = " ".join(pressure_words(answers, report))
    assert "77.16 psi cold" in said
    assert "charged to 77.16 psi: just under 80 psi hot." in said


def test_a_house_pressure_beside_its_limit_is_drawn_as_it_is_told(judged: Any) -> None:
    told = judged(UT, house_pressure_psi="79.99")
    said = " ".join(pressure_words(*told))
    assert "Tank as set: 79.99 psi cold" in said
    assert "recommended" not in said
    assert "80.1" not in pressure_svg(*told)


@pytest.mark.parametrize("changes", [{"storage_gal": "119.9"}, {"storage_gal": "119.9", "expansion_device": "none"}], ids=["tank", "no tank"])
def test_no_curve_is_drawn_from_answers_that_cannot_be_true(changes: dict[str, Any], judged: Any) -> None:
    told = judged("indirect_upc_2021", **changes)
    assert "thermal_expansion_gal" not in told[1]["figures"]
    assert pressure_svg(*told) is None
    assert pressure_words(*told) == []
