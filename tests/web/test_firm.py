"""The owner's page of the firm: its facts, its settings, its logo; which passwords are taken."""

from __future__ import annotations

import io
import json
from typing import Any

import pytest
from bs4 import BeautifulSoup
from PIL import Image

from heaterapp.web.passwords import weakness

from .conftest import START


def test_the_owner_changes_the_firm_and_old_papers_keep_what_they_say(
    visit: Any, issue: Any, store: Any, firms: Any
) -> None:
    made = issue()
    owner = visit("owner")
    fields = {
        "name": "Harborlight & Daughters",
        "phone": "555-0177",
        "place": "model_upc_2024",
        "gas_emergency_phone": "555-0111",
    }
    assert owner.post("/office/firm", fields).location == "/office/firm?said=saved"
    page = owner.get("/office/firm?said=saved")
    assert "Harborlight &amp; Daughters" in page.text
    assert "Saved." in page.text
    firm = store.organisations.get(firms["a"].id)
    assert dict(firm.settings)["place"] == "model_upc_2024"
    assert (
        store.records.get(made.organisation, made.id).organisation_snapshot["name"] == "Harborlight Plumbing"
    )
    owner.post("/office/firm", {"name": "Harborlight", "place": ""})
    assert "place" not in store.organisations.get(firms["a"].id).settings


@pytest.mark.parametrize(
    ("fields", "field"),
    [
        ({"name": ""}, "name"),
        ({"name": "   "}, "name"),
        ({"name": "x" * 201}, "name"),
        ({"name": "Line\nbreak"}, "name"),
        ({"name": "A", "phone": "5" * 101}, "phone"),
        ({"name": "A", "place": "atlantis"}, "place"),
    ],
)
def test_a_wrong_fact_is_named_and_what_was_typed_is_kept(
    visit: Any, store: Any, firms: Any, fields: dict[str, str], field: str
) -> None:
    answer = visit("owner").post("/office/firm", {"licence": "typed licence", **fields})
    page = BeautifulSoup(answer.text, "html.parser")
    assert answer.status_code == 400
    assert page.find(class_="error-summary").a["href"] == f"#{field}"
    assert page.find(id="licence")["value"] == "typed licence"
    assert store.organisations.get(firms["a"].id).name == "Harborlight Plumbing"


SECTIONS = {
    "mail": {
        "section": "mail", "mail_host": "mail.example.com", "mail_port": "587", "mail_security": "starttls",
        "mail_user": "papers", "mail_sender": "papers@example.com", "mail_password": "kept-to-itself-9",
    },
    "keeping": {
        "retention_years": "12", "time_zone": "America/Los_Angeles", "office_session_hours": "24",
        "installer_session_days": "60", "paper": "a4", "link_days": "365",
    },
    "served": {"section": "served", "place": "us_ca_2022", "served": ["us_ca_2022", "model_upc_2024"]},
}  # fmt: skip


def stored(store: Any, firms: Any) -> dict[str, Any]:
    return dict(store.organisations.get(firms["a"].id).settings)


def test_every_section_is_kept_and_logged_by_the_names_of_what_changed(
    visit: Any, store: Any, firms: Any
) -> None:
    owner = visit("owner")
    for fields in SECTIONS.values():
        assert owner.post("/office/firm", fields).status_code == 303
    kept = stored(store, firms)
    assert kept["mail"] == {
        "host": "mail.example.com", "port": 587, "security": "starttls", "user": "papers",
        "sender": "papers@example.com", "password_kept": True,
    }  # fmt: skip
    assert kept["places_served"] == ["model_upc_2024", "us_ca_2022"]
    said = ("retention_years", "time_zone", "office_session_hours", "installer_session_days", "paper", "link_days")
    assert [kept[name] for name in said] == [12, "America/Los_Angeles", 24, 60, "a4", 365]
    entries = [e for e in store.log.entries(firms["a"].id, limit=1000) if e.act == "settings"]
    assert [json.loads(e.body)["keys"] for e in entries[-3:]] == [["mail"], sorted(said), ["places_served"]]
    assert entries[-1].actor == owner.person.id
    head = store.log.head(firms["a"].id)
    owner.post("/office/firm", SECTIONS["keeping"])
    assert store.log.head(firms["a"].id) == head, "what did not change is no act"


