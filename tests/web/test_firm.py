"""The owner's page: the firm's facts and its people; which passwords are taken."""

from __future__ import annotations

from typing import Any

import pytest
from bs4 import BeautifulSoup

from heaterapp.web.passwords import weakness

from .conftest import PASSWORD


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


def test_a_person_is_added_and_can_sign_in(visit: Any) -> None:
    fields = {"person_name": "New One", "login": "NewOne", "role": "office", "password": "walnut-spanner-81"}
    assert visit("owner").post("/office/firm/people", fields).status_code == 303
    somebody = visit()
    somebody.post("/sign-in", {"login": "newone", "password": "walnut-spanner-81"})
    assert somebody.get("/office").status_code == 200


@pytest.mark.parametrize(
    ("changed", "field"),
    [
        ({"person_name": ""}, "person_name"),
        ({"login": ""}, "login"),
        ({"login": "office"}, "login"),
        ({"role": "emperor"}, "role"),
        ({"password": ""}, "password"),
        ({"password": "short"}, "password"),
        ({"password": "Password123"}, "password"),
        ({"password": "x" * 300}, "password"),
        ({"person_licence": "9" * 101}, "person_licence"),
    ],
)
def test_a_person_that_cannot_be_added_is_told_why(
    visit: Any, store: Any, firms: Any, changed: dict[str, str], field: str
) -> None:
    fields = {"person_name": "New One", "login": "new", "role": "office", "password": "walnut-spanner-81"}
    before = len(store.people.all(firms["a"].id))
    answer = visit("owner").post("/office/firm/people", {**fields, **changed})
    page = BeautifulSoup(answer.text, "html.parser")
    assert answer.status_code == 400
    assert page.find(class_="error-summary").a["href"] == f"#{field}"
    assert page.find(id=field)
    assert "walnut" not in answer.text
    assert len(store.people.all(firms["a"].id)) == before


def test_the_owner_closes_an_account_but_not_the_own_one(visit: Any, people: Any) -> None:
    owner, installer = visit("owner"), visit("installer")
    there = f"/office/firm/people/{people['a', 'installer'].id}"
    assert installer.get("/office").status_code == 403
    assert owner.post(there, {"act": "close"}).status_code == 303
    assert installer.get("/office").status_code == 302
    assert owner.post(there, {"act": "open"}).status_code == 303
    assert owner.post(f"/office/firm/people/{people['a', 'owner'].id}", {"act": "close"}).status_code == 400
    assert owner.get("/office").status_code == 200
    assert owner.post(there, {"act": "promote"}).status_code == 400
    assert owner.post("/office/firm/people/0", {"act": "close"}).status_code == 404
    assert owner.post("/office/firm/people/" + "9" * 40, {"act": "close"}).status_code == 404


def test_a_new_password_ends_the_old_sessions(visit: Any, people: Any) -> None:
    owner, clerk = visit("owner"), visit("office")
    number = people["a", "office"].id
    weak = owner.post(f"/office/firm/people/{number}", {"act": "password", "password": "1234567890"})
    assert weak.status_code == 400
    assert f'href="#password-{number}"' in weak.text
    assert clerk.get("/office").status_code == 200
    owner.post(f"/office/firm/people/{number}", {"act": "password", "password": "walnut-spanner-81"})
    assert clerk.get("/office").status_code == 302
    assert visit().post("/sign-in", {"login": "office", "password": PASSWORD}).status_code == 401
    assert visit().post("/sign-in", {"login": "office", "password": "walnut-spanner-81"}).status_code == 303


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
