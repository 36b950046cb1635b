"""Every fixed sentence of the papers, in one place, so that a test can read them all.

None calls an installation safe, guaranteed or approved. Cautions stand action first; where
agencies differ, the stricter one; a number in one names its source.
"""

# ruff: noqa: E501 - a sentence that people read stands on one line
from __future__ import annotations

from collections.abc import Mapping
from typing import Any, NamedTuple

from heaterapp import firm_clock, firm_days
from heaterapp.filling.signed import NOT_SIGNED as NOT_SIGNED
from heaterapp.filling.signed import RECEIPT as RECEIPT
from heaterapp.filling.signed import STATEMENTS as STATEMENTS

TITLES = {
    "certificate": "Installation certificate",
    "correction_list": "Correction list",
    "findings_report": "Findings report",
}
FACES = {
    "certificate": "",
    "correction_list": "Not a certificate. What is listed first is to be put right, then the job is checked again.",
    "findings_report": "Not an installer's certificate. A look at an installation that somebody else made.",
}
RECORDS = {
    "certificate": (
        "This sheet sets what the installer measured and answered beside the limits of the adopted codes named here. Every check "
        "made is printed with what was found, its limit and its section. Open and accepted items are named."
    ),
    "correction_list": (
        "This sheet records what was measured at this address and compared with the limits of the adopted codes "
        "named here. It is given so that the items to fix are known. No certificate was issued with it."
    ),
    "findings_report": (
        "This sheet records what was found on looking over an existing installation, compared with the limits of the "
        "codes named here. Codes seldom bind what was there before them: what differs says so."
    ),
}
LIMITS = (
    "It is not a permit, and not an inspection by the authority. It does not say what nobody measured. "
    "Local codes, the maker's instructions and licensed practice come first."
)
LOOKED_OVER = "Looked over by"


class Caution(NamedTuple):
    """One caution, action first.

    about    the heaters it is for: gas, fuel, all, storage, electric, strapped
    topics   whose findings it stands beside: the first of them that is on the paper
    sources  lines of `heaterapp.homeowner.sources.SOURCES`: where each number in it was read, and who says otherwise
    """

    about: str
    lead: str
    text: str
    topics: tuple[str, ...]
    sources: tuple[str, ...] = ()


CAUTIONS = (
    Caution("gas", "Smell gas?", "Leave now. Touch no switch, use no phone or flame inside. Call 911 and the gas company from a distance.", ("gas",), ("emergency_number",)),
    Caution("fuel", "CO alarm, or anyone feels sick?", "Go outside with everyone. Call 911. Stay out until the fire service says you may go in.", ("alarms", "venting"), ("emergency_number",)),
    Caution("all", "Hot water burns.", "At 140 °F in seconds, a child sooner. Test the bath by hand first.", ("temperature",), ("burns",)),
    Caution("storage", "Relief valve:", "never plug or cap its pipe, or end it short of its place; it keeps the tank from bursting. If it runs, keep clear and call a plumber.", ("relief",)),
    Caution("electric", "Electricity:", "switch off at the breaker before any cover comes off. Never power an empty tank.", ("electric",)),
    Caution("strapped", "After an earthquake:", "look at straps, vent and pipes from a distance. Smell or hear gas? Leave, then call.", ("seismic",)),
)  # fmt: skip
STOP = "Stop. Do not leave this heater running. Shut it off, say so to everyone in the building, and get it put right."
SURENESS = {
    "carried": (
        "†",
        "the clause was read in another edition of the same code: confirm it in the adopted one",
    ),
    "memory": ("‡", "the clause is from memory: read it in the adopted book"),
}
COUNTS = {
    "meets": "{count} meet", "fails": "{count} to fix", "unanswered": "{count} to answer",
    "accepted": "{count} accepted by the authority",
    "authority": "{count} for the authority", "engineer": "{count} need a design", "error": "{count} broken",
    "advised": "{count} advised", "open": "{count} not answered", "not_applicable": "{count} not here", "silent": "{count} code silent",
}  # fmt: skip
"""How many findings of a verdict are told, in this order."""
ADVISED = {"expansion.tank_large_enough": "Tank size for good practice"}
"""How advice is called whose check's own name would say what it denies."""
ABOUT = {
    "heater.no_hazard_left": "Hazard found", "supply.no_leak_seen": "Water leaks",
    "relief.no_valve_before_it": "Valve before it", "relief.not_plugged": "Outlet of the relief valve",
    "relief.pipe_no_trap": "Trap in the pipe", "relief.pipe_no_valve": "Valve in the pipe",
    "relief.end_not_threaded": "Thread at the end", "relief.no_freezing": "Freezing",
    "venting.not_smaller_than_outlet": "Size beside the outlet's", "venting.not_oversized": "Largest size",
    "venting.no_manual_damper": "Hand damper", "venting.no_spillage": "Spillage at the draft hood",
    "venting.no_spillage_seen": "Spillage at a fan-assisted heater",
    "place.propane_not_below_ground": "Propane below ground",
}  # fmt: skip
"""What a finding that does not meet is about, where the check's name denies it: "no spillage" of what was seen."""
ONE = {
    "meets": "1 meets", "accepted": "1 accepted by the authority", "engineer": "1 needs a design",
    "advised": "1 advised", "not_applicable": "1 not here",
}  # fmt: skip
"""The same of one, where that is said otherwise in either language."""
MET_BESIDE = "{count} listed: ● {rules} by the codes, {others} by makers, data plate, agencies or trade, ○ {advised} of good practice"
MET = "{count} listed: ● {rules} by the codes, ○ {advised} of good practice"
PRACTICE = "of good practice {counts}"
ELECTRONIC = "Signed electronically; the mark belongs to these answers only."
ELECTRONIC_OF = "Signed electronically; the mark belongs to the answers of {number}."
"""Under a paper whose slip was put right since it was signed."""


def moment(stamp: Any, settings: Mapping[str, Any]) -> str:
    """A UTC time such as 2026-03-14T09:26:53Z for reading; anything else as it is, to 40 letters.

    settings  the firm's, as the record kept them; papers of one that named no time zone tell UTC's

    >>> moment("2026-03-14T09:26:53Z", {})
    '2026-03-14 09:26 UTC'
    >>> moment("2026-03-14T09:26:53Z", {"time_zone": "America/Los_Angeles"})
    '14 Mar 2026, 2:26\\xa0am PDT'
    """
    text = str(stamp or "")
    read = firm_clock.moment_of(text)
    if read is None:
        return text[:40]
    if not settings.get("time_zone"):
        return f"{text[:10]} {text[11:16]} UTC"
    return firm_clock.moment_words(read.astimezone(firm_days.zone_of(settings)))
