"""Whatever comes through the phone's door: a wrong wish is told in a sentence, and none breaks it."""

from __future__ import annotations

import copy
import json
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from heaterapp.filling import door, wish
from heaterapp.rules import CATALOGUE, SECTIONS
from tests.grids import WHOLE
from tests.test_door import JOBS, ask

NONSENSE = [
    "", "{", "null", "[]", "7", '"told"', "{}", '{"do": "undo"}', '{"do": []}', '{"do": "told", "answers": []}',
    '{"do": "told", "changes": 1}', '{"do": "told", "unread": "x"}', '{"do": "told", "unread": [1]}', '{"do": "told", "section": "cellar"}',
    '{"do": "told", "section": []}', '{"do": "usual"}', '{"do": "start", "given": 1}', '{"do": "usual", "section": "cellar"}',
    '{"do": "told", "do": "told"}', '{"do": "told", "answers": {"a": NaN}}', '{"do": "told", "answers": {"a": 1e999}}', "[" * 90_000,
    '{"do": "told", "answers": {"a": ' + "[" * 90_000, '{"do": "seal", "answers": ' + "9" * 6000 + "}", "x" * (wish.LONGEST_WISH + 1),
    json.dumps({"do": "told", "answers": {f"n{n}": "1" for n in range(wish.MOST_ANSWERS + 1)}}), '{"do": "told", "answers": {"' + "k" * 90 + '": 1}}',
]  # fmt: skip


@pytest.mark.parametrize("text", NONSENSE, ids=lambda text: text[:40])
def test_what_is_wrong_with_a_wish_is_said_in_a_sentence(text: str) -> None:
    answer = json.loads(door.call(text))
    assert answer.keys() == {"code", "error"}
    assert answer["code"] == "bad_wish"
    assert answer["error"].strip()


def test_an_account_that_is_none_is_refused() -> None:
    given_now = {"job_kind": "same_place", "heater_kind": "gas_storage", "place": "us_ca_2022"}
    assert ask("start", given=given_now, account={"person": []}, last={})["code"] == "bad_wish"
    assert (
        ask("start", given=given_now, account={"person": {"name": 7}}, last={"elevation_ft": []})["answers"]
        == given_now
    )


JUNK = st.recursive(
    st.none() | st.booleans() | st.integers(-(10**30), 10**30) | st.floats() | st.text(max_size=20)
    | st.sampled_from(["yes", "no", "not_here", "unknown", "\ud800", "60", "1' 2", "us_ca_2022"]),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=8), inner, max_size=4)
    | st.fixed_dictionaries({"could_not_measure": inner}),
    max_leaves=6,
)  # fmt: skip

NAMES = st.sampled_from([*CATALOGUE, "accepted_as_usual", "acceptances", "amendments", "flue_colour", ""])

ANSWERS = st.dictionaries(NAMES, JUNK, max_size=6) | JUNK

WISH = st.fixed_dictionaries(
    {"do": st.sampled_from(["told", "usual", "start", "review", "seal", "report", "photos"]) | JUNK},
    optional={
        "answers": ANSWERS, "changes": ANSWERS, "given": ANSWERS, "last": ANSWERS, "unread": st.lists(NAMES, max_size=3) | JUNK,
        "account": st.fixed_dictionaries({"person": JUNK, "firm": JUNK}) | JUNK, "section": st.sampled_from([*SECTIONS, None]) | JUNK,
        "whole": st.sampled_from(sorted(JOBS)),
    },
)  # fmt: skip


@settings(max_examples=300 if WHOLE else 120, deadline=None, suppress_health_check=list(HealthCheck))
@given(WISH)
def test_no_wish_breaks_the_door(sent: dict[str, Any]) -> None:
    whole = JOBS.get(sent.pop("whole", ""), {})
    if isinstance(sent.get("answers"), dict):
        sent["answers"] = {**copy.deepcopy(whole), **sent["answers"]}
    text = door.call(json.dumps(sent))
    answer = json.loads(text, parse_constant=lambda said: pytest.fail(f"{said} is no JSON"))
    assert isinstance(answer, dict)
    assert answer.get("code") in (None, "bad_wish", "not_yet"), answer
    if answer.get("code") is None and sent["do"] == "told":
        given_now = {
            name for name, held in (sent.get("answers") or {}).items() if held is not None and held != ""
        }
        gone = given_now - set(answer["answers"]) - set(sent.get("changes") or {})
        assert gone <= {"accepted_as_usual", "amendments"}
