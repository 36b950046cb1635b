"""A record made again from its answers and its archived ruleset: the same, or what differs; never unreleased."""

import io
import json
import zipfile
from datetime import date
from types import SimpleNamespace

import pytest
from sqlalchemy import delete, update

from heaterapp import demo, recomputing, releases, rules
from heaterapp.archive import NotFound, dialect, tables
from heaterapp.commands import recompute as command
from heaterapp.compared import changes
from heaterapp.issue import submission
from heaterapp.recomputing import recompute


def tiny(answer: str) -> bytes:
    """A ruleset whose report on anything is this text."""
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w") as packed:
        packed.writestr("heaterapp/__init__.py", "")
        packed.writestr("heaterapp/rules/__init__.py", "")
        door = f"import sys\ndef main(_):\n    for _ in sys.stdin.buffer: sys.stdout.buffer.write({answer.encode()!r} + b'\\n')\n"
        packed.writestr("heaterapp/rules/__main__.py", door)
    return held.getvalue()


REPORT = '{"findings":[{"check":"pan.depth","verdict":"meets"}],"outcome":"ready"}'
SAYS = tiny(REPORT)


def altered(store, table, values, where=True):
    """Change rows past the guards, as damage or a forger would."""
    with store.database.write() as connection:
        for drop in dialect.drop_guards("sqlite", (table.name,)):
            connection.exec_driver_sql(drop)
        connection.execute(
            update(table).values(values).where(where) if values else delete(table).where(where)
        )
        for guard in dialect.guards("sqlite", (table.name,)).values():
            connection.exec_driver_sql(guard)


@pytest.fixture
def record(firm):
    return firm.issued(report=REPORT.encode(), ruleset_zip=SAYS).record


def test_a_whole_certificate_comes_out_the_same(store, firm, papers):
    story = next(one for one in demo.STORIES if one.ref == "PL-0401")
    job = store.jobs.create(firm.id, firm.installer.id, demo.answers_of(story))
    job = store.jobs.save_signature(firm.id, job.id, {"signatures": [{"name": "Ana", "method": "typed"}]})
    issued = store.issue_and_finish(submission(firm.installer, job, "made-again"), papers)
    found = recompute(store, firm.id, issued.record, render=papers)
    assert (found.report, found.why, found.ok) == ("same", (), True)
    assert found.papers == (("certificate-archival.pdf", "same"), ("certificate.pdf", "same"))
    assert found.number == issued.number


def test_a_report_that_differs_is_told_by_its_checks(store, firm):
    other = REPORT.replace("meets", "fails").replace("ready", "fix")
    record = firm.issued(report=other.encode(), ruleset_zip=SAYS).record
    found = recompute(store, firm.id, record)
    assert (found.report, found.ok) == ("differs", False)
    assert "pan.depth: stored fails, made again meets" in found.why
    assert "outcome: stored fix, made again ready" in found.why


def test_wording_alone_differs_too(store, firm):
    record = firm.issued(report=REPORT.encode() + b" ", ruleset_zip=SAYS).record
    found = recompute(store, firm.id, record)
    assert (found.report, found.ok) == ("differs", False)
    assert "wording" in found.why[0]


def test_a_ruleset_that_was_never_released_is_refused_and_never_run(store, firm, record, monkeypatch):
    altered(store, tables.ruleset, {"body": tiny(REPORT + " ")})
    monkeypatch.setattr(recomputing.Judges, "by", lambda *_: pytest.fail("it was run"))
    found = recompute(store, firm.id, record)
    assert (found.report, found.ok) == ("never_released", False)
    assert "never released" in "".join(command.lines(found.number, found))


def test_the_log_alone_vouches_only_under_the_digest_of_the_record(store, firm, record):
    firm.issued(ruleset_digest="ruleset-2", ruleset_zip=tiny("{}"), job_id=firm.new_job().id)
    altered(store, tables.ruleset, {"body": tiny("{}")}, tables.ruleset.c.digest == "ruleset-1")
    assert recompute(store, firm.id, record).report == "never_released"


