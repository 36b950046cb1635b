"""Numbers, keys, superseding and papers."""

import io
import zipfile
from dataclasses import replace

import pytest
from sqlalchemy import select

from heaterapp.archive import (
    Facts,
    Invalid,
    JobChanged,
    JobIssued,
    KeyConflict,
    NotFound,
    RulesetConflict,
    tables,
)
from heaterapp.archive.checking import LONGEST_FACT


def test_each_kind_counts_for_itself(firm):
    kinds = ("certificate", "correction_list", "certificate", "findings_report", "correction_list")
    numbers = [firm.issued(kind=kind, job_id=firm.new_job().id).number for kind in kinds]
    assert numbers == ["C-000001", "L-000001", "C-000002", "F-000001", "L-000002"]


def test_organisations_count_for_themselves(firm, other):
    assert firm.issued().number == other.issued().number == "C-000001"


def test_prefixes_are_a_setting(store, firm):
    firm.issued()
    store.organisations.save_settings(firm.id, {"prefixes": {"certificate": "HP26"}})
    assert firm.issued().number == "HP26-000002"
    assert store.verify().ok


@pytest.mark.parametrize(
    "prefixes",
    [
        {"certificate": "L"},
        {"certificate": "C-"},
        {"certificate": ""},
        {"certificate": "c"},
        {"certificate": 7},
        {"receipt": "R"},
        ["C"],
    ],
)
def test_prefixes_that_would_confuse_numbers_are_refused(store, firm, prefixes):
    with pytest.raises(Invalid) as refusal:
        store.organisations.save_settings(firm.id, {"prefixes": prefixes})
    assert refusal.value.field == "prefixes"


def test_a_prefix_never_passes_to_another_kind(store, firm):
    firm.issued()
    with pytest.raises(Invalid, match="C has numbered another kind"):
        store.organisations.save_settings(firm.id, {"prefixes": {"certificate": "D", "correction_list": "C"}})


def test_the_same_key_and_content_get_the_first_answer(store, firm, papers):
    wish = firm.wish()
    first = store.issue_and_finish(wish, papers)
    again = store.issue_and_finish(wish, papers)
    assert (first.repeated, again.repeated) == (False, True)
    assert replace(again, repeated=False) == first
    assert store.records.by_key(firm.id, wish.key) == again
    assert len(store.find(firm.id).hits) == 1


def test_a_retry_after_the_rules_changed_gets_the_first_answer(store, firm, papers):
    wish = firm.wish()
    first = store.issue_and_finish(wish, papers)
    later = replace(wish, report=b'{"outcome":"fix"}', ruleset_digest="ruleset-2", ruleset_zip=b"newer rules")
    assert store.issue_and_finish(later, papers).number == first.number
    assert store.records.get(firm.id, first.record).report == b'{"outcome":"ready"}'


def test_the_same_key_sent_at_once_makes_one_certificate(store, firm, papers, at_once):
    wish = firm.wish()
    answers, errors = at_once(5, lambda _: store.issue_and_finish(wish, papers))
    assert errors == []
    assert {answer.number for answer in answers} == {"C-000001"}
    assert sorted(answer.repeated for answer in answers) == [False, True, True, True, True]
    assert store.verify().ok


def test_many_keys_sent_at_once_leave_no_gap(store, firm, papers, at_once):
    wishes = [firm.wish(job_id=firm.new_job().id) for _ in range(16)]
    answers, errors = at_once(16, lambda at: store.issue_and_finish(wishes[at], papers))
    assert errors == []
    assert sorted(answer.number for answer in answers) == [f"C-{at:06}" for at in range(1, 17)]
    assert store.verify().ok


def test_two_keys_for_one_job_at_once_make_one_certificate(store, firm, papers, at_once):
    wishes = [firm.wish() for _ in range(8)]
    answers, errors = at_once(8, lambda at: store.issue_and_finish(wishes[at], papers))
    assert [answer.number for answer in answers] == ["C-000001"]
    assert [type(error) for error in errors] == [JobIssued] * 7
    assert len(store.records.of_job(firm.id, firm.job.id)) == 1
    assert store.verify().ok


@pytest.mark.parametrize("kind", ["certificate", "correction_list", "findings_report"])
def test_an_issued_job_is_issued_again_only_when_reopened(store, firm, kind):
    first = store.issue(firm.wish())
    with pytest.raises(JobIssued):
        store.issue(firm.wish(kind=kind))
    store.jobs.reopen(firm.id, firm.job.id)
    again = store.issue(firm.wish(kind=kind))
    assert again.record > first.record
    assert store.verify().ok


def test_a_correction_list_is_followed_by_a_certificate(store, firm):
    assert store.issue(firm.wish(kind="correction_list")).number == "L-000001"
    assert store.issue(firm.wish()).number == "C-000001"


@pytest.mark.parametrize(
    ("change", "differs"),
    [
        ({"job": b"{}"}, ("job",)),
        ({"signature": b"{}"}, ("signature",)),
        ({"kind": "correction_list"}, ("kind",)),
        ({"kind": "correction_list", "signature": None}, ("kind", "signature")),
    ],
)
def test_the_same_key_with_other_content_is_refused(store, firm, change, differs):
    wish = firm.wish()
    first = store.issue(wish)
    with pytest.raises(KeyConflict) as refusal:
        store.issue(replace(wish, **change))
    assert refusal.value.differs == differs
    assert refusal.value.first.number == first.number
    assert len(store.find(firm.id).hits) == 1


def test_the_same_key_from_somebody_else_or_another_job_is_refused(store, firm):
    wish = firm.wish()
    store.issue(wish)
    with pytest.raises(KeyConflict) as refusal:
        store.issue(replace(wish, person=firm.office.id, job_id=firm.new_job().id))
    assert refusal.value.differs == ("job_id", "person")


