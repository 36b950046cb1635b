"""Small parts of the pages' scripts, each run by itself: pictures that go along, that fit, that are too large; leaving by a form."""

from __future__ import annotations

import json
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest

STATIC = Path(__file__).parents[2] / "static"
NAMES = ("going-along", "drafts", "store", "leaving", "api", "signal")
ASKED = """
let press = null;
globalThis.document = {
  documentElement: { lang: "en" }, addEventListener: (kind, hear) => (press = hear),
  querySelector: () => ({ textContent: "" }), querySelectorAll: () => [],
};
Object.defineProperty(globalThis, "navigator", { value: { onLine: true }, configurable: true });
globalThis.fetch = async () => ({ type: "basic", status: 200, headers: new Headers(), json: async () => ({ csrf: "fresh" }) });
const { broughtAlong, hasPlace } = await import("./phone/going-along.js");
const { leaveWithSignal } = await import("./phone/leaving.js");
const { met } = await import("./phone/signal.js");
const { tooLarge } = await import("./too-large.js");
const { proofNow } = await import("./phone/api.js");

const along = broughtAlong(["a", "b", "a"].map((sha256) => ({ sha256 })), [{ sha256: "b" }]).map((one) => one.sha256);

const large = [[14e6, 14e6, 12e6], [14e6, 14e6, 12e6 + 1], []].map((sizes) => tooLarge(sizes.map((size) => ({ size })), 40e6));

const full = Array.from({ length: 40 }, (_, id) => ({ id: `p${id}` }));
const places = [hasPlace(full), hasPlace(full, "p7"), hasPlace(full, "gone"), hasPlace(full.slice(1))];

const sent = [], field = { value: "old" };
const form = { submit: () => sent.push(field.value), requestSubmit: (by) => { field.value = proofNow(); sent.push(field.value, by === button); } };
const button = { form };
leaveWithSignal(() => sent.push("told"));
met(false);
await press({ target: { closest: () => button }, defaultPrevented: false, preventDefault: () => {} });
console.log(JSON.stringify({ along, large, places, sent }));
"""


@pytest.fixture(scope="module")
def told(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    """What the parts answered, in one run."""
    folder = tmp_path_factory.mktemp("pieces")
    (folder / "package.json").write_text('{"type": "module"}')
    (folder / "phone").mkdir()
    for name in NAMES:
        shutil.copy(STATIC / "phone" / f"{name}.js", folder / "phone")
    shutil.copy(STATIC / "phone" / "say.js", folder / "say.js")
    shutil.copy(STATIC / "too-large.js", folder)
    (folder / "asked.js").write_text(ASKED)
    done = subprocess.run(["node", "asked.js"], cwd=folder, capture_output=True, text=True, timeout=60, check=True)
    answered: dict[str, Any] = json.loads(done.stdout)
    return answered


def test_a_picture_that_a_paper_has_twice_comes_along_once(told: dict[str, Any]) -> None:
    assert told["along"] == ["a"]


def test_a_picture_taken_again_has_the_place_of_the_one_before(told: dict[str, Any]) -> None:
    assert told["places"] == [False, True, False, True]


def test_pictures_that_are_too_large_together_are_told_before_they_are_sent(told: dict[str, Any]) -> None:
    fits, over, none = told["large"]
    assert (fits, none) == ("", "")
    assert over.startswith("The pictures are 41 MB together, and at most 40 MB are taken. Nothing was sent.")


def test_a_form_that_leaves_after_the_signal_came_back_is_sent_with_the_fresh_proof(told: dict[str, Any]) -> None:
    assert told["sent"] == ["fresh", True]
