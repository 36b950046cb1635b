"""Every act of the log is told whatever its body holds: an imported log was written elsewhere, and stays for good."""

from __future__ import annotations

import json
from typing import Any

import pytest
from bs4 import BeautifulSoup
from hypothesis import given, settings
from hypothesis import strategies as st

from heaterapp.archive import LogEntry, log
from heaterapp.rules import CATALOGUE
from heaterapp.web.act_bodies import body_of, job_of
from heaterapp.web.act_words import ACTS, told

QUICK = settings(deadline=None, derandomize=True, database=None, max_examples=250)
NAMES = (
    "reason", "purpose", "questions", "number", "name", "version", "withdrawn", "state", "looked", "total",
    "differing", "form", "sought", "serial_from", "serial_to", "count", "what", "role", "invite", "person",
    "presets", "keys", "values", "changed", "asked_by", "job", "fingerprint", "why", "sha256",
)  # fmt: skip
WORDS = (
    "presets", "relief_trap", "relief_pipe_in", "relief_pipe_material", "paper", "retention_years", "yes", "",
    "opened", "used", "1e999999", "-", "NaN", "0.75", "\ud800", "\x00", "not_here", "a_b",
)  # fmt: skip
small = st.one_of(
    st.none(), st.booleans(), st.integers(), st.floats(), st.sampled_from(WORDS), st.text(max_size=5)
)
anything = st.recursive(
    small,
    lambda one: (
        st.lists(one, max_size=3)
        | st.dictionaries(st.sampled_from(WORDS), one, max_size=3)
        | st.dictionaries(st.sampled_from(WORDS), st.lists(one, min_size=2, max_size=2), max_size=3)
    ),
    max_leaves=8,
)  # fmt: skip
bodies = st.dictionaries(st.sampled_from(NAMES), anything, max_size=5)
ODD: tuple[Any, ...] = (None, "x", "", 7, -1.5, True, [], ["no"], [[]], [{}], {}, {"relief_trap": ["no"]},
    {"relief_trap": "no"}, {"relief_trap": None}, {"relief_trap": ["no", "yes", 3]}, {"relief_trap": [[], {}]},
    {"relief_pipe_in": ["wide", {"could_not_measure": "dark"}]}, {"paper": [["a4"], None]}, "\ud800", "\x00")  # fmt: skip


@QUICK
@given(act=st.sampled_from([*ACTS, "another_act"]), body=bodies, number=st.sampled_from(["", "C-000001"]))
def test_an_act_is_told_whatever_its_body_holds(act: str, body: dict[str, Any], number: str) -> None:
    entry = LogEntry(1, 1, "2026-11-26T10:00:00Z", act, None, None, json.dumps(body), "", "")
    read = body_of(entry)
    said = told(act, read, number)
    assert said.strip()
    assert len(said.encode()) < 10_000, "nothing of it is blown up"
    assert isinstance(job_of(read), str)


@pytest.mark.parametrize("act", [*ACTS, "another_act"])
def test_one_odd_value_under_each_name_breaks_no_act(act: str) -> None:
    for name in NAMES:
        for odd in ODD:
            for more in ({}, {"keys": ["presets", "paper"]}, {"keys": []}):
                assert told(act, {**more, name: odd}, "C-000001").encode()


@pytest.mark.parametrize("body", ["", "[]", "null", "nonsense", "[" * 100_000, '{"a":' * 50_000])
def test_a_body_that_is_none_says_nothing(body: str) -> None:
    assert body_of(LogEntry(1, 1, "", "settings", None, None, body, "", "")) == {}


def test_what_can_be_read_of_an_odd_body_is_still_told() -> None:
    body = {
        "keys": ["presets", 7, "paper"],
        "presets": {
            "relief_trap": ["no"],
            "relief_pipe_in": ["0.75", "wide"],
            "relief_shared": [None, "yes"],
        },
        "values": {"paper": "a4"},
    }
    said = told("settings", body, "")
    assert 'Relief pipe size, the smallest found from 3/4 in to "wide"' in said
    assert "Another drain joins the pipe from No to Yes; Paper size)" in said
    assert CATALOGUE["relief_trap"].label not in said
    assert told("recheck", {"state": "finished", "looked": "7", "total": 9}, "") == (
        "ended a recheck: 0 of 9 looked at, 0 otherwise"
    )


def test_the_log_s_page_stays_whole(visit: Any, store: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(log, "canonical", json.dumps)
    wrong = [
        ("settings", {"keys": ["presets"], "presets": {"relief_trap": ["no"]}}),
        ("settings", {"presets": {"relief_trap": [None, "yes"]}}),
        ("settings", {"keys": ["presets"], "presets": {"relief_trap": [["no"], "yes"]}}),
        ("desk", {"job": "\ud800/../x", "changed": 3}),
        ("desk", {"job": ["a"], "changed": [["a"]]}),
        ("copy", {"what": ["paper"]}),
        ("amend", {"name": ["a"]}),
        ("an_act\u2028", {"reason": "\ud800"}),
    ]
    with store.database.write() as connection:
        for act, body in wrong:
            log.append(connection, 1, act, "2026-11-26T10:00:00Z", None, None, body)
    owner = visit("owner")
    page = owner.get("/office/log")
    assert page.status_code == 200
    lines = BeautifulSoup(page.text, "html.parser").select("ol.acts li")
    assert len(lines) >= len(wrong)
    assert owner.get("/office/amendments").status_code == 200
