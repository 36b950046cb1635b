"""Nonsense at the owner's, the office's and the public forms: a clear word, nothing half-written, nothing broken."""

from __future__ import annotations

import itertools
from typing import Any
from urllib.parse import quote

import pytest

ODD = [
    "",
    " ",
    "\x00",
    "a\x00b",
    "\u0666\u0660",
    "NaN",
    "x" * 20_000,
    "a\u202eb",
    "1\n2",
    "<script>x</script>",
    ["one", "two"],
]
FACTS = {
    "name": "Harborlight Plumbing", "licence": "C36 000000", "phone": "555-0100", "address": "12 Quay Rd, Port Larkin",
    "gas_emergency_phone": "555-0111", "place": "us_ca_2022",
}  # fmt: skip
NEW = {
    "person_name": "New One", "role": "office", "person_licence": "P1",
}  # fmt: skip


def _state(store: Any) -> tuple[Any, Any]:
    return store.organisations.default(), store.people.all(1)


@pytest.mark.parametrize("field", FACTS)
def test_a_firm_s_facts_are_saved_whole_or_not_at_all(visit: Any, store: Any, field: str) -> None:
    owner = visit("owner")
    assert owner.post("/office/firm", FACTS).status_code == 303
    for odd in ODD:
        before = _state(store)
        answer = owner.post("/office/firm", {**FACTS, "phone": "555-0999", "name": "Other", field: odd})
        assert answer.status_code in (303, 400), (field, odd)
        if answer.status_code == 400:
            assert "error-summary" in answer.text
            assert _state(store) == before, (field, odd)
        if isinstance(odd, list) or "\x00" in odd or len(odd) > 1000:
            assert answer.status_code == 400, (field, odd)
        owner.post("/office/firm", FACTS)


def test_a_fact_that_was_not_sent_stays_as_it_is(visit: Any, store: Any) -> None:
    owner = visit("owner")
    owner.post("/office/firm", FACTS)
    assert owner.post("/office/firm", {"phone": "555-0222"}).status_code == 303
    firm = store.organisations.default()
    assert (firm.name, firm.phone, firm.licence) == ("Harborlight Plumbing", "555-0222", "C36 000000")
    assert firm.settings["gas_emergency_phone"] == "555-0111"
    assert firm.settings["place"] == "us_ca_2022"


def test_an_emergency_phone_that_cannot_be_called_is_refused_and_kept_as_typed(visit: Any, store: Any) -> None:
    owner = visit("owner")
    owner.post("/office/firm", FACTS)
    answer = owner.post("/office/firm", {**FACTS, "phone": "555-0999", "gas_emergency_phone": "555-0142/43"})
    assert answer.status_code == 400
    assert "Gas company&#39;s emergency phone: a phone number of 7 or 10 digits, such as 555-0142" in answer.text
    assert 'value="555-0142/43"' in answer.text
    firm = store.organisations.default()
    assert (firm.phone, firm.settings["gas_emergency_phone"]) == ("555-0100", "555-0111")


@pytest.mark.parametrize("field", NEW)
def test_a_person_of_nonsense_is_not_invited(visit: Any, store: Any, field: str) -> None:
    owner = visit("owner")
    for odd in (*ODD, None):
        sent = {**NEW, field: odd} if odd is not None else {k: v for k, v in NEW.items() if k != field}
        before = store.log.head(1)
        answer = owner.post("/office/people/invites", sent)
        assert answer.status_code in (200, 400), (field, odd)
        if isinstance(odd, list) or (odd and ("\x00" in odd or len(odd) > 1000)):
            assert answer.status_code == 400, (field, odd)
        if answer.status_code == 400:
            assert "error-summary" in answer.text
            assert store.log.head(1) == before


@pytest.mark.parametrize("field", ["login", "password"])
def test_nobody_joins_by_nonsense(visit: Any, store: Any, people: Any, field: str) -> None:
    token, _ = store.invites.make(1, people["a", "owner"].id, "New One", "office")
    before = _state(store)
    for odd in (*ODD, None):
        good = {"login": "new", "password": "walnut-spanner-81"}
        if field == "login" and isinstance(odd, str) and odd.strip() and odd.isprintable() and len(odd) < 101:
            continue  # As good a name as any.
        if field == "password" and odd == "<script>x</script>":
            continue
        sent = good | ({field: odd} if odd is not None else {})
        sent = sent if odd is not None else {k: v for k, v in good.items() if k != field}
        answer = visit().post(f"/invite/{token}", sent)
        assert answer.status_code == 400, (field, odd)
        assert _state(store) == before
        assert "walnut" not in answer.text


def test_nonsense_at_a_person_s_and_a_record_s_forms(visit: Any, issue: Any, store: Any, people: Any) -> None:
    owner, record = visit("owner"), issue("a")
    before = _state(store), store.shares.all_for(1, record.id)
    number = people["a", "installer"].id
    for odd in (*ODD, None, ["close", "open"], ["make", "revoke"]):
        for path, name in itertools.product(
            (f"/office/people/{number}", f"/office/records/{record.number}/share"),
            ("act", "password", "share"),
        ):
            base = {"act": "password"} if name == "password" else {"act": "revoke"} if name == "share" else {}
            if name == "password" and odd == "<script>x</script>":
                continue  # As good a password as any.
            sent = base | ({name: odd} if odd is not None else {})
            assert owner.post(path, sent).status_code in (400, 404), (path, sent)
    assert (_state(store), store.shares.all_for(1, record.id)) == before


@pytest.mark.parametrize("path", ["/check?number={}&code={}", "/office?q={}&after={}", "/office?kind={}&state={}", "/sign-in?next={}&firm={}", "/office/firm?said={}", "/office/people?said={}", "/account?said={}", "/invite/{}", "/office/records/{}", "/s/{}", "/s/{}?lang={}", "/fonts/{}"])  # fmt: skip
def test_nonsense_in_an_address(visit: Any, path: str) -> None:
    for odd in (*(o for o in ODD if isinstance(o, str)), "9" * 5000, "-1", "1e9", "%ff", "../../x"):
        said = quote(odd, safe="%")[:6000]
        answer = visit("owner").get(path.format(said, said))
        assert answer.status_code in (200, 302, 400, 404, 308, 429), (path, odd)