WRONG = (
    ("mail", "mail_host", "not a host"),
    ("mail", "mail_host", ""),
    ("mail", "mail_port", "0"),
    ("mail", "mail_port", "65536"),
    ("mail", "mail_security", "some"),
    ("mail", "mail_sender", "nobody"),
    ("mail", "mail_sender", "a@b\r\nBcc: x@y"),
    ("mail", "mail_user", ""),
    ("mail", "mail_password", "x" * 257),
    ("keeping", "retention_years", "4"),
    ("keeping", "retention_years", "100"),
    ("keeping", "retention_years", "9.5"),
    ("keeping", "time_zone", "Mars/Olympus"),
    ("keeping", "time_zone", "../etc/passwd"),
    ("keeping", "time_zone", "Factory"),
    ("keeping", "time_zone", "EST5EDT"),
    ("keeping", "office_session_hours", "169"),
    ("keeping", "installer_session_days", "91"),
    ("keeping", "installer_session_days", "-1"),
    ("keeping", "paper", "napkin"),
    ("keeping", "link_days", "3651"),
    ("served", "served", "atlantis"),
    ("served", "served", ""),
    ("served", "place", "us_ut"),
)


def test_a_setting_that_cannot_be_is_named_and_what_was_typed_stays(visit: Any, store: Any, firms: Any) -> None:
    before, owner = (store.organisations.get(firms["a"].id), store.log.head(firms["a"].id)), visit("owner")
    for section, field, typed in WRONG:
        fields = {**SECTIONS[section], field: typed or []}
        answer = owner.post("/office/firm", fields)
        page = BeautifulSoup(answer.text, "html.parser")
        assert answer.status_code == 400, (field, typed)
        assert page.find(class_="error-summary").a["href"] == f"#{field}", (field, typed)
        assert page.find(id=field)
        for name in fields.keys() - {field, "section", "served", "mail_password"}:
            box = page.find(id=name)
            shown = box.get("value") or box.find("option", selected=True)["value"]
            assert shown == fields[name], (field, typed, name)
        assert "kept-to-itself-9" not in answer.text
    assert (store.organisations.get(firms["a"].id), store.log.head(firms["a"].id)) == before


def places() -> dict[str, str]:
    from heaterapp.web.places import place_titles

    return place_titles()


def test_the_mail_password_leaves_the_archive_for_nobody(
    visit: Any, store: Any, firms: Any, issue: Any
) -> None:
    owner, firm = visit("owner"), firms["a"].id
    told = owner.get(owner.post("/office/firm", SECTIONS["mail"]).location).text
    assert "Saved. Mails that wait and new ones go this way." in told
    assert "Papers issued before" not in told, "no paper is concerned"
    made = issue()
    assert store.organisations.mail(firm)["password"] == "kept-to-itself-9"
    assert "kept-to-itself-9" not in owner.get("/office/firm").text + str(stored(store, firms))
    assert "mail" not in made.organisation_snapshot["settings"]
    assert "kept-to-itself-9" not in str(store.log.entries(firm, limit=1000)) + str(made)
    kept_as_it_is = {**SECTIONS["mail"], "mail_password": "", "mail_user": "other"}
    owner.post("/office/firm", kept_as_it_is)
    assert store.organisations.mail(firm) == {
        "host": "mail.example.com", "port": 587, "security": "starttls", "user": "other",
        "sender": "papers@example.com", "password": "kept-to-itself-9",
    }  # fmt: skip
    owner.post("/office/firm", {**kept_as_it_is, "mail_forget": "yes"})
    assert "password" not in store.organisations.mail(firm)
    none = owner.post("/office/firm", {"section": "mail"}).location
    assert "mail" not in stored(store, firms)
    assert "Without a mail server no paper goes by mail." in owner.get(none).text


