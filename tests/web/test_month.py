"""The office's month: the firm's own days, one page and its CSV, paged by month."""

from datetime import date, datetime

import pytest

from heaterapp import firm_days, sheet_rows

PAGE = "/office/month"


@pytest.fixture
def turn(store, firms, issue, monkeypatch):
    """Issue one paper in the last hour of October in Los Angeles, which is November in UTC."""
    store.organisations.save_settings(firms["a"].id, {"time_zone": "America/Los_Angeles"})
    monkeypatch.setattr(store.database, "clock", lambda: datetime.fromisoformat("2026-11-01T06:30:00Z"))
    made = issue()
    monkeypatch.setattr(store.database, "clock", lambda: datetime.fromisoformat("2026-11-26T12:00:00Z"))
    return made


def figure(page: str) -> int:
    before, _, _ = page.partition("</b><span>issued</span>")
    return int(before.rpartition('<b class="number">')[2])


def test_a_month_begins_and_ends_where_the_firm_is(visit, store, firms, turn):
    owner = visit("owner")
    assert figure(owner.get(f"{PAGE}?month=2026-10").text) == 1
    assert figure(owner.get(f"{PAGE}?month=2026-11").text) == 0
    store.organisations.save_settings(firms["a"].id, {"time_zone": None})
    assert figure(owner.get(f"{PAGE}?month=2026-10").text) == 0
    assert figure(owner.get(f"{PAGE}?month=2026-11").text) == 1


def test_the_page_opens_at_the_present_month_and_is_paged(visit, turn):
    page = visit("office").get(PAGE).text
    assert "<h1>November 2026</h1>" in page
    assert f'{PAGE}?month=2026-10" rel="prev"' in page
    assert f'{PAGE}?month=2026-12" rel="next"' in page
    assert "Days are counted in America/Los_Angeles" in page
    january = visit("office").get(f"{PAGE}?month=2026-01").text
    assert f'{PAGE}?month=2025-12" rel="prev"' in january
    assert f'{PAGE}?month=2026-02" rel="next"' in january


def test_the_csv_says_what_the_page_says(visit, turn, people):
    answer = visit("office").get(f"{PAGE}/csv?month=2026-10")
    assert answer.headers["Content-Disposition"] == 'attachment; filename="month-2026-10.csv"'
    heads, *rows = sheet_rows.read(answer.data)
    assert heads == ["month", "figure", "of", "count"]
    installer = people["a", "installer"].name
    assert ["2026-10", "issued, certificate", installer, 1] in rows
    assert ["2026-10", "issued, correction list", installer, 0] in rows
    assert {row[0] for row in rows} == {"2026-10"}
    assert "took out the figures of a month" in visit("office").get("/office/log?act=export").text


def test_the_last_month_that_can_be_shown_has_none_after_it(visit):
    for month, gone in (("2199-12", "next"), ("2000-01", "prev")):
        page = visit("office").get(f"{PAGE}?month={month}")
        assert page.status_code == 200
        assert f'rel="{gone}"' not in page.text


@pytest.mark.parametrize("typed", ["10/2026", "October 2026", "oct. 2026", " 2026-10 ", "2026-10"])
def test_a_month_that_is_clear_is_taken(visit, turn, typed):
    answer = visit("office").get(PAGE, query_string={"month": typed})
    assert answer.status_code == 200
    assert "<h1>October 2026</h1>" in answer.text
    assert figure(answer.text) == 1


def test_what_was_erased_is_nobody_s_and_said_so(visit, store, firms, people, turn):
    store.erase(firms["a"].id, turn.id, people["a", "office"].id, "asked for")
    page = visit("office").get(f"{PAGE}?month=2026-10").text
    assert "<b>Erased</b><span>1 certificate</span>" in page
    assert "Nobody named" not in page
    assert "to sign" not in page.partition("<b>Erased</b>")[2].partition("</li>")[0]
    rows = sheet_rows.read(visit("office").get(f"{PAGE}/csv?month=2026-10").data)
    assert ["2026-10", "issued, certificate", "Erased", 1] in rows


def test_a_correction_is_a_revision_and_a_permit_of_next_month_is_told(
    visit, store, firms, people, turn, issue
):
    store.jobs.reopen(firms["a"].id, turn.job_id)
    issue(job_id=turn.job_id)
    facts = {"permit_issued_on": "2026-06-24"}
    store.desk.save(firms["a"].id, people["a", "office"].id, turn.job_id, facts=facts)
    page = visit("office").get(PAGE).text
    assert "<span>issued, and 1 revision of earlier papers</span>" in page
    assert "<dt>Certificates, revisions</dt><dd>1</dd>" in page
    assert '<b class="number">0</b><span>permits lapse, no final inspection yet; 1 in the coming 30' in page
    assert '<time datetime="2026-12-21">' in page
    rows = sheet_rows.read(visit("office").get(f"{PAGE}/csv?month=2026-11").data)
    installer = people["a", "installer"].name
    assert ["2026-11", "issued, certificate", installer, 0] in rows
    assert ["2026-11", "revision issued, certificate", installer, 1] in rows
    assert ["2026-11", "waiting for inspection today", installer, 1] in rows
    assert any(row[1] == "permit lapses within 30 days from today" for row in rows)


