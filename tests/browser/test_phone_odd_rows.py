"""Rows that are not as this version writes them: the list stands, and each can be saved to a file."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

sys.path.insert(0, str(Path(__file__).parent))

from phone_views import draft, opened
from typing_in import job_answers

pytestmark = pytest.mark.browser


def test_one_odd_row_does_not_end_the_list(person: Callable[..., Page]) -> None:
    page = person("riley")
    whole = draft("gas", job_answers("gas_storage_us_ca"))
    opened(page, [whole, {"id": "later", "form": 2}, {**whole, "id": "bare", "photos": None, "changed_at": "soon"}, {"id": "old"}], [{"id": "s", "number": "C-1", "kind": "x"}])
    expect(page.locator("main h1")).to_have_text("Jobs on this phone")
    expect(page.locator("[data-drafts] li")).to_have_count(4)
    expect(page.get_by_role("button", name="Save to a file")).to_have_count(4)
