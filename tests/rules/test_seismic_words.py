"""What figures and findings of straps say stands behind them."""

from __future__ import annotations

from decimal import Decimal
from types import SimpleNamespace
from typing import Any

from heaterapp.rules import catalog
from tests.rules.strapped_heaters import HEATERS, figures, heater


def _said(name: str, **answers: Any) -> str:
    return figures(heater(HEATERS["A"], strap_width_in=1, **answers))[name].get("says", "")


def test_figures_say_what_stands_behind_them() -> None:
    assert "states no force" in _said("strap_force_lb")
    assert not _said("strap_force_lb", place="model_irc_2021")
    assert "two straps" in _said("strap_reactions_lb", strap_heights_in=[51])
    assert not _said("strap_reactions_lb")
    assert not _said("strap_reactions_lb", strap_heights_in=[18, 30])
    assert "outer two" in _said("strap_reactions_lb", strap_heights_in=[18, 30, 51])
    assert "pushed the other way" in _said("strap_reactions_lb", strap_heights_in=[31, 51])
    assert not _said("strap_splay_deg")
    assert "do not spread" in _said("strap_splay_deg", anchor_spacing_in=18)
    assert "tips" in _said("tipping_ratio")
    assert "slides" in _said("tipping_ratio", tank_diameter_in=20)
    lag = {
        "strap_anchor": "lag_in_stud",
        "lag_diameter_in": "1/4",
        "lag_length_in": 3,
        "wall_cover_in": "1/2",
    }
    assert "Wood not known" in _said("lag_allowable_lb", **lag)
    assert not _said("lag_allowable_lb", **lag, stud_species="hem_fir")
    assert "Longer than a 3 1/2 in stud" in _said("lag_allowable_lb", **{**lag, "lag_length_in": "4 1/8"})
    assert "Longer" not in _said("lag_allowable_lb", **{**lag, "lag_length_in": 4})
    short = {**lag, "lag_length_in": 1}
    assert "counts for nothing" in _said("lag_allowable_lb", **short)
    figure = figures(heater(HEATERS["A"], strap_width_in=1, **short))["lag_allowable_lb"]
    assert (figure["value"], figure["worked"]) == ("0.0", "under 4 x 0.25 in the wood, tip not counted: 0 lb")


def test_the_working_of_a_strap_shows_the_steel_it_was_reckoned_with() -> None:
    rule, _ = catalog.figure_contracts()["strap_allowable_lb"]
    steel = {
        "yield_psi": 50000,
        "ultimate_psi": 65000,
        "yield_safety": Decimal("1.5"),
        "rupture_safety": Decimal("2.2"),
    }
    gauges, grades = [{"gauge": 24, "bare_in": Decimal("0.0239")}], [steel]
    found = rule.work(
        strap_kind="steel_strap", strap_width_in=Decimal(1), strap_gauge=Decimal(24), strap_hole_in=Decimal("0.25"),
        gauges=SimpleNamespace(rows=gauges), steel=SimpleNamespace(rows=grades),
    )  # fmt: skip
    assert (
        found.worked
        == "yield 0.0239 x 1 x 50,000 / 1.5 = 796.6; rupture 0.0239 x (1 - 0.25) x 65,000 / 2.2 = 529.6 lb"
    )
    assert "50,000 and 65,000 psi" in found.says


def test_bands_and_clearances_say_which_side_they_speak_of() -> None:
    assert "not measured" in _said("lower_strap_band_in")
    assert not _said("lower_strap_band_in", controls_top_in=15)
    assert (
        "The lower strap's center sits half the strap's width over 19 in"
        in figures(heater(HEATERS["A"], controls_top_in=15))["lower_strap_band_in"]["says"]
    )
    upc = {"place": "model_upc_2021", "controls_bottom_in": 10}
    assert "below them it does" in _said("lower_strap_band_in", **upc, controls_top_in=16)
    assert _said("strap_controls_clearance_in", **upc, controls_top_in=13) == "Measured above the controls."
    assert (
        _said("strap_controls_clearance_in", **upc, controls_top_in="17.5") == "Measured above the controls."
    )
    assert "reaches over" in _said("strap_controls_clearance_in", **upc, controls_top_in=18)
    below = figures(
        heater(HEATERS["A"], strap_width_in=1, strap_heights_in=[4, 51], **upc, controls_top_in=16)
    )["strap_controls_clearance_in"]
    assert (below["value"], below["says"]) == ("5.50", "Measured below the controls.")
    assert below["worked"] == "10 - (4 + 1/2) = 5.5 in"
    low = figures(heater(HEATERS["A"], heater_kind="heat_pump_storage", heater_height_in=90))[
        "upper_strap_band_in"
    ]
    assert low["value"] == ["60.00", "60.00"]
    assert low["worked"].endswith("; whole heater from 0 + 2 x 90/3 = 60 in")
    none = figures(heater(HEATERS["A"], heater_kind="heat_pump_storage", heater_height_in=91))[
        "upper_strap_band_in"
    ]
    assert none["value"] is None
    assert "follow its maker" in none["says"]
