"""How fast the one box is: a made-up archive of any size, and the times of many questions.

    python -m heaterapp.archive.search_times --records 100000

The rows are written straight into a throw-away archive, without contents and without
a log, so `verify` would rightly refuse it; searching sees what it would see.
"""

import argparse
import random
import shutil
import tempfile
import time
from collections.abc import Callable
from dataclasses import asdict, dataclass
from datetime import date, timedelta
from pathlib import Path

from sqlalchemy import insert

from heaterapp.archive import tables
from heaterapp.archive.canonical import canonical
from heaterapp.archive.find import words_of
from heaterapp.archive.shapes import Facts
from heaterapp.archive.store import Store, open_store

BAR_MS = 10.0
BATCH = 5000
STREETS = ("Oak", "Quay", "Harbor", "Larkin", "Mill", "Cedar", "Ferry", "Beacon", "Orchard", "Station")
KINDS_OF_STREET = ("Ave", "Street", "Rd", "Lane", "Court", "Blvd")
SYLLABLES = ("ba", "ro", "mi", "ten", "lin", "sa", "wel", "ka", "dor", "ny", "fer", "os", "gra", "hu")


@dataclass(frozen=True)
class Times:
    """Milliseconds of one family of questions."""

    name: str
    p50_ms: float
    p95_ms: float


def fill(store: Store, records: int, organisations: int = 2, seed: int = 1) -> list[int]:
    """Write so many search rows, evenly among organisations; return the organisations' ids."""
    draw = random.Random(seed)  # noqa: S311
    firms = [store.organisations.add(f"firm-{at}", f"Firm {at}").id for at in range(organisations)]
    people = {
        firm: [
            store.people.add(firm, f"p{at}", _name(draw), "installer", "a long password").id for at in (1, 2)
        ]
        for firm in firms
    }
    jobs = {firm: store.jobs.create(firm).id for firm in firms}
    for firm in firms:
        with store.database.write() as connection:
            own = {"organisation": firm, "digest": "r", "version": "1", "body": b"r"}
            connection.execute(insert(tables.ruleset).values(own))
    for first in range(1, records + 1, BATCH):
        made = [
            _rows(draw, at, firms[at % len(firms)], people, jobs)
            for at in range(first, min(first + BATCH, records + 1))
        ]
        with store.database.write() as connection:
            connection.execute(insert(tables.record), [record for record, _ in made])
            connection.execute(insert(tables.finding), [finding for _, finding in made])
    with store.database.write() as connection:
        connection.exec_driver_sql("ANALYZE")
    return firms


def questions(seed: int = 2) -> dict[str, Callable[[], dict]]:
    """Return the families of questions the office asks, each a maker of random arguments to `find`."""
    draw = random.Random(seed)  # noqa: S311
    return {
        "newest": lambda: {},
        "address": lambda: {"text": f"{draw.randrange(1, 2000)} {draw.choice(STREETS)}"},
        "address, begun": lambda: {"text": f"{draw.randrange(1, 2000)} {draw.choice(STREETS)[:2]}"},
        "street": lambda: {"text": draw.choice(STREETS)},
        "two letters": lambda: {"text": draw.choice(SYLLABLES)[:2]},
        "owner": lambda: {"text": _name(draw)},
        "serial": lambda: {"text": f"S{draw.randrange(10**7):07}"},
        "number": lambda: {"text": f"C-{draw.randrange(1, 50_000):06}"},
        "day": lambda: {"text": _day(draw).isoformat()},
        "nothing": lambda: {"text": f"{draw.choice(STREETS)} nobody here"},
        "installer's own": lambda: {"text": draw.choice(STREETS), "person": 1},
        "deep page": lambda: {"text": draw.choice(STREETS), "after": draw.randrange(2, 50_000)},
    }


def measure(store: Store, organisation: int, runs: int = 100) -> list[Times]:
    """Time each family of questions, `runs` times each."""
    measured = []
    for name, ask in questions().items():
        times = []
        for _ in range(runs):
            asked = ask()
            began = time.perf_counter()
            store.find(organisation, **asked)
            times.append((time.perf_counter() - began) * 1000)
        times.sort()
        measured.append(Times(name, times[len(times) // 2], times[int(len(times) * 0.95)]))
    return measured


def _rows(draw: random.Random, at: int, firm: int, people: dict, jobs: dict) -> tuple[dict, dict]:
    facts = Facts(
        address=f"{draw.randrange(1, 2000)} {draw.choice(('', 'N. ', 'S. '))}{draw.choice(STREETS)} "
        f"{draw.choice(KINDS_OF_STREET)}, Port Larkin",
        owner=_name(draw),
        serial=f"S{draw.randrange(10**7):07}",
        model=f"WH {draw.choice((30, 40, 50, 75))}-{draw.choice('TSX')}",
        permit=f"B{draw.randrange(2015, 2027)}-{draw.randrange(10**4):04}",
        work_date=_day(draw).isoformat(),
        installer=_name(draw),
        place="us_ca_2022",
    )
    record = {
        "id": at,
        "organisation": firm,
        "number": f"C-{at:06}",
        "kind": "certificate",
        "serial": at,
        "job_id": jobs[firm],
        "revision": at,
        "supersedes": None,
        "issued_at": f"{facts.work_date}T12:00:00Z",
        "issued_by": people[firm][0],
        "ruleset_digest": "r",
        "ruleset_version": "1",
        "previous_head": "0" * 64,
        "content_digest": "0" * 64,
        "check_code": "AAAA-AAAA-AAAA",
    }
    installer = draw.choice(people[firm])
    finding = {
        "record": at,
        "organisation": firm,
        "installer": installer,
        "facts": canonical(asdict(facts)),
        "words": words_of(record, facts, installer),
    }
    return record, finding


def _name(draw: random.Random) -> str:
    return " ".join("".join(draw.choices(SYLLABLES, k=draw.choice((2, 3)))).capitalize() for _ in range(2))


def _day(draw: random.Random) -> date:
    return date(2015, 1, 1) + timedelta(days=draw.randrange(4000))


def main(arguments: list[str] | None = None) -> int:
    parser = argparse.ArgumentParser(prog="python -m heaterapp.archive.search_times")
    parser.add_argument("--records", type=int, default=100_000)
    parser.add_argument("--runs", type=int, default=100)
    options = parser.parse_args(arguments)
    folder = Path(tempfile.mkdtemp(prefix="search-"))
    try:
        store = open_store(data_dir=folder)
        began = time.perf_counter()
        firms = fill(store, options.records)
        print(f"{options.records} records written in {time.perf_counter() - began:.1f} s", flush=True)
        measured = measure(store, firms[0], options.runs)
        store.close()
    finally:
        shutil.rmtree(folder, ignore_errors=True)
    for times in measured:
        print(f"{times.name:16} p50 {times.p50_ms:7.2f} ms   p95 {times.p95_ms:7.2f} ms")
    worst = max(times.p95_ms for times in measured)
    print(f"slowest p95 {worst:.2f} ms, bar {BAR_MS:g} ms")
    return 0 if worst <= BAR_MS else 1


if __name__ == "__main__":
    raise SystemExit(main())
