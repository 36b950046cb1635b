"""A newer build at the server while jobs are open: three of the runs of update_runs.py, and what must hold a page back."""

from __future__ import annotations

import hashlib
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Playwright, Route

from heaterapp import phone_python
from heaterapp.phone_times import DRAFT

sys.path.insert(0, str(Path(__file__).parent))
from replaced import BUILD, Phone, Replaced, until
from update_runs import NEWER, WAYS, Run, one_run

pytestmark = pytest.mark.browser
JUDGES = "() => document.querySelector('[data-engine]').textContent.includes('Judges on this phone')"
BESIDE = """async () => {
  const whole = [];
  for (const name of (await caches.keys()).filter((one) => /^(engine|rules)-/.test(one)).sort()) {
    if (await (await caches.open(name)).match("/phone/whole")) whole.push(name);
  }
  return whole;
}"""
FULL = "() => { IDBObjectStore.prototype.put = () => { throw new DOMException('full', 'QuotaExceededError'); }; }"


@pytest.fixture
def run(server: Replaced, driver: Playwright, chromium: Browser, tmp_path: Path) -> Iterator[Run]:
    one = Run(server, Phone(driver, tmp_path / "profile", server.url, browser=chromium), 0)
    # Whichever build the test before left there is the older one.
    if server.serves is None or server.serves[1]:
        server.another()
    yield one
    one.phone.close()


@pytest.fixture
def judging(server: Replaced, driver: Playwright, chromium: Browser, tmp_path: Path) -> Iterator[Run]:
    """A run whose server gives the Python for phones."""
    assert phone_python.packed_files(), "the Python for phones is not here: run 'sh .ci/test' once"
    one = Run(server, Phone(driver, tmp_path / "profile", server.url, browser=chromium), 0)
    one.environ = {"HEATERAPP_ENGINE": str(phone_python.python_folder())}
    one.newer()
    yield one
    one.phone.close()


@pytest.mark.parametrize("way", ["two_tabs", "killed_meanwhile"])
def test_an_update_with_open_jobs(
    server: Replaced, driver: Playwright, chromium: Browser, tmp_path: Path, way: str
) -> None:
    number = [one.__name__ for one in WAYS].index(way)
    found = one_run(driver, tmp_path, server, number, whole=False, browser=None if way == "killed_meanwhile" else chromium)
    assert found.typed
    assert found.reloads <= 1


def test_a_page_that_is_out_of_sight_for_a_picture_waits_for_it(run: Run) -> None:
    tab = run.begin()
    name = run.job(tab, "water")
    build = run.newer()
    tab.nudge()
    tab.soon(NEWER)
    # The camera is opened by such a box wherever a page has one; it is out of sight until the picture is there.
    tab.page.evaluate("""() => {
      const box = Object.assign(document.createElement("input"), { type: "file", id: "picture" });
      document.querySelector("#main").append(box);
      box.addEventListener("click", (event) => event.preventDefault());
      box.click();
    }""")
    tab.hide()
    tab.page.wait_for_timeout(1500)
    assert tab.loads == 0, "the page was reloaded under the camera"
    tab.hide(False)
    tab.page.evaluate("document.querySelector('#picture').dispatchEvent(new Event('change', { bubbles: true }))")
    tab.hide()
    run.changed(tab, build)
    assert tab.drafts()[name]["boxes"]["house_pressure_psi"][""] == run.typed[name][1]


def test_a_new_job_that_is_being_typed_is_not_reloaded_away(run: Run) -> None:
    tab = run.begin()
    tab.page.evaluate("location.hash = '/new'")
    tab.page.fill("#address_street", "9 Quay Rd")
    run.newer()
    tab.nudge()
    tab.soon(NEWER)
    tab.hide()
    tab.page.wait_for_timeout(1500)
    assert tab.loads == 0
    assert tab.page.locator("[data-newer] button").is_hidden()
    assert tab.page.input_value("#address_street") == "9 Quay Rd"


def test_a_job_that_is_being_sent_is_let_through_first(run: Run) -> None:
    tab = run.begin()
    held: list[Route] = []
    tab.page.context.route("**/phone/api/parcels/**", lambda route: held.append(route))
    parcel = '{"form":1,"photos":[]}'
    tab.put({**DRAFT, "state": "ready", "parcel": parcel, "parcel_sha256": hashlib.sha256(parcel.encode()).hexdigest()})
    tab.open()
    until(lambda: tab.page.wait_for_timeout(50) or bool(held), "it is being sent")
    build = run.newer()
    tab.nudge()
    tab.soon(NEWER)
    tab.page.wait_for_timeout(1500)
    assert tab.loads == 0, "the page was reloaded under a job that is being sent"
    held[0].fulfill(status=503, json={"error": "Not now.", "code": "later"})
    run.changed(tab, build)
    assert tab.drafts()[DRAFT["id"]]["parcel"] == parcel


