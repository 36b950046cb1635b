"""Many signed jobs through a network that fails: nothing lost, nothing twice, and the phone empty at the end.

    python tests/browser/outbox_soak.py 10000 [seed]

A real Chromium page runs the outbox that phones run, over its own store in IndexedDB, against the real server in a
process of its own, behind `fault_proxy`. The page is reloaded in the middle of sending now and then, and the server
killed and started again. Only the papers are fixed bytes instead of PDF.
"""

from __future__ import annotations

import base64
import json
import random
import socket
import subprocess
import sys
import tempfile
import time
import urllib.request
import uuid
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, Page, sync_playwright

ROOT = Path(__file__).parent.parent.parent
if __name__ == "__main__":
    sys.path.insert(0, str(ROOT))

from heaterapp import archive  # noqa: E402 - run as a program, the path is set first
from heaterapp.archive.canonical import sha256  # noqa: E402
from tests.browser.fault_proxy import FaultProxy  # noqa: E402
from tests.web.sent import listed, photo, signed  # noqa: E402

CHROMIUM = "/usr/bin/chromium"
FLAGS = ["--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking"]
PASSWORD = "copper-kettle-47"
BATCH = 40
RELOADED, KILLED = 0.4, 0.02
LONGEST_PASSES = 60
SERVE = """
import sys
from waitress import create_server
from heaterapp import create_app
def paper(record):
    return {f"{record.kind}.pdf".replace("_", "-"): b"%PDF fixed " + record.number.encode()}
app = create_app(DATA_DIR=sys.argv[1], RENDER=paper)
app.extensions["archive"].finish_pending(paper)
create_server(app, host="127.0.0.1", port=int(sys.argv[2]), threads=4).run()
"""
BEGIN = """async () => {
  const { build } = await (await fetch("/phone/version.json")).json();
  const at = `/phone/${build}/phone/`;
  const [box, store, server] = await Promise.all(["outbox", "store", "api"].map((name) => import(`${at}${name}.js`)));
  const api = { account: server.account, api: (path, given) => server.api(path, { ...given, limit: 3000 }) };
  Object.assign(window, { store, box: box.outbox({ store, api }) });
}"""
KEEP = """async (jobs) => {
  const bytes = (text) => Uint8Array.from(atob(text), (one) => one.charCodeAt(0)).buffer;
  for (const { draft, photos } of jobs) {
    const rows = photos.map(({ body, ...one }) => ["photos", { ...one, bytes: bytes(body) }]);
    await store.putTogether([["drafts", draft], ...rows]);
  }
}"""
SEND = """() => { window.passes = (async () => { await box.sendAll(); return (await box.counts()).waiting; })(); }"""
LEFT = """async () => ({ drafts: await store.all("drafts"), photos: (await store.all("photos")).length,
  sent: await store.all("sent") })"""


@dataclass
class Found:
    """What a run came to."""

    jobs: int = 0
    issued: int = 0
    lost: list[str] = field(default_factory=list)
    twice: list[str] = field(default_factory=list)
    other_content: list[str] = field(default_factory=list)
    other_number: list[str] = field(default_factory=list)
    left_on_phone: int = 0
    faults: tuple[str, ...] = ()
    injected: Counter[str] = field(default_factory=Counter)
    parcels_spoilt: set[str] = field(default_factory=set)
    calls: int = 0
    reloads: int = 0
    kills: int = 0
    seconds: float = 0

    @property
    def good(self) -> bool:
        wrong = (self.lost, self.twice, self.other_content, self.other_number, self.left_on_phone, self.faults)
        return not any(wrong) and self.issued == self.jobs

    def __str__(self) -> str:
        spoilt = ", ".join(f"{name} {count}" for name, count in sorted(self.injected.items()))
        return (
            f"{self.jobs} jobs sent in {self.seconds:.0f} s: {self.issued} certificates, {len(self.lost)} lost,"
            f" {len(self.twice)} twice, {len(self.other_content)} with other content,"
            f" {len(self.other_number)} told another number, {self.left_on_phone} left on the phone,"
            f" {len(self.faults)} faults in the archive; {self.calls} calls, {sum(self.injected.values())} spoilt"
            f" ({spoilt}), page reloaded {self.reloads}, server killed {self.kills} times"
        )


class Server:
    """The app in a process of its own, which may be killed at any moment."""

    def __init__(self, folder: Path):
        self.folder = folder
        with socket.socket() as one:
            one.bind(("127.0.0.1", 0))
            self.port = int(one.getsockname()[1])
        self.process = self._started()

    def _started(self) -> subprocess.Popen[bytes]:
        said = (self.folder / "said.txt").open("ab")
        command = [sys.executable, "-c", SERVE, str(self.folder), str(self.port)]
        started = subprocess.Popen(command, cwd=ROOT, stdout=said, stderr=said)
        said.close()
        for _ in range(600):
            try:
                urllib.request.urlopen(f"http://127.0.0.1:{self.port}/healthz", timeout=2)
                return started
            except OSError:
                time.sleep(0.1)
        raise RuntimeError((self.folder / "said.txt").read_text())

    def kill(self) -> None:
        self.process.kill()
        self.process.wait(20)
        self.process = self._started()

    def stop(self) -> None:
        self.process.terminate()
        self.process.wait(20)


def prepared(folder: Path) -> None:
    """A data folder with one installer."""
    store = archive.open_store(data_dir=folder)
    firm = store.organisations.default()
    store.organisations.save(firm.id, name="Harborlight Plumbing")
    store.people.add(firm.id, "riley", "Riley Okafor", "installer", PASSWORD)
    store.close()