def test_the_running_rules_are_released_and_the_listed_ones(tmp_path):
    book = tmp_path / "releases.toml"
    book.write_text("")
    own = rules.ruleset_zip()
    assert releases.digest_of(own) == rules.digest()
    assert releases.was_released(own, in_log=False, path=book)
    assert not releases.was_released(SAYS, in_log=False, path=book)
    assert releases.was_released(SAYS, in_log=True, path=book)
    book.write_text(
        f'[[release]]\nname = "0.0.9"\ndigest = "{releases.digest_of(SAYS)}"\ndate = "2026-01-02"\n'
    )
    assert releases.was_released(SAYS, in_log=False, path=book)


@pytest.mark.parametrize(
    "name", ["heaterapp/__init__.py", "heaterapp/extra.py", "sitecustomize.py", "json.py"]
)
def test_what_lies_beside_the_rules_is_no_part_of_a_release(name):
    held = io.BytesIO(rules.ruleset_zip())
    with zipfile.ZipFile(held) as packed:
        bodies = {one: packed.read(one) for one in packed.namelist()}
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w") as packed:
        for one, body in {**bodies, name: b"import os\n"}.items():
            packed.writestr(one, body)
    assert releases.digest_of(held.getvalue()) == ""


def test_a_release_is_listed_once_and_never_under_two_digests(tmp_path, monkeypatch):
    book = tmp_path / "releases.toml"
    book.write_text("# the list\n")
    made = releases.add(date(2026, 11, 30), book)
    assert releases.listed(book) == {rules.RULESET: made}
    assert made.date == "2026-11-30"
    assert releases.add(date(2026, 12, 1), book) is None
    monkeypatch.setattr(rules, "digest", lambda: "another")
    with pytest.raises(releases.ReleaseRefused, match="2026-11-30 with other rules"):
        releases.add(date(2026, 12, 1), book)
    with pytest.raises(releases.ReleaseRefused, match="no version"):
        releases.add(date(2026, 12, 1), book, 'a"\n')


def test_the_shipped_list_can_be_read():
    assert all(len(one.digest) == 64 and one.date for one in releases.listed().values())


@pytest.mark.parametrize(
    ("release", "other", "says"),
    [("7", "7", "differs"), ("7", "8", "other_release"), (None, "8", "other_release")],
)
def test_a_paper_that_comes_out_otherwise_is_told_by_its_renderer(store, firm, release, other, says):
    def render(of, body):
        def made(record):
            return {"certificate.pdf": b"%PDF", "certificate-archival.pdf": body}

        if of:
            made.release = lambda: of
        return made

    wish = firm.wish(report=REPORT.encode(), ruleset_zip=SAYS)
    issued = store.issue_and_finish(wish, render(release, b"a"))
    found = recompute(store, firm.id, issued.record, render=render(other, b"b"))
    assert dict(found.papers) == {"certificate.pdf": "same", "certificate-archival.pdf": says}
    assert found.ok == (says == "other_release")
    assert store.verify().ok


def test_a_paper_that_is_missing_or_too_many_is_named(store, firm):
    def render(name):
        def made(record):
            return {name: b"%PDF"}

        made.release = lambda: "7"
        return made

    issued = store.issue_and_finish(firm.wish(report=REPORT.encode(), ruleset_zip=SAYS), render("old.pdf"))
    found = recompute(store, firm.id, issued.record, render=render("new.pdf"))
    assert (dict(found.papers), found.ok) == ({"new.pdf": "missing", "old.pdf": "made_new"}, False)


def test_papers_that_cannot_be_made_are_told_and_the_next_record_is_looked_at(store, firm, record):
    def broken(_):
        raise RuntimeError("no such face")

    found = recompute(store, firm.id, record, render=broken)
    assert (found.report, found.papers, found.ok) == ("same", (("papers", "unmade"),), False)
    assert "no such face" in found.why[0]


def test_a_harmed_paper_is_named(store, firm, record, papers):
    altered(store, tables.payload, {"body": b"%PDF other"}, tables.payload.c.name == "certificate.pdf")
    found = recompute(store, firm.id, record, render=papers)
    assert dict(found.papers)["certificate.pdf"] == "harmed"
    assert not found.ok