def test_a_job_that_cannot_be_saved_holds_the_page(run: Run) -> None:
    tab = run.begin()
    name = run.job(tab, "water")
    run.newer()
    tab.nudge()
    tab.soon(NEWER)
    tab.page.evaluate(FULL)
    tab.page.click("#q-house_pressure_psi")
    tab.page.keyboard.type("3")
    tab.page.click("[data-newer] button")
    tab.soon("() => document.querySelector('[data-line]').textContent.includes('could not be put in')")
    tab.page.wait_for_timeout(500)
    assert tab.loads == 0
    assert "no room left" in tab.page.locator("[data-line]").inner_text()
    assert tab.page.evaluate("document.body.inert") is False
    assert tab.page.input_value("#q-house_pressure_psi") != run.typed[name][1]


def test_a_page_that_stays_as_it_is_makes_no_circle_of_reloads(run: Run) -> None:
    tab = run.begin()
    tab.page.add_init_script("""
      const whole = Object.getOwnPropertyDescriptor(HTMLScriptElement.prototype, "textContent");
      Object.defineProperty(HTMLScriptElement.prototype, "textContent", {
        ...whole,
        get() {
          const text = whole.get.call(this);
          return this.id === "settings" ? text.replace(/"build": "[0-9a-f]+"/, '"build": "ffffffffffffffff"') : text;
        },
      });
    """)
    tab.open()
    tab.soon("() => sessionStorage.getItem('changed-to')")
    tab.soon(NEWER)
    before = tab.loads
    tab.page.wait_for_timeout(2500)
    assert tab.loads == before <= 1, "once, for it might have helped"
    assert tab.page.evaluate(BUILD) == "ffffffffffffffff"


def test_a_newer_build_is_asked_for_at_the_start_in_sight_and_every_half_hour(run: Run) -> None:
    tab = run.begin()
    asked: list[str] = []
    tab.page.on("request", lambda one: asked.append(one.url) if one.url.endswith("version.json") else None)
    tab.page.clock.install()
    tab.open()

    def soon(times: int, what: str) -> None:
        # What the page asked is heard only while one waits by its own clock.
        def heard() -> bool:
            tab.page.wait_for_timeout(50)
            return len(asked) == times

        until(heard, what)

    soon(1, "asked at the start")
    tab.nudge()
    soon(2, "asked when it comes into sight")
    tab.page.clock.run_for("29:00")
    tab.page.wait_for_timeout(500)
    assert len(asked) == 2
    tab.page.clock.run_for("01:30")
    soon(3, "asked after half an hour")
    tab.page.clock.run_for("30:00")
    soon(4, "and after another")


def test_going_back_to_an_older_build_is_an_update_like_another(run: Run) -> None:
    tab = run.begin()
    name = run.job(tab, "plate")
    first, older = tab.page.evaluate(BUILD), run.served.serves[0]
    tab.page.evaluate("location.hash = '/'")
    build = run.newer()
    tab.nudge()
    run.changed(tab, build)
    tab.loads = 0
    assert run.served.start(older) == first
    tab.nudge()
    run.changed(tab, first)
    tab.go(f"{name}/plate")
    run.alive(tab, name, "plate")
    run.whole()


def test_the_engine_is_kept_over_an_update_and_newer_rules_come_with_their_build(judging: Run) -> None:
    run = judging
    tab = run.begin()
    name = run.job(tab, "water")
    tab.page.evaluate("location.hash = '/'")
    tab.soon(JUDGES)
    tab.soon(BESIDE)
    before = tab.page.evaluate(BESIDE)
    newer = {"heaterapp/rules/units.py": "\n# Of the newer build.\n"}
    build = run.served.start("newer rules", newer, **run.environ)
    tab.nudge()
    run.changed(tab, build)
    tab.soon(JUDGES)
    until(lambda: [one for one in tab.page.evaluate(BESIDE) if one in before] == before[:1], "only the old rules are gone")
    assert len(tab.page.evaluate(BESIDE)) == 2
    run.served.stop()
    tab.open(f"{name}/water")
    tab.soon(JUDGES)
    tab.type(name, "house_pressure_psi", "95")
    tab.soon("() => document.querySelector('[data-said=house_pressure_psi]').textContent.includes('95')")
