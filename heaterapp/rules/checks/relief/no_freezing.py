"""The relief pipe and its end cannot freeze.

Why: a plug of ice is a plug.
Fix: re-run the pipe inside the warm part of the house, or end it at an indoor receptor.
"""

from ...questions.relief import OPEN_PIPE
from ...report import Result, advice, fails, meets, unanswered

CLAUSES = ("relief.freezing",)
WHEN = OPEN_PIPE


def check(relief_freezes: bool | None = None, *, asked: bool) -> Result:
    if relief_freezes is None:
        said, needs = "To answer: whether the pipe or its end can freeze.", ("relief_freezes",)
        return unanswered(said, needs=needs) if asked else advice("unanswered", said, needs=needs)
    if asked and relief_freezes:
        return fails("The pipe or its end can freeze.", "can freeze", "cannot freeze")
    if asked:
        return meets("Cannot freeze.", "cannot freeze", "cannot freeze")
    if relief_freezes:
        said = "The pipe or its end can freeze. The book does not forbid it, but a plug of ice is a plug."
        return advice("fails", said, "can freeze", "cannot freeze")
    return advice("meets", "Cannot freeze.", "cannot freeze", "cannot freeze")