def test_a_ruleset_that_breaks_says_so(store, firm):
    record = firm.issued(ruleset_zip=b"the rules as a zip").record
    found = recompute(store, firm.id, record)
    assert (found.report, found.ok) == ("cannot", False)
    assert "no zip" in found.why[0]


def test_nothing_is_left_of_an_erased_one_and_a_foreign_one_is_not_found(store, firm, other, record):
    with pytest.raises(NotFound):
        recompute(store, other.id, record)
    store.erase(firm.id, record, firm.office.id, "asked for")
    found = recompute(store, firm.id, record)
    assert (found.report, found.ok) == ("erased", True)


def said_of(store, monkeypatch, capsys, **chosen):
    monkeypatch.setattr(command, "open_archive", lambda: store)
    monkeypatch.setattr(store, "close", lambda: None, raising=False)
    usual = {"numbers": [], "all": False, "sample": None, "papers": False, "firm": "harborlight"}
    ended = command.run(SimpleNamespace(**{**usual, **chosen}))
    told = capsys.readouterr()
    return ended, told.out + told.err


def test_the_command_looks_at_some_or_all_and_ends_with_1_where_one_differs(
    store, firm, record, monkeypatch, capsys
):
    number = store.records.get(firm.id, record).number
    for _ in range(3):
        firm.issued(report=REPORT.encode(), ruleset_zip=SAYS, job_id=firm.new_job().id)
    assert said_of(store, monkeypatch, capsys, all=True) == (
        0, "4 records made again: 4 as they are stored, 0 otherwise.\n",
    )  # fmt: skip
    assert "2 records made again" in said_of(store, monkeypatch, capsys, all=True, sample=2)[1]
    assert "4 records made again" in said_of(store, monkeypatch, capsys, all=True, sample=9)[1]
    firm.issued(report=b"{}", ruleset_zip=SAYS, job_id=firm.new_job().id)
    ended, told = said_of(store, monkeypatch, capsys, all=True)
    assert ended == 1
    assert "report differs" in told
    ended, told = said_of(store, monkeypatch, capsys, numbers=[number])
    assert (ended, f"{number}: report the same, byte for byte" in told) == (0, True)
    with pytest.raises(command.Stopped, match="no record has this number"):
        said_of(store, monkeypatch, capsys, numbers=["C-999999"])
    for wrong in (
        {},
        {"numbers": [number], "all": True},
        {"numbers": [number], "sample": 2},
        {"all": True, "sample": 0},
    ):
        with pytest.raises(command.Stopped):
            said_of(store, monkeypatch, capsys, **wrong)


def finding(check, verdict, **more):
    return {
        "check": check,
        "kind": "rule",
        "verdict": verdict,
        "why": "said",
        "section": "501.1",
        "book": "B",
        **more,
    }


def test_changes_are_verdicts_checks_and_outcome_never_wording():
    before = {"outcome": "ready", "findings": [
        finding("a.same", "meets"), finding("a.turned", "meets"), finding("a.gone", "fails"),
        finding("a.accepted", "fails", accepted={"by": "x"}), finding("a.quiet", "not_applicable"),
    ]}  # fmt: skip
    now = {"outcome": "fix", "findings": [
        finding("a.same", "meets", why="in other words"), finding("a.turned", "fails"), finding("a.new", "silent"),
        finding("a.accepted", "fails"), finding("a.silent", "not_applicable"), finding("a.same", "fails", kind="advice"),
    ]}  # fmt: skip
    found = changes(before, now)
    assert set(found) == {
        "outcome:ready:fix", "changed:a.turned:meets:fails", "changed:a.accepted:accepted:fails", "gone:a.gone:fails",
        "new:a.new:silent", "new:a.same (advice):fails",
    }  # fmt: skip
    assert found["changed:a.turned:meets:fails"] == {
        "check": "a.turned", "before": "meets", "now": "fails", "title": "", "why": "said", "book": "B", "section": "501.1",
    }  # fmt: skip
    assert found["gone:a.gone:fails"]["before"] == "fails"
    assert changes(json.loads(json.dumps(before)), before) == {}
