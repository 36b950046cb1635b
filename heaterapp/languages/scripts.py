"""What a script of the pages says: `say("...")` with the text itself in it, as every script has it."""

from __future__ import annotations

import json
import re

from . import translate

SAYS = re.compile(r'\bsay\(("(?:[^"\\]|\\.)*")')


def said(script: str) -> list[str]:
    r"""Every text that a script says, in its order.

    >>> said('tell(`${say("Look now.")} ${say("\\u22121 {unit}", { unit })}`)')
    ['Look now.', '−1 {unit}']
    """
    return [json.loads(found[1]) for found in SAYS.finditer(script)]


def told_in(script: str, language: str) -> str:
    """The same script with its texts in another language in their place."""

    def put(found: re.Match[str]) -> str:
        return f"say({json.dumps(translate(json.loads(found[1]), language), ensure_ascii=False)}"

    return SAYS.sub(put, script)
