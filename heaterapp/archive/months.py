"""One month of an organisation in figures: what was issued, what waits, what failed, what lapses."""

import json
from collections import Counter
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from sqlalchemy import ColumnElement, Connection, exists, func, not_, select

from heaterapp.archive import bodies, office_tables, tables
from heaterapp.archive.arriving import PARCEL
from heaterapp.archive.database import Database
from heaterapp.archive.desk_board import lines_of
from heaterapp.archive.desk_rows import was_before
from heaterapp.archive.desk_shapes import OPEN_RESULTS, WARNED_BEFORE, Line
from heaterapp.archive.dialect import one_moment
from heaterapp.archive.labels import REPORT_DAYS, Label, read_labels
from heaterapp.archive.standing import is_finished
from heaterapp.archive.waiting import is_to_fix, is_uninspected, is_unsigned

MOST_LISTED = 100
MOST_TIMED, MOST_LOOKED_AT = 60, 1000
LONGEST_MINUTES = 12 * 60
_record, _desk, _inspection = tables.record, office_tables.desk_line, office_tables.inspection
# Reckoned with, so that no planner walks all jobs by whose they are in place of the few that wait.
WHOSE = _desk.c.installer + 0
Who = int | None
ERASED = -1
"""Whose the papers are of which nobody can say any more whose they were."""
SOON_DAYS = WARNED_BEFORE


@dataclass(frozen=True)
class Month:
    """The figures. A person is an id, None where nobody is named, ERASED for what was erased."""

    issued: Counter[tuple[str, Who]]
    """(kind, installer) -> first papers issued in the month, those replaced or void since among them."""
    revised: Counter[tuple[str, Who]]
    """(kind, installer) -> papers issued in the month in place of earlier ones, as corrections are."""
    void: int
    """How many of both are void by now."""
    unsigned: Counter[Who]
    """Jobs that wait for a signature today, as the desk counts them."""
    to_fix: Counter[Who]
    """Jobs whose signed correction list names things to fix: a second visit is due."""
    uninspected: Counter[Who]
    """Jobs that wait for an inspection today, as the desk counts them; some wait for a signature as well."""
    failed: Counter[str]
    """Check, or "" for another thing -> how often a first inspection that was not passed named it."""
    failed_jobs: int
    """Jobs whose first inspection in the month was not passed."""
    first_jobs: int
    """Jobs that had their first inspection in the month."""
    lapsing: tuple[Line, ...]
    """Jobs without a final inspection whose permit lapses in the month, at most 100, by day."""
    lapsing_count: int
    soon: tuple[Line, ...]
    """Those whose permit lapses today or in the coming 30 days, whatever the month; at most 100, by day."""
    soon_count: int
    labels: tuple[Label, ...]
    """Labels used in the month, by day."""
    labels_due: tuple[Label, ...]
    """Those whose use is still to be reported, today or later, whatever the month."""
    minutes: float | None
    """Average from a job's beginning to its signature by the phone's clock; None where it is not known."""
    minutes_of: int
    """How many papers that average is of: of the newest 60 at most, none that took over 12 hours."""


class Months:
    """Reads a month; changes nothing."""

    def __init__(self, database: Database):
        self._database = database

    def read(
        self, organisation: int, since: str, until: str, first_day: str, last_day: str, today: str = ""
    ) -> Month:
        """Return the figures of one month, all as of one moment.

        since, until         UTC stamps: papers issued from the first one on, before the second
        first_day, last_day  ISO dates, both within: inspections and permits are kept by day
        today                ISO date by which jobs wait for a signature; the clock's own when empty
        """
        with self._database.read() as connection:
            one_moment(connection)
            issued = (
                _record.c.organisation == organisation, _record.c.issued_at >= since,
                _record.c.issued_at < until, is_finished(),
            )  # fmt: skip
            on = today or self._database.now()[:10]
            papers, revised, void = _issued(connection, issued)
            failed, failed_jobs, first_jobs = _inspections(connection, organisation, first_day, last_day)
            lapsing, lapsing_count = _lapsing(connection, organisation, first_day, last_day)
            soon, soon_count = _lapsing(connection, organisation, on, _later(on, SOON_DAYS))
            minutes = _minutes(connection, organisation, issued)
            return Month(
                issued=papers,
                revised=revised,
                void=void,
                unsigned=_counted(connection, organisation, is_unsigned(organisation, on)),
                to_fix=_counted(connection, organisation, is_to_fix(organisation)),
                uninspected=_counted(connection, organisation, is_uninspected(organisation)),
                failed=failed,
                failed_jobs=failed_jobs,
                first_jobs=first_jobs,
                lapsing=lapsing,
                lapsing_count=lapsing_count,
                soon=soon,
                soon_count=soon_count,
                labels=read_labels(connection, organisation, first_day, last_day),
                labels_due=tuple(
                    label
                    for label in read_labels(connection, organisation, _later(on, -REPORT_DAYS), on)
                    if not label.reported_on
                ),
                minutes=sum(minutes) / len(minutes) if minutes else None,
                minutes_of=len(minutes),
            )


