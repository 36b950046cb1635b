"""Photos of a job on a phone: taken, kept, named, put on the paper, taken out again; nothing lost when room is short."""

from __future__ import annotations

import pytest

from tests.browser.photographing import (
    at_photos,
    begun,
)

pytestmark = pytest.mark.browser
ROOM = 450_000
"""Bytes: for what a job begins with and one picture, and not for a larger one."""
_STORE = """const { build } = JSON.parse(document.getElementById("settings").textContent);
  const store = await import(`/phone/${build}/phone/store.js`);"""
_REMOVE = f"""async (id) => {{ {_STORE} await store.remove("drafts", id); }}"""
_SEND = f"""async (id) => {{ {_STORE}
  const [photo] = await store.photosOf(id);
  const {{ csrf }} = await (await fetch("/phone/api/account")).json();
  const headers = {{ "X-CSRFToken": csrf, "Content-Type": photo.type }};
  const answer = await fetch(`/phone/api/photos/${{photo.sha256}}`, {{ method: "PUT", headers, body: photo.bytes }});
  return {{ status: answer.status, told: await answer.json() }};
}}"""
_SMALL = """() => [...document.querySelectorAll("#photos :is(a, button, input, summary), .phone-back a")].filter((one) => one.offsetParent)
  .map((one) => one.closest("label") ?? one)
  .filter((one) => one.getBoundingClientRect().height < 59.9 || parseFloat(getComputedStyle(one).fontSize) < 16)
  .map((one) => `${one.textContent.trim()} ${one.getBoundingClientRect().height} ${getComputedStyle(one).fontSize}`)"""



def test_pic(person):
    page = person(service_workers="block")
    made = begun(page)
    at_photos(page, made)
    page.wait_for_timeout(300)
    page.screenshot(path="/tmp/t/ways5-photos.png", full_page=True)
    print(page.evaluate("document.documentElement.scrollHeight"))
    page.set_viewport_size({"width":1280,"height":800})
    page.screenshot(path="/tmp/t/ways5-photos-wide.png")
