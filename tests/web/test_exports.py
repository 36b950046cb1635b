"""The office's exports: what matches comes out whole, in every form, and to those only who may have it."""

import csv
import hashlib
import io
import json
import shutil
import zipfile
from decimal import Decimal

import pytest
from jsonschema import Draft202012Validator, FormatChecker

from heaterapp import archive, demo, exported, firm_days, sheet_rows
from heaterapp.issue import submission
from heaterapp.rules import CATALOGUE
from tests.web.conftest import fixed_paper

PAGE, RECORDS = "/office/exports", "/office/exports/records"
NASTY = '=HYPERLINK("x")'


@pytest.fixture(scope="module")
def filled_folder(filled_folder, tmp_path_factory):
    """The folder of every test here: an old paper, the one that replaced it, one more, and another firm's."""
    folder = tmp_path_factory.mktemp("issued") / "data"
    shutil.copytree(filled_folder, folder)
    store = archive.open_store(data_dir=folder)
    signed = {"signatures": [{"name": "Riley", "method": "typed"}]}

    def issue(firm, job=None, **different):
        person = store.people.by_login(firm.id, "installer")
        story = demo.Story("PL-0001", "gas", "12 N. Oak Ave", "Dana", "LW26K0041877", "2026-09-03")
        job = job or store.jobs.create(firm.id, person.id, demo.answers_of(story))
        store.jobs.reopen(firm.id, job.id)
        store.jobs.save_answers(firm.id, job.id, different)
        job = store.jobs.save_signature(firm.id, job.id, signed)
        store.issue_and_finish(submission(person, job, f"{job.id}.{job.revision}"), fixed_paper)
        return job

    ours, theirs = store.organisations.default(), store.organisations.by_slug("saltmarsh")
    job = issue(ours, owner_name=NASTY, heater_serial="0012345")
    issue(ours, job, house_pressure_psi="61")
    issue(ours, owner_name="Lee Park")
    issue(theirs, owner_name="Foreign Person")
    store.close()
    return folder


@pytest.fixture
def three(store, firms):
    """The first firm's records, oldest first."""
    hits = store.find(firms["a"].id).hits[::-1]
    assert len(hits) == 3
    return [store.records.get(firms["a"].id, hit.record) for hit in hits]


def taken(visitor, form="csv", **boxes):
    answer = visitor.post(RECORDS, {"form": form, **boxes})
    assert answer.status_code == 200, answer.text
    assert answer.headers["Content-Disposition"].startswith("attachment; ")
    assert answer.headers["Cache-Control"] == "no-store"
    return answer.data


def test_csv_has_a_row_a_record_and_a_column_a_question(visit, three):
    heads, *rows = sheet_rows.read(taken(visit("office")))
    found = [dict(zip(heads, row, strict=True)) for row in rows]
    assert set(CATALOGUE) < set(heads)
    assert len(heads) == len(set(heads))
    assert [one["number"] for one in found] == [one.number for one in three[::-1]]
    old, new = found[2], found[1]
    assert (old["state"], old["replaced_by"]) == ("replaced", three[1].number)
    assert (new["state"], new["replaced_by"], new["revision"]) == ("current", None, 2)
    assert (new["owner_name"], new["heater_serial"]) == (NASTY, "0012345")
    assert new["house_pressure_psi"] == 61
    assert new["content_digest"] == three[1].content_digest
    assert new["work_date"].isoformat() == json.loads(three[1].job)["work_date"]
    stored = json.loads(three[1].job)
    assert {name for name in CATALOGUE if new[name] is not None} == set(stored) & set(CATALOGUE)


