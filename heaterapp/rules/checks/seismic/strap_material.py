"""The straps are of a kind and size that holds.

Why: thin tape tears and nylon stretches; agencies saw tanks break through.
Fix: fit a listed strap kit.
"""

from ...questions import as_read
from ...questions.plate import STORAGE
from ...questions.straps import STRAPS
from ...report import Result, authority, meets, unanswered
from ...units import Gallon, Gauge, Inch, clear_of, eighths, plain, tape_shown
from ...when import is_

CLAUSES = ("seismic.straps", "seismic.guide")
WHEN = STORAGE & STRAPS & ~is_("bracing_required", "no")
_TAPE = " Public agencies advise against perforated tape since tanks broke through it; a local rule may forbid it."


def check(
    strap_kind: str, storage_gal: Gallon, strap_width_in: Inch | None = None, strap_gauge: Gauge | None = None,
    strut_diameter_in: Inch | None = None, strut_length_in: Inch | None = None,
    *, kit: str, width: Inch | None = None, gauge: Gauge | None = None, strut: Inch | None = None,
    longest_strut: Inch | None = None, usual_to: Gallon | None = None,
) -> Result:  # fmt: skip
    shown = as_read("strap_kind", strap_kind)
    tape = _TAPE if strap_kind == "perforated_tape" else ""
    if strap_kind == "listed_kit":
        return meets("A listed kit: fit it as its sheet says.", shown, shown)
    if width is None or gauge is None or strut is None or longest_strut is None or usual_to is None:
        return authority(f"The book names no metal, gauge or width.{tape}", shown, kit)
    struts = strap_kind == "conduit_struts"
    asked = {"strap_width_in": strap_width_in, "strap_gauge": strap_gauge}
    if struts:
        asked |= {"strut_diameter_in": strut_diameter_in, "strut_length_in": strut_length_in}
    needs = tuple(name for name, value in asked.items() if value is None)
    if needs:
        return unanswered(
            "To answer: the size of the straps, and of struts where there are any.", needs=needs
        )
    short = [
        said
        for wrong, said in (
            (strap_width_in is not None and strap_width_in < width, f"at least {eighths(width)} in wide"),
            (strap_gauge is not None and strap_gauge > gauge, f"{plain(gauge)} gauge or heavier"),
            (
                struts and strut_diameter_in is not None and strut_diameter_in < strut,
                f"struts at least {eighths(strut)} in",
            ),
            (
                struts and strut_length_in is not None and strut_length_in > longest_strut,
                f"struts at most {eighths(longest_strut)} in long",
            ),
        )
        if wrong
    ]
    found = f"{shown}, {tape_shown(strap_width_in or width, width)} in x {clear_of(strap_gauge or gauge, gauge)} gauge"
    limit = f"{eighths(width)} in x {plain(gauge)} gauge"
    if short:
        return authority(
            f"Short of the state's guide, which asks for: {'; '.join(short)}.{tape}",
            found,
            limit,
            clause="seismic.guide",
        )
    if tape and storage_gal > usual_to:
        return authority(
            f"Perforated tape on a tank over {plain(usual_to)} gal.{tape}",
            found,
            limit,
            clause="seismic.guide",
        )
    return meets(f"As the state's guide has it: {found}.{tape}", found, limit, clause="seismic.guide")
