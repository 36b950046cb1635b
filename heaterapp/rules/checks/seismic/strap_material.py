"""The straps are of a kind and size that holds.

Why: thin tape tears and nylon stretches; agencies saw tanks break through.
Fix: fit a listed strap kit.
"""

from ...questions.plate import STORAGE
from ...questions.straps import STRAPS
from ...report import Result, authority, meets, unanswered
from ...units import Gallon, Gauge, Inch, eighths, plain
from ...when import is_

CLAUSES = ("seismic.straps", "seismic.guide")
WHEN = STORAGE & STRAPS & ~is_("bracing_required", "no")


def check(
    strap_kind: str, strap_width_in: Inch | None = None, strap_gauge: Gauge | None = None, strap_wraps_tank: bool | None = None, strut_diameter_in: Inch | None = None,
    storage_gal: Gallon | None = None, *, listed: str, width: Inch | None = None, gauge: Gauge | None = None, strut: Inch | None = None, usual_to: Gallon | None = None,
) -> Result:  # fmt: skip
    shown = strap_kind.replace("_", " ")
    if strap_kind == listed:
        return meets("A listed kit, by its own sheet.", shown, "a listed kit")
    if width is None or gauge is None or strut is None:
        return authority(
            "The book names no material; a listed kit is the usual answer.", shown, "a listed kit"
        )
    if strap_width_in is None or strap_gauge is None or strap_wraps_tank is None:
        return unanswered(
            "To answer: the straps' width and gauge, and whether they go right round.",
            needs=("strap_width_in", "strap_gauge", "strap_wraps_tank"),
        )
    short = []
    if strap_width_in < width:
        short.append(f"{eighths(strap_width_in)} in wide, {eighths(width)} in asked")
    if strap_gauge > gauge:
        short.append(f"{plain(strap_gauge)} gauge, {plain(gauge)} or heavier asked")
    if not strap_wraps_tank:
        short.append("they do not go right round the tank")
    if strap_kind == "conduit_struts" and strut_diameter_in is not None and strut_diameter_in < strut:
        short.append(f"struts {eighths(strut_diameter_in)} in, {eighths(strut)} in asked")
    limit = f"{eighths(width)} in x {plain(gauge)} gauge, right round"
    if short:
        return authority(
            f"Short of the state's guide: {'; '.join(short)}.", shown, limit, clause="seismic.guide"
        )
    if (
        strap_kind == "perforated_tape"
        and usual_to is not None
        and storage_gal is not None
        and storage_gal > usual_to
    ):
        return authority(
            f"Perforated tape on a tank over {plain(usual_to)} gal: public agencies advise against it.",
            shown,
            limit,
            clause="seismic.guide",
        )
    return meets(
        f"{shown.capitalize()}, {eighths(strap_width_in)} in x {plain(strap_gauge)} gauge.",
        shown,
        limit,
        clause="seismic.guide",
    )
