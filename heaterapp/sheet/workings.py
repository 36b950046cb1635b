"""A figure's formula in plain words, and its working with every number named: for who works it again by hand.

A report keeps the formula in symbols; these words stand in its place wherever it is read. What rules of an
earlier day wrote otherwise stays as it is: words of today's may not be what was reckoned then.
"""

# ruff: noqa: E501 - a formula stands on one line
from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from decimal import Decimal
from typing import Any

from ..languages import say, spoken, told
from ..languages.typeset import in_signs, typeset
from ..rules.units import parse_length, plain

FORMULAS = {
    ("acceptance_used_gal", "Vw = Vt (1 - Pc / P0) + Ve, absolute"):
        "tank size × (1 − air charge / cold pressure) + expansion; pressures with the atmosphere added",
    ("air_mechanical_needed_cfm", "k Q / 1000"):
        "cfm for each 1,000 Btu/h × input counted / 1000",
    ("air_opening_needed_in2", "each opening, free: Q / n; between rooms not under a least area; combined: the share the rooms do not give"):
        "each opening, free: input counted / Btu/h for each sq in; between rooms not under a least area; combined: the share the rooms do not give",
    ("air_volume_needed_ft3", "standard: k Q / 1000; leakage known: (a Q hood + b Q fan) / (1000 n)"):
        "standard: cu ft for each 1,000 Btu/h × input / 1000; leakage known: (factor × hood input + factor × fan input) / (1000 × air changes an hour)",
    ("breaker_max_a", "the marked maximum; else a fixed size for a small load; else the standard rating at or above k I"):
        "the marked maximum; else a fixed size for a small load; else the standard rating at or above the book's factor × amperes drawn",
    ("circuit_needed_a", "heat pump and tankless: the plate's least circuit amperes; else storage to the book's size: k I; else I"):
        "heat pump and tankless: the plate's least circuit amperes, where it gives them; else storage to the book's size: the book's factor × amperes drawn; any other: the amperes drawn",
    ("connector_length_allowed_ft", "alone: share x H; shared: k x connector diameter"):
        "alone: the table's share × vent height; shared: ft for each inch × connector diameter",
    ("expansion_tank_needed_gal", "Vt = Ve / (1 - (Ps + Pa) / (Pm + Pa)), charged to Ps"):
        "expansion / (1 − (house pressure + atmosphere) / (limit + atmosphere)), charged to the house pressure",
    ("gas_pipe_capacity_btuh", "the printed cell of the longest length; else share x (19.17 D (dH / (Cr L))^0.206)^(1/0.381) x heat value, kept between the tables' cells"):
        "the printed cell of the longest length; else share × (19.17 × inside diameter × (pressure drop / (the gas's factor × length)) to the power 0.206) to the power (1 / 0.381) × heat value, kept between the tables' cells",
    ("heater_amps", "I = 1000 P / V, with P = plate kW (V / plate V)^2 / circuits"):
        "1000 × plate kW × volts / (plate volts × plate volts × circuits)",
    ("lag_allowable_lb", "W' = W CD t: W by wood and diameter, CD for a short load, t the full thread in the stud"):
        "table value in lb an inch × the factor of a short load × inches of full thread",
    ("lag_slant_allowable_lb", "Z'a = W' Z' / (W' sin^2 a + Z' cos^2 a), a from straight out of the wall; Z' = Z CD x depth / full depth x thickness / the table's"):
        "straight × sideways / (straight × (sine of the angle)² + sideways × (its cosine)²); angle: the legs', or the strut's; straight: as above; sideways: table value × the short load's factor × depth / full depth × thickness / the table's",
    ("lag_withdrawal_lb", "N = Q / 2, on each of a strap's two lags, lowest strap first; behind a strut Q / (2 tan theta) where that is more"):
        "load on the strap / 2, on each of two lags; behind a strut load / (2 × tangent of its angle) where more",
    ("local_atmosphere_psia", "Pa = 14.696 (1 - 6.8754e-6 Z)^5.2559"):
        "14.696 psia at sea level × (1 − 0.0000068754 × elevation in ft) to the power 5.2559",
    ("lower_strap_band_in", "B to B + H/3, and clear of the controls by the text's distance and half the strap"):
        "stand, up to stand + tank height / 3; clear of the controls by the text's distance and half the strap",
    ("operating_weight_lb", "W = empty weight + w x gallons"):
        "empty weight + weight of a gallon of cold water × gallons",
    ("peak_pressure_as_recommended_psi", "the same with the tank charged to the house pressure: Pc = Ps"):
        "the same with the tank charged to the house pressure",
    ("peak_pressure_psi", "P = Pc Vt / (Vt Pc / P0 - Ve), P0 = max(Ps, Pc), absolute"):
        "air charge × tank size / (tank size × air charge / cold pressure − expansion) − atmosphere; pressures with the atmosphere added; cold: the house's or the charge, the higher",
    ("precharge_at_air_f_psi", "Pc2 = (Pc1 + Pa) (T2 + 459.67) / (T1 + 459.67) - Pa"):
        "(air charge + atmosphere) × (new °F + 459.67) / (former °F + 459.67) − atmosphere",
    ("precharge_installed_psi", "Pc2 = (Pc1 + Pa) (T2 + 459.67) / (T1 + 459.67) - Pa"):
        "(air charge + atmosphere) × (new °F + 459.67) / (former °F + 459.67) − atmosphere",
    ("strap_allowable_lb", "least of t w Fy / Sy and t (w - d) Fu / Su"):
        "the lesser of thickness × width × yield strength / its safety factor and thickness × (width − hole) × breaking strength / its own",
    ("strap_controls_clearance_in", "above: (y - w/2) - top; below: bottom - (y + w/2)"):
        "above: (strap − half its width) − top of the controls; below: their bottom − (strap + half its width)",
    ("strap_force_lb", "F = W / 3"):
        "weight when full / 3",
    ("strap_leg_tension_lb", "T = Q / (2 cos phi), one leg, lowest strap first"):
        "load on the strap / (2 × cosine of the legs' angle), in one leg",
    ("strap_reactions_lb", "Q upper = F (hc - h1) / (h2 - h1), Q lower = F (h2 - hc) / (h2 - h1), hc = B + H/2"):
        "upper: sideways force × (middle of the tank − lower strap) / (upper − lower strap); lower: × (upper strap − middle) / the same",
    ("strap_splay_deg", "phi = atan((s/2) / c) - asin(R / d), c = R + gap, d^2 = (s/2)^2 + c^2"):
        "arctan (half the anchors' distance / axis to the wall) − arcsin (radius / axis to anchor)",
    ("structural_force_later_lb", "Fp = k SDS Ip W (Hf / Rmu) (CAR / Rpo), between two shares of SDS Ip W"):
        "the standard's factors × short-period acceleration in g × importance × weight when full; not under nor over two shares of the same product",
    ("structural_force_lb", "Fp = k ap SDS W (1 + r z/h) / (Rp / Ip), between two shares of SDS Ip W"):
        "the standard's factors × short-period acceleration in g × weight when full, higher up in the building more; not under nor over two shares of acceleration × importance × weight",
    ("strut_allowable_lb", "P = A Fcr / S: Fcr by L / r, both ends pinned"):
        "steel area × buckling stress / safety factor; the stress by length / radius of gyration, both ends pinned",
    ("strut_force_lb", "P = Q / (2 sin theta), in each strut of the strap that carries most"):
        "load on the strap / (2 × sine of the strut's angle), in each strut of the strap that carries most",
    ("thermal_expansion_gal", "Ve = V (density cold / density hot - 1)"):
        "water heated × (its density cold / its density hot − 1)",
    ("tipping_ratio", "(hc - B) / R; tips above 3 at a third of the weight"):
        "half the tank's height / its radius; tips above 3 at a third of the weight",
    ("upper_strap_band_in", "B + 2H/3 to B + H"):
        "stand + 2 × tank height / 3, up to stand + tank height",
}  # fmt: skip
"""A figure's name and its formula as the rules have it now -> how it is read."""
_N = r"([0-9.,−-]+)"
_LEGS = re.compile(rf"R = {_N}, c = {_N}, s = {_N}, d = {_N} in: {_N} deg")
LEGS = "arctan ({half} / {wall}) − arcsin ({radius} / {anchor}) = {angle}°"
_SLANT = re.compile(rf"out {_N}, along {_N}, together {_N} lb; Z' = ([0-9., x×/−-]+ = )?{_N} lb; ")
SLANT = "pull out {out}, along {along}, together {both} lb; sideways {sideways} lb; "
"""Of rules of an earlier day; of today's the angle tells out and along."""
_TUBE = re.compile(rf"tube {_N} x {_N} in, L / r = {_N}, steel of {_N} psi: {_N} lb")
TUBE = "tube {outside} × {wall} in, length / radius of gyration {slender}, steel of {steel} psi: {force} lb"


