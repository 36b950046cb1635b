"""The relief pipe and its end cannot freeze.

Why: a plug of ice is a plug.
Fix: re-run the pipe inside the warm part of the house, or end it at an indoor receptor.
"""

from ...questions.relief import OPEN_PIPE
from ...report import Result, advice, fails, meets

CLAUSES = ("relief.freezing",)
WHEN = OPEN_PIPE


def check(relief_freezes: bool, *, asked: bool) -> Result:
    if not relief_freezes:
        return meets("Cannot freeze.", "cannot freeze", "cannot freeze")
    if asked:
        return fails("The pipe or its end can freeze.", "can freeze", "cannot freeze")
    return advice(
        "fails",
        "The pipe or its end can freeze; the book does not forbid it, a plug of ice is a plug.",
        "can freeze",
        "cannot freeze",
    )
