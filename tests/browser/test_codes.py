"""Codes off a plate: shown in groups, read by the phone where it can; and the models that were fitted before.

Chromium on Linux has no barcode reader: a stand-in of its interface gives what a phone's would.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, expect

pytestmark = pytest.mark.browser
START = {"heater_kind": "gas_storage", "job_kind": "same_place", "place": "us_ca_2022"}
READER = """
  window.seen = %s;
  window.BarcodeDetector = class {
    static async getSupportedFormats() { return ["code_128", "code_39"]; }
    async detect() { if (window.seen === "broken") throw new DOMException("no", "InvalidStateError"); return window.seen.map(rawValue => ({ rawValue })); }
  };
  const tracks = [];
  window.stopped = () => tracks.every(track => track.readyState === "ended") && tracks.length;
  if (%s) navigator.mediaDevices.getUserMedia = async () => { throw new DOMException("no", %s); };
  else navigator.mediaDevices.getUserMedia = async () => {
    const canvas = document.createElement("canvas"); canvas.getContext("2d").fillRect(0, 0, 9, 9);
    const stream = canvas.captureStream(10); tracks.push(...stream.getTracks()); return stream; };
"""
PLATES = """[{ heater_kind: "gas_storage", heater_maker: "Larkin", heater_model: "LW-40T", storage_gal: "40", input_btuh: "40000", heater_serial: "X1", heater_marked_gas: "natural" },
  { heater_kind: "gas_storage", heater_maker: "Larkin", heater_model: "LW-50T", storage_gal: "50", input_btuh: "40000" },
  { heater_kind: "electric_storage", heater_maker: "Larkin", heater_model: "LE-50", storage_gal: "50", input_kw: "4.5" }]"""


def _plate(person: Callable[..., Page], served: Any, script: str = "", width: int = 360) -> tuple[Page, str]:
    page, job = person(width=width), served.begun(START)
    if script:
        page.add_init_script(script)
    page.goto(f"/jobs/{job}/plate")
    page.evaluate("document.querySelectorAll('details.group').forEach(one => { one.open = true; })")
    return page, job


def _reader(seen: str, refused: str = "") -> str:
    return READER % (seen, "true" if refused else "false", f"'{refused}'")


def test_a_typed_code_stands_beneath_in_groups_and_no_reader_is_offered_where_there_is_none(
    person: Callable[..., Page], served: Any
) -> None:
    page, _ = _plate(person, served)
    serial = page.locator('[data-q="heater_serial"]')
    page.fill("#q-heater_serial", "LW26K0041877")
    expect(serial.locator(".spaced")).to_have_text("To compare: LW26 K004 1877")
    for short in ("LW26", "LW-40N"):
        page.fill("#q-heater_serial", short)
        expect(serial.locator(".spaced")).to_be_hidden()
    assert page.evaluate("'BarcodeDetector' in window") is False
    assert page.locator(".reader").count() == 0
    assert page.faults == []


def test_a_read_code_is_put_in_the_box_marked_and_can_be_changed(
    person: Callable[..., Page], served: Any
) -> None:
    page, job = _plate(person, served, _reader('["LW26K0041877"]'))
    serial = page.locator('[data-q="heater_serial"]')
    serial.get_by_role("button", name="Read the barcode").click()
    expect(page.locator("#q-heater_serial")).to_have_value("LW26K0041877")
    expect(serial.get_by_role("status")).to_contain_text("Hold it against the plate")
    assert page.evaluate("window.stopped()") == 1
    expect(page.locator("[data-saved]")).to_contain_text("saved ")
    assert served.stored(job)["heater_serial"] == "LW26K0041877"
    page.fill("#q-heater_serial", "LW26K0041878")
    expect(serial.get_by_role("status")).to_be_hidden()
    assert page.faults == []


def test_of_several_codes_the_person_chooses_and_an_address_is_none(
    person: Callable[..., Page], served: Any
) -> None:
    page, _ = _plate(person, served, _reader('["LW-40T", "LW26K0041877", "https://example.org/x"]'))
    serial = page.locator('[data-q="heater_serial"]')
    serial.get_by_role("button", name="Read the barcode").click()
    expect(serial.locator(".reader-found .button")).to_have_text(["LW-40T", "LW26K0041877"])
    assert page.locator("#q-heater_serial").input_value() == ""
    serial.get_by_role("button", name="LW26K0041877").click()
    expect(page.locator("#q-heater_serial")).to_have_value("LW26K0041877")


@pytest.mark.parametrize(
    ("seen", "refused", "said"),
    [("[]", "NotAllowedError", "was not allowed"), ("[]", "NotFoundError", "No camera"), ("[]", "OddError", "did not start (OddError)"),
     ('"broken"', "", "reader failed (InvalidStateError)")],
)  # fmt: skip
def test_a_failure_is_said_in_words_and_typing_goes_on(
    person: Callable[..., Page], served: Any, seen: str, refused: str, said: str
) -> None:
    page, _ = _plate(person, served, _reader(seen, refused))
    serial = page.locator('[data-q="heater_serial"]')
    serial.get_by_role("button", name="Read the barcode").click()
    expect(serial.get_by_role("status")).to_contain_text(said)
    page.fill("#q-heater_serial", "LW26")
    expect(page.locator("[data-saved]")).to_contain_text("saved ")
    assert page.faults == []


def test_a_picture_is_read_too_and_the_camera_stops_when_it_finds_nothing_or_is_told_to(
    person: Callable[..., Page], served: Any
) -> None:
    page, _ = _plate(person, served, _reader("[]"))
    model = page.locator('[data-q="heater_model"]')
    model.get_by_role("button", name="Read the barcode").click()
    model.get_by_role("button", name="Stop the camera").click()
    expect(model.get_by_role("status")).to_have_text("Stopped.")
    assert page.evaluate("window.stopped()") == 1
    shot = page.screenshot(type="png")
    for seen, said in (("[]", "No barcode was found"), ('["LW-40T"]', "Read as")):
        page.evaluate(f"window.seen = {seen}")
        with page.expect_file_chooser() as chooser:
            model.get_by_role("button", name="From a picture").click()
        chooser.value.set_files({"name": "plate.png", "mimeType": "image/png", "buffer": shot})
        expect(model.get_by_role("status")).to_contain_text(said)
    expect(page.locator("#q-heater_model")).to_have_value("LW-40T")
    with page.expect_file_chooser() as chooser:
        model.get_by_role("button", name="From a picture").click()
    chooser.value.set_files({"name": "plate.heic", "mimeType": "image/heic", "buffer": b"none"})
    expect(model.get_by_role("status")).to_contain_text("could not be opened as a picture")


def test_a_model_fitted_before_is_one_tap(person: Callable[..., Page], served: Any) -> None:
    page, _ = _plate(person, served, width=320)
    page.evaluate(
        """plates => import("/static/phone/models.js").then(({ offerModels }) => {
          const box = document.querySelector('[data-q="heater_model"]');
          window.chosen = null;
          offerModels(box, { models: eval(plates), kind: () => "gas_storage",
            fill: plate => { window.chosen = plate; box.querySelector("input").value = plate.heater_model; } });
        })""".replace("eval(plates)", PLATES),
        None,
    )
    chips = page.locator(".models .chip")
    expect(chips).to_have_text(["Larkin LW-40T40 gal, 40,000 Btu/h", "Larkin LW-50T50 gal, 40,000 Btu/h"])
    assert min(box["height"] for box in (one.bounding_box() for one in chips.all())) >= 60
    page.locator("#q-heater_model").press_sequentially("lw50")
    expect(chips).to_have_count(1)
    page.fill("#q-heater_model", "")
    chips.first.click()
    assert page.evaluate("window.chosen.heater_model") == "LW-40T"
    expect(page.locator(".models-says")).to_contain_text("hold it against this plate")
    assert page.evaluate("document.documentElement.scrollWidth") <= 320
    page.fill("#q-heater_model", "quite another")
    expect(chips).to_have_count(0)
