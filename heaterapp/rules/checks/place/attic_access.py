"""A heater in an attic or crawl space can be reached, lit and served.

Why: what cannot be reached is not served, and cannot be taken out when it fails.
Fix: widen the opening or passage, lay a floor, or add the light and receptacle, as listed.
"""

from ...report import Result, authority, fails, meets, unanswered
from ...units import Foot, Inch, Inches, clear_of, eighths, plain, tape_shown
from ...when import is_
from . import clause_of

CLAUSES = ("place.attic_access", "place.attic_access_mechanical")
WHEN = is_("room", "attic", "crawl_space")


def check(
    room: str, attic_opening_in: Inches, attic_passage_length_ft: Foot, attic_light: bool, attic_receptacle: bool,
    attic_passage_width_in: Inch | None = None, attic_passage_height_in: Inch | None = None, job_kind: str | None = None,
    heater_kind: str | None = None,
    *, opening: Inches, underfloor_opening: Inches, passage_width: Inch, passage_height: Inch, passage_length: Foot, tall: Inch,
    tall_length: Foot | None = None, mechanical: bool = False,
) -> Result:  # fmt: skip
    clause = clause_of("place.attic_access", heater_kind, mechanical)
    least = opening if room == "attic" else underfloor_opening
    short = []
    if min(attic_opening_in) < min(least) or max(attic_opening_in) < max(least):
        short.append(
            f"opening {' x '.join(tape_shown(v, *least) for v in attic_opening_in)} in, {' x '.join(eighths(v) for v in least)} in asked"
        )
    if attic_passage_length_ft > 0:
        if attic_passage_width_in is None or attic_passage_height_in is None:
            return unanswered("To answer: the passage's width and height.")
        if attic_passage_width_in < passage_width:
            short.append(
                f"passage {tape_shown(attic_passage_width_in, passage_width)} in wide, {eighths(passage_width)} in asked"
            )
        if attic_passage_height_in < passage_height:
            short.append(
                f"passage {tape_shown(attic_passage_height_in, passage_height)} in high, {eighths(passage_height)} in asked"
            )
        if attic_passage_length_ft > passage_length and attic_passage_height_in < tall:
            short.append(
                f"passage {clear_of(attic_passage_length_ft, passage_length)} ft long, {plain(passage_length)} ft at most where it is not {eighths(tall)} in high"
            )
        elif tall_length is not None and attic_passage_length_ft > tall_length:
            short.append(
                f"passage {clear_of(attic_passage_length_ft, tall_length)} ft long, {plain(tall_length)} ft at most where it is {eighths(tall)} in high"
            )
    if not attic_light:
        short.append("no light switched at the entrance")
    if not attic_receptacle:
        short.append("no receptacle near the heater")
    limit = "opening, passage, light and receptacle"
    if not short:
        return meets("Opening, passage, light and receptacle are as asked.", "as asked", limit, clause=clause)
    said = "Short: " + "; ".join(short) + "."
    if job_kind == "same_place":
        return authority(said + " The place is as it was: ask the authority.", "short", limit, clause=clause)
    return fails(said, "short", limit, clause=clause)
