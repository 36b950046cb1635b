"""Organisations: the default one, their particulars and their settings."""

import pytest

from heaterapp import archive
from heaterapp.archive import Invalid, NotFound


def test_the_default_is_made_once_also_when_asked_at_once(store, at_once):
    answers, errors = at_once(6, lambda _: store.organisations.default())
    assert errors == []
    assert len({organisation.id for organisation in answers}) == 1
    assert store.organisations.default().slug == "main"
    assert store.log.head(answers[0].id) == "0" * 64
    assert store.verify().ok


def test_the_first_organisation_stays_the_default(store, firm, other):
    assert store.organisations.default() == firm.organisation


def test_by_id_and_by_slug(store, firm, other):
    assert (
        store.organisations.get(other.id) == store.organisations.by_slug("larkin-heat") == other.organisation
    )
    with pytest.raises(NotFound):
        store.organisations.by_slug("nobody")
    with pytest.raises(NotFound):
        store.organisations.get(999)
    with pytest.raises(NotFound):
        store.log.head(999)


def test_particulars_change_one_by_one(store, firm):
    changed = store.organisations.save(firm.id, phone=" 555-0111 ")
    assert (changed.phone, changed.name) == ("555-0111", "Harborlight Plumbing")
    assert store.organisations.save(firm.id) == changed
    with pytest.raises(Invalid) as refusal:
        store.organisations.save(firm.id, address="x" * 301)
    assert refusal.value.field == "address"


def test_a_slug_belongs_to_one(store, firm):
    with pytest.raises(Invalid) as refusal:
        store.organisations.add("harborlight", "Another")
    assert refusal.value.field == "slug"


def test_settings_are_merged_and_none_removes(store, firm):
    store.organisations.save_settings(firm.id, {"place": "us_ca_2022", "paper": "A4"})
    changed = store.organisations.save_settings(firm.id, {"paper": None, "links_days": 90})
    assert changed.settings == {"place": "us_ca_2022", "links_days": 90}


@pytest.mark.parametrize(
    "settings", [{"x": float("nan")}, {"x": object()}, {"x": "y" * 100_001}, {"x": "\ud800"}]
)
def test_settings_that_cannot_be_kept(store, firm, settings):
    with pytest.raises(Invalid) as refusal:
        store.organisations.save_settings(firm.id, settings)
    assert refusal.value.field == "settings"
    assert store.organisations.get(firm.id).settings == {}


def test_a_store_needs_a_place():
    with pytest.raises(ValueError, match="url or a data folder"):
        archive.open_store()


def test_a_store_opened_by_url_is_the_same(store, firm, folder):
    again = archive.open_store(f"sqlite:///{folder / 'archive.sqlite3'}")
    assert again.organisations.get(firm.id) == firm.organisation
    again.close()
