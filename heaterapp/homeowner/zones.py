"""The time zone of the place where a heater stands, where its state or its adopted codes tell it.

A state that keeps one time everywhere has its zone here; of one that keeps two, or whose parts change their
clocks otherwise, the state alone does not tell, and nothing is guessed.

source  49 CFR 71 for the boundaries; names as in the time zone database
"""

from __future__ import annotations

import re
from zoneinfo import ZoneInfo

from heaterapp.homeowner.known import Known
from heaterapp.rules.postal import written

_STATES = {
    "America/New_York": "CT DC DE GA MA MD ME NC NH NJ NY OH PA RI SC VA VT WV",
    "America/Chicago": "AL AR IA IL LA MN MO MS OK WI",
    "America/Denver": "CO MT NM UT WY",
    "America/Los_Angeles": "CA WA",
    "Pacific/Honolulu": "HI",
    "America/Puerto_Rico": "PR",
    "America/St_Thomas": "VI",
    "Pacific/Guam": "GU",
    "Pacific/Saipan": "MP",
    "Pacific/Pago_Pago": "AS",
}
ZONES = {state: zone for zone, states in _STATES.items() for state in states.split()}
"""State -> its one zone. Not here: AK AZ FL ID IN KS KY MI ND NE NV OR SD TN TX."""
_OF_A_STATE = re.compile(r"us_([a-z]{2})(?:_\d{4})?")


def zone_of_place(known: Known) -> ZoneInfo | None:
    """Return the zone of the address's state, else that of the state whose codes are adopted, else None."""
    typed = known.answers.get("address_state")
    state = written("state", typed) if isinstance(typed, str) and typed else None
    if state is None:
        adopted = _OF_A_STATE.fullmatch(known.place)
        state = adopted[1].upper() if adopted else ""
    zone = ZONES.get(state)
    return ZoneInfo(zone) if zone else None
