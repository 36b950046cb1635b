"""What stood there before: facts that an adopted code may let a replacement keep."""

from ..question import choice, yes_no
from ..when import is_, yes
from .relief import RELIEF_ENDS

REPLACEMENT = is_("job_kind", "same_place")

QUESTIONS = (
    choice("old_relief_end", "The old relief pipe ended", RELIEF_ENDS, when=REPLACEMENT),
    yes_no("old_pan_fitted", "The old heater stood in a pan", when=REPLACEMENT),
    yes_no("old_pan_had_drain", "The old pan had a drain", when=REPLACEMENT & yes("old_pan_fitted")),
)
