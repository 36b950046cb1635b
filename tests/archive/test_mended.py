"""What mends an inspector's item: somebody's word alone, never a paper and never a slip of the pen."""

import json

import pytest

from heaterapp.archive import Correction
from heaterapp.archive.desk_shapes import Item
from tests.archive.at_desk import ago

MET, UNMET = (
    json.dumps({"findings": [{"check": "relief.pipe_falls", "verdict": verdict}]}).encode()
    for verdict in ("meets", "fails")
)


def papers(record):
    return {"certificate.pdf": b"%PDF"}


@pytest.fixture
def inspected(store, firm, opened):
    """Make a job whose paper says this of the check, and whose inspection named the check."""

    def made(report):
        job = opened(installer=firm.installer.id).job
        first = store.issue_and_finish(firm.wish(job_id=job.id, report=report), papers)
        visit = store.inspections.book(firm.id, firm.office.id, job.id, ago(3), {})
        items = [Item("relief.pipe_falls", "Runs uphill", "", "")]
        told = store.inspections.tell(
            firm.id, firm.office.id, visit.id, visit.revision, "failed", ago(3), {}, items
        )
        return job, first, told

    return made


@pytest.mark.parametrize(("before", "noted"), [(MET, False), (UNMET, True)])
def test_a_second_paper_mends_nothing_and_is_noted_where_the_check_did_not_meet_before(
    store, firm, inspected, before, noted
):
    job, _, told = inspected(before)
    store.inspections.second_visit(firm.id, firm.office.id, told.id)
    second = store.issue_and_finish(firm.wish(job_id=job.id, report=MET), papers)
    now = store.inspections.get(firm.id, told.id)
    assert now.items[0].met_by == (second.record if noted else None)
    assert len(now.open_items) == 1
    assert now.revision == told.revision


def test_a_slip_notes_nothing(store, firm, inspected):
    job, first, told = inspected(UNMET)
    slip = firm.wish(
        job_id=job.id, person=firm.office.id, report=MET, supersedes=first.record, reason="misspelt", ruleset_zip=None,
        correction=Correction(first.record, {"owner_name": "Mina Parks"}, {"owner_name": "Mina Park"}),
    )  # fmt: skip
    store.issue_and_finish(slip, papers)
    [item] = store.inspections.get(firm.id, told.id).items
    assert (item.met_by, item.open) == (None, True)


def test_who_says_that_an_item_is_mended_stays_with_it(store, firm, inspected):
    _, _, told = inspected(UNMET)
    mended = [Item("relief.pipe_falls", "Runs uphill", "", ago(1), said="Pipe turned")]
    kept = store.inspections.mend(firm.id, firm.installer.id, told.id, told.revision, mended)
    assert (kept.items[0].fixed_by, kept.items[0].said) == (firm.installer.id, "Pipe turned")
    same = store.inspections.mend(firm.id, firm.office.id, told.id, kept.revision, kept.items)
    assert same.items[0].fixed_by == firm.installer.id
    back = store.inspections.mend(
        firm.id, firm.office.id, told.id, same.revision, [Item("relief.pipe_falls", "Runs uphill", "", "")]
    )
    assert (back.items[0].fixed_by, len(back.open_items)) == (None, 1)
