"""A page in which the phone's outbox runs over its real store, before a server that says what a test tells it to."""

from __future__ import annotations

import hashlib
import json
from typing import Any

from playwright.sync_api import Page

NUMBER = "C-000007"
BEGIN = """async () => {
  const { build } = await (await fetch("/phone/version.json")).json();
  const at = `/phone/${build}/phone/`;
  const names = ["outbox", "store", "api", "waiting", "drafts"];
  const [box, store, server, waiting] = await Promise.all(names.map((name) => import(`${at}${name}.js`)));
  Object.assign(window, { made: box.outbox, store, Unreachable: server.Unreachable, waiting });
  window.boxes = [];
  const unsigned = { parcel: null, parcel_sha256: null, state: "draft" };
  const during = {
    slow: () => new Promise((done) => setTimeout(done, 60)),
    changed: async () => store.put("drafts", { ...(await store.get("drafts", "one")), ...unsigned }),
  };
  // answers: path's beginning -> what is said, one after the other, the last one for ever
  window.opened = (answers, more = {}) => {
    const calls = [];
    const said = async (path, options = {}) => {
      calls.push(`${options.method ?? "GET"} ${path}`);
      const name = Object.keys(answers).find((one) => path.startsWith(one));
      const list = answers[name] ?? [{ status: 200, told: { missing: [] } }];
      const next = list.length > 1 ? list.shift() : list[0];
      if (next === null) throw new Unreachable("no connection");
      await during[next.during]?.();
      return { after: 0, told: {}, ...next };
    };
    const account = async () => {
      const { status, told } = await said("account");
      return status === 401 ? null : told;
    };
    const { locks, ...given } = more;
    const box = made({ store: more.store ?? store, api: { account, api: said }, now: () => more.now ?? 1795694400000,
      random: Math.random, ...(locks === undefined ? {} : { locks }) });
    boxes.push(box);
    return { box, calls };
  };
  window.sent = async (answers, how = "sendAll", ...given) => {
    const { box, calls } = opened(answers);
    await box[how](...given);
    box.stop();
    return { calls, drafts: await store.all("drafts"), sent: await store.all("sent"), photos: (await store.all("photos")).map((one) => one.id) };
  };
}"""
CLEAR = """async () => {
  boxes.splice(0).forEach((box) => box.stop());
  for (const shelf of ["drafts", "photos", "sent", "kept"]) {
    for (const one of await store.all(shelf)) await store.remove(shelf, one.id ?? one.key);
  }
}"""


def keep(page: Page, name: str = "one", photos: tuple[str, ...] = (), **different: Any) -> dict[str, Any]:
    """Put one signed job and its photos into the phone's store."""
    sums = [hashlib.sha256(one.encode()).hexdigest() for one in photos]
    text = json.dumps({"draft": name, "photos": [{"sha256": one, "kind": "gas_valve"} for one in sums]})
    draft = {
        "id": name, "state": "ready", "parcel": text, "parcel_sha256": hashlib.sha256(text.encode()).hexdigest(),
        "photos": [{"id": f"{name}-{at}", "sha256": one} for at, one in enumerate(sums)], "tries": 0,
        "next_try_at": None, "ready_at": "2026-11-26T11:00:00Z", "problem": None,
    } | different  # fmt: skip
    rows = [
        {"id": f"{name}-{at}", "draft": name, "sha256": one, "type": "image/jpeg"} for at, one in enumerate(sums)
    ]
    page.evaluate(
        """async ([draft, rows]) => {
          await store.put("drafts", draft);
          for (const row of rows) await store.put("photos", { ...row, bytes: new ArrayBuffer(4) });
        }""",
        [draft, rows],
    )
    return draft


def sent(page: Page, answers: dict[str, list[Any]], how: str = "sendAll", *given: Any) -> dict[str, Any]:
    who = {"status": 200, "told": {"now": "2026-11-26T12:00:00Z", "person": {"id": 1}}}
    found: dict[str, Any] = page.evaluate("(all) => sent(...all)", [{"account": [who], **answers}, how, *given])
    return found


def good(draft: dict[str, Any]) -> dict[str, Any]:
    said = {"number": NUMBER, "kind": "certificate", "content_sha256": draft["parcel_sha256"], "link": "/jobs/x/issued"}
    return {"status": 200, "told": said}


def no(status: int, code: str = "", **more: Any) -> dict[str, Any]:
    return {"status": status, "told": {"error": "It says why.", "code": code, **more}}
