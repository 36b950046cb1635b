"""A job on the desk of the first firm, and one whose first inspection failed."""

from datetime import date, timedelta

import pytest

from heaterapp.archive.desk_shapes import Item

TODAY = "2026-03-14"
OAK = {
    "address_street": "12 N. Oak Ave",
    "address_city": "Port Larkin",
    "owner_name": "Mina Park",
    "heater_kind": "gas_storage",
}


def ago(days):
    return (date.fromisoformat(TODAY) - timedelta(days=days)).isoformat()


def key(number):
    return f"00000000-0000-4000-8000-{number:012}"


@pytest.fixture(name="opened")
def opened_at_desk(store, firm):
    def one(number=1, installer=None, answers=OAK, **facts):
        return store.desk.open(firm.id, firm.office.id, key(number), answers, facts, installer)

    return one


@pytest.fixture(name="failed")
def failed_at_desk(store, firm, opened):
    """A job whose first inspection failed on two items, one of them a check."""
    job = opened(installer=firm.installer.id, permit_issued_on=ago(20)).job
    booked = store.inspections.book(
        firm.id, firm.office.id, job.id, ago(3), {"contact": "Mina", "adult": "yes"}
    )
    items = [Item("relief.pipe_falls", "Pipe runs uphill", "Ana", ""), Item("", "Address not posted", "", "")]
    told = store.inspections.tell(
        firm.id, firm.office.id, booked.id, booked.revision, "failed", ago(3), {"inspector": "B. Cole"}, items
    )
    return job, told
