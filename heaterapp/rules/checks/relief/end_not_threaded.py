"""The end of the relief pipe has no thread.

Why: a thread invites a cap, and a capped relief valve cannot open.
Fix: cut the thread off.
"""

from ...questions.relief import PIPE
from ...report import Result, fails, meets

CLAUSES = ("relief.pipe_run",)
WHEN = PIPE


def check(relief_end_threaded: bool) -> Result:
    if not relief_end_threaded:
        return meets("No thread at the end.", "no thread", "no thread")
    return fails("A thread at the end.", "thread", "no thread")
