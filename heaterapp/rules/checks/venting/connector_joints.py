"""The connector's joints are screwed.

Why: an unscrewed joint sags open and spills gases where nobody looks.
Fix: put screws in each single-wall joint and at the draft hood; never through the inner wall of Type B pipe.
"""

from ...questions.vent import CONNECTOR, NATURAL
from ...report import Result, advice
from ...units import Count, against_least
from ...when import is_

CLAUSES = ("venting.connector_joints",)
KIND = "advice"
WHEN = NATURAL & CONNECTOR & is_("connector_kind", "single_wall")


def check(connector_screws: Count, *, screws: Count) -> Result:
    found, usual = against_least(connector_screws, screws)
    said = f"{found} screws at each joint, {usual} is the trade's habit; the code gives no number."
    return advice("meets" if connector_screws >= screws else "fails", said, connector_screws, screws, "count")
