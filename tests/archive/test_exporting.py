"""What is taken out: what matches, of one moment, in flat memory, and logged."""

import hashlib
import io
import json
import random
import tracemalloc
import zipfile

import pytest

from heaterapp.archive import Facts, Invalid, NotFound, Wanted, faults
from heaterapp.archive.packing import Packing


def numbers(store, organisation, **wanted):
    with store.exports.moment(organisation, Wanted(**wanted)) as moment:
        found = [one.hit.number for one in moment.records()]
        assert moment.count == len(found)
    return found


@pytest.fixture
def filled(firm, other):
    """Two of one job, a list that is void, an erased one, an unfinished one, and the other firm's."""
    first, second = firm.issued(), firm.issued()
    oak = Facts(address="7 Elm St", owner="Lee Park", installer="Ana Reyes")
    listed = firm.issued(job_id=firm.new_job().id, kind="correction_list", facts=oak)
    firm.store.void(firm.id, listed.record, firm.office.id, "wrong house")
    gone = firm.issued(job_id=firm.new_job().id)
    firm.store.erase(firm.id, gone.record, firm.office.id, "asked for")
    firm.store.issue(firm.wish(job_id=firm.new_job().id))
    other.issued()
    firm.told = [first.number, second.number, listed.number, gone.number]
    return firm


def test_everything_is_taken_newest_first_but_what_is_unfinished_or_another_firms(store, filled):
    assert numbers(store, filled.id) == filled.told[::-1]


FILTERS = [
    ({"state": "current"}, [3, 1]),
    ({"state": "replaced"}, [0]),
    ({"state": "void"}, [2]),
    ({"kind": "correction_list"}, [2]),
    ({"kind": "certificate"}, [3, 1, 0]),
    ({"text": "elm"}, [2]),
    ({"text": "12 oak", "state": "replaced"}, [0]),
    ({"text": "12 west oak"}, [1, 0]),
    ({"text": "..."}, []),
    ({"since": "2026-03-14T12:00:00Z"}, [3, 2, 1, 0]),
    ({"since": "2026-03-14T12:00:01Z"}, []),
    ({"until": "2026-03-14T12:00:00Z"}, []),
    ({"until": "2026-03-14T12:00:01Z"}, [3, 2, 1, 0]),
    ({"first_day": "2026-03-13", "last_day": "2026-03-13"}, [1, 0]),
    ({"first_day": "2026-03-14"}, [3, 2]),
    ({"last_day": "2026-03-12"}, []),
    ({"text": "elm", "first_day": "2026-03-14"}, [2]),
    ({"text": "elm", "last_day": "2026-03-13"}, []),
]


def test_a_filter_takes_what_the_search_would_find(store, filled):
    for wanted, which in FILTERS:
        assert numbers(store, filled.id, **wanted) == [filled.told[at] for at in which], wanted


def test_of_one_person_only(store, filled):
    assert numbers(store, filled.id, person=filled.installer.id) == [filled.told[at] for at in (2, 1, 0)]
    assert numbers(store, filled.id, person=filled.office.id) == []


def test_a_filter_that_does_not_exist_is_refused(store, firm):
    for wrong in ({"kind": "letter"}, {"state": "lost"}, {"kind": "letter", "text": "oak"}):
        with pytest.raises(Invalid):
            numbers(store, firm.id, **wrong)


def test_an_erased_record_has_no_content(store, filled):
    with store.exports.moment(filled.id, Wanted()) as moment:
        taken = {one.hit.number: one for one in moment.records()}
        papers = {(one.number, one.name): one.body for one in moment.papers()}
    gone, kept = taken[filled.told[3]], taken[filled.told[1]]
    assert (gone.erased_at, gone.job, gone.report) == ("2026-03-14T12:00:00Z", None, None)
    assert (kept.erased_at, kept.job) == (None, b'{"storage_gal":40}')
    assert papers[gone.hit.number, "certificate.pdf"] is None
    assert papers[kept.hit.number, "certificate.pdf"].startswith(b"%PDF")
    assert {name for _, name in papers} == {"certificate.pdf", "certificate-archival.pdf"}


