"""The homeowner's receipt on line: asked for as on a phone, refused in words, kept alike."""

from __future__ import annotations

import json
from typing import Any

import pytest

from heaterapp.filling.signed import RECEIPT
from heaterapp.web.receipt import read
from heaterapp.web.received import read_signatures

INK = json.dumps([[[0, 0, 0], [40, 10, 30]], [[60, 20, 90]]])
SIGNS = {"homeowner": "signs", "homeowner_name": "Dana"}


@pytest.mark.parametrize(
    ("given", "field", "says"),
    [
        ({}, "homeowner", "Say whether the homeowner signs"),
        ({"homeowner": "nobody", "homeowner_name": "Dana"}, "homeowner", "Say whether the homeowner signs"),
        ({**SIGNS, "nobody_home": "yes"}, "homeowner", "the homeowner's part is filled in"),
        ({"homeowner": "declined", "nobody_home": "yes"}, "homeowner", "the homeowner's part is filled in"),
        ({"homeowner_strokes": INK, "nobody_home": "yes"}, "homeowner", "the homeowner's part is filled in"),
        ({"homeowner": "signs"}, "homeowner_name", "Type the homeowner's name"),
        ({**SIGNS, "homeowner_name": "x" * 300}, "homeowner_name", "at most"),
        ({**SIGNS, "homeowner_name": "D\x00"}, "homeowner_name", "Type the homeowner's name"),
        ({**SIGNS, "relation": "x" * 61}, "relation", "at most 60 characters"),
        ({**SIGNS, "homeowner_strokes": "[[1]]"}, "homeowner_strokes", "drawn signature"),
    ],
)
def test_what_is_no_receipt_is_refused_by_field(given: dict[str, str], field: str, says: str) -> None:
    _, errors = read(given)
    assert list(errors) == [field]
    assert says in errors[field]


@pytest.mark.parametrize(
    ("given", "kept"),
    [
        ({"homeowner": "declined", "homeowner_name": "Dana"}, ("", "", "", "declined", None)),
        ({"homeowner": "not_home"}, ("", "", "", "not_home", None)),
        ({"nobody_home": "yes"}, ("", "", "", "not_home", None)),
        ({"homeowner": "not_home", "nobody_home": "yes"}, ("", "", "", "not_home", None)),
        (
            {**SIGNS, "homeowner_name": " Dana ", "relation": "tenant"},
            ("Dana", "tenant", RECEIPT, "typed", None),
        ),
        ({**SIGNS, "homeowner_strokes": INK}, ("Dana", "", RECEIPT, "drawn", json.loads(INK))),
    ],
)
def test_a_receipt_is_read_as_a_phone_sends_it(given: dict[str, str], kept: tuple[Any, ...]) -> None:
    found, errors = read(given)
    assert errors == {}
    assert (
        *(found[name] for name in ("name", "relation", "statement", "method")),
        found.get("strokes"),
    ) == kept


def test_it_is_signed_on_line_beside_the_installer_s(visit: Any, store: Any, answers_of: Any) -> None:
    visitor = visit("installer")
    job = visitor.begin()
    visitor.told(job, answers_of("gas_storage_us_ca"))
    refused = visitor.sign(job, **SIGNS, homeowner_strokes=INK, consent="", relation="tenant")
    assert refused.status_code == 422
    assert 'value="tenant"' in refused.text, "what was typed is kept"
    assert refused.text.count("[[[0, 0, 0]") == 1, "and what was drawn"
    assert visitor.sign(job, homeowner="").status_code == 422
    assert store.records.of_job(1, job) == []
    assert visitor.sign(job, **SIGNS, homeowner_strokes=INK).status_code == 302
    both = json.loads(store.records.by_number(1, "C-000001").signature)["signatures"]
    assert [one["role"] for one in both] == ["installer", "homeowner"]
    assert read_signatures(both) == both