def formula_words(
    name: str, stored: str, say: Callable[[str], str] = say, told: Callable[[str, str], str] = told
) -> str:
    """A formula as it is read, in the language spoken now.

    name    the figure's own
    stored  its formula as the report has it
    say     how one of our own texts is said
    told    how what a report holds is told

    >>> formula_words("strap_force_lb", "F = W / 3"), formula_words("strap_force_lb", "F = W x 4")
    ('weight when full / 3', 'F = W × 4')
    """
    words = FORMULAS.get((name, stored))
    return say(words) if words else in_signs(told("figures", stored))


def working_words(stored: str, told: Callable[[str, str], str] = told) -> str:
    """A working as it is read: what a symbol stood for is said.

    >>> working_words("458.2 x 1 / 3 = 152.7 lb")
    '458.2 × 1 / 3 = 152.7 lb'
    """
    return symbols_named(stored) or told("figures", stored)


TAPED = "on a tape {band} in"


def tape_words(
    figure: Mapping[str, Any], say: Callable[..., str] = say, told: Callable[[str, str], str] = told
) -> str:
    """How a tape shows a band of heights that was worked out between its marks; nothing for any other figure.

    figure  one of `figures_taped`

    >>> tape_words({"value": ["0.00", "19.33"], "taped": "0 to 19 1/4"}), tape_words({"value": "3"})
    ('on a tape 0 to 19 1/4 in', '')
    >>> tape_words({"value": ["0.00", "19.50"], "taped": "0 to 19 1/2"})
    ''
    """
    band, ends = figure.get("taped", ""), figure.get("value")
    if not band or [parse_length(end) for end in band.split(" to ")] == [Decimal(end) for end in ends or ()]:
        return ""
    return say(TAPED, band=told("figures", band))


def symbols_named(stored: str) -> str:
    """The same of a working that has symbols; nothing for one that has none.

    >>> symbols_named("R = 9, c = 10, s = 32, d = 18.868 in: 29.5 deg")
    'arctan (16 / 10) − arcsin (9 / 18.868) = 29.5°'
    """
    if legs := _LEGS.fullmatch(stored):
        radius, wall, spread, anchor, angle = legs.groups()
        half = plain(Decimal(spread.replace(",", "")) / 2)
        shown = typeset(angle, spoken())
        return say(LEGS, half=half, wall=wall, radius=radius, anchor=anchor, angle=shown)
    if tube := _TUBE.fullmatch(stored):
        outside, wall, slender, steel, force = tube.groups()
        return say(TUBE, outside=outside, wall=wall, slender=slender, steel=steel, force=force)
    if slant := _SLANT.match(stored):
        out, along, both, terms, sideways = slant.groups()
        head = say(SLANT, out=out, along=along, both=both, sideways=in_signs(terms or "") + sideways)
        return head + told("figures", stored[slant.end() :])
    return ""
