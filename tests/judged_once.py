"""The same answers are judged once in a process of the pages' tests.

A page judges its job anew, and the tests send the same few jobs through the same pages thousands of times: a
third of their time. That judging again says the same is held by the tests of the rules.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import contextmanager

import pytest
from sqlalchemy.util import LRUCache

from heaterapp import rules
from heaterapp.rules import Job, Report

KEPT = 600
_REPORTS: LRUCache[tuple[str, str], Report] = LRUCache(KEPT)


@contextmanager
def judged_once() -> Iterator[None]:
    """Let `rules.assess` give the report that the same answers got before; reports do not change."""
    judge = rules.judge

    def known(job: Job, place_name: str) -> Report:
        key = place_name, json.dumps(job.canonical(), sort_keys=True)
        found = _REPORTS.get(key)
        if found is None:
            found = _REPORTS[key] = judge(job, place_name)
        return found

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(rules, "judge", known)
        yield


def forget() -> None:
    """Let go of what was judged: the rules judge otherwise from here on."""
    _REPORTS.clear()
