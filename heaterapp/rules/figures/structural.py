"""The force by the structural standards, where the site's acceleration is known, beside a third of the weight."""

from __future__ import annotations

from decimal import Decimal

from ..calc import structural
from ..figure import figure
from ..questions.plate import STORAGE
from ..report import Worked
from ..units import Foot, Gravity, Pound, Ratio, plain, plain_up, rounded_up


def _worked(found: structural.StructuralForce) -> str:
    ends = f"not under {plain_up(found.least_lb)} nor over {plain_up(found.most_lb)}"
    return f"{plain_up(found.by_formula_lb)}, {ends}: {plain_up(found.force_lb)} lb"


@figure(
    "lb",
    "0.1",
    "Fp = k ap SDS W (1 + r z/h) / (Rp / Ip), between two shares of SDS Ip W",
    "structural standard 2016, 13.3.1; strength level",
    when=STORAGE,
    clauses=("seismic.structural",),
    up=True,
)
def structural_force_lb(
    operating_weight_lb: Pound, short_period_sds: Gravity, floor_height_ft: Foot, roof_height_ft: Foot, importance_factor: Ratio,
    *, amplification: Ratio, response_modification: Ratio, formula_factor: Ratio, rise_factor: Ratio, least_factor: Ratio,
    most_factor: Ratio, service_factor: Ratio,
) -> Worked:  # fmt: skip
    found = structural.structural_force(
        operating_weight_lb, short_period_sds, amplification=amplification, response_modification=response_modification,
        importance=importance_factor, floor_height_ft=floor_height_ft, roof_height_ft=roof_height_ft,
        formula_factor=formula_factor, rise_factor=rise_factor, least_factor=least_factor, most_factor=most_factor,
    )  # fmt: skip
    service = plain_up(service_factor * rounded_up(found.force_lb))
    said = f"Times {plain(service_factor)}, {service} lb, it stands beside a third of the weight."
    return Worked(found.force_lb, _worked(found), said)


@figure(
    "lb",
    "0.1",
    "Fp = k SDS Ip W (Hf / Rmu) (CAR / Rpo), between two shares of SDS Ip W",
    "structural standard 2022, 13.3.1, frame and period unknown; for information",
    when=STORAGE,
    clauses=("seismic.structural_later",),
    up=True,
)
def structural_force_later_lb(
    operating_weight_lb: Pound, short_period_sds: Gravity, floor_height_ft: Foot, roof_height_ft: Foot, importance_factor: Ratio,
    *, resonance: Ratio, strength: Ratio, formula_factor: Ratio, rise_factor: Ratio, frame_unknown: Ratio, least_factor: Ratio,
    most_factor: Ratio,
) -> Worked:  # fmt: skip
    above = floor_height_ft > 0
    found = structural.later_force(
        operating_weight_lb, short_period_sds, importance=importance_factor,
        height=structural.height_factor(floor_height_ft, roof_height_ft, rise_factor), frame=frame_unknown if above else Decimal(1),
        resonance=resonance, strength=strength, formula_factor=formula_factor, least_factor=least_factor, most_factor=most_factor,
    )  # fmt: skip
    return Worked(found.force_lb, _worked(found), "For information: its printed table was not seen.")
