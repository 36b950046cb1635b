"""Every view of the phone's pages, with jobs in every state they can be in: to look at, and for the tests that walk them."""

from __future__ import annotations

import hashlib
import json
from datetime import UTC, datetime, timedelta
from typing import Any

from playwright.sync_api import Page
from typing_in import job_answers

READY = "() => document.documentElement.dataset.ready === 'yes'"
PUT = """async ([drafts, kept, sent]) => {
  const base = await new Promise((done) => { const asked = indexedDB.open("heaterapp"); asked.onsuccess = () => done(asked.result); });
  const run = base.transaction(["drafts", "kept", "sent"], "readwrite");
  for (const [shelf, rows] of [["drafts", drafts], ["kept", kept], ["sent", sent]]) for (const row of rows) run.objectStore(shelf).put(row);
  await new Promise((done) => { run.oncomplete = done; });
  base.close();
}"""
MADE = """async () => {
  const { build } = await (await fetch("/phone/version.json")).json();
  await (await import(`/phone/${build}/phone/store.js`)).open();
}"""
NEEDS = {
    "sign_in": "Sign in again to send this. Nothing is lost.",
    "not_yours": "This job was begun by Riley Okafor, and June Adeyemi is signed in.",
    "clashes": "This job was changed at the office while it was on this phone.",
    "issued_already": "This job was issued from another phone as C-000041.",
    "other_content": "This job was sent before with other answers, and issued as C-000041.",
    "too_large": "This job is larger than the server takes.",
    "fields": "The server could not read one answer: House pressure.",
    "unsigned": "The signature is missing.",
    "judged_otherwise": "The office judges this job otherwise than this phone did. Look at it and sign again.",
    "old_form": "This job was kept by an older version of this page.",
    "bad_parcel": "The server could not read this job.",
    "damaged": "What this phone kept of the signed job is not what was signed. Look at it and sign again.",
    "photo": "Everything is ready but one photo (gas valve: it is no picture.) Take it again, or send without it.",
}
CLASHES = {
    "house_pressure_psi": {"label": "House pressure", "here": "64 psi", "there": "58 psi"},
    "room": {"label": "Where the heater stands", "here": "Garage", "there": "not answered"},
}


def iso(hours: float = 0.0) -> str:
    """This moment, or so many hours before it."""
    return (datetime.now(UTC) - timedelta(hours=hours)).isoformat(timespec="milliseconds").replace("+00:00", "Z")


def draft(name: str, answers: dict[str, Any], hours: float = 0.0, **different: Any) -> dict[str, Any]:
    """A job as the phone keeps it, changed so many hours ago."""
    at = iso(hours)
    return {
        "id": name, "form": 1, "job": None, "base": None, "made_at": at, "changed_at": at, "who": None, "answers": answers,
        "typed": {}, "boxes": {}, "at": "job", "told": None, "signatures": None, "photos": [], "state": "draft", "parcel": None,
        "parcel_sha256": None, "problem": None, "tries": 0, "next_try_at": None, "ready_at": None, "number": None, "link": None,
    } | different  # fmt: skip


def signed(name: str, street: str, state: str = "ready", hours: float = 0.0, **different: Any) -> dict[str, Any]:
    """A signed job that waits to be sent."""
    answers = {**job_answers("gas_storage_us_ca"), "address_street": street}
    text = json.dumps({"form": 1, "draft": name, "job": None, "base": None, "answers": answers, "photos": []})
    own = {"state": state, "parcel": text, "parcel_sha256": hashlib.sha256(text.encode()).hexdigest(), "ready_at": iso(hours)}
    return draft(name, answers, hours, **{**own, **different})


def all_jobs() -> list[dict[str, Any]]:
    """One job in each state, and jobs of each kind in hand."""
    gas, amps = job_answers("gas_storage_us_ca"), job_answers("electric_storage_us_ca")
    fix, pump = job_answers("gas_storage_to_fix"), job_answers("heat_pump_upc_2021")
    part = {"heater_kind": "gas_storage", "job_kind": "same_place", "place": "us_ca_2022", "storage_gal": "400",
            "gas_leak_test": "failed", "address_street": "6 Sandbar Lane", "address_city": "Port Larkin"}  # fmt: skip
    return [
        draft("gas", gas), draft("amps", amps, 1), draft("pump", pump, 2), draft("fix", fix, 3),
        draft("part", part, 4, typed={"house_pressure_psi": "sixty"}, boxes={"house_pressure_psi": {"": "sixty"}}),
        draft("newer", {**gas, "address_street": "8 Later Street"}, 5, form=2), draft("bare", {}, 6),
        signed("ready", "1 Ready Road"), signed("sending", "2 Sending Street", "sending"),
        signed("retry", "3 Retry Row", "retry", 2, problem={"code": "retry", "says": "No connection (Failed to fetch). It is sent by itself later."}),
        *(signed(code, f"{at + 10} Needs Court", "needs_you", 1, problem={"code": code, "says": says, **_more(code)}) for at, (code, says) in enumerate(NEEDS.items())),
    ]  # fmt: skip


def _more(code: str) -> dict[str, Any]:
    if code == "clashes":
        return {"clashes": CLASHES, "there_answers": {"house_pressure_psi": "58"}, "revision": 3}
    if code == "photo":
        return {"photos": [{"sha256": "0" * 64, "kind": "gas_valve", "says": "it is no picture."}]}
    return {}


SENDS_NOTHING = """(() => {
  const kept = Object.assign(new EventTarget(), { installing: null, waiting: null, active: null, update: async () => {} });
  if (navigator.serviceWorker) navigator.serviceWorker.register = async () => kept;
  const { fetch } = globalThis;
  const sending = (what) => String(what.url ?? what).includes("/phone/api/parcels/");
  globalThis.fetch = (what, ...how) => sending(what) ? Promise.reject(new TypeError("Failed to fetch")) : fetch(what, ...how);
})();"""
SENT = [
    {"id": "s1", "number": "C-000012", "kind": "certificate", "link": "/jobs/s1/issued", "sent_at": iso(3)},
    {"id": "s2", "number": "L-000004", "kind": "correction_list", "link": "/jobs/s2/issued", "sent_at": iso(30)},
]


def put(page: Page, drafts: list[dict[str, Any]], sent: list[dict[str, Any]] = SENT) -> None:
    """Put jobs into the phone's store."""
    page.evaluate(PUT, [drafts, [], sent])


def quiet(page: Page) -> None:
    """Nothing is sent and nothing is kept: the views stay as they are. By routes each file were fetched anew for each test."""
    page.add_init_script(SENDS_NOTHING)


def opened(page: Page, drafts: list[dict[str, Any]], sent: list[dict[str, Any]] = SENT) -> None:
    """The phone's pages with these jobs on the phone, ready."""
    quiet(page)
    # The store is made by its own script beside a plain page, so that the phone's pages are loaded once.
    page.goto("/healthz")
    page.evaluate(MADE)
    put(page, drafts, sent)
    page.goto("/phone/")
    page.wait_for_function(READY)


def show(page: Page, way: str) -> None:
    """Go to a view as a link does, and wait until it stands and is judged."""
    page.evaluate(LEAVE, way)
    page.wait_for_function(SHOWN)


LEAVE = """way => {
  document.querySelector("#main > *").dataset.before = "";
  if (location.hash === `#/${way}`) dispatchEvent(new HashChangeEvent("hashchange"));
  else location.hash = `/${way}`;
}"""
SHOWN = """() => document.querySelector("#main > :not([data-before])") && !document.querySelector("#main [aria-busy]")"""
