"""The heater can be reached, served and taken out.

Why: whoever serves or changes it must not have to open a wall, or take away other appliances and their pipes.
Fix: clear the way to it: move what stands in front, or cut in a door or a panel that comes off with a screwdriver.
"""

from ...report import Result, authority, fails, meets, unanswered

CLAUSES = ("place.service_access",)


def check(service_access_clear: bool | None = None, job_kind: str | None = None) -> Result:
    if service_access_clear is None:
        return unanswered("To answer: whether it can be reached and taken out.", needs=("service_access_clear",), kind="advice")
    if service_access_clear:
        return meets("It can be reached, served and taken out.", "clear", "clear")
    if job_kind == "same_place":
        said = "It cannot be reached or taken out without breaking something. The place is as it was: ask the authority."
        return authority(said, "not clear", "clear")
    return fails("It cannot be reached or taken out without breaking something.", "not clear", "clear")
