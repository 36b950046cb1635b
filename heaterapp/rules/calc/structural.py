"""Force on a heater by the structural standard, where the site's acceleration is known."""

from __future__ import annotations

from decimal import Decimal
from typing import NamedTuple

from .exact import exactly, not_negative, positive


class StructuralForce(NamedTuple):
    """Force by the structural standard, with the three numbers it is picked from."""

    force_lb: Decimal
    by_formula_lb: Decimal
    least_lb: Decimal
    most_lb: Decimal


@exactly
def structural_force(
    operating_weight_lb: Decimal,
    short_period_sds: Decimal,
    *,
    amplification: Decimal,
    response_modification: Decimal,
    importance: Decimal,
    floor_height_ft: Decimal,
    roof_height_ft: Decimal,
    formula_factor: Decimal,
    rise_factor: Decimal,
    least_factor: Decimal,
    most_factor: Decimal,
) -> StructuralForce:
    """Sideways force on a fixed part of a building by the structural standard.

        Fp = k ap SDS W (1 + r z/h) / (Rp / Ip),   least SDS Ip W <= Fp <= most SDS Ip W

    operating_weight_lb    W                                    [lb]  0 or more
    short_period_sds       SDS, design acceleration             [g]   0 or more
    amplification          ap; 1.0 in the water heater row      [-]
    response_modification  Rp; 2.5 in the water heater row      [-]   more than 0
    importance             Ip; 1.0 or 1.5                       [-]   more than 0
    floor_height_ft        z above grade; under 0 counts as 0   [ft]
    roof_height_ft         h; z/h counts as 1 at most           [ft]  more than 0
    formula_factor, rise_factor, least_factor, most_factor
                           k, r and the two limits: 0.4, 2, 0.3, 1.6  [-]
    returns                the force and its parts, strength level, unrounded [lb]

    Leaves out the vertical component and load combinations.

    Source: ASCE 7-16 13.3.1, equations 13.3-1 to 13.3-3. Checked against: a printed
    worked example (W 250 lb, SDS 0.85: 85 lb, limits 63.8 and 340); to every printed
    digit.

    >>> structural_force(Decimal(250), Decimal("0.85"), amplification=Decimal(1),
    ...     response_modification=Decimal(1), importance=Decimal(1),
    ...     floor_height_ft=Decimal(0), roof_height_ft=Decimal(30),
    ...     formula_factor=Decimal("0.4"), rise_factor=Decimal(2),
    ...     least_factor=Decimal("0.3"), most_factor=Decimal("1.6")).force_lb
    Decimal('85.000')
    """
    not_negative(operating_weight_lb=operating_weight_lb, short_period_sds=short_period_sds)
    positive(
        response_modification=response_modification, importance=importance, roof_height_ft=roof_height_ft
    )
    height = height_factor(floor_height_ft, roof_height_ft, rise_factor)
    scaled = short_period_sds * importance * operating_weight_lb
    by_formula = formula_factor * amplification * scaled * height / response_modification
    return _held(by_formula, least_factor * scaled, most_factor * scaled)


def _held(by_formula: Decimal, least: Decimal, most: Decimal) -> StructuralForce:
    return StructuralForce(min(max(by_formula, least), most), by_formula, least, most)


@exactly
def height_factor(floor_height_ft: Decimal, roof_height_ft: Decimal, rise_factor: Decimal) -> Decimal:
    """How much more a floor moves than the ground; by the later standard, the building's period unknown.

        Hf = 1 + r z/h

    floor_height_ft  z above grade; under 0 counts as 0  [ft]
    roof_height_ft   h; z/h counts as 1 at most          [ft]  more than 0
    rise_factor      r; 2, by the later standard 2.5     [-]
    returns          factor, 1 at grade                  [-]

    Source: ASCE 7-16 13.3.1; 7-22 13.3.1 in an engineer's method paper. Checked against: its
    case of 10 ft in 45 ft, 1.556; to the printed digits.

    >>> height_factor(Decimal(10), Decimal(45), Decimal("2.5")).quantize(Decimal("0.001"))
    Decimal('1.556')
    """
    positive(roof_height_ft=roof_height_ft)
    return 1 + rise_factor * min(max(floor_height_ft / roof_height_ft, Decimal(0)), Decimal(1))


@exactly
def frame_factor(response: Decimal, importance: Decimal, overstrength: Decimal, least: Decimal) -> Decimal:
    """How much the building's frame takes off, by the later standard.

        Rmu = sqrt(1.1 R / (Ie Omega0)), not under 1.3

    response      R      [-]  more than 0
    importance    Ie     [-]  more than 0
    overstrength  Omega0 [-]  more than 0
    least         1.3, which stands too where the frame is unknown
    returns       factor [-], good to 28 digits

    Source: ASCE 7-22 13.3.1 in an engineer's method paper. Checked against: its case of
    R 4, Omega0 2.5, 1.327; to the printed digits.

    >>> frame_factor(Decimal(4), Decimal(1), Decimal("2.5"), Decimal("1.3")).quantize(Decimal("0.001"))
    Decimal('1.327')
    """
    positive(response=response, importance=importance, overstrength=overstrength)
    return max((Decimal("1.1") * response / (importance * overstrength)).sqrt(), least)


@exactly
def later_force(
    operating_weight_lb: Decimal,
    short_period_sds: Decimal,
    *,
    importance: Decimal,
    height: Decimal,
    frame: Decimal,
    resonance: Decimal,
    strength: Decimal,
    formula_factor: Decimal,
    least_factor: Decimal,
    most_factor: Decimal,
) -> StructuralForce:
    """Sideways force on a fixed part of a building by the later structural standard.

        Fp = k SDS Ip W (Hf / Rmu) (CAR / Rpo),   least SDS Ip W <= Fp <= most SDS Ip W

    operating_weight_lb    W                       [lb]  0 or more
    short_period_sds       SDS                     [g]   0 or more
    importance             Ip; 1.0 or 1.5          [-]   more than 0
    height, frame          Hf, Rmu                 [-]   frame more than 0
    resonance, strength    CAR 1.0, Rpo 1.5        [-]   strength more than 0
    formula_factor, least_factor, most_factor      0.4, 0.3, 1.6 [-]
    returns                the force and its parts, strength level, unrounded [lb]

    Source: ASCE 7-22 equations 13.3-1 to 13.3-6 in an engineer's method paper. Checked
    against: its two cases, 250 lb giving 79.8 (least 75) and 1,500 lb giving 1,266; to
    every printed digit.

    >>> later_force(Decimal(250), Decimal(1), importance=Decimal(1), height=Decimal("1.5556"),
    ...     frame=Decimal("1.3"), resonance=Decimal(1), strength=Decimal("1.5"),
    ...     formula_factor=Decimal("0.4"),
    ...     least_factor=Decimal("0.3"), most_factor=Decimal("1.6")).force_lb.quantize(Decimal("0.1"))
    Decimal('79.8')
    """
    not_negative(operating_weight_lb=operating_weight_lb, short_period_sds=short_period_sds)
    positive(importance=importance, frame=frame, strength=strength)
    scaled = short_period_sds * importance * operating_weight_lb
    by_formula = formula_factor * scaled * height / frame * resonance / strength
    return _held(by_formula, least_factor * scaled, most_factor * scaled)
