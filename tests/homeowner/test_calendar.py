"""The care calendar, read by another library than made it: dates, time zone, escaping, the same bytes again."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, timedelta
from itertools import islice, pairwise
from typing import Any
from zoneinfo import ZoneInfo

import pytest
import vobject
from dateutil.rrule import rrulestr

from heaterapp import homeowner
from heaterapp.homeowner.calendar import day_of_care, first_day
from heaterapp.homeowner.care import care_for
from heaterapp.homeowner.clock_changes import zone_of_calendar
from heaterapp.homeowner.zones import ZONES
from heaterapp.rules.postal import STATES
from tests.homeowner.records import BY_KIND, FIRM, known, of_kind, record

ZONE = "America/Los_Angeles"
PACIFIC = ZoneInfo(ZONE)
PLUMBER = ("relief", "anode", "expansion", "burner", "scale")


def calendar(made: Any, language: str = "en", settings: dict[str, Any] | None = None) -> bytes:
    return homeowner.care_calendar(known(made), language, settings)


def events(body: bytes) -> list[Any]:
    """The events as vobject reads them."""
    return list(vobject.readOne(body.decode("utf-8")).vevent_list)


def starts(event: Any, count: int) -> list[datetime]:
    """The first dates of an event by its rule, worked by dateutil on local time, each in its zone."""
    began = event.dtstart.value
    days = islice(rrulestr(event.rrule.value, dtstart=began.replace(tzinfo=None)), count)
    return [day.replace(tzinfo=began.tzinfo) for day in days]


def with_zone(name: str | None) -> dict[str, Any]:
    return {**FIRM, "settings": {"time_zone": name} if name else {}}


@pytest.mark.parametrize("kind", BY_KIND)
def test_every_care_of_the_heater_is_one_event_that_comes_again(kind: str) -> None:
    made = of_kind(kind)
    wanted = care_for(known(made))
    read = events(calendar(made))
    assert [one.summary.value for one in read] == [
        f"Water heater: {care.what.en[0].lower()}{care.what.en[1:]}" for care in wanted
    ]
    began = date.fromisoformat(made.facts.work_date)
    for event, care in zip(read, wanted, strict=True):
        dates = starts(event, 12)
        assert dates[0].date() == day_of_care(began, care)
        assert 0 <= (dates[0].date() - first_day(began, care.months)).days <= (28 if care.saturdays < 4 else 56)
        assert dates[0].date() - began >= timedelta(days=30 * care.months - 2)
        assert {day.weekday() for day in dates} == {5}
        hour, half = divmod(20 + care.after, 2)
        assert {(day.hour, day.minute) for day in dates} == {(hour, 30 * half)}
        months = [day.year * 12 + day.month for day in dates]
        assert {after - before for before, after in pairwise(months)} == {care.months}
        assert event.valarm.action.value == "DISPLAY"
        assert event.valarm.trigger.value == timedelta(days=-1)
        assert event.valarm.description.value == event.summary.value
        assert "manual" in event.description.value
        assert "C-000001" in event.description.value


@pytest.mark.parametrize("kind", BY_KIND)
@pytest.mark.parametrize("began", ["2026-01-02", "2026-01-31", "2026-04-25"])
def test_no_two_things_lie_on_one_minute_and_what_a_plumber_does_is_one_visit(kind: str, began: str) -> None:
    made = record(BY_KIND[kind], work_date=began)
    read = dict(zip((one.name for one in care_for(known(made))), events(calendar(made)), strict=True))
    moments = [moment for one in read.values() for moment in starts(one, 20)]
    assert len(set(moments)) == len(moments)
    days = {name: {moment.date() for moment in starts(one, 20)} for name, one in read.items()}
    visit = [days[name] for name in PLUMBER if name in days]
    assert all(one == visit[0] for one in visit)
    alone = [*(days[name] for name in ("alarm", "filter", "condensate", "flush", "straps") if name in days), *visit[:1]]
    assert sum(map(len, alone)) == len(set().union(*alone))


def test_ten_o_clock_stays_ten_o_clock_over_a_change_of_the_clocks() -> None:
    monthly = events(calendar(record("gas_storage_us_ca", work_date="2026-01-10")))[0]
    dates = starts(monthly, 12)
    offsets = {day.date().isoformat(): day.utcoffset() for day in dates}
    expected = {
        day.date().isoformat(): datetime(day.year, day.month, day.day, 10, tzinfo=PACIFIC).utcoffset()
        for day in dates
    }
    assert offsets == expected
    assert set(offsets.values()) == {timedelta(hours=-8), timedelta(hours=-7)}
    # In 2026 the clocks change on 8 March and on 1 November.
    assert [day.astimezone(UTC).hour for day in dates if day.year == 2026] == [18, *[17] * 8, 18, 18]


@pytest.mark.parametrize(
    "zone", [ZONE, "America/New_York", "Pacific/Honolulu", "America/Phoenix", "Europe/Madrid"]
)
def test_the_zone_that_is_sent_along_is_the_firm_s(zone: str) -> None:
    made = record("gas_storage_us_ca", firm=with_zone(zone))
    body = calendar(made)
    assert body.count(b"BEGIN:VTIMEZONE") == 1
    assert f"TZID={zone}:".encode() in body
    for event in events(body):
        for day in starts(event, 30):
            if day.year < 2045:
                there = datetime(day.year, day.month, day.day, day.hour, tzinfo=ZoneInfo(zone))
                assert day.utcoffset() == there.utcoffset(), day


def zone_in(body: bytes) -> str:
    """The zone that a calendar's events are in, empty for events of a whole day."""
    named = set(re.findall(rb"\r\nDTSTART;TZID=([^:]+):\d{8}T1[0-2][03]000\r\n", body))
    whole = set(re.findall(rb"\r\nDTSTART;VALUE=DATE:(\d{8})\r\n", body))
    assert len(named) == (not whole), body
    return named.pop().decode() if named else ""


