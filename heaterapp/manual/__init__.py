"""The rule manual, generated from the rules: every check, its clauses side by side, and what is covered."""

from .compare import compare
from .contents import Entry, entries, topics
from .coverage import Item, items

__all__ = ["Entry", "Item", "compare", "entries", "items", "topics"]
