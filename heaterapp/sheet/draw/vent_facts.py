"""What is known of a vent that ends above the roof, and its numbers as sentences."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property
from typing import Any

from heaterapp.rules import CATALOGUE
from heaterapp.rules.units import plain

from .given import Against, against, answer
from .shapes import Point, asked_taped, found_taped, taped

INCHES = Decimal(12)
ZERO = Decimal(0)
SHOWN_UNDER_ROOF_FT = Decimal(3)
LOWEST_FT = Decimal(-2)
USUAL_WIDE_IN = Decimal(4)
OF_HEIGHT = Decimal("0.8")
CHIMNEYS = ("masonry_lined", "masonry_unlined")
END = ("venting.end_above_roof", "venting.chimney_end")
_NO_CONNECTOR = (None, None, None)


@dataclass(frozen=True)
class RoofVent:
    """What was measured of it: heights and lengths in feet, the rest in inches."""

    height_ft: Decimal | None
    lateral_ft: Decimal
    vent_in: Decimal | None
    flue_in2: Decimal | None
    kind: str
    hood: str
    outlet_in: Decimal | None
    heater_in: Decimal | None
    connector_in: Decimal | None
    connector_ft: Decimal | None
    rise_in: Decimal | None
    join_ft: Decimal | None
    above_roof_in: Decimal | None
    pitch_in: Decimal | None
    end: Against
    slope: Against
    vent_clear: Against
    connector_clear: Against
    hood_clear: Against
    shared: bool

    @cached_property
    def tall_ft(self) -> Decimal:
        """From the hood, or from a little under the roof where its height is not known, to the end."""
        if self.height_ft is not None:
            return self.height_ft
        return (self.above_roof_in or ZERO) / INCHES + SHOWN_UNDER_ROOF_FT

    @cached_property
    def wide_in(self) -> Decimal:
        """The pipe that goes up, across; of a chimney the side of a square flue of its area."""
        if self.flue_in2 is not None:
            return self.flue_in2.sqrt()
        return self.vent_in or self.connector_in or self.outlet_in or USUAL_WIDE_IN

    @cached_property
    def foot(self) -> Point | None:
        """Where the connector meets the vent, in feet from the hood; None where that is not known."""
        if self.height_ft is None or self.connector_ft is None or self.rise_in is None:
            return None
        up = self.rise_in / INCHES
        start = max(self.join_ft - up, ZERO) if self.join_ft is not None else ZERO
        if not LOWEST_FT < start + up < self.height_ft or self.connector_ft <= 0:
            return None
        return self.connector_ft, start + up

    @cached_property
    def offset_ft(self) -> Decimal:
        """How far the vent itself runs to the side."""
        if self.height_ft is None:
            return ZERO
        return max(self.lateral_ft - (self.connector_ft or ZERO), ZERO)

    @cached_property
    def way(self) -> list[Point]:
        """The vent's middle line, upward, in feet from the hood."""
        x, low = self.foot or (ZERO, ZERO)
        top, aside = self.tall_ft, self.offset_ft
        if aside == 0:
            return [(x, low), (x, top)]
        half = min(aside, (top - low) * OF_HEIGHT) / 2
        middle = (low + top) / 2
        return [(x, low), (x, middle - half), (x + aside, middle + half), (x + aside, top)]


def roof_vent(answers: Mapping[str, Any], report: Mapping[str, Any]) -> RoofVent | None:
    """Gather what is known; None with neither a height nor an end above the roof."""

    def told(name: str) -> Decimal | None:
        value = answer(answers, name)
        return value if isinstance(value, Decimal) else None

    kind = str(answer(answers, "vent_kind"))
    height, above = told("vent_height_ft"), told("vent_above_roof_in")
    if (height is None or height <= 0) and (above is None or above <= 0):
        return None
    connected = answer(answers, "connector_kind") not in (None, "none")
    shared = answer(answers, "vent_shared") == "yes"
    vent = told("common_vent_diameter_in") if shared else told("vent_diameter_in")
    names = ("connector_diameter_in", "connector_length_ft", "connector_rise_in")
    connector = tuple(told(name) for name in names) if connected else _NO_CONNECTOR
    ends = (against(report, check, "in") for check in END)
    return RoofVent(
        height if height is not None and height > 0 else None,
        told("vent_lateral_ft") or ZERO,
        None if kind in CHIMNEYS else vent,
        told("vent_flue_area_in2") if kind in CHIMNEYS else None,
        kind,
        "draft hood" if answer(answers, "draft_kind") == "draft_hood" else "flue collar",
        told("draft_hood_outlet_in"),
        told("tank_diameter_in"),
        *connector,
        told("connector_vertical_rise_ft") if shared else None,
        above,
        told("roof_pitch_in_12"),
        next((one for one in ends if one.limit is not None), Against()),
        against(report, "venting.connector_slope", "in"),
        against(report, "venting.clearance", "in"),
        against(report, "venting.connector_clearance", "in") if connected else Against(),
        against(report, "venting.draft_hood_clearance", "in"),
        shared,
    )  # fmt: skip


def roof_words(vent: RoofVent) -> list[str]:
    """What is drawn, and the clearances, as sentences."""
    name = CATALOGUE["vent_kind"].choices.get(vent.kind, "Vent")
    size = ""
    if vent.flue_in2 is not None:
        size = f", flue {plain(vent.flue_in2, 2)} sq in"
    elif vent.vent_in is not None:
        size = f", {taped(vent.vent_in)} in"
    said = [f"{name}{size}" + (", shared" if vent.shared else "") + "."]
    if vent.height_ft is not None:
        aside = f", {plain(vent.lateral_ft, 2)} ft to the side in all" if vent.lateral_ft else ""
        said.append(f"{vent.hood.capitalize()} up to the end {plain(vent.height_ft, 2)} ft{aside}.")
        if vent.offset_ft:
            aside = f"{plain(vent.offset_ft, 2)} ft to the side"
            said.append(f"Where it runs {aside} was not asked: drawn halfway.")
    if vent.connector_ft is not None and vent.rise_in is not None:
        level = f"{plain(vent.connector_ft, 2)} ft level"
        rises = found_taped(vent.rise_in, vent.slope.limit)
        said.append(f"Connector {level}, rises {rises} in{_asked(vent.rise_in, vent.slope)}.")
    if vent.above_roof_in is not None:
        ends = found_taped(vent.above_roof_in, vent.end.limit)
        said.append(f"Ends {ends} in above the roof{_asked(vent.above_roof_in, vent.end)}.")
    around = (("vent", vent.vent_clear), ("connector", vent.connector_clear), ("hood", vent.hood_clear))
    clear = [
        f"{what} {found_taped(one.found, one.limit)} in{_asked(one.found, one)}"
        for what, one in around
        if one.found is not None
    ]
    if clear:
        said.append(f"Clear of what can burn: {'; '.join(clear)}.")
    return said


def _asked(found: Decimal, one: Against) -> str:
    """The limit and its section, in brackets."""
    if one.limit is None:
        return ""
    number = one.section.removeprefix("Table ")
    said = "" if not number else f", {number}" if number == one.section else f", Table {number}"
    return f" ({asked_taped(found, one.limit)} asked{said})"
