"""The photos of a correction list go along to the paper that corrects it, unless left out or taken again."""

from __future__ import annotations

import hashlib
import io
from dataclasses import replace
from typing import Any

import pytest
from bs4 import BeautifulSoup

from heaterapp.archive.shapes import Photo
from heaterapp.web.going_along import PRINTED, Along, Choice
from tests.web.sent import AT, Phone, listed, photo, signed, told
from tests.web.test_phone_office import give, job_file

TAKEN = "2026-11-27T01:02:03.456Z"
SHOTS = (("plate", True), ("straps", True), ("whole", False))
FAILS = "relief_end_threaded"


@pytest.fixture
def before(phone: Phone, answers: dict[str, Any], store: Any) -> Any:
    """A correction list that came from a phone with three photos; its job is mended at the office."""
    bodies = [photo(seed) for seed in range(3)]
    for body in bodies:
        phone.photo(body)
    shots = [
        listed(body, kind=kind, chosen=chosen, note=f"The {kind}")
        for body, (kind, chosen) in zip(bodies, SHOTS, strict=True)
    ]
    sent = phone.send(signed({**answers, FAILS: "yes"}, photos=shots)).json
    assert sent["kind"] == "correction_list"
    record = store.records.get(1, sent["record"])
    store.jobs.save_answers(1, record.job_id, {FAILS: answers[FAILS]})
    return record


def _newest(store: Any, job: str) -> Any:
    return store.records.get(1, store.records.of_job(1, job)[0].record)


def _kept(record: Any) -> list[tuple[str, str, bool, str]]:
    return [(one.kind, one.note, one.chosen, one.taken_at) for one in record.photos]


def test_signed_on_line_they_go_along_as_they_are(visit: Any, before: Any, store: Any) -> None:
    installer = visit("installer")
    page = BeautifulSoup(installer.get(f"/jobs/{before.job_id}/sign").text, "html.parser")
    shots = page.select(".shot")
    assert [one.b.text for one in shots] == [
        "Data plate",
        "Straps, with a tape",
        "Whole heater from the front",
    ]
    assert [one.select_one("option[selected]")["value"] for one in shots] == ["printed", "printed", "kept"]
    assert [one.select_one(".quiet").text for one in shots] == ["Taken 26 Nov 2026, 3:04\xa0am UTC"] * 3, (
        "by the firm's clocks"
    )
    picture = installer.get(shots[1].img["src"])
    assert (picture.data, picture.content_type) == (before.photos[1].body, "image/jpeg")
    assert installer.sign(before.job_id).status_code == 302
    after = _newest(store, before.job_id)
    assert (after.kind, after.replaces_number) == ("certificate", before.number)
    assert after.photos == before.photos
    assert store.records.get(1, before.id) == before
    assert store.verify().ok


def test_one_is_left_out_one_taken_again_and_one_printed(visit: Any, before: Any, store: Any) -> None:
    installer, new = visit("installer"), photo(9)
    form = {
        "photo-1": "out", "photo-2-again": (io.BytesIO(new), "tank.jpg"), "photo-2-at": TAKEN, "photo-3": "printed",
    }  # fmt: skip
    assert installer.sign(before.job_id, **form).status_code == 302
    after = _newest(store, before.job_id)
    assert _kept(after) == [("straps", "", True, "2026-11-27T01:02:03Z"), ("whole", "The whole", True, AT)]
    assert after.photos[0].sha256 == hashlib.sha256(new).hexdigest()
    assert after.photos[1].body == before.photos[2].body
    assert not store.uploads.held(1, [after.photos[0].sha256])
    assert store.records.get(1, before.id) == before


def test_what_was_chosen_is_kept_beside_what_is_wrong(visit: Any, before: Any, store: Any) -> None:
    installer, new, job = visit("installer"), photo(8), before.job_id
    wrong = {
        "name": "", "photo-1": "thrown", "photo-2-again": (io.BytesIO(new), "a.jpg"), "photo-2-at": "2999-01-01T00:00:00Z",
        "photo-3": "out", "photo-3-again": (io.BytesIO(b"%PDF"), "b.jpg"), "strokes": "[[[1,2,0],[30,40,9]]]",
    }  # fmt: skip
    refused = installer.sign(job, **wrong)
    assert refused.status_code == 422
    page = BeautifulSoup(refused.text, "html.parser")
    said = {one["href"]: one.text for one in page.select(".error-summary a")}
    assert said["#photo-1"] == "Photo 1, Data plate: expected one of the list"
    assert said["#photo-3"].endswith(
        ": It is left out, and another picture was chosen for it. Say how that one goes along."
    )
    assert said["#photo-3-again"].startswith("Photo 3, Whole heater from the front: ")
    assert all(page.find(id=one[1:]) for one in said)
    held = page.find("input", {"name": "photo-2-held"})["value"]
    assert held == hashlib.sha256(new).hexdigest()
    assert page.find("input", {"name": "strokes"})["value"] == wrong["strokes"]
    assert len(store.records.of_job(1, job)) == 1
    others = {"name": "", "photos_of": "L-999999", "photo-1": "thrown", "photo-2-held": held}
    other = BeautifulSoup(installer.sign(job, **others).text, "html.parser")
    assert not other.select('[href^="#photo-"], [name$="-held"]'), "what was chosen of another paper's photos"
    twice = installer.sign(job, **{"photo-1-held": held, "photo-2-again": (io.BytesIO(new), "a.jpg")})
    assert "Photo 2, Straps, with a tape: That picture is in this job already." in twice.text
    both = installer.sign(job, **{"photo-1-again": (io.BytesIO(new), "a.jpg"), "photo-2-held": held})
    assert "Photo 2, Straps, with a tape: That picture is in this job already." in both.text
    assert [one["name"] for one in BeautifulSoup(both.text, "html.parser").select('[name$="-held"]')] == ["photo-1-held"]
    left_out = {"photo-1": "out", "photo-1-held": held, "photo-2-held": held, "photo-3": "out"}
    assert installer.sign(job, **left_out).status_code == 302
    assert _kept(_newest(store, job)) == [("straps", "", True, "")]


