"""The manual's pages: open to anyone, every check, nothing of anybody's."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from heaterapp import manual


def test_every_check_has_a_page_that_the_index_leads_to(visit: Callable[..., Any]) -> None:
    visitor = visit()
    index = visitor.get("/manual")
    assert index.status_code == 200
    linked = re.findall(r'href="/manual/([a-z_]+\.[a-z0-9_]+)"', index.text)
    assert linked == list(manual.entries())
    for name in linked[::9]:
        page = visitor.get(f"/manual/{name}")
        assert page.status_code == 200
        assert manual.entries()[name].title.split("'")[0] in page.text


def test_the_coverage_page_has_66_rows_and_the_unknown_is_not_found(visit: Callable[..., Any]) -> None:
    visitor = visit()
    assert visitor.get("/manual/coverage").text.count('<th scope="row">') == 66
    for path in ("/manual/nothing.here", "/manual/supply", "/manual/../secret", "/manual/<script>"):
        assert visitor.get(path).status_code in (404, 400)


def test_it_is_kept_by_browsers_for_it_is_nobodys(visit: Callable[..., Any]) -> None:
    assert visit().get("/manual").headers["Cache-Control"] == "public, max-age=3600"


def test_a_page_with_somebodys_name_and_secret_is_kept_by_nobody(visit: Callable[..., Any]) -> None:
    for path in ("/manual", "/manual/coverage", "/manual/relief.capacity"):
        answer = visit("office").get(path)
        assert 'name="csrf-token"' in answer.text
        assert answer.headers["Cache-Control"] == "no-store"
