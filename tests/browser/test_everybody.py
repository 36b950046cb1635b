"""Every page for everybody: axe at 360 and 1280 px, no sideways scroll at 320 px.

The suite looks at each page by axe at one of its widths, which go round, and at half of the pages in each theme;
`--whole` at all.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page

sys.path.insert(0, str(Path(__file__).parent))

from typing_in import AXE, UNFOLD, axe_faults, job_answers

from heaterapp import rules
from heaterapp.certificate import render_here
from heaterapp.issue import submission
from heaterapp.rules import SECTIONS
from tests.grids import some

pytestmark = pytest.mark.browser
WIDEST = """() => [...document.querySelectorAll("body *")]
  .filter(e => e.getBoundingClientRect().right > document.documentElement.clientWidth + 1 || (e.clientWidth && e.scrollWidth > e.clientWidth + 1))
  .slice(-3).map(e => e.outerHTML.slice(0, 90))"""

# A figure's name and value are read as they stand: no number on two lines, nothing squeezed beside it.
SQUEEZED = """() => [...document.querySelectorAll(".figures summary > b")].filter((one) => one.checkVisibility() && one.getClientRects().length)
  .filter((one) => one.getBoundingClientRect().height > 1.6 * parseFloat(getComputedStyle(one).lineHeight)).map((one) => one.textContent)"""
SMALL = """() => [...document.querySelectorAll(":is(.line-link, .button, button.link, .ways a, summary)")]
  .map((one) => [one, one.getBoundingClientRect()]).filter(([one, box]) => one.checkVisibility({ visibilityProperty: true }) && (box.height < 43.5 || box.width < 43.5))
  .map(([one, box]) => `${one.textContent.trim().slice(0, 40)} ${box.width} x ${box.height}`)"""

TOWN = rules.read_amendments({
    "name": "town", "title": "Port Larkin water amendments", "version": 1, "on": "2026-01-01", "base": "us_ca_2022",
    "clauses": {"supply.pressure_limit": {"section": "15.04", "says": "At most 70 psi.", "values": {"limit": "70"}}},
})  # fmt: skip


@pytest.fixture(scope="session")
def told(served: Any) -> dict[str, str]:
    """Addresses of one of everything: a job in hand, one that fails, papers of each kind, a homeowner's link."""
    store = served.store()
    firm = store.organisations.default()
    riley = store.people.by_login(firm.id, "riley")
    held: dict[str, str] = {}
    names = {"certificate": ("gas_storage_us_ca", {}), "list": ("gas_storage_to_fix", {}),
             "amps": ("electric_storage_us_ca", {}),
             "findings": ("gas_storage_us_ca", {"job_kind": "existing", "install_year": 2015})}  # fmt: skip
    for key, (name, different) in names.items():
        answers = {k: v for k, v in {**job_answers(name), **different}.items()}
        job = store.jobs.create(firm.id, riley.id, answers)
        held[key + "_job"] = job.id
        if key == "amps":
            continue
        if key == "certificate":
            held["job"] = store.jobs.create(firm.id, riley.id, answers).id
        job = store.jobs.save_signature(
            firm.id,
            job.id,
            {
                "signatures": [
                    {
                        "name": "Riley Okafor",
                        "role": "installer",
                        "statement": "Mine.",
                        "method": "typed",
                        "at": "2026-11-25T10:00:00Z",
                    }
                ]
            },
        )
        issued = store.issue_and_finish(submission(riley, job, f"{job.id}.1"), render_here)
        held[key] = issued.number
        if key == "certificate":
            token, _ = store.shares.make(firm.id, issued.record, riley.id)
            held["share"] = token
            held["check"] = f"/check?number={issued.number}&code={issued.check_code}"
            store.holds.place(firm.id, job.id, riley.id, "claim 77")
            # Nobody is at that port: the mail waits, and says why.
            nobody = {"host": "localhost", "port": 1, "security": "none", "sender": "papers@example.com"}
            store.organisations.save_settings(firm.id, {"mail": nobody})
            store.mails.ask(firm.id, issued.record, riley.id, "dana@example.com", "es", "a-key-of-mail")
            for view in ("paper", "insurer", "address"):
                given = (view, "Bay Insurance", "claim 77", True)
                held[view] = str(store.copies.give(firm.id, issued.record, riley.id, *given))
        if key == "findings":
            store.void(firm.id, issued.record, riley.id, "looked at the wrong heater")
    store.amendments.save(firm.id, riley.id, TOWN)
    held["invite"], _ = store.invites.make(firm.id, store.people.by_login(firm.id, "tomas").id, "Sam Reyes", "office")
    held["partial"] = store.jobs.create(
        firm.id,
        riley.id,
        {
            "heater_kind": "gas_storage",
            "place": "us_ca_2022",
            "gas_leak_test": "failed",
            "storage_gal": "400",
        },
    ).id
    store.close()
    return held


