"""The connector rises toward the vent.

Why: gases follow a rising pipe; a level or sagging one lets them spill and water collect.
Fix: hang the connector so that it rises in every foot as far as is asked, with no dips.
"""

from ...questions.vent import CONNECTOR, NATURAL
from ...report import Result, fails, meets
from ...units import HUNDREDTHS, Foot, Inch, plain, tape_least

CLAUSES = ("venting.connector_slope",)
WHEN = NATURAL & CONNECTOR


def check(connector_rise_in: Inch, connector_length_ft: Foot, connector_rise_needed_in: Inch) -> Result:
    found, least = tape_least(connector_rise_in, connector_rise_needed_in, HUNDREDTHS)
    said = f"Rises {found} in over {plain(connector_length_ft)} ft, {least} in asked."
    answer = meets if connector_rise_in >= connector_rise_needed_in else fails
    return answer(said, connector_rise_in, connector_rise_needed_in, "in")
