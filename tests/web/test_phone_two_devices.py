"""Two devices on one job: nobody's answer is lost, and what a version cannot read stays stored."""

from __future__ import annotations

import json
from typing import Any

from heaterapp.rules import CATALOGUE, Job
from tests.web.sent import Phone, signed


def test_two_devices_on_one_job_lose_nobody_s_answer(
    phone: Phone, answers: dict[str, Any], store: Any
) -> None:
    """Both values are told by question; the phone sends again with a newer base and the person's choice."""
    person = phone.visitor.person
    job = store.jobs.create(person.organisation, person.id, answers)
    taken = phone.visitor.get(f"/phone/api/jobs/{job.id}").json
    assert taken["answers"] == Job(answers).canonical()
    base = {"revision": taken["revision"], "answers": taken["answers"]}
    store.jobs.save_answers(
        person.organisation, job.id, {"house_pressure_psi": "71", "owner_name": "Office Note"}
    )
    mine = {**answers, "house_pressure_psi": "58"}
    parcel = signed(mine, job=job.id, base=base)
    refused = phone.send(parcel)
    assert (refused.status_code, refused.json["code"]) == (409, "clashes")
    told = refused.json
    label = CATALOGUE["house_pressure_psi"].label
    assert told["clashes"]["house_pressure_psi"] == {"label": label, "here": "58 psi", "there": "71 psi"}
    # What only the other device changed was never signed here, so it is told as well.
    assert told["clashes"]["owner_name"]["there"] == "Office Note"
    assert store.jobs.get(person.organisation, job.id).answers["house_pressure_psi"] == "71"
    chosen = {**mine, "owner_name": told["there_answers"]["owner_name"]}
    newer = {"revision": told["revision"], "answers": told["there_answers"]}
    again = phone.send(signed(chosen, parcel["draft"], job=job.id, base=newer))
    assert again.status_code == 200, again.json
    record = store.records.get(person.organisation, again.json["record"])
    assert json.loads(record.job)["house_pressure_psi"] == "58"
    assert json.loads(record.job)["owner_name"] == "Office Note"
    assert dict(store.jobs.get(person.organisation, job.id).answers) == Job(chosen).canonical()


def test_what_both_devices_changed_alike_is_no_clash(
    phone: Phone, answers: dict[str, Any], store: Any
) -> None:
    person = phone.visitor.person
    job = store.jobs.create(person.organisation, person.id, answers)
    base = {"revision": 1, "answers": answers}
    store.jobs.save_answers(person.organisation, job.id, {"house_pressure_psi": "61"})
    mine = {**answers, "house_pressure_psi": "61", "owner_name": "Dana Whitlock II"}
    assert phone.send(signed(mine, job=job.id, base=base)).status_code == 200


def test_an_answer_taken_away_on_the_phone_is_gone_at_the_server(
    phone: Phone, answers: dict[str, Any], store: Any
) -> None:
    person = phone.visitor.person
    job = store.jobs.create(person.organisation, person.id, {**answers, "owner_name": "Wrong Name"})
    base = {"revision": 1, "answers": dict(job.answers)}
    mine = {name: value for name, value in answers.items() if name != "owner_name"}
    assert phone.send(signed(mine, job=job.id, base=base)).status_code == 200
    assert "owner_name" not in store.jobs.get(person.organisation, job.id).answers


def test_answers_that_this_version_cannot_read_stay_stored(
    phone: Phone, answers: dict[str, Any], store: Any
) -> None:
    person = phone.visitor.person
    job = store.jobs.create(person.organisation, person.id, {**answers, "asked_long_ago": "blue"})
    base = {"revision": 1, "answers": answers}
    assert phone.send(signed(answers, job=job.id, base=base)).status_code == 200
    assert store.jobs.get(person.organisation, job.id).answers["asked_long_ago"] == "blue"
