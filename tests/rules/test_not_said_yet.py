"""Before a question is answered nothing is claimed of it: not that a part is missing, not that it is right."""

from __future__ import annotations

import re
from html import unescape
from typing import Any

import pytest

from heaterapp.rules import Job, assess
from heaterapp.sheet.live import live

BEGUN: dict[str, Any] = {
    "place": "us_ca_2022", "heater_kind": "gas_storage", "job_kind": "same_place", "draft_kind": "draft_hood", "room": "garage",
}  # fmt: skip
NONE = "This installation has no such part."


def _why(check: str, **more: Any) -> tuple[str, str]:
    one = next(f for f in assess({**BEGUN, **more}).findings if f.check == check)
    return one.verdict, one.why


@pytest.mark.parametrize(
    ("check", "label", "said_away"),
    [("gas.csst_bonded", "Gas pipe", {"gas_pipe_material": "steel"}),
     ("place.condensate", "Condensing", {"condensing": "no"}),
     ("venting.shared_capacity", "Another appliance shares the vent", {"vent_shared": "no"})],
)  # fmt: skip
def test_a_part_nobody_spoke_of_is_not_said_to_be_missing(
    check: str, label: str, said_away: dict[str, Any]
) -> None:
    assert _why(check) == ("not_applicable", f"Taken as not here while this is not answered: {label}.")
    assert _why(check, **said_away) == ("not_applicable", NONE)


def test_what_the_kind_of_heater_rules_out_is_said_to_be_missing() -> None:
    assert _why("electric.breaker") == ("not_applicable", NONE)
    assert _why("gas.csst_bonded", heater_kind="electric_storage") == ("not_applicable", NONE)


def test_the_tank_is_not_said_to_stand_on_the_floor_before_its_stand_is_measured() -> None:
    assert _why("seismic.stand_fixed") == ("not_applicable", "No height of a stand was given.")


def test_the_screen_claims_nothing_of_what_the_code_does_not_say_or_is_not_here() -> None:
    answers = Job(BEGUN).canonical()
    report = assess(answers).as_json()
    html = " ".join(live(answers, report)["sections"].values())
    said = " ".join(unescape(re.sub(r"<[^>]*>", "", html)).split())
    assert "Code silent Pan: depth. The book asks no depth." in said
    for one in report["findings"]:
        if one["verdict"] in ("silent", "not_applicable"):
            assert one["title"] not in said, one["check"]