def _pages(told: dict[str, str]) -> list[tuple[str | None, str]]:
    mine = [f"/jobs/{told['job']}/{s}" for s in SECTIONS]
    amps = [f"/jobs/{told['amps_job']}/{s}" for s in ("plate", "electric")]
    part = [f"/jobs/{told['partial']}/{s}" for s in ("water", "vent", "place", "alarms")]
    return [
        (None, "/sign-in"), (None, "/check"), (None, told["check"]), (None, "/manual"), (None, "/manual/coverage"), (None, "/manual/venting.capacity"), (None, f"/s/{told['share']}"), (None, f"/s/{told['share']}?lang=es"), (None, "/nowhere"),
        ("riley", "/jobs"), ("riley", "/jobs/new"), *(("riley", p) for p in (*mine, *amps, *part)),
        ("riley", f"/jobs/{told['job']}/review"), ("riley", f"/jobs/{told['partial']}/review"), ("riley", f"/jobs/{told['list_job']}/review"),
        ("riley", f"/jobs/{told['job']}/sign"), ("riley", f"/jobs/{told['certificate_job']}/issued"), ("riley", f"/jobs/{told['list_job']}/issued"),
        ("june", "/office"), ("june", "/office?q=oak"), ("june", f"/office/records/{told['certificate']}"), ("june", f"/office/records/{told['list']}"),
        ("tomas", "/office/firm"), ("tomas", "/office/firm/usual"), ("tomas", "/office/backups"), ("tomas", "/office/people"), ("june", "/account"), (None, f"/invite/{told['invite']}"), ("june", "/office/phone"), ("june", "/office/amendments"), ("june", "/office/amendments/town"), ("june", "/office/amendments/town/clause?clause=supply.pressure_limit"), ("tomas", "/jobs"),
        ("june", "/office/log"), ("june", "/office/mail"), ("june", f"/office/records/{told['findings']}"), ("tomas", f"/office/records/{told['certificate']}/keep"),
        *(("june", f"/office/records/{told['certificate']}/{page}") for page in ("correct", "void", "copy", *(f"copy/{told[view]}" for view in ("paper", "insurer", "address")))),
        ("june", "/office/recheck"), ("june", "/office/sweep"), ("june", "/office/sweep?day_from=2020-01-01&serial_from=x&model=%2F"), ("june", "/office/sweep?day_from=2020-01-01"),
        ("riley", f"/jobs/{told['job']}/codes"), ("june", "/office/amendments/new"), ("june", "/office/amendments/new?title=Own+town&base=us_ca_2022&on=2026-01-01"),
    ]  # fmt: skip


THEMES = ("light", "dark", "glare")
WIDE_SECTIONS = ("plate", "electric", "vent")


def _kind(path: str) -> str:
    """Return which template makes the page: its address without numbers, ids and what is asked."""
    return re.sub(r"/[^/?]*\d[^/?]*", "/*", path.partition("?")[0])


def _at_a_desk(paths: list[str]) -> set[str]:
    """Return which are looked at 1280 px wide too: the last of each kind, as the fuller one, and three of a job's sections."""
    last = {_kind(path): path for path in paths}
    narrow = {f"/jobs/*/{section}" for section in SECTIONS if section not in WIDE_SECTIONS}
    return {path for kind, path in last.items() if kind not in narrow}


def _sideways(page: Page, path: str) -> list[str]:
    """Where the page is wider than its window, as it is and at twice the text."""
    wide = []
    for size in ("200%", "100%"):
        page.evaluate("size => { document.documentElement.style.fontSize = size; }", size)
        over = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
        if over > 0:
            wide.append(f"{path} at {size}: {over} px, {page.evaluate(WIDEST)}")
    return wide


@pytest.mark.parametrize("login", [None, "riley", "june", "tomas"])
def test_axe_finds_nothing_on_any_page_and_nothing_scrolls_sideways(
    person: Callable[..., Page], told: dict[str, str], login: str | None
) -> None:
    page = person(login, 320)
    page.add_init_script(path=AXE)
    paths = [path for who, path in _pages(told) if who == login]
    desk = _at_a_desk(paths)
    found = []
    for at, path in enumerate(paths):
        page.set_viewport_size({"width": 320, "height": 740})
        page.goto(path)
        found += _sideways(page, path)
        page.evaluate(UNFOLD)
        found += [f"{path}: {one}" for one in (*page.evaluate(SQUEEZED), *page.evaluate(SMALL))]
        widths = (360, 1280) if path in desk else (360,)
        for width in some(widths, len(widths), at):
            page.set_viewport_size({"width": width, "height": 740})
            found += axe_faults(page, f"{path} at {width} px")
    assert found == []


@pytest.mark.parametrize("theme", THEMES)
def test_text_stands_out_seven_to_one(person: Callable[..., Page], told: dict[str, str], theme: str) -> None:
    page = person("riley")
    page.emulate_media(color_scheme="dark" if theme == "dark" else "light")
    if theme == "glare":
        page.evaluate("localStorage.setItem('theme', 'glare')")
    page.add_init_script(path=AXE)
    faint = []
    paths = (f"/jobs/{told['partial']}/water", f"/jobs/{told['partial']}/alarms", f"/jobs/{told['list_job']}/review", f"/jobs/{told['job']}/place")
    for path in some(paths, 2, THEMES.index(theme)):
        page.goto(path)
        page.evaluate(UNFOLD)
        assert page.evaluate("document.documentElement.dataset.theme ?? ''") == ("glare" if theme == "glare" else "")
        rule = {"runOnly": {"type": "rule", "values": ["color-contrast-enhanced"]}}
        told_by_axe = page.evaluate("rules => axe.run(document, rules)", rule)
        assert told_by_axe["passes"], "the rule looked at nothing"
        faint += [f"{path}: {n['html'][:90]} {n['any'][0]['message']}" for v in told_by_axe["violations"] for n in v["nodes"]]
    assert faint == []
