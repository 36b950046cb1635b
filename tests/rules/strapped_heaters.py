"""Four strapped heaters of our own, every number of them worked beforehand by coordinates, and how they are asked."""

from __future__ import annotations

from typing import Any

from tests import alone

HEATERS = {
    "A": {
        "gal": 40, "dry": 120, "B": 0, "H": 60, "D": 18, "gap": 1, "s": 32, "straps": (18, 51),
        "W": "453.2", "F": "151.1", "phi": "29.5", "Q": ["96.1", "54.9"], "T": ["55.2", "31.6"],
        "N": ["48.1", "27.5"], "tip": "3.33",
    },
    "B": {
        "gal": 50, "dry": 150, "B": 18, "H": 58, "D": 20, "gap": 2, "s": 32, "straps": (36, 67),
        "W": "566.5", "F": "188.8", "phi": "23.1", "Q": ["121.8", "67.0"], "T": ["66.2", "36.4"],
        "N": ["60.9", "33.5"], "tip": "2.90",
    },
    "C": {
        "gal": 50, "dry": 160, "B": 0, "H": 48, "D": 23, "gap": 1, "s": 16, "straps": (15, 39),
        "W": "576.5", "F": "192.2", "phi": "-18.2", "Q": ["120.1", "72.1"], "T": ["63.2", "37.9"],
        "N": ["60.1", "36.0"], "tip": "2.09",
    },
    "D": {
        "gal": 75, "dry": 250, "B": 0, "H": 62, "D": 26, "gap": 2, "s": 48, "straps": (20, 53),
        "W": "874.8", "F": "291.6", "phi": "30.7", "Q": ["194.4", "97.2"], "T": ["113.0", "56.5"],
        "N": ["97.2", "48.6"], "tip": "2.38",
    },
}  # fmt: skip


def heater(case: dict[str, Any], **more: Any) -> dict[str, Any]:
    return {
        "place": "us_ca_2022", "heater_kind": "gas_storage", "strap_kind": "steel_strap",
        "storage_gal": case["gal"], "dry_weight_lb": case["dry"], "tank_base_in": case["B"],
        "tank_height_in": case["H"], "tank_diameter_in": case["D"], "wall_gap_in": case["gap"],
        "anchor_spacing_in": case["s"], "strap_heights_in": list(case["straps"]), **more,
    }  # fmt: skip


def figures(answers: dict[str, Any]) -> dict[str, Any]:
    return alone.figures_of(answers)
