"""The connector's joints are screwed.

Why: an unscrewed joint sags open and spills gases where nobody looks.
Fix: put screws in each single-wall joint and at the draft hood; never through the inner wall of Type B pipe.
"""

from ...questions.vent import CONNECTOR, NATURAL
from ...report import Result, advice
from ...units import Count, plain
from ...when import is_

CLAUSES = ("venting.connector_joints",)
KIND = "advice"
WHEN = NATURAL & CONNECTOR & is_("connector_kind", "single_wall")


def check(connector_screws: Count, *, screws: Count) -> Result:
    said = f"{plain(connector_screws)} screws at each joint, {plain(screws)} is the trade's habit; the code gives no number."
    return advice("meets" if connector_screws >= screws else "fails", said, connector_screws, screws, "count")