def jobs(count: int, schedule: random.Random) -> Iterator[dict[str, Any]]:
    """Signed jobs as they stand in a phone's store, each with another address; every fourth with a photo."""
    whole = json.loads((ROOT / "tests/jobs/gas_storage_us_ca.json").read_text(encoding="utf-8"))["answers"]
    for number in range(count):
        pictures = [photo(number, (64 + number % 50, 48))] if number % 4 == 0 else []
        answers = {**whole, "address_street": f"{number + 1} Quay Rd"}
        draft = str(uuid.UUID(int=schedule.getrandbits(128), version=4))
        parcel = signed(answers, draft, photos=[listed(one) for one in pictures])
        text = json.dumps(parcel)
        rows = [
            {"id": f"{draft}-{at}", "draft": draft, "type": "image/jpeg", "sha256": parcel["photos"][at]["sha256"],
             "body": base64.b64encode(one).decode()} for at, one in enumerate(pictures)
        ]  # fmt: skip
        row = {
            "id": draft, "form": 1, "answers": answers, "state": "ready", "parcel": text, "photos": parcel["photos"],
            "parcel_sha256": sha256(text), "problem": None, "tries": 0, "next_try_at": None,
            "ready_at": "2026-11-26T03:04:05Z",
        }  # fmt: skip
        yield {"draft": row, "photos": rows}


def soak(browser: Browser, folder: Path, count: int, seed: int = 1, share: float = 0.3, say: Any = None) -> Found:
    """Send `count` jobs and hold what came of them against what was sent."""
    schedule = random.Random(seed)
    found, began, sent = Found(jobs=count), time.monotonic(), {}
    prepared(folder)
    server = Server(folder)
    try:
        with FaultProxy(server.port, seed, share) as proxy:
            page = _signed_in(browser, proxy.url)
            made = jobs(count, schedule)
            while batch := [job for _, job in zip(range(BATCH), made, strict=False)]:
                sent |= {job["draft"]["id"]: job["draft"]["parcel"] for job in batch}
                page.evaluate(KEEP, batch)
                _send_all(page, server, schedule, found)
                if say:
                    say(f"{len(sent)} of {count}, {time.monotonic() - began:.0f} s")
            left = page.evaluate(LEFT)
            found.injected, found.calls = proxy.injected, proxy.calls
            found.parcels_spoilt = proxy.by_kind[b"parcels"] - {"stall"}
            page.context.close()
    finally:
        server.stop()
    found.seconds = time.monotonic() - began
    _hold(folder, sent, left, found)
    return found


def _signed_in(browser: Browser, url: str) -> Page:
    page = browser.new_context(base_url=url).new_page()
    page.goto("/sign-in")
    page.fill("#login", "riley")
    page.fill("#password", PASSWORD)
    page.click("main button[type=submit]")
    page.wait_for_url(lambda at: "sign-in" not in at)
    _opened(page)
    return page


def _opened(page: Page) -> None:
    page.goto("/phone/version.json")
    page.evaluate(BEGIN)


def _send_all(page: Page, server: Server, schedule: random.Random, found: Found) -> None:
    if schedule.random() < RELOADED:
        page.evaluate(SEND)
        page.wait_for_timeout(schedule.random() * 1500)
        _opened(page)
        found.reloads += 1
    if schedule.random() < KILLED:
        page.evaluate(SEND)
        page.wait_for_timeout(schedule.random() * 1000)
        server.kill()
        found.kills += 1
    for _ in range(LONGEST_PASSES):
        page.evaluate(SEND)
        if not page.evaluate("() => passes"):
            return
    raise RuntimeError(f"still waiting after {LONGEST_PASSES} passes: {page.evaluate(LEFT)['drafts'][:1]}")


def _hold(folder: Path, sent: dict[str, str], left: dict[str, Any], found: Found) -> None:
    store = archive.open_store(data_dir=folder)
    firm = store.organisations.default().id
    numbers: Counter[str] = Counter()
    told = {one["id"]: one["number"] for one in left["sent"]}
    for draft, text in sent.items():
        kept = store.arrivals.by_draft(firm, draft)
        if kept is None or not store.records.status(firm, kept.record).finished:
            found.lost.append(draft)
            continue
        numbers[kept.number] += 1
        if len(store.records.of_job(firm, draft)) != 1:
            found.twice.append(draft)
        body = store.records.file(firm, kept.record, "parcel.json")
        if body != text.encode() or kept.content_sha256 != sha256(text):
            found.other_content.append(draft)
        if told.get(draft) != kept.number:
            found.other_number.append(draft)
    found.twice += [number for number, times in numbers.items() if times > 1]
    page = store.find(firm, limit=1)
    newest = page.hits[0].number if page.hits else ""
    found.issued = int(newest.rpartition("-")[2] or 0)
    found.left_on_phone = len(left["drafts"]) + left["photos"]
    found.faults = tuple(str(fault) for fault in store.verify().faults)
    store.close()


def main() -> int:
    count, seed = (int(sys.argv[1]) if len(sys.argv) > 1 else 10_000), int(sys.argv[2]) if len(sys.argv) > 2 else 1
    with sync_playwright() as driver, tempfile.TemporaryDirectory() as folder:
        browser = driver.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        found = soak(browser, Path(folder), count, seed, say=lambda line: print(line, flush=True))
        browser.close()
    print(found)
    return 0 if found.good else 1


if __name__ == "__main__":
    sys.exit(main())
