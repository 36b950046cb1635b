"""What in a translated paper stays English is said to be English to who hears it read aloud.

The renderer writes no language but the whole paper's. What `lettering` marks as English is a block quote
to it, which stands in no paper otherwise, and becomes a span of that language here.
"""

from __future__ import annotations

import pydyf

MARKED, SPAN = "/BlockQuote", "/Span"


def name_english(pdf: pydyf.PDF) -> None:
    """Name the language of every element that was marked as English."""
    for one in pdf.objects:
        if isinstance(one, pydyf.Dictionary) and one.get("S") == MARKED:
            one["S"] = SPAN
            one["Lang"] = pydyf.String("en")