def test_installers_choose_of_the_codes_that_are_served(visit: Any, store: Any, firms: Any) -> None:
    installer, chosen = visit("installer"), SECTIONS["served"]["served"]
    before = installer.begin(place=next(name for name in places() if name not in chosen))
    visit("owner").post("/office/firm", {**SECTIONS["served"], "place": chosen[0]})
    page = BeautifulSoup(installer.get("/jobs/new").text, "html.parser")
    assert [one["value"] for one in page.find(id="place").find_all("option")] == chosen
    told = installer.get("/phone/api/account").json["codes"]
    assert [one["key"] for one in told] == chosen
    foreign = next(name for name in places() if name not in chosen)
    refused = installer.post("/jobs/new", {**START, "place": foreign})
    assert refused.status_code == 422
    job = installer.begin(place=chosen[1])
    form = BeautifulSoup(installer.get(f"/jobs/{job}/job").text, "html.parser")
    offered = [one["value"] for one in form.find(id="q-place").find_all("option")]
    assert [one for one in offered if one] == chosen
    assert installer.post(f"/jobs/{job}/job", {"place": foreign}).status_code == 422
    assert installer.get(f"/jobs/{before}/job").status_code == 200, "a job of other codes goes on"
    assert installer.post(f"/jobs/{before}/job", {"address_city": "Port Larkin"}).status_code == 302


def picture(kind: str = "PNG", size: tuple[int, int] = (900, 300)) -> bytes:
    out = io.BytesIO()
    Image.new("RGBA" if kind == "PNG" else "RGB", size, (20, 90, 76)).save(out, kind)
    return out.getvalue()


def test_a_logo_is_made_small_and_stands_in_the_records_made_from_then_on(
    visit: Any, store: Any, firms: Any, issue: Any
) -> None:
    owner, firm = visit("owner"), firms["a"].id
    without = issue()
    sent = {"act": "keep", "logo": (io.BytesIO(picture()), "logo.png")}
    assert owner.post("/office/firm/logo", sent, content_type="multipart/form-data").status_code == 303
    body = owner.get("/office/firm/logo.jpg").data
    with Image.open(io.BytesIO(body)) as kept:
        assert (kept.format, kept.size) == ("JPEG", (640, 213))
    first = issue(job_id="00000000-0000-4000-8000-000000000001")
    assert owner.post("/office/firm/logo", {"act": "remove"}).status_code == 303
    assert owner.get("/office/firm/logo.jpg").status_code == 404
    after = issue(job_id="00000000-0000-4000-8000-000000000002")
    again = store.records.get(firm, first.id)
    assert (without.logo, again.logo, after.logo) == (None, body, None)
    assert again == first, "what the record was made with does not change"
    assert store.verify().ok


def test_what_is_no_picture_is_no_logo(visit: Any, store: Any, firms: Any) -> None:
    owner = visit("owner")
    for body in (b"", b"GIF89a", b"<svg/>", picture("JPEG")[:-200], b"x" * 50_000):
        sent = {"act": "keep", "logo": (io.BytesIO(body), "logo.png")}
        answer = owner.post("/office/firm/logo", sent, content_type="multipart/form-data")
        page = BeautifulSoup(answer.text, "html.parser")
        assert answer.status_code == 400, body[:9]
        assert page.find(class_="error-summary").a["href"] == "#logo"
    assert "logo" not in stored(store, firms)


@pytest.mark.parametrize(
    "password",
    [
        "",
        "123456789",
        "1234567890",
        "aaaaaaaaaaaa",
        "abababababab",
        "Password1234",
        "passwordpassword",
        "Riley-2026-!",
        "x" * 257,
    ],
)
def test_what_is_guessed_first_is_no_password(password: str) -> None:
    assert weakness(password, "riley", "Riley Okafor", "Harborlight Plumbing")


@pytest.mark.parametrize(
    "password", ["copper-kettle-47", "vier Füße im Regen", "٤٢ نخلة طويلة", "correct horse battery staple"]
)
def test_a_long_one_of_any_letters_is(password: str) -> None:
    assert weakness(password, "riley", "Riley Okafor") == ""
