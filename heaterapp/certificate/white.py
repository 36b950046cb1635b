"""How much of a laid-out paper's pages is left white at their feet."""

from __future__ import annotations

from typing import Any

from weasyprint.document import Document
from weasyprint.formatting_structure import boxes


def white(laid: Document) -> float:
    """The most that any page but the last leaves white below what stands on it, in the renderer's pixels."""
    return max((_foot(page._page_box) for page in laid.pages[:-1]), default=0.0)


def _foot(page: Any) -> float:
    bottom = page.content_box_y() + page.height
    said = (
        one for part in page.children if not isinstance(part, boxes.MarginBox)
        for one in part.descendants() if isinstance(one, boxes.TextBox | boxes.ReplacedBox)
    )  # fmt: skip
    lowest = max((one.position_y + one.height for one in said), default=page.content_box_y())
    return float(bottom - lowest)
