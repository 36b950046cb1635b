"""Papers: rendered outside any lock, stored once, and only then is the number told."""

import threading
from datetime import timedelta

import pytest

from heaterapp.archive import Correction, Invalid, NotFound, PapersWait
from heaterapp.archive.store import Store
from tests.archive.conftest import NOON


def test_papers_are_stored_once_and_the_first_stay(store, firm, papers):
    issued = store.issue(firm.wish())
    assert not issued.finished
    assert store.records.file_names(firm.id, issued.record) == ()
    stored = store.finish(firm.id, issued.record, papers)
    again = store.finish(firm.id, issued.record, lambda _: {"other.pdf": b"other"})
    assert again == stored
    assert store.records.file_names(firm.id, issued.record) == ("certificate-archival.pdf", "certificate.pdf")
    sizes = store.records.file_sizes(firm.id, issued.record)
    assert sizes == {name: len(store.records.file(firm.id, issued.record, name)) for name in sizes}
    assert len(sizes) == 2
    assert store.records.file(firm.id, issued.record, "certificate.pdf") == stored["certificate.pdf"]
    assert [entry.act for entry in store.log.entries(firm.id)].count("finish") == 1


def test_papers_rendered_at_once_by_several_are_stored_once(store, firm, at_once):
    issued = store.issue(firm.wish())
    together = threading.Barrier(4)

    def render(at):
        together.wait()
        return {"certificate.pdf": b"%d" % at}

    answers, errors = at_once(4, lambda at: store.finish(firm.id, issued.record, lambda _: render(at)))
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


def test_what_has_no_papers_yet_replaces_nothing_and_takes_its_place_once_it_has(store, firm, papers):
    begun = {}

    def numbered(**changes):
        store.jobs.reopen(firm.id, firm.job.id)
        return store.issue(firm.wish(**changes))

    def states():
        return [store.records.status(firm.id, one.record).state for one in begun.values()]

    def replaced_by():
        return [hit.superseded_by_number for hit in store.records.of_job(firm.id, firm.job.id)[::-1]]

    begun["first"] = first = firm.issued()
    begun["second"] = second = numbered()
    with pytest.raises(ZeroDivisionError):
        store.finish(firm.id, second.record, lambda record: 1 / 0)
    assert states() == ["current", "unfinished"]
    assert store.records.present(firm.id, firm.job.id).number == first.number
    assert store.records.current(firm.id, firm.job.id, "certificate").number == first.number
    told = store.records.check(first.number, first.check_code)
    assert (told.state, told.replaced_by, told.present, told.since) == ("issued", None, first.number, "")
    assert [hit.number for hit in store.find(firm.id, state="current").hits] == [first.number]
    assert store.find(firm.id, state="replaced").hits == ()
    (waits,) = store.unmade(firm.id, firm.job.id)
    assert waits.number == second.number
    slip = Correction(first.record, {"owner_name": "X"}, {"owner_name": None})
    with pytest.raises(PapersWait, match=second.number):
        store.issue(firm.wish(supersedes=first.record, correction=slip, reason="misspelt"))

    begun["third"] = third = numbered(kind="findings_report")
    store.finish(firm.id, third.record, papers)
    assert (states(), replaced_by()) == (["replaced", "replaced", "current"], [third.number, third.number, None])
    store.finish(firm.id, second.record, papers)
    assert (states(), replaced_by()) == (["replaced", "replaced", "current"], [second.number, third.number, None])
    assert store.unmade(firm.id, firm.job.id) == []
    assert store.records.check(first.number, first.check_code).since == "2026-03-14T12:00:00Z"
    assert store.verify().ok


def test_why_papers_were_not_made_is_kept_for_every_process_and_goes_with_the_record(store, firm, other, papers):
    class Busy(Exception):
        passes = True

    def fail(fault, seconds=0):
        def render(record):
            raise fault

        store.database.clock = lambda: NOON + timedelta(seconds=seconds)
        with pytest.raises(type(fault)):
            store.finish(firm.id, waiting, render)
        # Read as another process reads it, which has tried nothing.
        return [(one.number, one.failed_at[11:16], one.why) for one in Store(store.database).unmade(firm.id)]

    def told():
        return [entry.said for entry in store.log.entries(firm.id) if entry.act == "finish_failed"]

    waiting = store.issue(firm.wish()).record
    assert fail(Busy("others")) == [("C-000001", "", "")]
    assert fail(ValueError("no\nfont")) == [("C-000001", "12:00", "ValueError: no font")]
    assert fail(ValueError("no font"), seconds=59) == fail(Busy("others"), seconds=600)
    assert len(told()) == 1
    assert fail(ValueError("no font"), seconds=60) == [("C-000001", "12:01", "ValueError: no font")]
    assert fail(KeyError("x" * 999), seconds=61) == [("C-000001", "12:01", f"KeyError: '{'x' * 289}")]
    assert [one["why"][:10] for one in told()] == ["ValueError", "ValueError", "KeyError: "]
    assert store.unmade(other.id) == []
    store.finish(firm.id, waiting, papers)
    assert store.unmade(firm.id) == []
    store.erase(firm.id, waiting, firm.office.id, "asked for")
    assert [one["why"] for one in told()] == ["", "", ""]
    assert store.verify().ok


def test_start_up_finishes_what_was_left_and_one_failure_stops_no_other(store, firm, other, papers):
    wishes = (firm.wish(), firm.wish(job_id=firm.new_job().id), other.wish())
    left = [store.issue(wish).record for wish in wishes]

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
