"""A few of the kills of page_kills.py: nothing typed longer than 300 ms before is lost, and no draft is broken."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser

sys.path.insert(0, str(Path(__file__).parent))

from page_kills import run_on

pytestmark = [pytest.mark.browser, pytest.mark.soak]


def test_what_is_typed_outlives_the_browser(served: Any, chromium: Browser, tmp_path: Path) -> None:
    assert run_on(chromium.browser_type, served.url, tmp_path / "profile", times=4).done == 4
