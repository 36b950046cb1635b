"""What a phone keeps of the pages: one build, whole or not at all, nothing of anybody; and it opens with the server gone."""

from __future__ import annotations

import re
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Error, Route

from heaterapp.phone_times import DRAFT

sys.path.insert(0, str(Path(__file__).parent))
from replaced import BUILD, KEPT, READY, Phone, Replaced, Tab, until

pytestmark = pytest.mark.browser
OWNER = "Odalys Brinkerhoff"
CACHED = """async () => {
  const found = {};
  for (const name of await caches.keys()) {
    const shelf = await caches.open(name);
    for (const request of await shelf.keys()) {
      const answer = await shelf.match(request);
      found[`${name} ${new URL(request.url).pathname}${new URL(request.url).search}`] = await answer.text();
    }
  }
  return found;
}"""
SHELVES = "() => caches.keys()"
OF_A_BUILD = re.compile("/phone/[0-9a-f]{16}/")
OTHER = """async () => (await (await fetch("/phone/version.json", { headers: { "Accept-Language": "es" } })).json()).build"""


def letters(tab: Tab, selector: str) -> list[str]:
    """The faces that the browser really draws a part of the page with."""
    session = tab.page.context.new_cdp_session(tab.page)
    session.send("DOM.enable")
    session.send("CSS.enable")
    root = session.send("DOM.getDocument")["root"]["nodeId"]
    node = session.send("DOM.querySelector", {"nodeId": root, "selector": selector})["nodeId"]
    return [one["familyName"] for one in session.send("CSS.getPlatformFontsForNode", {"nodeId": node})["fonts"]]


def kept(one: Phone) -> Tab:
    tab = one.start()
    tab.page.goto("/phone/")
    tab.soon(READY)
    tab.soon(KEPT)
    return tab


def test_after_a_whole_session_on_line_nothing_of_anybody_is_kept(server: Replaced, phone: Callable[..., Phone]) -> None:
    server.start("as it is")
    tab = phone().start()
    asked: list[str] = []
    tab.page.context.on("request", lambda request: asked.append(request.url))
    tab.sign_in([])
    tab.soon(READY)
    tab.soon(KEPT)
    name = str(DRAFT["id"])
    tab.put({**DRAFT, "answers": {**DRAFT["answers"], "owner_name": OWNER, "address_street": "77 Tallow Row"}})
    tab.go(f"{name}/water")
    tab.type(name, "house_pressure_psi", "64")
    tab.page.evaluate("fetch('/phone/api/account'); fetch('/phone/version.json'); fetch('/jobs'); fetch('/phone/api/jobs')")
    tab.page.goto("/jobs")
    tab.page.goto("/phone/")
    tab.soon(READY)
    tab.soon("async () => (await caches.keys()).some((name) => name.startsWith('fonts-'))")
    held = tab.page.evaluate(CACHED)
    addresses = {key.split(" ", 1)[1] for key in held}
    allowed = ("/fonts/", "/phone/engine/", "/phone/rules/", "/phone/pages/", "/phone/whole")
    # The build of the page, and after a while that of the other language.
    assert {one for one in addresses if not OF_A_BUILD.match(one) and not one.startswith(allowed)} == set()
    assert any(one.startswith(f"/phone/{tab.page.evaluate(BUILD)}/") for one in addresses)
    cookie = next(one["value"] for one in tab.page.context.cookies() if one["name"] == "heaterapp")
    everything = "\n".join(held.values())
    for secret in (OWNER, "77 Tallow Row", "Riley Okafor", "Harborlight", "J-20417", cookie, '"csrf"', "csrf-token"):
        assert secret not in everything, secret
    assert {one for one in asked if not one.startswith(server.url)} <= {"about:blank"}
    assert tab.faults == []


def test_every_address_of_the_pages_opens_with_the_server_gone_and_the_browser_new(
    server: Replaced, phone: Callable[..., Phone]
) -> None:
    server.start("as it is")
    one = phone(outlives=True)
    kept(one)
    one.close()
    server.stop()
    tab = one.start()
    for way in ("/phone/", "/phone", "/phone/?from=home", "/phone/index.html", "/phone#/new", "/phone/jobs/1"):
        tab.page.goto("about:blank")
        tab.page.goto(way, wait_until="commit")
        tab.soon(READY)
        assert tab.page.locator("#main h1").inner_text() in {"Jobs on this phone", "New job"}, way
        assert tab.page.evaluate("getComputedStyle(document.querySelector('.top')).display") != "inline", "no style sheet"
    for past in ("/phone/version.json", "/phone/api/account", "/phone/sw.js"):
        with pytest.raises(Error, match="ERR_CONNECTION_REFUSED"):
            tab.page.goto(past)
    assert tab.faults == []