def _later(day: str, days: int) -> str:
    return (date.fromisoformat(day) + timedelta(days=days)).isoformat()


def _issued(
    connection: Connection, issued: tuple[ColumnElement, ...]
) -> tuple[Counter[tuple[str, Who]], Counter[tuple[str, Who]], int]:
    finding, void = tables.finding, office_tables.void
    voided = (void.c.organisation == _record.c.organisation) & (void.c.record == _record.c.id)
    # An erasure takes the record's search row away, and nothing else does.
    is_erased = finding.c.record.is_(None)
    counts = func.count(), func.count(_record.c.supersedes), func.count(void.c.record)
    query = (
        select(_record.c.kind, is_erased, finding.c.installer, *counts)
        .outerjoin(finding, finding.c.record == _record.c.id)
        .outerjoin(void, voided)
        .where(*issued)
        .group_by(_record.c.kind, is_erased, finding.c.installer)
    )
    first: Counter[tuple[str, Who]] = Counter()
    revised: Counter[tuple[str, Who]] = Counter()
    gone = 0
    for kind, gone_too, installer, every, later, voids in connection.execute(query):
        who = ERASED if gone_too else installer
        first[kind, who] += every - later
        revised[kind, who] += later
        gone += voids
    return +first, +revised, gone


def _counted(connection: Connection, organisation: int, waits: ColumnElement) -> Counter[Who]:
    own = (_desk.c.organisation == organisation, waits)
    query = select(WHOSE, func.count()).where(*own).group_by(WHOSE)
    return Counter(dict(connection.execute(query).all()))


def _inspections(
    connection: Connection, organisation: int, first_day: str, last_day: str
) -> tuple[Counter[str], int, int]:
    earlier = _inspection.alias("earlier")
    before = exists().where(
        earlier.c.organisation == organisation, earlier.c.job_id == _inspection.c.job_id,
        was_before(earlier), earlier.c.result != "cancelled",
    )  # fmt: skip
    query = select(_inspection.c.result, _inspection.c.asked).where(
        _inspection.c.organisation == organisation, _inspection.c.result_on >= first_day,
        _inspection.c.result_on <= last_day, _inspection.c.result != "cancelled", not_(before),
    )  # fmt: skip
    named: Counter[str] = Counter()
    jobs = failed = 0
    for result, asked in connection.execute(query):
        jobs += 1
        if result in OPEN_RESULTS:
            failed += 1
            named.update({item["check"] for item in json.loads(asked)})
    return named, failed, jobs


def _lapsing(
    connection: Connection, organisation: int, first_day: str, last_day: str
) -> tuple[tuple[Line, ...], int]:
    lapses = (
        _desk.c.organisation == organisation, _desk.c.permit_expires_on >= first_day,
        _desk.c.permit_expires_on <= last_day, _desk.c.final_on.is_(None),
    )  # fmt: skip
    count = connection.execute(select(func.count()).select_from(_desk).where(*lapses)).scalar_one()
    order = select(_desk.c.job_id).where(*lapses).order_by(_desk.c.permit_expires_on, _desk.c.job_id)
    ids = connection.execute(order.limit(MOST_LISTED)).scalars().all()
    lines = lines_of(connection, organisation, ids)
    return tuple(lines[job_id] for job_id in ids), count


def _minutes(connection: Connection, organisation: int, issued: tuple[ColumnElement, ...]) -> list[float]:
    payload = tables.payload
    newest = select(_record.c.id).where(*issued).order_by(_record.c.id.desc()).limit(MOST_LOOKED_AT)
    # By their ids: a planner that joins would walk every content of the firm.
    ids = connection.execute(newest).scalars().all()
    query = (
        select(payload)
        .where(payload.c.organisation == organisation, payload.c.record.in_(ids), payload.c.name == PARCEL)
        .where(payload.c.salt.is_not(None))
        .order_by(payload.c.record.desc())
        .limit(MOST_TIMED)
    )
    parcels = bodies.filled(connection, connection.execute(query))
    spans = [_span(parcel.body) for parcel in parcels if parcel.body is not None]
    return [minutes for minutes in spans if minutes is not None]


def _span(parcel: bytes) -> float | None:
    """Minutes between the phone's two moments, None where they make no sense."""
    try:
        device = json.loads(parcel)["device"]
        began, signed = (datetime.fromisoformat(device[name]) for name in ("made_at", "signed_at"))
        minutes = (signed - began).total_seconds() / 60
    except (ValueError, KeyError, TypeError):
        return None
    return minutes if 0 < minutes <= LONGEST_MINUTES else None
