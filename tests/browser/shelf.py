"""Browser contexts that are lent to one test after another: the app's own files are fetched once, not once a test.

A context comes back bare: no page, no cookie, nothing stored, no worker, no route. One to which something was done that
cannot be taken back, such as a script for every page, is closed.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from playwright.sync_api import Browser, BrowserContext, Error, Page

LASTING = ("add_init_script", "expose_binding", "expose_function", "new_cdp_session", "on", "route_from_har", "set_extra_http_headers")
"""What is done to a context and cannot be taken back; a clock that is put in shows at its page."""
PATIENCE_MS = 90_000


class Shelf:
    """The contexts of one browser that nobody has, by what they were made with."""

    def __init__(self, browser: Browser, url: str) -> None:
        self.browser, self.url = browser, url
        self.free: dict[str, list[BrowserContext]] = {}
        self.made_with: dict[BrowserContext, str] = {}
        self.spoilt: set[BrowserContext] = set()

    def lent(self, **made_with: Any) -> tuple[BrowserContext, Page]:
        """A bare context and a page in it."""
        key = repr(sorted(made_with.items()))
        if not self.free.get(key):
            context = self.browser.new_context(accept_downloads=True, base_url=self.url, **made_with)
            context.set_default_timeout(PATIENCE_MS)
            self.made_with[context] = key
            for name in LASTING:
                setattr(context, name, self._noticed(context, name))
            return context, context.new_page()
        context = self.free[key].pop()
        page = context.new_page()
        devtools = BrowserContext.new_cdp_session(context, page)
        devtools.send("Storage.clearDataForOrigin", {"origin": self.url, "storageTypes": "all"})
        devtools.detach()
        return context, page

    def _noticed(self, context: BrowserContext, name: str) -> Callable[..., Any]:
        done = getattr(context, name)

        def noticed(*given: Any, **more: Any) -> Any:
            self.spoilt.add(context)
            return done(*given, **more)

        return noticed

    def back(self, context: BrowserContext) -> None:
        """Take a context back."""
        if context in self.spoilt or any(_odd(page) for page in context.pages):
            self.spoilt.discard(context)
            del self.made_with[context]
            context.close()
            return
        for page in context.pages:
            page.close()
        context.unroute_all()
        context.set_offline(False)
        context.clear_permissions()
        context.clear_cookies()
        self.free.setdefault(self.made_with[context], []).append(context)

    def close(self) -> None:
        for context in self.made_with:
            context.close()


def _odd(page: Page) -> bool:
    """Whether a page has a clock put in, which all pages of its context have from then on, or answers no more."""
    try:
        return bool(page.evaluate("Boolean(globalThis.__pwClock)"))
    except Error:
        return True