def test_a_phone_takes_them_along_and_sends_them_by_name_alone(
    phone: Phone, before: Any, store: Any, answers: dict[str, Any]
) -> None:
    along = phone.visitor.get(f"/phone/api/jobs/{before.job_id}").json
    assert [one["former"] for one in along["photos"]] == [
        {"number": before.number, "file": f"photo-{at}.jpg"} for at in (1, 2, 3)
    ]
    new = photo(7)
    names = ("sha256", "kind", "note", "chosen", "taken_at")
    shots = [{name: one[name] for name in names} for one in along["photos"][1:]] + [
        listed(new, kind="straps", taken_at="2999-01-01T00:00:00Z")
    ]
    sums = [one["sha256"] for one in shots]
    assert phone.wanted(*sums, job=before.job_id).json["missing"] == [listed(new)["sha256"]]
    assert phone.wanted(*sums).json["missing"] == sums
    phone.photo(new)
    base = {"revision": along["revision"], "answers": along["answers"]}
    parcel = signed(answers, job=before.job_id, base=base, photos=shots)
    assert phone.send(parcel).status_code == 200
    after = _newest(store, before.job_id)
    assert [one.sha256 for one in after.photos] == sums
    assert after.photos[:2] == before.photos[1:]
    # A time that has not come says nothing, as on line.
    assert after.photos[2].taken_at == ""
    assert store.records.get(1, before.id) == before


def test_a_job_saved_to_a_file_goes_with_them_though_they_are_not_in_it(
    phone: Phone, visit: Any, before: Any, store: Any, answers: dict[str, Any]
) -> None:
    along = phone.visitor.get(f"/phone/api/jobs/{before.job_id}").json
    names = ("sha256", "kind", "note", "chosen", "taken_at")
    shots = [{name: one[name] for name in names} for one in along["photos"]]
    base = {"revision": along["revision"], "answers": along["answers"]}
    person = phone.visitor.person.id
    parcel = signed(answers, job=before.job_id, base=base, photos=shots, person=person)
    given = give(visit("office"), job_file(parcel, answers))
    assert given.status_code == 200, given.text
    assert _newest(store, before.job_id).photos == before.photos


def test_nobody_sends_the_photos_of_another_s_job_by_name(
    visit: Any, phone: Phone, before: Any, answers: dict[str, Any], people: Any
) -> None:
    sums = [one.sha256 for one in before.photos]
    shots = [{**listed(b""), "sha256": one} for one in sums]
    assert told(phone.send(signed(answers, photos=shots))) == (422, "photos_missing")
    stranger = Phone(visit("installer", "b"))
    assert stranger.wanted(*sums, job=before.job_id).json["missing"] == sums


def test_a_void_paper_s_photos_do_not_go_along(
    visit: Any, before: Any, store: Any, people: Any, phone: Phone
) -> None:
    office = (
        visit("office").post(f"/office/records/{before.number}/correct", {"house_pressure_psi": "62"}).text
    )
    assert "Its 3 photos go along; whoever signs can leave out or take again" in office
    store.void(1, before.id, people["a", "office"].id, "wrong house")
    installer = visit("installer")
    assert "Photos of" not in installer.get(f"/jobs/{before.job_id}/sign").text
    assert phone.visitor.get(f"/phone/api/jobs/{before.job_id}").json["photos"] == []
    assert installer.sign(before.job_id).status_code == 302
    assert _newest(store, before.job_id).photos == ()


def test_pictures_that_are_too_large_together_are_told_as_such(visit: Any, before: Any) -> None:
    installer = visit("installer")
    page = BeautifulSoup(installer.get(f"/jobs/{before.job_id}/sign").text, "html.parser")
    assert page.select_one("[data-too-large]")["data-too-large"] == "40000000"
    announced = {"CONTENT_LENGTH": "42000000", "CONTENT_TYPE": "multipart/form-data; boundary=b"}
    refused = installer.client.post(f"/jobs/{before.job_id}/sign", environ_overrides=announced)
    assert refused.status_code == 413
    assert "The pictures are larger than 40 MB together" in refused.text
    assert "Shorten" not in refused.text


def test_a_picture_that_a_paper_has_twice_goes_along_once() -> None:
    one = Photo("plate", "First", True, AT, "a" * 64, 64, 48, b"")
    twice = (Choice(1, one, "", PRINTED), Choice(2, replace(one, kind="straps"), "", PRINTED))
    assert Along("L-000001", twice).photos() == (one,)
