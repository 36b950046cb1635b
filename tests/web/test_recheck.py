"""The page of rechecks: begun, watched, read and taken along; each firm its own."""

import csv
import io
import json

import pytest

from heaterapp import recheck_beside, rechecking, rules
from heaterapp.recheck_words import change_words

CHANGE = "changed:supply.pressure_within_limit:meets:fails"
WHAT = {
    "check": "supply.pressure_within_limit", "before": "meets", "now": "fails", "title": "t",
    "why": "=95 psi is above 80 psi.", "book": "Model code", "section": "608.2",
}  # fmt: skip


@pytest.fixture
def unbegun(monkeypatch):
    """Processes that would have been started."""
    begun = []
    monkeypatch.setattr(recheck_beside, "start", lambda *given: begun.append(given[1:3]))
    return begun


@pytest.fixture
def run(store, people, issue):
    """A finished run of the first firm: one certificate judged otherwise."""
    record = issue()
    run = rechecking.begin(store, record.organisation, people["a", "office"].id)
    run = store.rechecks.keep(
        run,
        record.id,
        1,
        {record.id: {CHANGE: WHAT, "refused:thermostat_f": {"key": "thermostat_f", "expected": "a number"}}},
    )
    return store.rechecks.finish(run)


def test_it_is_begun_once_and_gone_on_with(visit, unbegun, store, firms, issue, monkeypatch):
    issue()
    office = visit("office")
    assert "None was made yet" in office.get("/office/recheck").text
    sent = office.post("/office/recheck", {"act": "begin"})
    assert (sent.status_code, sent.location) == (303, "/office/recheck")
    assert unbegun == [(firms["a"].id, firms["a"].slug)]
    assert "Under way" in office.get("/office/recheck").text
    monkeypatch.setattr("heaterapp.web.recheck.LATELY_S", 0)
    page = office.get("/office/recheck")
    assert "0 of 1 looked at" in page.text
    assert "Go on" in page.text
    assert "Refresh" not in page.headers
    again = office.post("/office/recheck", {"act": "begin"})
    assert "under way already" in office.get(again.location).text
    assert len(unbegun) == 1
    office.post("/office/recheck", {"act": "go_on"})
    assert len(unbegun) == 2
    acts = [one.act for one in store.log.entries(firms["a"].id)]
    assert acts.count("recheck") == 1


def test_one_that_moves_elsewhere_is_not_begun_here_too(visit, unbegun, store, people, issue):
    record = issue()
    run = rechecking.begin(store, record.organisation, people["a", "office"].id)
    store.rechecks.keep(run, record.id - 1, 1, {})
    office = visit("office")
    assert "Under way" in office.get("/office/recheck").text
    sent = office.post("/office/recheck", {"act": "go_on"})
    assert "under way already" in office.get(sent.location).text
    assert unbegun == []


def test_while_it_works_the_page_looks_again_by_itself(visit, unbegun, issue, monkeypatch):
    issue()
    monkeypatch.setattr(recheck_beside, "is_running", lambda *_: True)
    office = visit("owner")
    office.post("/office/recheck", {"act": "begin"})
    page = office.get("/office/recheck")
    assert page.headers["Refresh"] == "5"
    assert "Under way" in page.text
    assert "Begin a" not in page.text


def test_what_it_found_is_grouped_counted_and_leads_to_the_records(visit, run, store):
    office = visit("office")
    page = office.get("/office/recheck").text
    assert "Another verdict" in page
    assert "Cannot be read by today&#39;s rules" in page
    assert change_words(CHANGE) in page
    way = f"/office/recheck/{run.id}/change"
    found = office.get(way, query_string={"mark": CHANGE})
    assert "=95 psi is above 80 psi." in found.text
    assert "Model code, 608.2" in found.text
    assert "1 certificate<" in found.text
    assert '<a href="/office/records/' in found.text
    assert office.get(way, query_string={"mark": "changed:no:such:one"}).status_code == 404


