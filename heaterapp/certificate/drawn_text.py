"""A drawing's words are set whole, as the text around them is.

The renderer sets the text of a drawing letter by letter, since each could have a place of its own.
Ours have not: set at once, letters stand as the face spaces them, a reader finds words, and less is to do.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import weasyprint.svg

_LETTERED = ("rotate", "letter-spacing", "textLength", "dx", "dy")
_letter_by_letter = weasyprint.svg.TAGS["text"]


class _Whole(str):
    """A text that is walked in one step."""

    __slots__ = ()

    def __iter__(self) -> Iterator[str]:
        yield str(self)


def _set_whole(svg: Any, node: Any, font_size: float) -> None:
    places = f"{node.attrib.get('x', '')} {node.attrib.get('y', '')}".split()
    if node.text and len(places) <= 2 and not any(name in node.attrib for name in _LETTERED):
        node._etree_node.text = _Whole(node.text)
    _letter_by_letter(svg, node, font_size)


def set_drawn_words_whole() -> None:
    """Let the renderer of this process set them so, from now on."""
    for tag in ("text", "tspan"):
        weasyprint.svg.TAGS[tag] = _set_whole
    weasyprint.svg.text = _set_whole