def test_opening_waits_for_no_network(server: Replaced, phone: Callable[..., Phone]) -> None:
    server.start("as it is")
    one = phone()
    tab = kept(one)
    tab.soon("async () => (await caches.keys()).some((name) => name.startsWith('fonts-'))")
    # A network that takes every request and never answers, which is worse than none.
    one.context.route("**/*", lambda route: None)
    tab.page.goto("about:blank")
    tab.page.goto("/phone/#/new", wait_until="commit", timeout=5000)
    tab.soon("() => document.querySelector('#main h1')?.textContent === 'New job'", patience_s=5)


def test_a_file_that_is_gone_or_another_one_keeps_nothing_and_is_tried_again(
    server: Replaced, phone: Callable[..., Phone]
) -> None:
    server.start("as it is")
    one = phone()
    tab = one.start()
    answers: list[Callable[[Route], None]] = [
        lambda route: route.fulfill(status=404, body="gone"),
        lambda route: route.fulfill(status=200, body="<p>Sign in to this network</p>", content_type="text/javascript"),
        lambda route: route.abort(),
    ]
    tab.page.goto("/healthz")
    for answer in answers:
        one.context.route("**/phone/store.js", answer)
        failed = tab.page.evaluate("navigator.serviceWorker.register('/phone/sw.js', { scope: '/phone' }).then(async (one) => {"
            " const made = one.installing; await new Promise((done) => made.addEventListener('statechange', () =>"
            " ['redundant', 'activated'].includes(made.state) && done())); return made.state; })")  # fmt: skip
        assert failed == "redundant"
        assert tab.page.evaluate(SHELVES) == []
        one.context.unroute("**/phone/store.js", answer)
    tab.page.goto("/phone/")
    tab.soon(READY)
    tab.soon(KEPT)
    held = {key.split(" ", 1)[1] for key in tab.page.evaluate(CACHED)}
    assert any(address.endswith("/phone/store.js") for address in held)


def test_caches_of_builds_and_lettering_that_nobody_needs_are_taken_away(
    server: Replaced, phone: Callable[..., Phone]
) -> None:
    server.start("as it is")
    tab = kept(phone())
    for name in ("shell-0123456789abcdef", "shell-fedcba9876543210", "fonts-old", "engine-old"):
        tab.page.evaluate("(name) => caches.open(name)", name)
    tab.open()
    build = tab.page.evaluate(BUILD)
    until(lambda: "engine-old" not in tab.page.evaluate(SHELVES), "the old engine is taken away")
    left = set(tab.page.evaluate(SHELVES))
    assert f"shell-{build}" in left
    # The build before this one stays: a page of it may be opening.
    assert {one for one in left if one.startswith("shell-")} - {f"shell-{tab.page.evaluate(OTHER)}"} == {f"shell-{build}", "shell-fedcba9876543210"}
    assert len([one for one in left if one.startswith("fonts-")]) == 1


def test_lettering_that_came_in_part_does_not_count(server: Replaced, phone: Callable[..., Phone]) -> None:
    server.start("as it is")
    one = phone()
    tab = one.start()
    bold, lacking, regular = "**/fonts/B612-Bold.woff2", "/fonts/B612-Bold.woff2", "/fonts/B612-Regular.woff2"
    answers: list[Callable[[Route], None]] = [
        lambda route: route.abort(),
        lambda route: route.fulfill(status=404, body="gone"),
        lambda route: route.fulfill(status=200, body="Sign in to this network"),
    ]
    for answer in answers:
        one.context.route(bold, answer)
        tab.page.goto("/phone/")
        tab.soon(READY)
        tab.soon(f"async () => Boolean(await caches.match('{regular}'))")
        tab.page.wait_for_timeout(300)
        held = tab.page.evaluate(CACHED)
        assert not [key for key in held if key.startswith("fonts-") and key.endswith("/whole")]
        one.context.unroute(bold, answer)
    tab.soon(KEPT)
    # What another cache has of it, cut off, is not given either.
    put = f"async () => (await caches.open('engine-cut')).put('{lacking}', new Response('half'))"
    tab.page.evaluate(put)
    assert tab.page.evaluate(f"async () => (await (await fetch('{lacking}')).arrayBuffer()).byteLength") > 10_000
    tab.open()
    tab.soon(f"async () => ({CACHED})().then((held) => Object.keys(held).some((key) => /^fonts-.*whole$/.test(key)))")
    server.stop()
    tab.open()
    tab.soon("() => [...document.fonts].every((one) => one.status === 'loaded')")
    assert set(letters(tab, "h1")) == {"B612"}


