"""The examples in the docstrings of these pages."""

from __future__ import annotations

import doctest
import importlib

import pytest

NAMES = [
    "correcting", "firm_days", "issue", "recheck_words", "web.errors", "web.passwords", "web.security",
    *(f"homeowner.{name}" for name in ("calendar", "clock_changes", "said")),
    *(f"languages.{name}" for name in ("code_sentences", "faults", "files", "patterns", "sentences")),
    "mailing.addresses", "sealing.words",
]  # fmt: skip


@pytest.mark.parametrize("name", NAMES)
def test_every_example_gives_what_it_says(name: str) -> None:
    ran = doctest.testmod(importlib.import_module(f"heaterapp.{name}"))
    assert ran.attempted > 0
    assert ran.failed == 0
