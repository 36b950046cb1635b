"""The outbox over a real store, with a server that says what a test tells it to: every answer has its end state."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, Page

from tests.browser.outbox_page import BEGIN, CLEAR, NUMBER, good, keep, no, sent

pytestmark = pytest.mark.browser
@pytest.fixture(scope="module")
def opened(served: Any, chromium: Browser) -> Iterator[Page]:
    context = chromium.new_context(base_url=served.url)
    page = context.new_page()
    page.goto("/phone/version.json")
    page.evaluate(BEGIN)
    yield page
    context.close()


@pytest.fixture
def page(opened: Page) -> Page:
    opened.evaluate(CLEAR)
    return opened


def test_what_is_accepted_leaves_the_phone_and_only_that(page: Page) -> None:
    one, two = keep(page, "one", ("a", "b")), keep(page, "two", ("c",))
    found = sent(page, {"parcels/one": [good(one)], "parcels/two": [no(500, "broken")]})
    assert [draft["id"] for draft in found["drafts"]] == [two["id"]]
    assert found["photos"] == ["two-0"]
    assert [(row["id"], row["number"], row["link"]) for row in found["sent"]] == [("one", NUMBER, "/jobs/x/issued")]
    assert "answers" not in found["sent"][0]


NEEDS = [
    (401, "sign_in"), (403, "not_yours"), (409, "clashes"), (409, "issued_already"), (409, "other_content"),
    (413, "too_large"), (422, "fields"), (422, "unsigned"), (422, "judged_otherwise"), (422, "old_form"),
    (422, "bad_parcel"),
]  # fmt: skip


@pytest.mark.parametrize(("status", "code"), NEEDS)
def test_what_a_person_must_mend_waits_for_the_person(page: Page, status: int, code: str) -> None:
    keep(page)
    found = sent(page, {"parcels": [no(status, code, clashes={"q": {"here": "1"}}, number=NUMBER)]})
    (draft,) = found["drafts"]
    assert (draft["state"], draft["problem"]["code"]) == ("needs_you", code)
    assert draft["problem"]["says"]
    if code == "clashes":
        assert draft["problem"]["clashes"] == {"q": {"here": "1"}}
    assert draft["parcel"]


LATER: list[Any] = [
    no(400, "bad_request"), no(404, "not_found"), no(405, "not_possible"), no(409, "changed"), no(422, "unheard_of"),
    no(429, "too_many"), no(500, "broken"), no(503, "busy"), no(403, "proof"), no(403, "strange"),
    {"status": 200, "told": {}}, {"status": 200, "told": {"number": NUMBER, "content_sha256": "0" * 64}},
    {"status": 200, "told": {"number": 7}}, None,
]  # fmt: skip


@pytest.mark.parametrize("answer", LATER, ids=range(len(LATER)))
def test_what_may_pass_is_tried_again_by_itself(page: Page, answer: Any) -> None:
    keep(page, "one", ("a",))
    found = sent(page, {"parcels": [answer]})
    (draft,) = found["drafts"]
    assert (draft["state"], draft["tries"]) == ("retry", 1)
    says = draft["problem"]["says"].lower()
    assert says.count("no connection") == (answer is None)
    assert ".." not in says
    assert found["photos"] == ["one-0"]
    assert found["sent"] == []
    left = page.evaluate("(draft) => Date.parse(draft.next_try_at) - 1795694400000", draft)
    assert 1000 <= left <= 2000


def test_a_stale_proof_is_fetched_anew_once(page: Page) -> None:
    draft = keep(page)
    found = sent(page, {"parcels": [no(403, "proof"), good(draft)]})
    assert found["drafts"] == []
    assert found["calls"].count("GET account") == 2


def test_retry_after_is_honoured_and_bounded(page: Page) -> None:
    for asked, least, most in ((40, 40_000, 40_000), (10**9, 3_600_000, 3_600_000)):
        keep(page)
        (draft,) = sent(page, {"parcels": [{**no(429, "too_many"), "after": asked}]})["drafts"]
        left = page.evaluate("(draft) => Date.parse(draft.next_try_at) - 1795694400000", draft)
        assert least <= left <= most


def test_waits_double_to_five_minutes_with_a_random_half_taken_off(page: Page) -> None:
    waits = page.evaluate(
        """() => [1, 2, 5, 8, 9, 50].map((tries) => [0, 0.999999].map((part) =>
          Date.parse(waiting.nextTry(tries, 0, 0, () => part))))"""
    )
    assert [round(one) for one, _ in waits] == [1000, 2000, 16_000, 128_000, 150_000, 150_000]
    assert [round(most / 1000) for _, most in waits] == [2, 4, 32, 256, 300, 300]


def test_nobody_signed_in_and_no_connection_keep_everything(page: Page) -> None:
    keep(page)
    (draft,) = sent(page, {"account": [{"status": 401}]})["drafts"]
    assert (draft["state"], draft["problem"]["code"]) == ("needs_you", "sign_in")
    (draft,) = sent(page, {"account": [None]})["drafts"]
    assert draft["state"] == "retry"
    assert draft["problem"]["says"] == "No connection. It is sent by itself later."
    found = sent(page, {"parcels": [good(draft)]})
    assert found["drafts"] == []


def test_a_photo_that_is_not_taken_is_named_and_the_others_go(page: Page) -> None:
    draft = keep(page, "one", ("a", "b", "c"))
    sums = [one["sha256"] for one in draft["photos"]]
    wanted = [{"status": 200, "told": {"missing": missing}} for missing in (sums, [sums[1]])]
    taken = {f"photos/{one}": [{"status": 200, "told": {"sha256": one}}] for one in sums}
    bad = {f"photos/{sums[1]}": [no(415, "not_a_photo")]}
    found = sent(page, {"photos/wanted": wanted, **taken, **bad})
    (kept,) = found["drafts"]
    assert (kept["state"], kept["problem"]["code"]) == ("needs_you", "photo")
    assert "gas valve: It says why." in kept["problem"]["says"]
    assert [one for one in found["calls"] if one.startswith("PUT photos")] == [f"PUT photos/{one}" for one in sums]
    assert not [one for one in found["calls"] if one.startswith("PUT parcels")]
    again = sent(page, {"parcels": [no(500, "broken")]}, "sendWithout", "one", sums[1])
    (kept,) = again["drafts"]
    assert [one["sha256"] for one in json.loads(kept["parcel"])["photos"]] == [sums[0], sums[2]]
    assert kept["parcel_sha256"] == hashlib.sha256(kept["parcel"].encode()).hexdigest()


def test_photos_that_are_missing_are_sent_and_it_is_tried_again(page: Page) -> None:
    draft = keep(page, "one", ("a",))
    (sum_of,) = (one["sha256"] for one in draft["photos"])
    wanted = [{"status": 200, "told": {"missing": missing}} for missing in ([], [sum_of], [sum_of], [])]
    found = sent(page, {
        "photos/wanted": wanted, "photos/": [no(422, "damaged"), {"status": 200, "told": {"sha256": sum_of}}],
        "parcels": [no(422, "photos_missing", missing=[sum_of]), good(draft)],
    })  # fmt: skip
    assert found["drafts"] == []
    assert found["calls"].count(f"PUT photos/{sum_of}") == 2


def test_a_photo_gone_from_the_phone_is_named(page: Page) -> None:
    draft = keep(page, "one", ("a",))
    page.evaluate("() => store.remove('photos', 'one-0')")
    missing = [{"status": 200, "told": {"missing": [draft["photos"][0]["sha256"]]}}]
    (kept,) = sent(page, {"photos/wanted": missing})["drafts"]
    assert kept["problem"]["code"] == "photo"
    assert "not on this phone any more" in kept["problem"]["says"]


def test_what_was_changed_while_it_was_sent_stays_and_says_so(page: Page) -> None:
    draft = keep(page, "one", ("a",))
    found = sent(page, {"parcels": [{**good(draft), "during": "changed"}]})
    (kept,) = found["drafts"]
    assert (kept["state"], kept["problem"]["code"], kept["problem"]["number"]) == ("needs_you", "issued_already", NUMBER)
    assert found["photos"] == ["one-0"]
    assert found["sent"][0]["number"] == NUMBER


def test_a_signed_job_damaged_on_the_phone_is_not_sent(page: Page) -> None:
    draft = keep(page)
    keep(page, parcel=draft["parcel"] + " ", parcel_sha256=draft["parcel_sha256"])
    found = sent(page, {"parcels": [good(draft)]})
    assert found["drafts"][0]["problem"]["code"] == "damaged"
    assert not [one for one in found["calls"] if one.startswith("PUT")]


def test_a_crash_in_the_middle_of_sending_is_resumed_at_the_start(page: Page) -> None:
    draft = keep(page, state="sending")
    assert sent(page, {"parcels": [good(draft)]}, "begin")["drafts"] == []


@pytest.mark.parametrize("ahead", [-3 * 86_400, -5, 2 * 86_400, 400 * 86_400])
def test_a_clock_wrong_by_days_stops_nothing(page: Page, ahead: int) -> None:
    due = page.evaluate(
        """(ahead) => {
          const draft = { state: "retry", next_try_at: new Date(1795694400000 + ahead * 1000).toISOString() };
          return [waiting.isDue(draft, 1795694400000), waiting.dueIn(draft, 1795694400000)];
        }""",
        ahead,
    )
    assert due == [True, 250]


def test_a_wait_that_is_not_over_is_kept_to(page: Page) -> None:
    due = page.evaluate(
        """() => {
          const draft = { state: "retry", next_try_at: new Date(1795694400000 + 90000).toISOString() };
          return [waiting.isDue(draft, 1795694400000), waiting.dueIn(draft, 1795694400000)];
        }"""
    )
    assert due == [False, 90_000]


def test_how_long_it_waited_goes_by_the_server_s_clock_too(page: Page) -> None:
    keep(page, ready_at="2026-11-26T11:30:00Z", seen_at="2026-11-24T12:00:00Z")
    found = page.evaluate(
        """async () => {
          const { box } = opened({ account: [{ status: 200, told: { now: "2026-11-26T12:00:00Z" } }], parcels: [{ status: 500 }] });
          const before = await box.counts();
          await box.sendAll();
          return [before, await box.counts()];
        }"""
    )
    assert [round(one["oldest_s"]) for one in found] == [1800, 2 * 86_400]
    assert [one["late"] for one in found] == [False, True]
    assert found[1] | {"oldest_s": 0} == {
        "waiting": 1, "ready": 0, "sending": 0, "retry": 1, "needs_you": 0, "oldest_s": 0, "late": True,
    }  # fmt: skip


@pytest.mark.parametrize("locks", ["navigator.locks", "null"])
def test_several_tabs_send_one_at_a_time(page: Page, locks: str) -> None:
    drafts = [keep(page, f"job{n}") for n in range(4)]
    answers = {f"parcels/{one['id']}": [{**good(one), "during": "slow"}] for one in drafts}
    calls = page.evaluate(
        f"""async (answers) => {{
          const who = [{{ status: 200, told: {{ now: "2026-11-26T12:00:00Z" }} }}];
          const tabs = [0, 1, 2].map(() => opened({{ account: who, ...structuredClone(answers) }}, {{ locks: {locks} }}));
          await Promise.all(tabs.map(({{ box }}) => box.sendAll()));
          return tabs.flatMap(({{ calls }}) => calls).filter((one) => one.startsWith("PUT"));
        }}""",
        answers,
    )
    assert sorted(calls) == [f"PUT parcels/job{n}" for n in range(4)]
    assert page.evaluate("() => store.all('drafts')") == []


def test_a_full_phone_lets_a_sent_job_go(page: Page) -> None:
    draft = keep(page)
    answers = {"account": [{"status": 200, "told": {"now": "2026-11-26T12:00:00Z"}}], "parcels": [good(draft)]}
    left = page.evaluate(
        """async (answers) => {
          const full = { ...store, put: async () => { throw Object.assign(new Error("full"), { quota: true }); },
            changeTogether: async (steps) => {
              if (steps.some(([act]) => act === "put")) throw Object.assign(new Error("full"), { quota: true });
              return store.changeTogether(steps);
            } };
          await opened(answers, { store: full }).box.sendAll();
          return store.all("drafts");
        }""",
        answers,
    )
    assert left == []
