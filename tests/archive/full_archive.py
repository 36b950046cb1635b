"""An archive in which every table that is written once, or vouched for by the log, has rows."""

import json
import random
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from uuid import UUID

from heaterapp import archive
from heaterapp.archive import Arrival, Facts, Photo, Submission
from heaterapp.archive.canonical import sha256
from heaterapp.sample_photo import sample_photo

BEGAN = datetime(2026, 1, 5, 8, 0, tzinfo=UTC)
KINDS = ("certificate",) * 7 + ("correction_list",) * 2 + ("findings_report",)
CHECKS = ("venting.rise", "relief.size", "expansion.tank_size", "straps.upper")


@dataclass
class Filled:
    firms: tuple[int, ...]
    records: list[tuple[int, int]]
    """(organisation, record), in the order of issuing."""


def fill(folder, count: int, seed: int = 1, papers: dict[str, bytes] | None = None) -> Filled:
    """Issue `count` records in two firms, some with photos and parcels, some void, shared, held, erased.

    papers  the PDFs that every fiftieth record keeps; small bytes of its own for all others
    """
    draw = random.Random(seed)
    at = iter(BEGAN + timedelta(seconds=37 * turn) for turn in range(100 * count + 10_000))
    store = archive.open_store(data_dir=folder, clock=lambda: next(at))
    firms = [store.organisations.add(slug, slug.title()).id for slug in ("harborlight", "larkin-heat")]
    people = {firm: store.people.add(firm, "ana", "Ana Reyes", "owner", "a long password").id for firm in firms}
    photos = [_photo(number) for number in range(3)]
    records: list[tuple[int, int]] = []
    jobs: list[tuple[int, str]] = []
    for turn in range(count):
        firm = firms[0] if draw.random() < 0.8 else firms[1]
        again = [job for owner, job in jobs[-40:] if owner == firm] if draw.random() < 0.2 else []
        job = draw.choice(again) if again else str(UUID(int=draw.getrandbits(128)))
        wish = _wish(draw, firm, people[firm], job, turn)
        if turn % 20 == 3 and not again:
            wish = _arriving(wish, photos if turn % 100 == 3 else photos[:1])
        else:
            store.jobs.create(firm, people[firm], {"turn": turn}, job)
            store.jobs.reopen(firm, job)
        if turn % 101 == 50:
            issued = store.issue(wish)
        else:
            kept = papers if papers and turn % 50 == 0 else None
            issued = store.issue_and_finish(wish, lambda record, kept=kept: kept or _paper(record))
            _further(store, draw, turn, firm, people[firm], issued)
        records.append((firm, issued.record))
        jobs.append((firm, job))
    for firm in firms:
        _of_the_firm(store, firm, people[firm])
    store.close()
    return Filled(tuple(firms), records)


def _paper(record):
    return {"certificate.pdf": b"%PDF-1.7 " + record.number.encode() + record.report[:200]}


def _wish(draw, firm, person, job, turn) -> Submission:
    serial = f"LW{draw.randrange(10**8):08}"
    answers = {"heater_maker": "Larkin", "heater_model": f"LW-{draw.randrange(30, 80)}", "turn": str(turn),
               "heater_serial": serial, "expansion_tank_gal": "2", "place": "us_ca_2022",
               "work_date": "2026-01-05"}  # fmt: skip
    amiss = [{"check": check, "verdict": draw.choice(("fails", "meets", "authority"))} for check in CHECKS]
    return Submission(
        organisation=firm,
        person=person,
        job_id=job,
        key=f"full-{turn:08}",
        kind=draw.choice(KINDS),
        job=json.dumps(answers).encode(),
        report=json.dumps({"outcome": "ready", "findings": amiss}).encode(),
        signature=b'{"signatures":[{"name":"Ana Reyes"}]}',
        ruleset_digest=f"ruleset-{turn % 3}",
        ruleset_version=f"1.{turn % 3}",
        ruleset_zip=b"the rules as a zip %d" % (turn % 3),
        facts=Facts(f"{draw.randrange(1, 999)} Quay Street", f"Owner {turn}", serial, "LW-40", f"B26-{turn}",
                    "2026-01-05", "Ana Reyes", "us_ca_2022"),
        reason="" if turn % 7 else "A digit was swapped.",
    )  # fmt: skip


def _photo(number: int) -> Photo:
    body = sample_photo(number, 320, 240)
    return Photo("plate", "as found", True, "2026-01-05T08:00:00Z", sha256(body), 320, 240, body)


def _arriving(wish: Submission, photos) -> Submission:
    changes = {"owner_name": wish.facts.owner}
    return Submission(**{
        **{name: getattr(wish, name) for name in Submission.__dataclass_fields__},
        "key": wish.job_id, "parcel": b'{"answers":' + wish.job + b"}", "photos": tuple(photos),
        "arrival": Arrival(changes, {"signatures": []}, 0, '{"report":{"relief.size":["fails","meets"]}}'),
    })  # fmt: skip


def _further(store, draw, turn, firm, person, issued) -> None:
    if turn % 13 == 6:
        store.void(firm, issued.record, person, "Issued for the wrong address.")
    if turn % 17 == 8:
        expires = BEGAN + timedelta(days=400) if turn % 2 else None
        _, share = store.shares.make(firm, issued.record, person, expires)
        if turn % 3 == 0:
            store.shares.revoke(firm, share.id, person)
    if turn % 19 == 9:
        hold = store.holds.place(firm, issued.job_id, person, "A claim.")
        if turn % 2:
            store.holds.lift(firm, hold.id, person, "Settled.")
    if turn % 61 == 30 and turn % 19 != 9:
        store.erase(firm, issued.record, person, "The owner asked.")


def _of_the_firm(store, firm, person) -> None:
    store.organisations.change(firm, person, logo=sample_photo(firm, 64, 64))
    first = store.seals.make(firm, person, b"a certificate of %d" % firm, b"a key of %d" % firm)
    store.seals.make(firm, None, b"another of %d" % firm, b"its key of %d" % firm, first.fingerprint)
    for version in range(6):
        given = {"name": "port-larkin", "clauses": {"relief.drain": {"value": version}}}
        store.amendments.save(firm, person, given, version)
