"""The short form of `outbox_soak.py`: every run of it sends other jobs through the same network."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Browser

from tests.browser.fault_proxy import WEIGHTS
from tests.browser.outbox_soak import soak

pytestmark = pytest.mark.browser
JOBS = 40


def test_no_signed_job_is_lost_and_none_is_issued_twice(chromium: Browser, tmp_path: Path) -> None:
    found = soak(chromium, tmp_path, JOBS, seed=5, share=0.3)
    assert found.good, found
    assert found.issued == JOBS
    # A network that spoilt nothing would prove nothing.
    assert not {*WEIGHTS} - {*found.injected, "stall"}, found
    assert found.parcels_spoilt == {*WEIGHTS} - {"stall"}, found
