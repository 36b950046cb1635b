"""Rules out of a backup are not run because the backup says so: whoever writes backups writes their log."""

import pytest

from heaterapp import archive, recomputing
from heaterapp.__main__ import main
from heaterapp.archive import Invalid, NotFound, backups
from heaterapp.archive.kept_rules import digest_of
from heaterapp.drilling import drill
from heaterapp.recomputing import recompute
from tests.archive.test_recompute import REPORT, SAYS


@pytest.fixture
def record(firm):
    wish = {"ruleset_digest": digest_of(SAYS), "ruleset_zip": SAYS}
    return firm.issued(report=REPORT.encode(), **wish).record


@pytest.fixture
def backup(store, record, tmp_path):
    return store.backups.make(tmp_path / "backups").path


@pytest.fixture
def restored(backup, tmp_path):
    backups.restore(backup, tmp_path / "again")
    opened = archive.open_store(data_dir=tmp_path / "again", upgrade=False)
    yield opened
    opened.close()


def never_run(monkeypatch):
    monkeypatch.setattr(recomputing.Judges, "by", lambda *_: pytest.fail("it was run"))


def test_a_drill_runs_no_rules_out_of_the_backup_and_does_not_pass(backup, tmp_path, monkeypatch):
    never_run(monkeypatch)
    said = []
    assert not drill(backup, place=tmp_path, say=said.append)
    assert "0 reports byte for byte, 1 not judged: rules never released here" in "\n".join(said)


def test_a_drill_runs_rules_that_the_archive_in_use_logged_itself(backup, store, tmp_path):
    said = []
    assert drill(backup, place=tmp_path, say=said.append, live=store)
    assert "1 reports byte for byte, 0 otherwise." in "\n".join(said)


def test_an_archive_in_use_that_was_restored_itself_vouches_for_none(backup, restored, tmp_path, monkeypatch):
    never_run(monkeypatch)
    assert not drill(backup, place=tmp_path, say=str, live=restored)


def test_a_restored_place_judges_brought_rules_once_its_owner_trusts_them(
    restored, firm, record, tmp_path, monkeypatch, capsys
):
    with monkeypatch.context() as before:
        never_run(before)
        assert recompute(restored, firm.id, record).report == "never_released"
    monkeypatch.setenv("HEATERAPP_DATA", str(tmp_path / "again"))
    monkeypatch.delenv("HEATERAPP_DATABASE_URL", raising=False)
    assert main(["release", "--trust", digest_of(SAYS)]) == 0
    assert "judge again here; 1 logs say so." in capsys.readouterr().out
    assert main(["release", "--trust", digest_of(SAYS)]) == 0
    assert restored.log.newest(firm.id)[0].act == "trust_rules"
    assert recompute(restored, firm.id, record).report == "same"
    assert restored.verify().ok


def test_rules_under_another_digest_are_not_trusted(store, firm):
    firm.issued(ruleset_zip=SAYS)
    with pytest.raises(Invalid, match="whose own files give it"):
        store.origins.trust("ruleset-1")
    with pytest.raises(NotFound):
        store.origins.trust("ruleset-9")
