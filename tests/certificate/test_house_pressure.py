"""A house pressure over its limit is drawn where no curve of heating can be, and never takes a page of its own."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from heaterapp.certificate import press
from heaterapp.certificate.content import paper_of
from heaterapp.certificate.filed import Filed
from heaterapp.certificate.paper import Paper
from heaterapp.sheet.draw import house_svg, pressure_svg, pressure_words

OPEN = {"prv_fitted": "no", "prv_setting_psi": None, "expansion_device": "none", "check_valve_upstream": "no"}


@pytest.fixture(scope="module")
def over(record_of: Any) -> Paper:
    changes = {**OPEN, "house_pressure_psi": 92}
    return paper_of(Filed.of(record_of("gas_storage_to_fix", changes, kind="correction_list")))


def told(found: str, verdict: str = "fails", closed: str = "no") -> tuple[dict[str, Any], dict[str, Any]]:
    one = {
        "check": "supply.pressure_within_limit", "kind": "rule", "verdict": verdict, "found": found,
        "limit": "80", "unit": "psi", "section": "608.2",
    }  # fmt: skip
    answers = {"house_pressure_psi": found, "relief_pressure_psi": "150"}
    return answers, {"figures": {"closed_system": {"value": closed}}, "findings": [one]}


def test_an_open_system_over_its_limit_is_drawn_with_its_numbers(over: Paper) -> None:
    (drawn,) = [one for one in over.drawings if one.spare]
    assert ">92 house</text>" in drawn.svg
    assert ">80 limit</text>" in drawn.svg
    assert drawn.sentences == (
        "House pressure measured: 92\u00a0psi.", "The adopted limit is 80\u00a0psi (608.2).",
        "The relief valve is set to 150\u00a0psi.",
    )  # fmt: skip


def test_it_is_drawn_only_over_the_limit_and_never_told_on_it() -> None:
    assert pressure_svg(*told("92")) == house_svg(*told("92"))
    assert pressure_words(*told("80.04"))[0] == "House pressure measured: 80.04 psi."
    assert pressure_svg(*told("60", "meets")) is None
    assert pressure_words(*told("60", "meets")) == []


def test_with_no_tank_and_none_to_name_it_is_drawn_before_a_rise_that_nobody_measured(record_of: Any) -> None:
    changes = {"expansion_device": "none", "house_pressure_psi": 92}
    paper = paper_of(Filed.of(record_of("gas_storage_to_fix", changes, kind="correction_list")))
    (drawn,) = [one for one in paper.drawings if "psi</text>" in one.svg]
    assert ">92 house</text>" in drawn.svg
    assert drawn.sentences[0] == "House pressure measured: 92\u00a0psi."


def test_a_curve_is_no_spare_drawing(record_of: Any) -> None:
    closed = paper_of(Filed.of(record_of("gas_storage_to_fix", kind="correction_list")))
    assert len(closed.drawings) == 3
    assert not any(one.spare for one in closed.drawings)


@pytest.mark.parametrize(("with_it", "without", "left"), [(2, 2, 3), (3, 3, 3), (3, 2, 2)])
def test_it_is_left_out_rather_than_take_a_page(
    with_it: int, without: int, left: int, over: Paper, monkeypatch: Any
) -> None:
    def laid(paper: Paper) -> Any:
        many = with_it if any(one.spare for one in paper.drawings) else without
        return SimpleNamespace(pages=[None] * many, drawings=paper.drawings)

    monkeypatch.setattr(press, "_whole", laid)
    assert len(press._laid(over).drawings) == left