@pytest.mark.parametrize(
    "typed",
    ["2026-13", "13/2026", "Octember 2026", "1999-12", "2026-11-01", "\u0662\u0660\u0662\u0666-11", "<b>"],
)
def test_a_month_that_is_none_is_named_and_kept(visit, typed):
    answer = visit("office").get(PAGE, query_string={"month": typed})
    assert answer.status_code == 422
    assert "Month: a month such as" in answer.text
    assert f'value="{typed.replace("<", "&lt;").replace(">", "&gt;")}"' in answer.text
    assert visit("office").get(f"{PAGE}/csv", query_string={"month": typed}).status_code == 303


def test_only_office_and_owner_and_only_their_own_firm(visit, turn):
    for path in (PAGE, f"{PAGE}/csv?month=2026-10"):
        assert visit("installer").get(path).status_code == 403
        assert visit(None).get(path).status_code == 302
    assert figure(visit("office", firm="b").get(f"{PAGE}?month=2026-11").text) == 0


def test_a_zone_that_nobody_knows_counts_as_utc():
    for name in ("Mars/Base", "../etc/passwd", "", None, 7, "A\0B"):
        assert firm_days.zone_of({"time_zone": name}).key == "UTC"


def test_days_that_the_clock_was_changed_are_whole():
    zone = firm_days.zone_of({"time_zone": "America/Los_Angeles"})
    autumn = date(2026, 11, 1)
    assert firm_days.begin_of(autumn, zone) == "2026-11-01T07:00:00Z"
    assert firm_days.end_of(autumn, zone) == "2026-11-02T08:00:00Z"


def test_labels_used_are_listed_with_the_day_to_report_them_by(visit, store, firms, turn, people, issue):
    june, theirs = people["a", "office"], issue(firm="b")
    job = turn.job_id
    label = {"label_no": "0044", "label_used_on": "2026-10-30", "label_licence": "P-9"}
    store.desk.save(firms["a"].id, june.id, job, facts=label)
    other = {"label_no": "0099", "label_used_on": "2026-10-30"}
    store.desk.save(firms["b"].id, people["b", "office"].id, theirs.job_id, facts=other)
    october, november = (visit("office").get(f"{PAGE}?month=2026-{month}").text for month in (10, 11))
    told = "<b>0044</b>, license P-9"
    assert october.count(told) == 1
    assert november.count(told) == 1, "still to report on 26 November"
    assert "Used in other months" in november
    assert "Used in other months" not in october
    assert '<time datetime="2026-11-29">29 Nov 2026</time>' in october
    assert "0099" not in october
    rows = sheet_rows.read(visit("office").get(f"{PAGE}/csv?month=2026-10").data)
    words = "0044; license P-9; 12 N. Oak Ave, Port Larkin, CA 90000"
    found = {row[1]: (row[2], row[3]) for row in rows if "label" in row[1]}
    assert found["label used"][1] == date(2026, 10, 30)
    assert found["label used: report by"][1] == date(2026, 11, 29)
    assert found["label used"][0].startswith(words[:28])
    clerk, there = visit("office"), f"{PAGE}/labels/{job}/reported"
    assert clerk.post(f"{PAGE}/labels/{theirs.job_id}/reported").status_code == 404
    for _ in range(2):
        answer = clerk.post(there, {"month": "2026-11"})
        assert (answer.status_code, answer.location) == (303, f"{PAGE}?month=2026-11#labels-part")
    assert store.desk.get(firms["a"].id, job).facts["label_reported_on"] == "2026-11-26"
    assert len([e for e in store.log.newest(firms["a"].id) if "label_reported_on" in e.body]) == 1
    october, november = (clerk.get(f"{PAGE}?month=2026-{month}").text for month in (10, 11))
    assert "Reported on <time datetime=\"2026-11-26\">26 Nov 2026</time>" in october
    assert told not in november, "nothing is left to report"
    assert "label used: reported on" in {row[1] for row in sheet_rows.read(clerk.get(f"{PAGE}/csv?month=2026-10").data)}
    store.desk.save(firms["a"].id, june.id, job, facts={"label_used_on": "2026-09-30"})
    store.desk.save(firms["a"].id, june.id, job, facts={"label_used_on": ""})
    assert clerk.post(there).status_code == 409
    store.desk.save(firms["a"].id, june.id, job, facts={"label_used_on": "2026-09-30"})
    later = visit("office").get(f"{PAGE}?month=2026-10").text
    assert told not in later
    assert "Labels used" not in later
