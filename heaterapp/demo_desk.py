"""What the office of the demo has on its desk: permits, inspections, and a job that nobody has yet.

Dates are reckoned from the archive's clock, so that something is always about to lapse.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from typing import Any
from uuid import UUID, uuid5

from heaterapp.archive.desk_shapes import Item
from heaterapp.archive.shapes import Organisation, Person

NEW_JOB = {
    "job_ref": "PL-0413",
    "job_kind": "same_place", "heater_kind": "gas_storage", "place": "us_ca_2022", "gas_kind": "natural",
    "storage_gal": "50", "input_btuh": "40000", "building_kind": "house", "owner_name": "Hana Brandt",
    "address_street": "22 Spinnaker Way", "address_city": "Port Larkin", "address_state": "CA",
    "permit_status": "applied",
}  # fmt: skip
PERMIT_FACTS = {
    "owner_does_work": "no", "more_than_one_heater": "no", "flood_related": "no", "size_changes": "no",
    "contractor_class": "C36", "workers_compensation": "Larkin Mutual, policy 0000",
}  # fmt: skip
HOME = {
    "contact_name": "Hana Brandt", "contact_phone": "555-0177", "job_value_usd": "2150",
    "access_note": "Two dogs; the side gate sticks.",
}  # fmt: skip


def fill(store: Any, firm: Organisation, office: Person, made_by: UUID) -> None:
    """Put the demo's permits and inspections on the desk; what is there already stays.

    made_by  the namespace in which the demo's jobs have their ids
    """
    today = store.database.moment().date()

    def day(ago: int) -> str:
        return (today - timedelta(days=ago)).isoformat()

    def job(ref: str) -> str:
        return str(uuid5(made_by, ref))

    new = {**PERMIT_FACTS, **HOME, "parcel_no": "044-170-08", "planned_on": day(-3)}
    store.desk.open(firm.id, office.id, job("PL-0413"), NEW_JOB, new)
    permits = {
        "PL-0401": 40, "PL-0402": 20, "PL-0403": 35, "PL-0404": 25, "PL-0405": 155, "PL-0406": 45,
        "PL-0407": 60, "PL-0408": 30, "PL-0410": 12, "PL-0411": 10,
    }  # fmt: skip
    for ref, ago in permits.items():
        if not store.desk.get(firm.id, job(ref)).facts:
            facts = {**PERMIT_FACTS, "permit_issued_on": day(ago)}
            store.desk.save(firm.id, office.id, job(ref), facts=facts)
    passed = {"inspector": "M. Ito", "final": "yes"}
    visits: dict[str, Callable[[int], Any]] = {
        "PL-0401": lambda number: tell(number, "failed", day(2), {"inspector": "R. Castle"}, [
            Item("seismic.strapped_where_needed", "Upper strap loose", "installer", ""),
            Item("", "House number not seen from the street", "owner of the house", ""),
        ]),
        "PL-0402": lambda number: None,
        "PL-0407": lambda number: tell(number, "passed", day(30), passed, []),
    }  # fmt: skip

    def tell(number: int, result: str, on: str, facts: dict[str, str], items: list[Item]) -> None:
        store.inspections.tell(firm.id, office.id, number, 1, result, on, facts, items)

    booked = {"PL-0401": 2, "PL-0402": -1, "PL-0407": 30}
    home = {"window": "8 am to noon", "contact": "Amina Reyes", "phone": "555-0188", "adult": "yes"}
    for ref, then in visits.items():
        if not store.inspections.of_job(firm.id, job(ref)):
            made = store.inspections.book(firm.id, office.id, job(ref), day(booked[ref]), home)
            then(made.id)
