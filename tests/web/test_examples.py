"""The examples in the docstrings of these pages."""

from __future__ import annotations

import doctest
import importlib

import pytest


@pytest.mark.parametrize("name", ["issue", "web.errors", "web.passwords", "web.security", "web.share"])
def test_every_example_gives_what_it_says(name: str) -> None:
    ran = doctest.testmod(importlib.import_module(f"heaterapp.{name}"))
    assert ran.attempted > 0
    assert ran.failed == 0