def test_what_is_left_over_stands_apart_in_the_csv_and_is_lost_nowhere(visit, store, people, firms, three):
    left = {"expansion_tank_gal": "4.5", "precharge_psi": "60", "prv_setting_psi": "62"}
    given = {**left, "expansion_device": "none", "prv_fitted": "no", "heater_kind": "gas_storage"}
    store.jobs.create(firms["a"].id, people["a", "installer"].id, given)
    heads, *rows = sheet_rows.read(taken(visit("office"), drafts="yes"))
    found = [dict(zip(heads, row, strict=True)) for row in rows]
    assert [found[-1][name] for name in left] == [None] * 3
    assert json.loads(found[-1]["other_answers"]) == left
    assert (found[-1]["expansion_device"], found[-1]["prv_fitted"]) == ("none", "no")
    # Where the part is there its answers stand in their columns.
    assert found[0]["precharge_psi"] == Decimal(json.loads(three[2].job)["precharge_psi"])
    told = json.loads(taken(visit("office"), "json", drafts="yes"))["records"][-1]["answers"]
    assert told == given


def test_no_cell_of_the_csv_is_live(visit, three):
    body = taken(visit("office")).decode("utf-8-sig")
    shown = csv.reader(io.StringIO(body, newline=""))
    assert [cell for row in shown for cell in row if cell[:1] in ("=", "@", "+", "\t", "\r")] == []
    assert "'" + NASTY.replace('"', '""') in body


def test_json_is_what_its_schema_says(visit, three):
    schema = json.loads(visit("office").get(PAGE + "/schema.json").data)
    check = Draft202012Validator(schema, format_checker=FormatChecker())
    document = json.loads(taken(visit("owner"), "json"))
    check.validate(document)
    assert [one["number"] for one in document["records"]] == [one.number for one in three[::-1]]
    assert document["records"][0]["answers"] == json.loads(three[2].job)
    assert document["records"][0]["report"] == json.loads(three[2].report)
    lines = [json.loads(line) for line in taken(visit("owner"), "json_lines").splitlines()]
    assert lines == document["records"]
    for wrong in ({"state": "lost"}, {"content_digest": "abc"}, {"issued_at": "yesterday"}, {"more": 1}):
        broken = {**document, "records": [{**lines[0], **wrong}]}
        assert not check.is_valid(broken), wrong


def test_jobs_without_a_paper_come_along_where_everything_is_asked(visit, store, people, firms, three):
    person, office = people["a", "installer"], visit("office")
    job = store.jobs.create(firms["a"].id, person.id, {"owner_name": NASTY, "heater_serial": "007"})
    store.jobs.create(firms["b"].id, people["b", "installer"].id, {"owner_name": "Foreign"})
    store.jobs.reopen(firms["a"].id, three[2].job_id)
    heads, *rows = sheet_rows.read(taken(office, drafts="yes"))
    assert len(rows) == len(three) + 1
    found = dict(zip(heads, rows[-1], strict=True))
    told = {name: value for name, value in found.items() if value is not None}
    asked = {"owner_name": NASTY, "heater_serial": "007"}
    assert told == {"state": "draft", "job_id": job.id, "desk_inspections": 0, **asked}
    document = json.loads(taken(office, "json", drafts="yes"))
    check = Draft202012Validator(exported.schema(), format_checker=FormatChecker())
    check.validate(document)
    assert document["records"][-1]["answers"] == {"owner_name": NASTY, "heater_serial": "007"}
    assert not check.is_valid({**document, "records": [{**document["records"][-1], "number": "C-1"}]})
    counted = office.post(RECORDS, {"act": "count", "drafts": "yes"}).text
    assert "and 1 job has no paper yet" in counted
    refused = office.post(RECORDS, {"drafts": "yes", "kind": "certificate"})
    assert refused.status_code == 422
    assert "leave kind, state and days empty, for only a paper has these" in refused.text
    assert len(json.loads(taken(office, "json"))["records"]) == len(three)
    entry = store.log.newest(firms["a"].id, act="export", limit=1)[0]
    assert "drafts" not in entry.body