def test_the_firm_s_zone_counts_as_it_was_then_as_it_is_now() -> None:
    old = record("gas_storage_upc_2021", firm=with_zone(None), address_state="FL")
    assert zone_in(calendar(old, settings={"time_zone": ZONE})) == ZONE
    kept = record("gas_storage_us_ca", firm=with_zone("America/Denver"))
    assert zone_in(calendar(kept, settings={"time_zone": ZONE})) == "America/Denver"


@pytest.mark.parametrize(
    ("job", "state", "zone"),
    [
        ("gas_storage_upc_2021", "NY", "America/New_York"), ("gas_storage_upc_2021", "hawaii", "Pacific/Honolulu"),
        # The address goes before the codes, and codes of a state stand for it where the address names none.
        ("gas_storage_us_ca", "CO", "America/Denver"), ("gas_storage_us_ca", None, ZONE),
        ("electric_storage_us_ut", None, "America/Denver"), ("electric_storage_us_wa", None, ZONE),
        # Two times in one state, a state that is none, and codes of no state: nobody guesses.
        ("gas_storage_us_ca", "FL", ""), ("gas_storage_us_ca", "AZ", ""), ("gas_storage_upc_2021", "Cal", ""),
        ("gas_storage_upc_2021", None, ""),
    ],
)  # fmt: skip
def test_without_the_firm_s_zone_it_is_that_of_the_place_where_one_is_known(job: str, state: str | None, zone: str) -> None:
    for firm in (None, "No/Where", "UTC"):
        assert zone_in(calendar(record(job, firm=with_zone(firm), address_state=state))) == zone


def test_every_zone_of_a_state_is_one_of_the_database_and_states_of_two_are_left_out() -> None:
    split = "AK AZ FL ID IN KS KY MI ND NE NV OR SD TN TX".split()
    assert sorted((*ZONES, *split)) == sorted(STATES)
    assert {ZoneInfo(zone).key for zone in ZONES.values()} == set(ZONES.values())


def test_a_whole_day_comes_by_the_same_rule_and_is_told_at_ten_the_day_before() -> None:
    made = record("gas_storage_upc_2021", firm=with_zone(None), address_state=None)
    timed = calendar(record("gas_storage_upc_2021", firm=with_zone(ZONE), address_state=None))
    body = calendar(made)
    assert b"VTIMEZONE" not in body
    assert b"DURATION" not in body
    for whole, event in zip(events(body), events(timed), strict=True):
        assert type(whole.dtstart.value) is date
        assert (whole.dtstart.value, whole.rrule.value) == (event.dtstart.value.date(), event.rrule.value)
        assert whole.valarm.trigger.value == timedelta(hours=-14)


@pytest.mark.parametrize(
    ("began", "months", "first"),
    [
        ("2024-02-29", 12, "2025-03-01"), ("2024-02-29", 1, "2024-04-06"), ("2026-01-31", 1, "2026-02-28"),
        ("2026-10-31", 12, "2027-11-06"), ("2026-09-05", 12, "2027-09-11"), ("2025-12-25", 3, "2026-03-28"), ("2025-12-29", 3, "2026-04-04"),
    ],
)  # fmt: skip
def test_a_leap_day_or_a_fifth_saturday_skips_no_year(began: str, months: int, first: str) -> None:
    assert first_day(date.fromisoformat(began), months).isoformat() == first
    if months == 12:
        made = record("gas_storage_us_ca", work_date=began)
        for event in events(calendar(made))[1:]:
            assert [day.year for day in starts(event, 20)] == list(range(int(first[:4]), int(first[:4]) + 20))