def test_a_key_of_another_organisation_is_no_obstacle(store, firm, other):
    first, second = store.issue(firm.wish(key="same-key-1")), store.issue(other.wish(key="same-key-1"))
    assert first.record != second.record
    assert not second.repeated


def test_a_ruleset_is_stored_once(store, firm):
    firm.issued()
    firm.issued(ruleset_zip=None)
    with store.database.read() as connection:
        assert len(connection.execute(select(tables.ruleset.c.digest)).all()) == 1


def test_a_ruleset_with_other_bytes_or_none_is_refused(store, firm):
    with pytest.raises(RulesetConflict):
        store.issue(firm.wish(ruleset_zip=None))
    firm.issued()
    with pytest.raises(RulesetConflict):
        firm.issued(ruleset_zip=b"something else")
    assert firm.issued().number == "C-000002"


def _packed(method: int, **files: str) -> bytes:
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", method) as packed:
        for name, text in files.items():
            packed.writestr(name, text)
    return held.getvalue()


def test_the_same_ruleset_packed_into_other_bytes_stops_nothing(store, firm):
    first, later = (_packed(way, rules="a" * 500) for way in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED))
    assert first != later
    firm.issued(ruleset_zip=first)
    assert firm.issued(ruleset_zip=later).number == "C-000002"
    assert store.records.ruleset(firm.id, "ruleset-1") == first
    with pytest.raises(RulesetConflict):
        firm.issued(ruleset_zip=_packed(zipfile.ZIP_STORED, rules="b" * 500))
    assert store.verify().ok


def _other_method(body: bytes) -> bytes:
    """The same archive saying that it is packed in a way that nobody knows."""
    at = body.index(b"PK\x01\x02") + 10
    return body[:at] + b"\x63" + body[at + 1 :]


def _damaged(body: bytes) -> bytes:
    """The same archive with the beginning of its packed bytes overwritten."""
    at = body.index(b"rules") + len("rules")
    return body[:at] + b"\xff" * 6 + body[at + 6 :]


def _misplaced(body: bytes) -> bytes:
    """The same archive, the place of its table of files overwritten."""
    at = body.index(b"PK\x05\x06") + 18
    return body[:at] + b"\xff" + body[at + 1 :]


def _no_text(body: bytes) -> bytes:
    """The same archive, the name of its file no text."""
    at = body.index(b"PK\x01\x02")
    flagged = body[: at + 9] + b"\x08" + body[at + 10 :]
    name = flagged.index(b"rules", at)
    return flagged[:name] + b"\xb5" + flagged[name + 1 :]


@pytest.mark.parametrize("method", [zipfile.ZIP_DEFLATED, zipfile.ZIP_BZIP2, zipfile.ZIP_LZMA])
@pytest.mark.parametrize("spoil", [_other_method, _damaged, _misplaced, _no_text, lambda body: body[:-9]])
def test_a_ruleset_that_cannot_be_unpacked_is_another_content(store, firm, spoil, method):
    packed = _packed(method, rules="a" * 500)
    firm.issued(ruleset_zip=packed)
    with pytest.raises(RulesetConflict):
        firm.issued(ruleset_zip=spoil(packed))


def test_a_certificate_ends_the_draft_and_a_correction_list_does_not(store, firm):
    firm.issued(kind="correction_list", signature=None)
    assert store.jobs.get(firm.id, firm.job.id).state == "draft"
    firm.issued()
    assert store.jobs.get(firm.id, firm.job.id).state == "issued"


def test_answers_changed_since_the_review_stop_the_issue(store, firm):
    store.jobs.save_answers(firm.id, firm.job.id, {"storage_gal": 50})
    with pytest.raises(JobChanged):
        store.issue(firm.wish(job_revision=1))
    assert store.issue(firm.wish(job_revision=2)).number == "C-000001"


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"key": "short"}, "key"),
        ({"key": "x" * 101}, "key"),
        ({"key": "new\nline-key"}, "key"),
        ({"kind": "receipt"}, "kind"),
        ({"signature": None}, "signature"),
        ({"job": b""}, "job"),
        ({"job": "text"}, "job"),
        ({"job": bytes(2_000_001)}, "job"),
        ({"ruleset_zip": b""}, "ruleset_zip"),
        ({"ruleset_digest": ""}, "ruleset_digest"),
        ({"context": {"x": float("nan")}}, "context"),
        ({"reason": "two\nlines"}, "reason"),
        ({"facts": Facts(owner="x" * (LONGEST_FACT + 1))}, "owner"),
        ({"facts": Facts(address="a\0b")}, "address"),
        ({"facts": Facts(owner=None)}, "owner"),
        ({"facts": Facts(owner="\ud800")}, "owner"),
        ({"facts": Facts(work_date="14/03/2026")}, "work_date"),
        ({"facts": Facts(work_date="2026-02-30")}, "work_date"),
        ({"facts": Facts(work_date="20260314")}, "work_date"),
    ],
)
def test_what_cannot_be_kept_is_named_and_uses_no_number(store, firm, change, field):
    with pytest.raises(Invalid) as refusal:
        store.issue(firm.wish(**change))
    assert refusal.value.field == field
    assert firm.issued().number == "C-000001"


def test_strangers_and_the_disabled_cannot_issue(store, firm, other):
    for change in ({"person": other.installer.id}, {"job_id": other.job.id}, {"organisation": 999}):
        with pytest.raises(NotFound):
            store.issue(firm.wish(**change))
    store.people.save(firm.id, firm.installer.id, disabled=True)
    with pytest.raises(NotFound):
        store.issue(firm.wish())
