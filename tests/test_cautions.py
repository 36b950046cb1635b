"""Each number in a caution, on paper and beside the fields, was read somewhere; what differs is told the stricter way."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from typing import Any

import pytest

from heaterapp.certificate import wording
from heaterapp.homeowner.sources import SOURCES
from heaterapp.rules import CATALOGUE
from heaterapp.rules.checks.heater import no_hazard_left
from tests.homeowner.test_texts import numbers_of


def unsourced(text: str, sources: Iterable[str]) -> set[str]:
    """The numbers of a caution that none of its sources stands for."""
    return set(numbers_of(text)) - {number for name in sources for number in SOURCES[name].numbers}


def test_a_number_on_paper_names_where_it_was_read() -> None:
    for one in wording.CAUTIONS:
        assert unsourced(one.text, one.sources) == set(), one.lead
        assert bool(one.sources) == bool(numbers_of(one.text)), one.lead
    assert {source for one in wording.CAUTIONS for source in one.sources} == {"emergency_number", "burns"}


def test_no_other_fixed_sentence_of_the_papers_has_a_number() -> None:
    said = [
        text
        for name, value in vars(wording).items()
        # A count of one says so.
        if name.isupper() and name not in ("CAUTIONS", "ONE")
        for text in texts(value)
    ]
    assert len(said) > 15
    assert [text for text in said if re.search(r"\d", text)] == []


def texts(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, (dict, tuple)):
        for one in value.values() if isinstance(value, dict) else value:
            yield from texts(one)


def test_a_caution_beside_a_field_has_no_number_that_nobody_read() -> None:
    beside = {name: one.hint for name, one in CATALOGUE.items() if "Caution:" in one.hint}
    assert {
        "relief_lever_tested", "outlet_temperature_f", "breaker_a", "gas_running_inwc", "strap_kind",
    } <= set(beside)  # fmt: skip
    for name, hint in beside.items():
        caution = hint[hint.index("Caution:") :].partition(" May stay open")[0]
        assert unsourced(caution, ()) == set(), name
    for said in no_hazard_left._FIRST.values():
        assert unsourced(said, no_hazard_left._SOURCES) == set()


def test_an_unsourced_number_would_be_seen() -> None:
    assert unsourced("At 140 °F in seconds.", ()) == {"140", "seconds"}
    assert unsourced("At 150 °F in seconds.", ("burns",)) == {"150"}


@pytest.mark.parametrize("way", ["gas_leak", "co"])
def test_where_agencies_differ_the_stricter_stands(way: str) -> None:
    said = no_hazard_left._FIRST[way]
    assert "911" in said
    assert "Once they say that you may go in" in said or "when the fire service says so" in said
    assert "open up" not in said
    assert "where anybody feels ill" not in said
    on_paper = " ".join(one.text for one in wording.CAUTIONS)
    assert "window" not in on_paper
    assert "Stay out until the fire service says you may go in." in on_paper


def test_no_caution_forbids_what_a_fix_asks_of_the_installer() -> None:
    (about_its_pipe,) = (one.text for one in wording.CAUTIONS if one.topics == ("relief",))
    assert "its pipe" in about_its_pipe
    assert not re.search(r"\b(shorten|extend|cut)\b", about_its_pipe)
