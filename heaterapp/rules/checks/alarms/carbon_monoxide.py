"""Carbon monoxide alarms stand where the adopted code wants them.

Why: a blocked vent gives no smell; the alarm is the only warning to people asleep.
Fix: fit a listed carbon monoxide alarm outside each sleeping area (and on each level where asked). It takes minutes.
"""

from ...questions.plate import FUEL
from ...report import Result, advice, authority, fails, meets, unanswered
from ...when import is_

CLAUSES = ("alarms.carbon_monoxide",)
WHEN = FUEL & is_("building_kind", "house", "duplex", "townhouse", "multifamily", "manufactured")


def check(
    co_alarm_outside_sleeping: bool,
    co_alarm_each_level: bool | None = None,
    *,
    on_replacement: str,
    each_level: bool,
) -> Result:
    limit = "outside sleeping areas and on each level" if each_level else "outside each sleeping area"
    if each_level and co_alarm_each_level is None:
        return unanswered("To answer: carbon monoxide alarm on each level.", needs=("co_alarm_each_level",))
    if co_alarm_outside_sleeping and (co_alarm_each_level or not each_level):
        return meets("Carbon monoxide alarms are in place.", "in place", limit)
    said = f"Carbon monoxide alarm missing: wanted {limit}."
    if on_replacement == "required":
        return fails(said, "missing", limit)
    if on_replacement == "authority":
        return authority(
            said + " Whether this work makes it a must is left to the authority; fit one all the same.",
            "missing",
            limit,
        )
    return advice(
        "fails", said + " The code does not ask it for this work; fit one all the same.", "missing", limit
    )
