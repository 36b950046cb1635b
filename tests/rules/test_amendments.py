"""An organisation's own amendments: laid over a place, cited as theirs, stored with the answers, judged again from them."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from decimal import Decimal
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from heaterapp.rules import (
    BadAnswer,
    Job,
    amendable,
    assess,
    canonical_bytes,
    place_names,
    read_amendments,
    ruleset_zip,
    settable,
)
from heaterapp.rules.schema import job_schema

JOBS = Path(__file__).parent.parent / "jobs"
MOST_CLAUSES = 60
LIMIT = {"section": "14.20", "says": "Static pressure is not above this.", "values": {"limit": "70 psi"}}
SET: dict[str, Any] = {
    "name": "port_larkin_water", "title": "Port Larkin amendments", "version": 2, "on": "2026-11-01", "base": "model_upc_2021",
    "clauses": {"supply.pressure_limit": LIMIT},
}  # fmt: skip
JOB: dict[str, Any] = {
    "place": "model_upc_2021",
    "heater_kind": "gas_storage",
    "house_pressure_psi": 75,
    "drew_water_before_reading": "yes",
}


def _finding(check: str, **changes: Any) -> Any:
    return next(
        one for one in assess({**JOB, **changes}).findings if one.check == check and one.kind == "rule"
    )


def test_the_amended_limit_judges_under_their_own_title() -> None:
    assert _finding("supply.pressure_within_limit").verdict == "meets"
    found = _finding("supply.pressure_within_limit", amendments=SET)
    assert (found.verdict, found.limit, found.book, found.section, found.confidence) == (
        "fails",
        "70",
        "Port Larkin amendments",
        "14.20",
        "read",
    )
    report = assess({**JOB, "amendments": SET}).as_json()
    assert report["place"] == "model_upc_2021"
    assert report["amended_by"] == {
        "name": "port_larkin_water",
        "title": "Port Larkin amendments",
        "version": "2",
        "on": "2026-11-01",
    }
    assert "amended_by" not in assess(JOB).as_json()


def test_exactly_at_the_amended_limit() -> None:
    assert _finding("supply.pressure_within_limit", amendments=SET, house_pressure_psi=70).verdict == "meets"
    assert (
        _finding("supply.pressure_within_limit", amendments=SET, house_pressure_psi="70.001").verdict
        == "fails"
    )


def test_nothing_else_changes() -> None:
    plain, amended = (
        {f.check: f for f in assess({**JOB, **more}).findings if "supply.p" not in f.check}
        for more in ({}, {"amendments": SET})
    )
    assert plain == amended


def test_they_are_stored_in_one_form_and_judge_the_same_from_it() -> None:
    stored = Job({**JOB, "amendments": SET}).canonical()
    assert stored["amendments"]["clauses"]["supply.pressure_limit"]["values"] == {"limit": "70"}
    assert read_amendments(stored["amendments"]) == stored["amendments"]
    again = assess(json.loads(canonical_bytes(stored)))
    assert again.to_bytes() == assess({**JOB, "amendments": SET}).to_bytes()


def test_the_zip_alone_judges_them_again(tmp_path: Path) -> None:
    (tmp_path / "rules.zip").write_bytes(ruleset_zip())
    stored = canonical_bytes(Job({**JOB, "amendments": SET}).canonical())
    command = [sys.executable, "-S", "-m", "heaterapp.rules", "assess", "-"]
    done = subprocess.run(
        command, input=stored, cwd=tmp_path, env={"PYTHONPATH": "rules.zip"}, capture_output=True, check=True
    )
    assert done.stdout.rstrip(b"\n") == assess(json.loads(stored)).to_bytes()


def test_a_clause_on_which_the_book_is_silent_can_be_added() -> None:
    assert (
        _finding("pan.depth", pan_fitted="yes", leak_would_damage="yes", pan_depth_in=1).verdict == "silent"
    )
    added = {
        **SET,
        "clauses": {
            "pan.depth": {"section": "14.31", "says": "A pan is this deep.", "values": {"least": "1 1/2"}}
        },
    }
    found = _finding("pan.depth", pan_fitted="yes", leak_would_damage="yes", pan_depth_in=1, amendments=added)
    assert (found.verdict, found.limit, found.section) == ("fails", "1.5", "14.31")


def test_a_clause_can_be_struck() -> None:
    struck = {**SET, "clauses": {}, "silent": {"supply.pressure_limit": "The town does not adopt it."}}
    found = _finding("supply.pressure_within_limit", amendments=struck)
    assert (found.verdict, found.why) == ("silent", "The town does not adopt it.")


def test_what_the_office_does_not_restate_grows_no_surer() -> None:
    """A clause with a table keeps its confidence: the office said nothing of the table."""
    known = amendable("model_irc_2021")
    ident = next(i for i, c in known.items() if c.confidence == "memory" and len(settable(c)) < len(c.values))
    clause = known[ident]
    values = {
        name: "yes"
        if clause.values[name] is True
        else "no"
        if clause.values[name] is False
        else str(clause.values[name])
        for name in settable(clause)
    }
    from heaterapp.rules.amendments import amended

    given = {
        **SET,
        "base": "model_irc_2021",
        "clauses": {ident: {"section": "1", "says": "As it was.", "values": values}},
    }
    place = amended(canonical_bytes(read_amendments(given)).decode())
    assert place.clauses[ident].confidence == "memory"
    assert place.clauses[ident].book == "Port Larkin amendments"


def test_they_bind_no_installation_that_was_there_before() -> None:
    found = _finding("supply.pressure_within_limit", amendments=SET, job_kind="existing")
    assert found.verdict == "authority"


@pytest.mark.parametrize(("day", "flagged"), [("2026-10-31", True), ("2026-11-01", False), ("2026-11-02", False), (None, False)])
def test_work_done_before_they_were_in_force_is_told(day: str | None, flagged: bool) -> None:
    report = assess({**JOB, "amendments": SET, "work_date": day}).as_json()
    told = [one["says"] for one in report["flags"] if one["question"] == "work_date"]
    said = "Port Larkin amendments, by which this is judged, is in force from 2026-11-01, after the work. Kept as given."
    assert told == ([said] if flagged else [])


def test_they_belong_to_their_base() -> None:
    with pytest.raises(BadAnswer, match="amendments of model_irc_2021"):
        assess({**JOB, "place": "model_irc_2021", "amendments": SET})


WRONG: list[tuple[dict[str, Any], str]] = [
    ({"name": "Port Larkin"}, "small letters"), ({"name": 7}, "small letters"), ({"title": ""}, "title: words"), ({"title": ["x"]}, "title: words"),
    ({"title": "uniform  plumbing CODE 2021"}, "is a published one"), ({"title": "Model code: UPC 2021 with NEC 2020"}, "is a published one"),
    ({"version": 0}, "whole number"), ({"version": True}, "whole number"), ({"version": Decimal("1.5")}, "whole number"), ({"version": Decimal("NaN")}, "whole number"),
    ({"version": Decimal("1e99999999")}, "whole number"), ({"version": Decimal("1e999999999999")}, "whole number"),
    ({"on": "yesterday"}, "YYYY-MM-DD"), ({"base": "atlantis"}, "a base"), ({"base": ["model_upc_2021"]}, "a base"), ({"clauses": {}}, "1 to 60"),
    ({"clauses": []}, "1 to 60"), ({"silent": {"supply.pressure_limit": "x"}}, "not both"), ({"silent": {"supply.nothing": "x"}}, "name of a clause"),
    ({"clauses": {"supply.nothing": LIMIT}}, "name of a clause"), ({"clauses": {"supply.pressure_limit": {**LIMIT, "more": 1}}}, "section, says and values"),
    ({"clauses": {"supply.pressure_limit": {**LIMIT, "values": {}}}}, "every value of it"), ({"clauses": {"supply.pressure_limit": {**LIMIT, "values": {"limit": "900000"}}}}, "from 8 to 800 psi"),
    ({"clauses": {"supply.pressure_limit": {**LIMIT, "values": {"limit": "much"}}}}, "the book has 80"), ({"clauses": {"supply.pressure_limit": {**LIMIT, "values": {"limit": 7.5}}}}, "from 8"),
    ({"clauses": {"supply.pressure_limit": {**LIMIT, "section": "\x00"}}}, "supply.pressure_limit, section: words"),
    ({"clauses": {"supply.pressure_limit": {**LIMIT, "says": "x" * 301}}}, "supply.pressure_limit, says: words"), ({"more": 1}, "expected name, title"),
]  # fmt: skip


@pytest.mark.parametrize(("change", "words"), WRONG)
def test_what_cannot_be_is_refused_by_name(change: dict[str, Any], words: str) -> None:
    with pytest.raises(BadAnswer) as refused:
        assess({**JOB, "amendments": {**SET, **change}})
    assert refused.value.key == "amendments"
    assert words in str(refused.value)


@pytest.mark.parametrize("given", [[], "x", 7, {"name": "x"}])
def test_something_else_altogether_is_refused(given: Any) -> None:
    with pytest.raises(BadAnswer, match="amendments: expected"):
        Job({**JOB, "amendments": given})


@pytest.mark.parametrize("place", sorted(set(place_names().values())))
def test_every_clause_that_can_be_amended_can_be_restated_as_it_is(place: str) -> None:
    known = amendable(place)
    assert len(known) > 40
    restated = {}
    for ident, clause in known.items():
        said = {
            name: {True: "yes", False: "no"}.get(v, str(v))
            if isinstance(v := clause.values[name], bool)
            else str(v)
            for name in settable(clause)
        }
        restated[ident] = {"section": "1", "says": "As it was.", "values": said}
        assert read_amendments({**SET, "base": place, "clauses": {ident: restated[ident]}}) is not None
    # all of them at once, as many as one set may have: each is bound and judged by
    for begin in range(0, len(restated), MOST_CLAUSES):
        clauses = dict(list(restated.items())[begin : begin + MOST_CLAUSES])
        report = assess({**JOB, "place": place, "amendments": {**SET, "base": place, "clauses": clauses}})
        assert not [(f.check, f.why) for f in report.findings if f.verdict == "error"], list(clauses)


@pytest.mark.parametrize(("bonded", "verdict"), [("yes", "meets"), ("no", "fails")])
def test_a_jumper_at_the_heater_can_be_asked_for(bonded: str, verdict: str) -> None:
    """Many cities ask for it; no book held here does."""
    clause = {"section": "14.40", "says": "Hot, cold and gas pipes are bonded at the heater.", "values": {"jumper_required": "yes"}}
    found = _finding("electric.bonding", bonding_hot_cold_gas=bonded, amendments={**SET, "clauses": {"electric.bonding": clause}})
    assert (found.verdict, found.section) == (verdict, "14.40")


def test_nothing_is_set_to_nought() -> None:
    """Nought would divide, or let anything pass; what is not asked is struck."""
    with pytest.raises(BadAnswer, match="a number from 8"):
        read_amendments(
            {
                "name": "town", "title": "Town", "version": 1, "on": "2026-01-01", "base": "model_upc_2021", "silent": {},
                "clauses": {"supply.pressure_limit": {"section": "1", "says": "None.", "values": {"limit": "0"}}},
            }
        )  # fmt: skip


def _with(base: str, ident: str, values: dict[str, str]) -> dict[str, Any]:
    return {**SET, "base": base, "clauses": {ident: {"section": "1", "says": "Otherwise.", "values": values}}}


def _ends(base: str, ident: str) -> list[dict[str, str]]:
    """The values of a clause at the ends that a refusal names."""
    clause = amendable(base)[ident]
    ends: list[dict[str, str]] = [{}, {}]
    for name in settable(clause):
        said = {n: "yes" if clause.values[n] is True else "no" if clause.values[n] is False else str(clause.values[n]) for n in settable(clause)}
        with pytest.raises(BadAnswer) as refused:
            read_amendments(_with(base, ident, {**said, name: "-1"}))
        numbers = re.search(r"from ([0-9.,]+) to ([0-9.,]*[0-9])", str(refused.value))
        for end, value in zip(ends, numbers.groups() if numbers else ("no", "yes"), strict=True):
            end[name] = value
    return ends


@pytest.mark.parametrize("job", ["gas_storage_us_ca", "electric_storage_irc", "gas_storage_ipc_2021"])
def test_whatever_may_be_set_is_judged_by(job: str) -> None:
    """No value that is taken breaks a calculation: the job could not be issued then."""
    answers = json.loads((JOBS / f"{job}.json").read_text(encoding="utf-8"))["answers"]
    base = place_names()[answers["place"]]
    for ident in amendable(base):
        for values in _ends(base, ident):
            report = assess({**answers, "amendments": _with(base, ident, values)})
            assert not [(f.check, f.why) for f in report.findings if f.verdict == "error"], (ident, values)


def test_a_part_of_the_whole_stays_one_and_a_count_whole() -> None:
    """9 typed for 0.90 would let nine times as much pass."""
    cases = (("vent_sizing.reduced", "reduced_keeps", "9", "1"), ("seismic.placement", "least", "2.5", "3"))
    for ident, name, refused, taken in cases:
        with pytest.raises(BadAnswer, match=name):
            read_amendments(_with("us_ca_2022", ident, {name: refused}))
        read = read_amendments(_with("us_ca_2022", ident, {name: taken}))
        assert read is not None
        assert read["clauses"][ident]["values"][name] == taken


def test_what_water_weighs_is_nobodys_to_adopt() -> None:
    assert "seismic.weights" not in amendable("us_ca_2022")


@pytest.mark.parametrize(
    ("change", "good"),
    [
        ({}, True), ({"title": "x" * 300}, True), ({"title": "x" * 301}, False), ({"title": ""}, False), ({"version": 9999}, True),
        ({"version": 10000}, False), ({"name": "Port Larkin"}, False), ({"on": "soon"}, False), ({"base": "atlantis"}, False),
        ({"clauses": {"supply.pressure_limit": {**LIMIT, "says": "x" * 300}}}, True),
        ({"clauses": {"supply.pressure_limit": {**LIMIT, "says": "x" * 301}}}, False),
        ({"clauses": {}, "silent": {"pan.depth": "x" * 300}}, True), ({"clauses": {}, "silent": {"pan.depth": ""}}, False),
    ],
)  # fmt: skip
def test_the_schema_and_the_reader_take_the_same(change: dict[str, Any], good: bool) -> None:
    answers = {**JOB, "amendments": {**SET, **change}}
    assert jsonschema.Draft202012Validator(job_schema()).is_valid(answers) is good
    if good:
        Job(answers)
    else:
        with pytest.raises(BadAnswer):
            Job(answers)
