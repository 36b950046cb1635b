"""The homeowner's link that an installer just made: kept while the phone is handed over, made once, and then gone."""

from __future__ import annotations

import re
from datetime import timedelta
from typing import Any

import pytest

from .conftest import hidden


def test_a_link_stays_for_a_change_of_language_and_is_made_once(
    visit: Any, issue: Any, store: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    visitor, record = visit("installer"), issue()
    way = f"/jobs/{record.job_id}"
    key = {"key": hidden(visitor.get(f"{way}/issued").text, "key")}
    made = [visitor.post(f"{way}/link", key) for _ in range(2)]
    assert [one.status_code for one in made] == [303, 303]
    page = visitor.get(made[0].location).text
    found = re.search(r'href="[^"]*(/s/[^"]+)"', page)
    assert found
    address = found.group(1)
    assert visit(None).get(address).status_code == 200
    assert address.rpartition("/")[2] not in visitor.cookie(), "it has what the link is made of, not the link"
    chosen = visitor.post("/language", {"language": "es", "next": hidden(page, "next")})
    spanish = visitor.get(chosen.location).text
    assert "El enlace para el dueño de la casa" in spanish
    assert address in spanish
    assert len(store.shares.all_for(record.organisation, record.id)) == 1
    assert address not in visit("owner").get(f"{way}/issued").text, "another session has it not"
    later = store.database.moment() + timedelta(minutes=31)
    monkeypatch.setattr(store.database, "clock", lambda: later)
    assert address not in visitor.get(f"{way}/issued").text


def test_a_page_that_only_a_sent_form_shows_changes_its_language_too(visit: Any, issue: Any) -> None:
    visitor, record = visit("installer"), issue()
    refused = visitor.post(f"/jobs/{record.job_id}/link", {"link_days": "soon"})
    assert refused.status_code == 422
    chosen = visitor.post("/language", {"language": "es", "next": hidden(refused.text, "next")})
    assert visitor.get(chosen.location).status_code == 200