def test_words_and_installer_find_jobs_without_a_paper_and_a_zip_says_it_has_none(
    visit, store, people, firms, three
):
    firm, hands, owner = firms["a"].id, people["a", "installer"].id, people["a", "owner"].id
    gull, tern = (
        store.jobs.create(firm, who, {"address_street": f"9 {name} St", "owner_name": "Ada Reed"}).id
        for name, who in (("Gull", hands), ("Tern", owner))
    )
    office = visit("office")

    def drafts(**boxes):
        found = json.loads(taken(office, "json", drafts="yes", **boxes))["records"]
        return {one["job_id"] for one in found if one["state"] == "draft"}

    assert drafts() == drafts(q="reed") == {gull, tern}
    assert drafts(q="gull") == drafts(q="ada gull st") == {gull}
    assert drafts(installer=str(owner), q="9") == {tern}
    assert "and 1 job has no paper yet." in office.post(
        RECORDS, {"act": "count", "drafts": "yes", "q": "gull"}
    ).text
    assert office.post(RECORDS, {"drafts": "yes", "q": "no such words"}).status_code == 422
    refused = office.post(RECORDS, {"drafts": "yes", "form": "papers", "q": "reed"})
    assert refused.status_code == 422
    assert "a ZIP of papers can hold nothing of them" in refused.text
    assert 'value="reed"' in refused.text
    counted = office.post(RECORDS, {"act": "count", "drafts": "yes", "form": "papers"}).text
    assert "and 2 jobs have no paper yet: a ZIP of papers holds nothing of them." in counted


def test_the_zip_holds_every_paper_and_its_hash(visit, store, three):
    with zipfile.ZipFile(io.BytesIO(taken(visit("office"), "papers"))) as opened:
        assert opened.testzip() is None
        sums = dict(line.split("  ")[::-1] for line in opened.read("SHA256SUMS").decode().splitlines())
        heads, *rows = sheet_rows.read(opened.read("hashes.csv"))
        listed = [dict(zip(heads, row, strict=True)) for row in rows]
        papers = {name: opened.read(name) for name in opened.namelist()[:-2]}
    assert set(papers) == {f"{one.number}-{one.revision}-certificate.pdf" for one in three}
    assert {name: hashlib.sha256(body).hexdigest() for name, body in papers.items()} == sums
    assert {one["file"]: one["sha256"] for one in listed} == sums
    name = f"{three[0].number}-1-certificate.pdf"
    assert papers[name] == store.records.file(three[0].organisation, three[0].id, "certificate.pdf")


def test_an_erased_record_leaves_number_and_dates(visit, store, people, three):
    store.erase(three[2].organisation, three[2].id, people["a", "owner"].id, "asked for")
    heads, row, *_ = sheet_rows.read(taken(visit("office")))
    told = {name: value for name, value in zip(heads, row, strict=True) if value is not None}
    assert set(told) == {"number", "issued_at", "erased_at"}
    document = json.loads(taken(visit("office"), "json"))
    Draft202012Validator(exported.schema()).validate(document)
    assert set(document["records"][0]) == {"number", "issued_at", "erased_at"}
    with zipfile.ZipFile(io.BytesIO(taken(visit("office"), "papers"))) as opened:
        heads, *rows = sheet_rows.read(opened.read("hashes.csv"))
        assert [row[heads.index("state")] for row in rows] == ["erased", "here", "here"]


def test_filters_are_those_of_the_search_and_days_are_the_firms(visit, store, firms, three):
    office = visit("office")
    numbers = lambda **boxes: [row[0] for row in sheet_rows.read(taken(office, **boxes))[1:]]  # noqa: E731
    assert numbers(q="lee park") == [three[2].number]
    assert numbers(state="replaced") == [three[0].number]
    zone = "Pacific/Kiritimati"
    store.organisations.save_settings(firms["a"].id, {"time_zone": zone})
    day = firm_days.day_of(three[2].issued_at, firm_days.zone_of({"time_zone": zone})).isoformat()
    assert len(numbers(**{"from": day, "to": day})) == 3
    assert "Days are counted in Pacific/Kiritimati" in office.get(PAGE).text
    assert ">3</b> records match" in office.post(RECORDS, {"act": "count"}).text