def test_a_switch_takes_the_pages_off_the_phone_and_leaves_the_jobs(server: Replaced, phone: Callable[..., Phone]) -> None:
    server.start("as it is")
    tab = kept(phone())
    tab.put(DRAFT)
    server.start("as it is", HEATERAPP_OFFLINE="no")
    # The worker does it alone: a page that is broken cannot help.
    tab.page.goto("/healthz")
    tab.page.evaluate("navigator.serviceWorker.getRegistration('/phone/').then((one) => one.update())")
    tab.soon("async () => !(await navigator.serviceWorker.getRegistrations()).length && !(await caches.keys()).length")
    tab.open()
    assert tab.page.evaluate("navigator.serviceWorker.controller") is None
    assert tab.drafts() == {DRAFT["id"]: DRAFT}
    assert tab.page.evaluate("navigator.serviceWorker.getRegistrations().then((all) => all.length)") == 0
    build = server.start("as it is again")
    tab.open()
    tab.soon(KEPT)
    assert tab.page.evaluate(BUILD) == build
    assert tab.drafts() == {DRAFT["id"]: DRAFT}


def test_jobs_of_an_older_and_of_a_newer_form(server: Replaced, phone: Callable[..., Phone]) -> None:
    server.start("as it is")
    tab = kept(phone())
    old = {key: DRAFT[key] for key in ("id", "made_at", "changed_at", "answers")}
    newer: dict[str, Any] = {
        **DRAFT, "id": "00000000-0000-4000-8000-000000000002", "form": 99, "answers": {"address_street": "3 Gull Ln", "storage_gal": "50"},
        "of_tomorrow": {"a": [1, 2]},
    }  # fmt: skip
    tab.put(old)
    tab.put(newer)
    tab.open()
    assert tab.page.locator(".phone-job").count() == 2
    tab.go(f"{old['id']}/water")
    tab.type(str(old["id"]), "house_pressure_psi", "71")
    assert tab.drafts()[old["id"]]["form"] == 1
    tab.open(f"{newer['id']}/water")
    assert tab.page.locator("h1").inner_text() == "Made by a newer version"
    said = tab.page.locator("[data-answers]").inner_text()
    assert "3 Gull Ln" in said
    assert "Street address" in said
    assert tab.page.locator("main input, main select").count() == 0
    with tab.page.expect_download() as saved:
        tab.page.click("[data-save]")
    assert '"of_tomorrow":{"a":[1,2]}' in Path(saved.value.path()).read_text(encoding="utf-8")
    tab.open()
    assert tab.drafts()[newer["id"]] == newer, "it was changed"
    assert tab.faults == []


def test_each_form_is_brought_up_a_step_at_a_time_and_nothing_given_is_changed(
    server: Replaced, phone: Callable[..., Phone]
) -> None:
    server.start("as it is")
    tab = kept(phone())
    found = tab.page.evaluate("""async () => {
      const build = JSON.parse(document.getElementById("settings").textContent).build;
      const { broughtUp, isNewer, STEPS } = await import(`/phone/${build}/phone/older.js`);
      const { FORM, begun } = await import(`/phone/${build}/phone/drafts.js`);
      const steps = { ...STEPS, 1: (one) => ({ ...one, renamed: one.typed, form: 2 }), 2: (one) => ({ ...one, form: 3, added: true }) };
      const given = Object.freeze({ id: "x", answers: Object.freeze({ a: 1 }) });
      let lacking = "";
      try { broughtUp(given, { 0: STEPS[0] }, 3); } catch (fault) { lacking = fault.message; }
      return {
        given, up: broughtUp(given), third: broughtUp(given, steps, 3), same: broughtUp(given, steps, 0) === given, lacking, FORM,
        every: Object.keys(begun({}, null)).filter((key) => !(key in broughtUp({ id: "x", made_at: "", changed_at: "" }))),
        newer: [isNewer({ form: FORM + 1 }), isNewer({ form: FORM }), isNewer({})], complete: [...Array(FORM).keys()].every((at) => STEPS[at]),
      };
    }""")
    assert found["given"] == {"id": "x", "answers": {"a": 1}}
    assert found["up"]["form"] == found["FORM"]
    assert (found["up"]["answers"], found["up"]["typed"], found["up"]["state"]) == ({"a": 1}, {}, "draft")
    assert (found["third"]["form"], found["third"]["added"], found["third"]["renamed"]) == (3, True, {})
    assert found["every"] == [], "what a job begun today has and one brought up lacks"
    assert found["newer"] == [True, False, False]
    assert (found["same"], found["complete"], found["lacking"]) == (True, True, "this version cannot read a job of form 1")
