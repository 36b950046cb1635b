"""A short form of random_pages.py, and that it sees what it is to see."""

from __future__ import annotations

from tests.homeowner.random_pages import faults_of, run
from tests.homeowner.records import FIRM, record


def test_pages_and_calendars_of_random_jobs_hold() -> None:
    assert run(30, 20261126) == 0


def test_a_gap_and_a_word_of_passing_are_seen() -> None:
    gap = record("gas_storage_us_ca", firm={**FIRM, "name": "{firm}"})
    assert [one.partition(":")[0] for one in faults_of(gap)] == ["en", "es"]
    passing = record("gas_storage_to_fix", firm={**FIRM, "name": "Passed First Time"})
    assert any("passed" in one.lower() for one in faults_of(passing))
    assert list(faults_of(record("gas_storage_to_fix"))) == []
