"""The vent is of a kind that this heater may use.

Why: a plastic vent melts on a draft hood, and a draft hood vent rots and leaks on a condensing heater.
Fix: stop and replace the vent with the kind named on the heater's plate and in its instructions.
"""

from ...questions.vent import OTHER_CATEGORY, VENTED
from ...report import Result, authority, fails, meets, unanswered
from . import in_a_list

CLAUSES = ("venting.vent_kinds",)
WHEN = VENTED
_READ_AGAIN = "Read the plate again: its vent category, and how it drafts."


def _clash(
    draft_kind: str, direct_vent: bool, condensing: bool | None, vent_category: str | None
) -> tuple[str, tuple[str, str]] | None:
    """Two answers of the plate that cannot both be right, in a sentence, and which they are."""
    if draft_kind == "power_vent":
        if vent_category == "I":
            return "A power vent is never of category I.", ("draft_kind", "vent_category")
        return None
    if OTHER_CATEGORY.holds(lambda _: vent_category):
        said = f"The plate's category {vent_category} is never a draft hood or a category I fan."
        return said, ("draft_kind", "vent_category")
    if condensing:
        return "A condensing heater never drafts by the heat of its gases.", ("draft_kind", "condensing")
    if direct_vent:
        return "A sealed heater has no draft hood and no category I fan.", ("draft_kind", "direct_vent")
    return None


def check(
    vent_kind: str, draft_kind: str, direct_vent: bool, vent_end: str | None = None, vent_category: str | None = None, condensing: bool | None = None,
    *, natural: tuple[str, ...], by_maker: tuple[str, ...],
) -> Result:  # fmt: skip
    clash = _clash(draft_kind, direct_vent, condensing, vent_category)
    if clash:
        said, needs = clash
        return unanswered(f"{said} One of the two answers is wrong.", needs=needs, fix=_READ_AGAIN)
    shown = in_a_list(vent_kind)
    begins = shown[:1].upper() + shown[1:]
    if direct_vent or draft_kind == "power_vent":
        limit = "the kind its maker names"
        if vent_kind in by_maker:
            return meets(
                f"{begins}: a kind that the maker of such a heater names or supplies.",
                shown,
                limit,
            )
        return fails(f"{begins} on a heater that takes only what its maker names.", shown, limit)
    limit = ", ".join(in_a_list(kind) for kind in natural if kind != "masonry_unlined")
    if vent_kind not in natural:
        return fails(f"{begins} on a heater that draws by the heat of its gases.", shown, limit)
    if vent_end is None:
        return unanswered("To answer: where the vent ends.", needs=("vent_end",))
    if vent_end == "wall":
        return fails(
            "A heater that draws by the heat of its gases may not vent through a wall.",
            "through a wall",
            "above the roof",
            fix="Take the vent up through the roof, or fit a heater made to vent through a wall.",
        )
    if vent_kind == "masonry_unlined":
        return authority(
            "An unlined chimney stays only for a like heater on a clear, well-sized flue: see the chimney.",
            shown,
            limit,
            fix="Show the authority that the new heater is like the old one and the flue clear, or have the chimney relined.",
        )
    where = ", where single-wall pipe may run at all" if vent_kind == "single_wall" else ""
    return meets(f"{begins}: allowed for this heater{where}.", shown, limit)