def test_the_list_is_a_spreadsheet_in_which_nothing_is_live(visit, run, store):
    sent = visit("office").get(f"/office/recheck/{run.id}/list.csv")
    assert sent.headers["Content-Disposition"].startswith('attachment; filename="recheck-')
    rows = list(csv.reader(io.StringIO(sent.data.decode("utf-8-sig"))))
    assert [len(row) for row in rows] == [10, 10, 10]
    assert rows[1][4:10] == [
        "supply.pressure_within_limit", "meets", "to fix", "'=95 psi is above 80 psi.", "Model code", "608.2",
    ]  # fmt: skip
    assert rows[2][7] == "Today expected: a number"
    told = json.loads(store.log.newest(run.organisation, limit=1)[0].body)
    assert (told["what"], told["count"]) == ("recheck", 2)
    assert "took out the list of a recheck, 2 lines" in visit("office").get("/office/log?act=export").text


@pytest.mark.parametrize(
    "way",
    ["/office/recheck?run={}", "/office/recheck/{}/change?mark=" + CHANGE, "/office/recheck/{}/list.csv"],
)
def test_another_firm_s_run_and_no_run_are_not_found(visit, run, way):
    assert visit("office").get(way.format(run.id)).status_code == 200
    assert visit("office", firm="b").get(way.format(run.id)).status_code == 404
    assert visit("office").get(way.format(99)).status_code == 404
    assert visit("office").get(way.format(2**40)).status_code == 404
    assert visit("installer").get(way.format(run.id)).status_code == 403
    assert visit().get(way.format(run.id)).status_code == 302


def test_what_is_no_act_and_who_may_not(visit, unbegun):
    office = visit("office")
    assert office.post("/office/recheck", {"act": "end"}).status_code == 400
    assert office.post("/office/recheck", {"act": "begin"}, without=True).status_code == 400
    assert visit("installer").post("/office/recheck", {"act": "begin"}).status_code == 403
    office.post("/office/recheck", {"act": "go_on"})
    assert unbegun == []
    assert "no recheck to go on with" in office.get("/office/recheck?said=none").text


def test_a_run_of_other_rules_is_not_gone_on_with_and_a_new_one_may_begin(
    visit, unbegun, store, people, issue
):
    issue()
    person = people["a", "office"]
    store.rechecks.start(person.organisation, person.id, "other rules", "0.0.1")
    office = visit("office")
    page = office.get("/office/recheck").text
    assert "older than today" in page
    assert 'value="go_on"' not in page
    assert "other rules" in office.get(office.post("/office/recheck", {"act": "go_on"}).location).text
    office.post("/office/recheck", {"act": "begin"})
    assert store.rechecks.unfinished(person.organisation).ruleset_digest == rules.digest()


def test_the_process_beside_the_server_ends_with_it_and_the_next_one_goes_on(
    visit, store, firms, people, issue, app
):
    """Real ones: the first loses its server at once, the second is begun by the page."""
    issue()
    rechecking.begin(store, firms["a"].id, people["a", "office"].id)
    try:
        recheck_beside.start(store, firms["a"].id, firms["a"].slug, app.config["DATA_DIR"])
        assert recheck_beside.is_running(store, firms["a"].id)
        recheck_beside.start(store, firms["a"].id, firms["a"].slug, app.config["DATA_DIR"])
        (process,) = recheck_beside._running.values()
        process.stdin.close()
        assert process.wait(60) == 0
        assert not recheck_beside.is_running(store, firms["a"].id)
        assert store.rechecks.unfinished(firms["a"].id).looked == 0
        visit("office").post("/office/recheck", {"act": "go_on"})
        (process,) = recheck_beside._running.values()
        assert process.wait(60) == 0
    finally:
        recheck_beside.stop_all()
    run = store.rechecks.newest(firms["a"].id)[0]
    assert (run.looked, run.differing, run.failed, bool(run.finished_at)) == (1, 0, 0, True)
    assert "as it was judged" in visit("office").get("/office/recheck").text
