"""Verdict marks, drawn because no font has them all; always with the word beside."""

from __future__ import annotations

from functools import lru_cache
from html import escape

from ..languages import spoken
from .words import VERDICTS

_SHAPES = {
    "meets": '<circle class="solid" cx="8" cy="8" r="6"/>',
    "fails": '<rect class="solid" x="2" y="2" width="12" height="12"/>',
    "authority": (
        '<circle class="line" cx="8" cy="8" r="5.5"/><path class="solid" d="M8 2.5a5.5 5.5 0 0 0 0 11z"/>'
    ),
    "engineer": '<path class="line" d="M8 2.5 14 13.5H2z"/>',
    "unanswered": '<circle class="line" cx="8" cy="8" r="5.5"/>',
    "silent": '<path class="line" d="M4 8h8"/>',
    "not_applicable": '<circle class="solid" cx="8" cy="8" r="2"/>',
    "error": '<path class="line" d="M3 3l10 10M13 3 3 13"/>',
}


@lru_cache(maxsize=100)
def mark(verdict: str) -> str:
    """A verdict's mark as SVG, hidden from screen readers."""
    shape = _SHAPES.get(verdict, _SHAPES["error"])
    return (
        f'<svg class="mark mark-{escape(verdict)}" viewBox="0 0 16 16" aria-hidden="true" focusable="false">'
        f"{shape}</svg>"
    )


def verdict_html(verdict: str, language: str = "", word: str = "") -> str:
    """Mark and word of a verdict, in the language spoken now; `word` where another says it better."""
    return _marked(verdict, word or VERDICTS[verdict].of(language or spoken()))


@lru_cache(maxsize=500)
def _marked(verdict: str, said: str) -> str:
    return f'<span class="verdict verdict-{escape(verdict)}">{mark(verdict)}<b>{escape(said)}</b></span>'
