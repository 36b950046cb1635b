"""Every fixed sentence of the papers, in one place, so that a test can read them all.

None calls an installation safe, guaranteed or approved. Cautions stand action first; where
agencies differ, the stricter one. Facts behind them: consumer agency documents on scalds and
carbon monoxide, utility commissions on gas, state boiler boards on relief valves.
"""

# ruff: noqa: E501 - a sentence that people read stands on one line
from __future__ import annotations

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
        "This sheet records what the installer measured and answered at the address below, and compares it by "
        "calculation with the limits of the adopted codes named here. Every check that applies is printed with what "
        "was found, its limit and its section. Open and accepted items are named."
    ),
    "correction_list": (
        "This sheet records what was measured at the address below and compared with the limits of the adopted codes "
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
CAUTIONS = (
    ("gas", "Smell gas?", "Leave now. Touch no switch, use no phone or flame inside. Call 911 and the gas company from a distance."),
    ("fuel", "CO alarm, or several people ill?", "Go outside with everyone. Call 911. Stay out until the fire service says you may go in."),
    ("all", "Hot water burns.", "At 140 °F in seconds, a child sooner. Test the bath by hand first."),
    ("storage", "Relief valve:", "never plug, cap or shorten its pipe; it keeps the tank from bursting. If it runs, keep clear and call a plumber."),
    ("electric", "Electricity:", "switch off at the breaker before any cover comes off. Never power an empty tank."),
    ("strapped", "After an earthquake:", "look at straps, vent and pipes from a distance. Smell or hear gas? Leave, then call."),
)  # fmt: skip
STOP = "Stop. Do not leave this heater running. Shut it off, say so to everyone in the building, and get it put right."
STATEMENTS = {
    "certificate": (
        "I installed this water heater or directed the work. The measurements are mine, taken on the date shown. To the "
        "best of my knowledge they are true."
    ),
    "correction_list": "The measurements are mine, taken on the date shown. To the best of my knowledge they are true.",
    "findings_report": "I looked over this installation on the date shown. To the best of my knowledge what I wrote down is true.",
}
SURENESS = {
    "carried": (
        "†",
        "the clause was read in another edition of the same code: confirm it in the adopted one",
    ),
    "memory": ("‡", "the clause is from memory: read it in the adopted book"),
}
ELECTRONIC = "Signed electronically; the mark belongs to these answers only."
