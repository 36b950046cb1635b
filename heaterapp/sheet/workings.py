"""A figure's formula in plain words, and its working with every number named: for who works it again by hand.

A report keeps the formula in symbols; these words stand in its place wherever it is read. What a formula of
earlier rules said otherwise stays as it is.
"""

# ruff: noqa: E501 - a formula stands on one line
from __future__ import annotations

import re
from decimal import Decimal

from ..languages import say, spoken, told
from ..languages.typeset import typeset
from ..rules.writing import plain

FORMULAS = {
    "(hc - B) / R; tips above 3 at a third of the weight": "half the tank's height / its radius; tips above 3 at a third of the weight",
    "B + 2H/3 to B + H": "stand + 2 × tank height / 3, up to stand + tank height",
    "B to B + H/3, and clear of the controls by the text's distance and half the strap": "stand, up to stand + tank height / 3, and clear of the controls by the text's distance and half the strap",
    "F = W / 3": "weight when full / 3",
    "Fp = k ap SDS W (1 + r z/h) / (Rp / Ip), between two shares of SDS Ip W": "the standard's factors × short-period acceleration in g × weight when full, higher up in the building more; not under nor over two shares of acceleration × importance × weight",
    "Fp = k SDS Ip W (Hf / Rmu) (CAR / Rpo), between two shares of SDS Ip W": "the standard's factors × short-period acceleration in g × importance × weight when full; not under nor over two shares of the same product",
    "I = 1000 P / V, with P = plate kW (V / plate V)^2 / circuits": "1000 × plate kW × volts / (plate volts × plate volts × circuits)",
    "N = Q / 2, on each of a strap's two lags, lowest strap first; behind a strut Q / (2 tan theta) where that is more": "load on the strap / 2, on each of its two lags, lowest strap first; behind a strut load / (2 × tangent of the strut's angle) where that is more",
    "P = A Fcr / 1.67: Fcr by L / r, both ends pinned": "steel area × buckling stress / 1.67; the stress by length / radius of gyration, both ends pinned",
    "P = Pc Vt / (Vt Pc / P0 - Ve), P0 = max(Ps, Pc), absolute": "air charge × tank size / (tank size × air charge / cold pressure − water that expansion adds) − atmosphere; charge and cold pressure with the atmosphere added, the cold pressure being the house's or the charge, whichever is more",
    "P = Q / (2 sin theta), in each strut of the strap that carries most": "load on the strap / (2 × sine of the strut's angle), in each strut of the strap that carries most",
    "Pa = 14.696 (1 - 6.8754e-6 Z)^5.2559": "14.696 psi at sea level × (1 − 0.0000068754 × elevation in ft) to the power 5.2559",
    "Pc2 = (Pc1 + Pa) (T2 + 459.67) / (T1 + 459.67) - Pa": "(air charge + atmosphere) × (new air temperature + 459.67) / (former air temperature + 459.67) − atmosphere, in °F",
    "Q upper = F (hc - h1) / (h2 - h1), Q lower = F - Q upper, hc = B + H/2": "upper strap: sideways force × (middle of the tank − lower strap) / (upper strap − lower strap), heights from the floor; lower strap: the rest",
    "T = Q / (2 cos phi), one leg, lowest strap first": "load on the strap / (2 × cosine of the legs' angle), in one leg, lowest strap first",
    "Ve = V (density cold / density hot - 1)": "water heated × (its density cold / its density hot − 1)",
    "Vt = Ve / (1 - (Ps + Pa) / (Pm + Pa)), charged to Ps": "water that expansion adds / (1 − (house pressure + atmosphere) / (limit + atmosphere)), charged to the house pressure",
    "Vw = Vt (1 - Pc / P0) + Ve, absolute": "tank size × (1 − air charge / cold pressure) + water that expansion adds, both pressures with the atmosphere added",
    "W = empty weight + 8.33 x gallons": "empty weight + 8.33 lb × gallons",
    "W' = W CD t: W by wood and diameter, CD = 1.6, t the full thread in the stud": "table value by wood and diameter in lb for an inch × 1.6 for a short load × inches of full thread in the stud",
    "Z'a = W' Z' / (W' cos^2 a + Z' sin^2 a), a from the wall's face; Z' = Z CD x depth / 8 diameters x thickness / 0.075 in": "straight × sideways / (straight × (along / together)² + sideways × (out / together)²): what a lag may carry straight out and sideways, and the pull out of the wall and along it; sideways: table value × 1.6 × depth / 8 diameters × steel thickness / 0.075 in",
    "above: (y - w/2) - top; below: bottom - (y + w/2)": "above: (lower strap − half its width) − top of the controls; below: bottom of the controls − (strap + half its width)",
    "alone: share x H; shared: k x connector diameter": "alone: the table's share × vent height; shared: the table's ft for each inch × connector diameter",
    "each opening, free: Q / n; between rooms not under a least area; combined: the share the rooms do not give": "each opening, free: input counted / Btu/h for each sq in; between rooms not under a least area; combined: the share the rooms do not give",
    "k Q / 1000": "cfm for each 1,000 Btu/h × input counted / 1000",
    "least of t w Fy / 1.67 and t (w - d) Fu / 2": "the lesser of thickness × width × yield strength / 1.67 and thickness × (width − hole) × breaking strength / 2",
    "phi = atan((s/2) / c) - asin(R / d), c = R + gap, d^2 = (s/2)^2 + c^2": "arc tangent of (half the anchors' distance / tank's axis to the wall) − arc sine of (radius / axis to anchor)",
    "standard: k Q / 1000; leakage known: (a Q hood + b Q fan) / (1000 n)": "standard: cu ft for each 1,000 Btu/h × input counted / 1000; leakage known: (factor × input with draft hoods + factor × input with fans) / (1000 × air changes an hour)",
    "storage to the book's size: k I; else I; heat pump and tankless: the plate's least circuit amperes, of a plug-in that has none k I": "storage to the book's size: the book's factor × amperes drawn; larger: the amperes drawn; heat pump and tankless: the plate's least circuit amperes, of a plug-in that has none the factor × amperes drawn",
    "the marked maximum; else a fixed size for a small load; else the standard rating at or above k I": "the marked maximum; else a fixed size for a small load; else the standard rating at or above the book's factor × amperes drawn",
    "the printed cell of the longest length; else share x (19.17 D (dH / (Cr L))^0.206)^(1/0.381) x heat value, kept between the tables' cells": "the printed cell of the longest length; else share × (19.17 × inside diameter × (pressure drop / (the gas's factor × length)) to the power 0.206) to the power (1 / 0.381) × heat value, kept between the tables' cells",
    "the same with the tank charged to the house pressure: Pc = Ps": "the same with the tank charged to the house pressure",
}  # fmt: skip
"""The formula that a report keeps -> how it is read."""
_N = r"([0-9.,−-]+)"
_LEGS = re.compile(rf"R = {_N}, c = {_N}, s = {_N}, d = {_N} in: {_N} deg")
LEGS = "arctan ({half} / {wall}) − arcsin ({radius} / {anchor}) = {angle}°"
_SLANT = re.compile(rf"out {_N}, along {_N}, together {_N} lb; Z' = {_N} lb; ")
SLANT = "pull out {out}, along {along}, together {both} lb; sideways {sideways} lb; "
_TUBE = re.compile(rf"tube {_N} x {_N} in, L / r = {_N}, steel of {_N} psi: {_N} lb")
TUBE = "tube {outside} × {wall} in, length / radius of gyration {slender}, steel of {steel} psi: {force} lb"


def formula_words(stored: str) -> str:
    """A formula as it is read, in the language spoken now.

    >>> formula_words("F = W / 3")
    'weight when full / 3'
    """
    words = FORMULAS.get(stored)
    return say(words) if words else told("figures", stored)


def working_words(stored: str) -> str:
    """A working as it is read: what a symbol stood for is said.

    >>> working_words("458.2 x 1 / 3 = 152.7 lb")
    '458.2 × 1 / 3 = 152.7 lb'
    """
    return symbols_named(stored) or told("figures", stored)


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
        out, along, both, sideways = slant.groups()
        head = say(SLANT, out=out, along=along, both=both, sideways=sideways)
        return head + told("figures", stored[slant.end() :])
    return ""
