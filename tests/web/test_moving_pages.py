"""Everything taken along and taken in, by page and by command; jobs from several files at once."""

import io
import json
import zipfile

import pytest
from argon2 import PasswordHasher

from heaterapp import archive, create_app
from heaterapp.__main__ import main
from heaterapp.archive import people as people_module
from heaterapp.archive.moving import form
from tests.web.conftest import PASSWORD, Visitor
from tests.web.sent import signed
from tests.web.test_phone_office import job_file

PAGE = "/office/exports"


@pytest.fixture
def taken(visit, issue):
    """The first firm's whole export."""
    issue()
    answer = visit("owner").post(PAGE + "/whole")
    assert answer.status_code == 200
    assert answer.headers["Content-Disposition"].endswith('-everything.zip"')
    return answer.data


@pytest.fixture
def empty(tmp_path, monkeypatch):
    """A visitor who is the owner of a new, empty place."""
    monkeypatch.setattr(people_module, "hasher", PasswordHasher(time_cost=1, memory_cost=8, parallelism=1))
    store = archive.open_store(data_dir=tmp_path / "new")
    store.people.add(store.organisations.default().id, "boss", "Bo Ss", "owner", PASSWORD)
    app = create_app(DATA_DIR=str(tmp_path / "new"), TESTING=True, SECRET_KEY="test" * 8, STORE=store)
    yield Visitor(app, store.people.by_login(1, "boss"))
    store.close()


def give(visitor, body, path=PAGE + "/import", name="file"):
    data = {name: (io.BytesIO(body), "everything.zip"), "csrf_token": visitor.secret()}
    told = visitor.client.post(path, data=data, content_type="multipart/form-data")
    # The test client leaves the file open in which it held a long form.
    told.request.environ["wsgi.input"].close()
    return told


def test_everything_goes_into_an_empty_place_and_its_owner_signs_in_again(taken, empty, store, firms):
    told = give(empty, taken)
    assert told.status_code == 200
    assert "Taken in and verified" in told.text
    assert "Harborlight Plumbing: 1 record," in told.text
    assert empty.get(PAGE).status_code == 302
    new = empty.app.extensions["archive"]
    # The old place has logged since that everything was taken along.
    assert new.log.head(1) == store.log.entries(firms["a"].id)[-2].digest
    boss = new.people.sign_in(1, "boss", PASSWORD, "::1")
    assert boss.role == "owner"
    again = give(Visitor(empty.app, boss), taken)
    assert "All of it is here already; nothing was changed." in again.text


def test_a_wrong_file_is_told_in_one_sentence_and_nothing_is_changed(taken, empty):
    for body, says in ((b"", "no ZIP"), (taken[:1000], "no ZIP"), (b"x" * 100, "no ZIP")):
        told = give(empty, body)
        assert told.status_code == 422
        assert says in told.text
    nothing = empty.post(PAGE + "/import")
    assert nothing.status_code == 422
    assert "Choose the ZIP" in nothing.text
    assert empty.get(PAGE).status_code == 200


def test_a_place_that_has_been_begun_or_another_firms_refuses_it(taken, visit, store, firms):
    begun = give(visit("owner", firm="b"), taken)
    assert begun.status_code == 422
    assert "is not that of your firm here" in begun.text
    store.jobs.create(firms["a"].id)
    with zipfile.ZipFile(io.BytesIO(taken)) as packed:
        assert json.loads(packed.read(form.MANIFEST))["organisation"]["id"] == firms["a"].id
    assert "All of it is here already" in give(visit("owner"), taken).text


def test_only_the_owner_takes_everything_along_or_in(visit):
    for role in ("installer", "office"):
        visitor = visit(role)
        assert visitor.post(PAGE + "/whole").status_code == 403
        assert visitor.get(PAGE + "/import").status_code == 403
        assert visitor.post(PAGE + "/import").status_code == 403
    assert "Take everything along" not in visit("office").get(PAGE).text
    assert "Take everything along" in visit("owner").get(PAGE).text


def test_several_saved_jobs_are_each_taken_by_themselves(visit, store, answers, people):
    office = visit("office")
    parcel = installer_signed(answers, people)
    bodies = [
        ("one.json", job_file(parcel, answers)),
        ("two.json", job_file(None, answers, who={"id": people["a", "installer"].id})),
        ("broken.json", job_file(parcel, answers)[:500]),
    ]
    files = [(io.BytesIO(body), name) for name, body in bodies]
    told = office.client.post(
        PAGE + "/jobs",
        data={"files": files, "csrf_token": office.secret()},
        content_type="multipart/form-data",
    )
    assert told.status_code == 200
    assert "is issued as" in told.text
    assert "is a draft of" in told.text
    assert "<b>broken.json</b> not taken" in told.text
    assert "it is cut off" in told.text
    assert len(store.jobs.all(people["a", "office"].organisation)) == 2
    none = office.post(PAGE + "/jobs")
    assert none.status_code == 422
    assert "choose 1 to 50 files" in none.text
    assert visit("installer").post(PAGE + "/jobs").status_code == 403


def installer_signed(answers, people):
    parcel = signed(answers)
    return {**parcel, "person": people["a", "installer"].id}


def test_the_commands_take_out_and_in(taken, visit, app, tmp_path, monkeypatch, capsys):
    monkeypatch.delenv("HEATERAPP_DATABASE_URL", raising=False)
    monkeypatch.setenv("HEATERAPP_DATA", str(tmp_path / "data"))
    file = tmp_path / "all.zip"
    assert main(["export", str(file), "--form", "whole"]) == 0
    assert "Everything of Harborlight Plumbing" in capsys.readouterr().out
    assert main(["export", str(file)]) == 2
    assert "is there already" in capsys.readouterr().err
    for name in ("csv", "json", "json_lines", "papers", "schema"):
        assert main(["export", str(tmp_path / name), "--form", name]) == 0
    assert "1 records stand in" in capsys.readouterr().out
    for option, value in (("--from", "tomorrow"), ("--installer", "nobody")):
        assert main(["export", str(tmp_path / "no"), option, value]) == 2
        assert option in capsys.readouterr().err
    assert not (tmp_path / "no").exists()
    monkeypatch.setenv("HEATERAPP_DATA", str(tmp_path / "third"))
    archive.open_store(data_dir=tmp_path / "third").close()
    assert main(["import", str(file)]) == 0
    assert "1 records are here and verified" in capsys.readouterr().out
    assert main(["import", str(file)]) == 0
    assert "All of it is here already" in capsys.readouterr().out
    (tmp_path / "half.zip").write_bytes(file.read_bytes()[:-50])
    assert main(["import", str(tmp_path / "half.zip")]) == 2
    said = capsys.readouterr().err
    assert said.startswith("Nothing was changed. ")
    assert said.count("\n") == 1
    assert main(["import", str(tmp_path / "nowhere.zip")]) == 2
