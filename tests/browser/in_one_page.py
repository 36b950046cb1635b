"""Runs acts on the phone's own modules in its page, and reads what the phone holds of a job."""

from __future__ import annotations

from typing import Any

from playwright.sync_api import Page

MODULES = """async (given) => {
  const { build } = await (await fetch("/phone/version.json")).json();
  const [store, drafts] = await Promise.all(["store", "drafts"].map((one) => import(`/phone/${build}/phone/${one}.js`)));
  %s
}"""


def run(page: Page, act: str, given: Any = None) -> Any:
    """What `act` gives, with the phone's own store and drafts at hand."""
    return page.evaluate(MODULES % act, given)


def row(page: Page, job: str = "gas") -> dict[str, Any]:
    found: dict[str, Any] = run(page, "return store.get('drafts', given);", job)
    return found