def test_no_day_of_forty_years_is_put_off_by_more_than_two_weeks_or_falls_on_a_fifth_saturday() -> None:
    for count in range(0, 40 * 366, 7):
        began = date(2020, 1, 1) + timedelta(days=count + count // 7 % 7)
        for months in (1, 3, 12):
            first = first_day(began, months)
            assert first.weekday() == 5
            assert first.day <= 28
            assert (first.year * 12 + first.month) - (began.year * 12 + began.month) in (months, months + 1)


def test_without_a_date_of_the_work_the_day_of_issue_counts_by_the_firm_s_clocks() -> None:
    # Five past midnight UTC on 1 March is still February in California.
    made = record("gas_storage_us_ca", issued_at="2026-03-01T00:05:00Z", work_date=None)
    assert events(calendar(made))[0].dtstart.value.date() == first_day(date(2026, 2, 28), 1)


AWKWARD = {
    "name": "Quay, Sons; and\\Daughters \U0001f6bf «Río»", "phone": "555-0100; ext. 9, night", "licence": "",
    "address": "", "settings": {"time_zone": ZONE},
}  # fmt: skip


@pytest.mark.parametrize("language", homeowner.LANGUAGES)
def test_commas_semicolons_backslashes_and_emoji_come_back_as_they_were(language: str) -> None:
    street = "12, Oak; Ave \\ Rear \U0001f3e0 Ñandú " + "very long name " * 8
    made = record("gas_storage_us_ca", firm=AWKWARD, address_street=street.strip())
    body = calendar(made, language)
    for event in events(body):
        assert event.location.value == made.facts.address
        assert AWKWARD["name"] in event.description.value
        assert AWKWARD["phone"] in event.description.value
        assert event.description.value.count("\n") == 2
    assert b"\r\nBEGIN:VEVENT" in body


def test_lines_are_folded_and_end_by_crlf_and_no_letter_is_cut() -> None:
    body = calendar(record("gas_storage_us_ca", firm=AWKWARD), "es")
    assert body.endswith(b"END:VCALENDAR\r\n")
    assert b"\n" not in body.replace(b"\r\n", b"")
    for line in body.split(b"\r\n"):
        assert len(line) <= 75
        line.decode("utf-8")
    needed = ("BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:", "CALSCALE:GREGORIAN")
    assert all(word in body.decode() for word in needed)


def test_the_words_are_in_the_language_and_the_ids_are_not() -> None:
    made = of_kind("gas_storage")
    english, spanish = events(calendar(made)), events(calendar(made, "es"))
    assert [one.uid.value for one in english] == [one.uid.value for one in spanish]
    assert len({one.uid.value for one in english}) == len(english)
    assert spanish[0].summary.value == "Calentador de agua: probar la alarma de monóxido de carbono"
    assert made.job_id.encode() not in calendar(made)
    assert b"http" not in calendar(made), "the private link's address does not leave with a calendar"


def test_a_later_paper_of_the_job_replaces_its_events_and_another_job_s_stay() -> None:
    first = record("gas_storage_us_ca")
    second = record("gas_storage_us_ca", issued_at="2027-02-01T01:00:00Z", work_date="2027-01-31")
    told = [events(homeowner.care_calendar(known(made, before), "en")) for before, made in enumerate((first, second))]
    ids = [[one.uid.value for one in some] for some in told]
    assert ids[0] == ids[1][: len(ids[0])]
    assert [{one.sequence.value for one in some} for some in told] == [{"1"}, {"3"}]
    assert [one.dtstart.value for one in told[0]] != [one.dtstart.value for one in told[1]]
    other = record("gas_storage_us_ca")
    other.job_id = "77" * 16
    assert not set(ids[0]) & {one.uid.value for one in events(calendar(other))}


def test_what_a_later_paper_no_longer_needs_is_taken_back() -> None:
    first = record("gas_storage_us_ca")
    second = record("gas_storage_us_ca", expansion_device="none")
    before, after = (events(homeowner.care_calendar(known(made, at), "en")) for at, made in enumerate((first, second)))
    cancelled = {one.uid.value for one in after if hasattr(one, "status") and one.status.value == "CANCELLED"}
    still = {one.uid.value for one in after} - cancelled
    assert len(still) == len(care_for(known(second))) < len(before)
    assert {one.uid.value for one in before} - still <= cancelled
    assert not any(hasattr(one, "status") for one in before)


def test_nothing_is_taken_back_that_no_earlier_paper_can_have_had() -> None:
    def cancelled(now: Any, *earlier: Any, told: bool = True) -> list[str]:
        papers = [known(one) for one in earlier] if told else None
        made = events(homeowner.care_calendar(known(now, max(1, len(earlier))), "en", None, papers))
        return [one.summary.value for one in made if hasattr(one, "status")]

    gas, bare = record("gas_storage_us_ca"), record("gas_storage_us_ca", expansion_device="none")
    assert cancelled(gas, gas) == cancelled(gas, bare) == cancelled(gas, told=False) == []
    assert cancelled(bare, gas) == cancelled(bare, gas, bare) == ["Water heater: air in the expansion tank"]
    assert cancelled(bare, bare) == [], "it was never told of"
    assert cancelled(bare, told=False) == ["Water heater: air in the expansion tank"]
    # The first paper named another kind of heater.
    assert "Water heater: clean the air filter" in cancelled(gas, of_kind("heat_pump_storage"))


def test_the_stamp_is_the_record_s_and_the_bytes_are_the_same_again() -> None:
    made = record("gas_storage_us_ca")
    assert {one.dtstamp.value for one in events(calendar(made))} == {datetime(2026, 11, 26, 1, tzinfo=UTC)}
    assert calendar(made) == calendar(record("gas_storage_us_ca"))
    zone_of_calendar.cache_clear()
    assert calendar(record("gas_storage_us_ca"), "es") == calendar(made, "es")
