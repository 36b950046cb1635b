"""The relief pipe is of a material that stands the water it may carry.

Why: it may carry water at boiling; the wrong pipe sags, bursts or is too narrow inside.
Fix: re-run the pipe in copper, CPVC or another material of the code's list.
"""

from ...questions import as_read
from ...questions.relief import PIPE
from ...report import Result, authority, fails, meets

CLAUSES = ("relief.pipe_material",)
WHEN = PIPE



def check(relief_pipe_material: str, *, allowed: tuple[str, ...], in_doubt: tuple[str, ...]) -> Result:
    shown = as_read("relief_pipe_material", relief_pipe_material)
    limit = ", ".join(as_read("relief_pipe_material", word) for word in allowed)
    if relief_pipe_material in allowed:
        return meets(f"Pipe of {shown}.", shown, limit)
    if relief_pipe_material in in_doubt:
        return authority(f"Pipe of {shown}: accepted where its rating and the authority allow.", shown, limit)
    return fails(f"Pipe of {shown} is not of the code's list.", shown, limit)
