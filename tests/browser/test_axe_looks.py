"""What is not looked at again was passed by axe itself: nothing that it never judged."""

from __future__ import annotations

from contextlib import closing

import axe_looks
import pytest
from playwright.sync_api import Browser, Page
from typing_in import AXE, RULES

pytestmark = pytest.mark.browser
TITLE = "<!doctype html><html lang=en><title>Text</title><main><h1>Text</h1>"
BUTTON = '<button style="color:#bbb;background:#fff"{}>Save this job</button>'


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ('<p style="color:#ccc"><b style="color:#000;font-weight:400">fine words</b></p>', '<p style="color:#ccc">Faint words</p>'),
        (BUTTON.format(" disabled"), BUTTON.format("")),
        ('<p style="color:#ccc">x</p>', '<p style="color:#ccc">Faint words</p>'),
    ],
    ids=["a parent without a text of its own", "a button that is off", "what axe cannot judge"],
)  # fmt: skip
def test_a_look_that_was_not_judged_is_not_taken_for_good(
    chromium: Browser, monkeypatch: pytest.MonkeyPatch, before: str, after: str
) -> None:
    monkeypatch.setattr(axe_looks, "GOOD", set())
    with closing(chromium.new_page()) as page:
        found = [[one["id"] for one in _looked_at(page, part)] for part in (before, after)]
    assert found == [[], ["color-contrast"]]
    assert axe_looks.GOOD, "nothing at all was learned"


def _looked_at(page: Page, part: str) -> list[dict[str, object]]:
    page.set_content(TITLE + part)
    page.evaluate(AXE.read_text(encoding="utf-8"))
    return axe_looks.looked_at(page, RULES)
