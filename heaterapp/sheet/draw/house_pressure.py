"""The house pressure against its limits, where it is over them and no curve of heating can be drawn."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from heaterapp.rules.units import clear_of, plain

from .given import answer, finding, limit_of
from .shapes import Label, drawing, kept, labels, line, words

LEFT, RIGHT = Decimal(36), Decimal(208)
TOP, BOTTOM = Decimal(14), Decimal(112)
LABELS = Decimal(226)
APART = Decimal(17)
CHECK = "supply.pressure_within_limit"
OVER = ("fails", "authority", "engineer")


@dataclass(frozen=True, slots=True)
class _House:
    """One job's pressures in psi, and the section of the limit."""

    found: Decimal
    limit: Decimal
    section: str
    relief: Decimal | None

    @property
    def shown(self) -> str:
        """The house pressure, never rounded onto its limit."""
        return clear_of(self.found, self.limit, places=1)


def _house(answers: Mapping[str, Any], report: Mapping[str, Any]) -> _House | None:
    found, limit = answer(answers, "house_pressure_psi"), limit_of(report, CHECK, "psi")
    if not isinstance(found, Decimal) or limit is None or finding(report, CHECK).get("verdict") not in OVER:
        return None
    relief = answer(answers, "relief_pressure_psi")
    return _House(found, *limit, relief if isinstance(relief, Decimal) else None)


def house_svg(answers: Mapping[str, Any], report: Mapping[str, Any]) -> str | None:
    """Draw the house pressure over its limit; None where it is within, or was not measured.

    answers  the stored answers
    report   `Report.as_json()` for them
    """
    house = _house(answers, report)
    return _drawn(house) if house else None


def house_words(answers: Mapping[str, Any], report: Mapping[str, Any]) -> list[str]:
    """The drawing's numbers as sentences; none when nothing is drawn."""
    house = _house(answers, report)
    return _said(house) if house else []


@kept
def _drawn(house: _House) -> str:
    highest = max(house.relief or 0, house.found, house.limit) * Decimal("1.08")

    def y(psi: Decimal) -> Decimal:
        return BOTTOM - psi / highest * (BOTTOM - TOP)

    parts = [line("axis", LEFT, TOP, LEFT, BOTTOM), line("axis", LEFT, BOTTOM, RIGHT, BOTTOM)]
    parts.append(words("label end", LEFT - 6, TOP - 2, "psi"))
    for psi in range(0, int(highest) + 1, 50):
        parts.append(line("thin", LEFT - 4, y(Decimal(psi)), LEFT, y(Decimal(psi))))
        if y(Decimal(psi)) > TOP + 4:
            parts.append(words("label end", LEFT - 6, y(Decimal(psi)) + 4, str(psi)))
    ends = [
        Label(y(house.limit), f"{plain(house.limit, 1)} limit", "label"),
        Label(y(house.found), f"{house.shown} house", "label strong"),
    ]
    if house.relief is not None:
        ends.append(Label(y(house.relief), f"{plain(house.relief, 1)} relief", "label"))
        parts.append(line("limit", LEFT, y(house.relief), RIGHT, y(house.relief)))
    parts.append(line("limit", LEFT, y(house.limit), RIGHT, y(house.limit)))
    parts.append(line("curve as-set", LEFT, y(house.found), RIGHT, y(house.found)))
    parts += labels(ends, RIGHT + 2, LABELS, APART, TOP, BOTTOM)
    return drawing("pressure", BOTTOM + 6, "House pressure against its limit", _said(house), parts)


def _said(house: _House) -> list[str]:
    where = f" ({house.section})." if house.section else "."
    said = [
        f"House pressure measured: {house.shown} psi.",
        f"The adopted limit is {plain(house.limit, 1)} psi" + where,
    ]
    if house.relief is not None:
        said.append(f"The relief valve is set to {plain(house.relief, 1)} psi.")
    return said