WRONG = [
    ({"from": "1899-12-31"}, "Issued from: a date from 2000 to 2199 was expected, not 1899-12-31"),
    ({"from": "14.3.2026"}, "Issued from: a date such as 2026-03-14 was expected, not 14.3.2026"),
    ({"from": "2026-03-02", "to": "2026-03-01"}, "Issued to: a date not before"),
    ({"kind": "letter"}, "Kind: one of Certificate, Correction list, Findings report"),
    ({"state": "lost"}, "State: one of Current, Replaced, Void"),
    ({"installer": "x"}, "Installer: somebody of the list"),
    ({"form": "tape"}, "Form: one of"),
    ({"q": "nowhere at all"}, "Nothing matches"),
]


def test_what_cannot_be_read_is_named_and_kept_and_nothing_is_logged(visit, store, firms, three):
    office, before = visit("office"), store.log.head(firms["a"].id)
    for boxes, says in WRONG:
        answer = office.post(RECORDS, {"q": "oak <b>", **boxes})
        assert answer.status_code == 422, boxes
        assert says in answer.text
        if "q" not in boxes:
            assert 'value="oak &lt;b&gt;"' in answer.text
    assert store.log.head(firms["a"].id) == before


def test_each_export_is_logged_by_who_took_it(visit, store, firms, people, three):
    taken(visit("office"), "papers", q="Lee Park")
    entry = store.log.entries(firms["a"].id, limit=1000)[-1]
    assert (entry.act, entry.actor) == ("export", people["a", "office"].id)
    assert json.loads(entry.body) == {"what": "papers", "filter": {"words": True}, "count": 1}


def test_only_office_and_owner_and_nothing_of_another_firm(visit, three):
    for path in (PAGE, PAGE + "/schema.json"):
        assert visit("installer").get(path).status_code == 403
        assert visit(None).get(path).status_code == 302
    assert visit("installer").post(RECORDS).status_code == 403
    assert visit("office").post(RECORDS, without=True).status_code == 400
    theirs = taken(visit("owner", firm="b"))
    assert b"Foreign Person" in theirs
    assert b"Lee Park" not in theirs
    assert three[2].job_id.encode() not in theirs


def test_the_page_says_what_it_gives(visit):
    page = visit("office").get(PAGE + "?q=oak&kind=certificate").text
    assert 'value="oak"' in page
    assert '<option value="certificate" selected>' in page
    assert page.count('type="radio"') == 5


def test_what_the_desk_holds_goes_along(visit, store, people, three):
    june = people["a", "office"]
    hit = store.find(june.organisation, finished=True).hits[0]
    store.desk.save(
        june.organisation, june.id, hit.job_id,
        facts={"permit_issued_on": "2026-10-01", "contact_name": "Dana", "contact_phone": "555-0142"},
    )  # fmt: skip
    made = store.inspections.book(june.organisation, june.id, hit.job_id, "2026-11-24", {})
    store.inspections.tell(june.organisation, june.id, made.id, made.revision, "failed", "2026-11-24", {})
    told = json.loads(taken(visit("office"), "json"))["records"]
    desk = next(one["desk"] for one in told if one["number"] == hit.number)
    assert (desk["last_inspection_result"], desk["last_inspection_on"]) == ("failed", "2026-11-24")
    assert (desk["contact_phone"], desk["final_passed_on"]) == ("555-0142", None)
    heads, *rows = sheet_rows.read(taken(visit("office")))
    row = next(one for one in (dict(zip(heads, row, strict=True)) for row in rows) if one["number"] == hit.number)
    assert str(row["desk_permit_issued_on"]) == "2026-10-01"
    assert row["desk_contact_name"] == "Dana"