def test_it_is_of_one_moment_while_others_write(store, filled, monkeypatch):
    monkeypatch.setattr("heaterapp.archive.exporting.BATCH", 1)
    with store.exports.moment(filled.id, Wanted()) as moment:
        reading = moment.records()
        first = next(reading)
        store.void(filled.id, store.records.by_number(filled.id, filled.told[1]).id, filled.office.id, "no")
        filled.issued()
        rest = {one.hit.number: one.hit.state for one in reading}
        assert moment.count == 4
    assert first.hit.number == filled.told[3]
    assert rest == {filled.told[2]: "void", filled.told[1]: "current", filled.told[0]: "replaced"}
    assert len(numbers(store, filled.id)) == 5


def test_the_act_is_logged_without_the_words_that_were_typed(store, filled):
    wanted = Wanted(text="Mina Park", kind="certificate", since="2026-01-01T00:00:00Z")
    store.exports.note(filled.id, filled.office.id, "csv", wanted, 2)
    entry = store.log.entries(filled.id, limit=1000)[-1]
    assert (entry.act, entry.actor, entry.record) == ("export", filled.office.id, None)
    assert json.loads(entry.body) == {
        "what": "csv", "count": 2,
        "filter": {"kind": "certificate", "since": "2026-01-01T00:00:00Z", "words": True},
    }  # fmt: skip
    assert store.verify().ok


def test_another_firms_person_or_a_form_that_is_none_is_refused(store, filled, other):
    with pytest.raises(NotFound):
        store.exports.note(filled.id, other.office.id, "csv", Wanted(), 1)
    with pytest.raises(NotFound):
        store.exports.note(999, None, "csv", Wanted(), 1)
    with pytest.raises(Invalid):
        store.exports.note(filled.id, filled.office.id, "tape", Wanted(), 1)


@pytest.mark.parametrize("point", faults.EXPORTING)
def test_a_fault_while_it_is_logged_leaves_a_whole_chain(store, firm, monkeypatch, point):
    def broken(at):
        if at == point:
            raise OSError("disk full")

    monkeypatch.setattr(faults, "hook", broken)
    with pytest.raises(OSError, match="disk full"):
        store.exports.note(firm.id, firm.office.id, "csv", Wanted(), 1)
    assert len(store.log.entries(firm.id)) == (1 if point == "export_committed" else 0)
    assert store.verify().ok


def test_a_zip_in_pieces_is_a_zip_that_others_read():
    chance = random.Random(5)
    members = {f"f{at}-\u00e9.bin": chance.randbytes(chance.randint(0, 5000)) for at in range(300)}
    with Packing() as packing:
        pieces = [piece for name, body in members.items() for piece in packing.member(name, body)]
        pieces += packing.long_member("long.txt", (b"line %d\n" % at for at in range(10_000)))
        whole = b"".join([*pieces, *packing.end()])
    with zipfile.ZipFile(io.BytesIO(whole)) as opened:
        assert opened.testzip() is None
        assert {name: opened.read(name) for name in members} == members
        assert opened.read("long.txt").count(b"\n") == 10_000
        assert opened.namelist() == [*members, "long.txt"]


def test_more_members_than_the_old_form_can_count_are_read_too(monkeypatch):
    monkeypatch.setattr("heaterapp.archive.packing._FULL_COUNT", 500)
    out = io.BytesIO()
    with Packing() as packing:
        for at in range(600):
            out.writelines(packing.member(f"{at}", b""))
        out.writelines(packing.end())
    with zipfile.ZipFile(out) as opened:
        assert len(opened.namelist()) == 600


def test_memory_stays_flat_however_much_is_packed():
    def packed(count: int) -> tuple[int, str]:
        seen = hashlib.sha256()
        tracemalloc.start()
        with Packing() as packing:
            for at in range(count):
                for piece in packing.member(f"{at}.pdf", bytes(100_000)):
                    seen.update(piece)
            for piece in packing.end():
                seen.update(piece)
        peak = tracemalloc.get_traced_memory()[1]
        tracemalloc.stop()
        return peak, seen.hexdigest()

    few, many = packed(5), packed(200)
    assert many[0] < few[0] + 500_000
    assert packed(5)[1] == few[1]
