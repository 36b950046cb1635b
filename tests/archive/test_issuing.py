"""Numbers, keys, superseding and papers."""

import threading
from dataclasses import replace

import pytest
from sqlalchemy import select, text
from sqlalchemy.exc import IntegrityError

from heaterapp.archive import (
    Facts,
    Invalid,
    JobChanged,
    KeyConflict,
    NotFound,
    RulesetConflict,
    SupersedeConflict,
    tables,
)
from heaterapp.archive.canonical import EMPTY_HEAD, check_code, read_code


def _at_once(count, work):
    answers, errors = [], []

    def one(at):
        try:
            answers.append(work(at))
        except Exception as error:
            errors.append(error)

    threads = [threading.Thread(target=one, args=(at,)) for at in range(count)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return answers, errors


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


def test_the_same_key_sent_at_once_makes_one_certificate(store, firm, papers):
    wish = firm.wish()
    answers, errors = _at_once(5, lambda _: store.issue_and_finish(wish, papers))
    assert errors == []
    assert {answer.number for answer in answers} == {"C-000001"}
    assert sorted(answer.repeated for answer in answers) == [False, True, True, True, True]
    assert store.verify().ok


def test_many_keys_sent_at_once_leave_no_gap(store, firm, papers):
    wishes = [firm.wish() for _ in range(16)]
    answers, errors = _at_once(16, lambda at: store.issue_and_finish(wishes[at], papers))
    assert errors == []
    assert sorted(answer.number for answer in answers) == [f"C-{at:06}" for at in range(1, 17)]
    assert sorted(answer.revision for answer in answers) == list(range(1, 17))
    assert store.verify().ok


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


def test_a_second_issue_supersedes_the_first(store, firm):
    first, second = firm.issued(), firm.issued(reason="serial read again")
    assert (first.revision, second.revision) == (1, 2)
    record = store.records.get(firm.id, second.record)
    assert (record.supersedes, record.supersedes_number, record.reason) == (
        first.record,
        "C-000001",
        "serial read again",
    )
    status = store.records.status(firm.id, first.record)
    assert (status.current, status.superseded_by, status.superseded_by_number) == (
        False,
        second.record,
        "C-000002",
    )
    assert store.records.status(firm.id, second.record).current
    assert store.records.current(firm.id, firm.job.id, "certificate").number == "C-000002"
    assert [hit.number for hit in store.records.of_job(firm.id, firm.job.id)] == ["C-000002", "C-000001"]


def test_a_correction_list_and_a_certificate_do_not_supersede_each_other(store, firm):
    listed, certified = firm.issued(kind="correction_list", signature=None), firm.issued()
    assert certified.revision == 1
    assert store.records.status(firm.id, listed.record).current
    assert store.records.current(firm.id, firm.job.id, "findings_report") is None


def test_two_corrections_of_the_same_one(store, firm):
    first = firm.issued()
    second = firm.issued(supersedes=first.record)
    with pytest.raises(SupersedeConflict) as refusal:
        store.issue(firm.wish(supersedes=first.record))
    assert refusal.value.current == second.record
    assert firm.issued().number == "C-000003"


def test_superseding_what_the_job_does_not_have(store, firm):
    elsewhere = firm.issued(job_id=firm.new_job().id)
    with pytest.raises(SupersedeConflict) as refusal:
        store.issue(firm.wish(supersedes=elsewhere.record))
    assert refusal.value.current is None


def test_the_database_refuses_a_fork(store, firm):
    first = firm.issued()
    firm.issued()
    columns = [column.name for column in tables.record.c if column.name != "id"]
    changed = {
        "number": "'X-1'",
        "serial": "99",
        "job_id": "job_id",
        "revision": "9",
        "supersedes": str(first.record),
    }
    values = ", ".join(changed.get(name, name) for name in columns)
    fork = f"INSERT INTO record ({', '.join(columns)}) SELECT {values} FROM record WHERE id = {first.record}"
    with pytest.raises(IntegrityError, match=r"record\.supersedes"), store.database.write() as connection:
        connection.execute(text(fork))


def test_the_record_carries_all_that_was_decided(store, firm):
    issued = firm.issued(context={"photos": 0, "language": "es"})
    record = store.records.get(firm.id, issued.record)
    assert record == store.records.by_number(firm.id, " c-000001 ")
    assert (record.job, record.report, record.signature) == (
        b'{"storage_gal":40}',
        b'{"outcome":"ready"}',
        b'{"typed":"A. Reyes"}',
    )
    assert record.facts.owner == "Mina Park"
    assert record.context == {"photos": 0, "language": "es"}
    assert record.issued_at == "2026-03-14T12:00:00Z"
    assert record.issued_by == {
        "id": firm.installer.id,
        "name": "Ana Reyes",
        "role": "installer",
        "licence": "P-17",
    }
    assert store.records.ruleset(firm.id, record.ruleset_digest) == b"the rules as a zip"
    assert record.check_code == check_code(record.content_digest) == issued.check_code


def test_later_changes_of_the_firm_do_not_reach_the_record(store, firm):
    issued = firm.issued()
    before = store.records.get(firm.id, issued.record)
    store.organisations.save(firm.id, name="Harborlight and Daughters", phone="555-0199")
    store.organisations.save_settings(firm.id, {"paper": "A4"})
    store.people.save(firm.id, firm.installer.id, name="Ana Reyes-Grant", disabled=True)
    assert store.records.get(firm.id, issued.record) == before
    assert before.organisation_snapshot["name"] == "Harborlight Plumbing"


def test_the_head_on_the_paper_is_the_entry_before(store, firm):
    record = store.records.get(firm.id, firm.issued().record)
    entries = store.log.entries(firm.id)
    assert [entry.act for entry in entries] == ["ruleset", "issue", "finish"]
    assert entries[0].previous == EMPTY_HEAD
    assert record.previous_head == entries[1].previous == entries[0].digest
    assert store.log.head(firm.id) == entries[2].digest
    assert [entry.seq for entry in store.log.entries(firm.id, after=1, limit=1)] == [2]


def test_the_log_holds_no_personal_word(store, firm):
    firm.issued()
    written = " ".join(entry.body for entry in store.log.entries(firm.id)).lower()
    assert "C-000001".lower() in written
    for word in ("mina", "oak", "0012345", "harborlight", "reyes"):
        assert word not in written


def test_salts_make_equal_contents_look_different(store, firm):
    firm.issued()
    firm.issued()
    with store.database.read() as connection:
        digests = connection.execute(select(tables.payload.c.digest).where(tables.payload.c.name == "job"))
        assert len(set(digests.scalars())) == 2


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
        store.issue(firm.wish(ruleset_zip=b"something else"))
    assert firm.issued().number == "C-000002"


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
        ({"facts": Facts(owner="x" * 301)}, "owner"),
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


def test_papers_are_stored_once_and_the_first_stay(store, firm, papers):
    issued = store.issue(firm.wish())
    assert not issued.finished
    assert store.records.file_names(firm.id, issued.record) == ()
    stored = store.finish(firm.id, issued.record, papers)
    again = store.finish(firm.id, issued.record, lambda _: {"other.pdf": b"other"})
    assert again == stored
    assert store.records.file_names(firm.id, issued.record) == ("certificate-archival.pdf", "certificate.pdf")
    assert store.records.file(firm.id, issued.record, "certificate.pdf") == stored["certificate.pdf"]
    assert [entry.act for entry in store.log.entries(firm.id)].count("finish") == 1


def test_papers_rendered_at_once_by_several_are_stored_once(store, firm):
    issued = store.issue(firm.wish())
    together = threading.Barrier(4)

    def render(at):
        together.wait()
        return {"certificate.pdf": b"%d" % at}

    answers, errors = _at_once(4, lambda at: store.finish(firm.id, issued.record, lambda _: render(at)))
    assert errors == []
    kept = store.records.file(firm.id, issued.record, "certificate.pdf")
    assert [answer["certificate.pdf"] for answer in answers] == [kept] * 4
    assert store.verify().ok


def test_rendering_holds_no_lock(store, firm, papers):
    def render(record):
        store.jobs.save_answers(firm.id, firm.new_job().id, {"note": record.number})
        return papers(record)

    assert store.issue_and_finish(firm.wish(), render).finished


def test_a_failed_rendering_is_finished_by_the_retry_under_the_same_number(store, firm, papers):
    wish = firm.wish()
    with pytest.raises(ZeroDivisionError):
        store.issue_and_finish(wish, lambda record: 1 / 0)
    assert not store.records.by_key(firm.id, wish.key).finished
    assert not store.find(firm.id).hits[0].finished
    assert store.issue_and_finish(wish, papers).number == "C-000001"
    assert store.records.by_key(firm.id, wish.key).finished


def test_start_up_finishes_what_was_left_and_one_failure_stops_no_other(store, firm, other, papers):
    left = [store.issue(wish).record for wish in (firm.wish(), firm.wish(), other.wish())]

    def render(record):
        if record.id == left[0]:
            raise ValueError("no font")
        return papers(record)

    done = store.finish_pending(render)
    assert (done.finished, done.failed) == (tuple(left[1:]), ((left[0], "ValueError: no font"),))
    assert store.finish_pending(papers).finished == (left[0],)
    assert store.finish_pending(papers) == type(done)((), ())


@pytest.mark.parametrize(
    "made",
    [{}, {"../x.pdf": b"x"}, {"job": b"x"}, {"Certificate.pdf": b"x"}, {"a.pdf": b""}, {"a.pdf": "text"}],
)
def test_papers_that_cannot_be_kept_are_refused(store, firm, made):
    issued = store.issue(firm.wish())
    with pytest.raises(Invalid):
        store.finish(firm.id, issued.record, lambda _: made)
    assert not store.records.status(firm.id, issued.record).finished


def test_the_record_a_renderer_sees_does_not_change_later(store, firm, papers):
    seen = []
    issued = store.issue(firm.wish())
    store.finish(firm.id, issued.record, lambda record: seen.append(record) or papers(record))
    firm.issued()
    assert store.records.get(firm.id, issued.record) == seen[0]


@pytest.mark.parametrize("name", ["job", "facts", "../../etc/passwd", "nothing.pdf", "", "x" * 10_000])
def test_only_papers_are_files(store, firm, name):
    with pytest.raises(NotFound):
        store.records.file(firm.id, firm.issued().record, name)


def test_the_check_page_needs_number_and_code(store, firm, other):
    issued, stranger = firm.issued(), other.issued()
    typed = issued.check_code.lower().replace("-", " ")
    public = store.records.check("c-000001", typed)
    assert public.number == issued.number
    assert public.content_digest == store.records.get(firm.id, issued.record).content_digest
    assert (public.state, public.replaced_by, public.place) == ("issued", None, "us_ca_2022")
    assert set(public.files) == {"certificate.pdf", "certificate-archival.pdf"}
    for wrong in ("", "AAAA-AAAA-AAAA", issued.check_code[:-1], issued.check_code + "A", "\0" * 12, "é" * 12):
        assert store.records.check("C-000001", wrong) is None
    assert store.records.check("C-000002", issued.check_code) is None
    assert store.records.check("C-000001", stranger.check_code).content_digest != public.content_digest
    for word in ("Mina", "Oak", "Reyes", "Harborlight"):
        assert word not in repr(public)


def test_the_check_page_says_what_replaced_it(store, firm):
    first, second = firm.issued(), firm.issued()
    public = store.records.check(first.number, first.check_code)
    assert (public.state, public.replaced_by) == ("replaced", second.number)


def test_codes_differ_and_hold_sixty_bits():
    assert check_code("f" * 64) == "7777-7777-7777"
    assert check_code("0" * 15 + "f" * 49) == "AAAA-AAAA-AAAA"
    assert check_code("0" * 14 + "1" + "0" * 49) != "AAAA-AAAA-AAAA"
    assert read_code("7777 7777 777") is None
