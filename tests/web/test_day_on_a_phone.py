"""A phone dates work, and judges its date, by the firm's own zone: with no signal too, whatever its own clock says."""

from __future__ import annotations

import json
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest

STATIC = Path(__file__).parents[2] / "static"
LEARNED = "2026-11-27T07:00:00Z"
ASKED = """
process.env.TZ = {device};
globalThis.fetch = async (where, how) => {{
  const told = where.endsWith("account") ? {{ csrf: "proof" }} : JSON.parse(how.body);
  return {{ type: "basic", status: 200, headers: new Headers(), json: async () => told }};
}};
const {{ dayThere, goByTheFirm, today }} = await import({folder} + "/today.js");
const {{ ask }} = await import({folder} + "/phone/engine.js");
const told = [];
for (const [account, at] of {wanted}) {{
  goByTheFirm(account);
  told.push([dayThere(new Date(at)), today(new Date(at))]);
}}
goByTheFirm({{ firm: {{ time_zone: {other} }} }});
const wish = await ask({{ do: "seal" }});
console.log(JSON.stringify([told, wish.today, dayThere()]));
"""


def account(zone: str | None, heard: str = LEARNED) -> dict[str, Any]:
    """What a phone keeps of the office's word; heard is that moment by the phone's clock."""
    return {"firm": {} if zone is None else {"time_zone": zone}, "now": LEARNED, "heard": heard}


HERE, THERE, NEXT = "2026-11-26", "2026-11-27", "2026-11-28"
CASES: dict[str, list[tuple[Any, str, str, str]]] = {
    "Asia/Tokyo": [
        (account("America/Los_Angeles"), "2026-11-27T07:59:59Z", HERE, HERE),
        (account("America/Los_Angeles"), "2026-11-27T08:00:00Z", THERE, THERE),
        (account("Pacific/Guam"), "2026-11-27T13:59:59Z", THERE, THERE),
        (account("Pacific/Guam"), "2026-11-27T14:00:00Z", NEXT, NEXT),
        (account(""), "2026-11-26T16:00:00Z", THERE, THERE),
        (account(""), "2026-11-26T09:59:59Z", HERE, HERE),
        (account(None), "2026-11-26T16:00:00Z", THERE, THERE),
        (None, "2026-11-26T16:00:00Z", THERE, THERE),
        (account("Nowhere/At_all"), "2026-11-26T16:00:00Z", THERE, THERE),
    ],
    "America/Los_Angeles": [
        (account("Pacific/Guam"), "2026-11-27T07:00:00Z", THERE, THERE),
        (account(""), "2026-11-27T07:00:00Z", THERE, HERE),
        # The clock is a day and an hour ahead, as heard; set back since, it is believed; a minute is no fault.
        (account("America/Los_Angeles", "2026-11-28T08:00:00Z"), "2026-11-28T08:30:00Z", HERE, HERE),
        (account("America/Los_Angeles", "2026-11-28T08:00:00Z"), "2026-11-27T08:30:00Z", THERE, THERE),
        (account("America/Los_Angeles", "2026-11-26T06:00:00Z"), "2026-11-26T07:30:00Z", THERE, THERE),
        # A day behind as heard: surely so until it shows what was told; then it may have been set forward.
        (account("America/Los_Angeles", "2026-11-26T07:00:00Z"), "2026-11-27T06:59:59Z", THERE, THERE),
        (account("America/Los_Angeles", "2026-11-26T07:00:00Z"), "2026-11-27T07:00:00Z", THERE, HERE),
        (account("America/Los_Angeles", "2026-11-26T07:00:00Z"), "2026-11-27T19:00:00Z", NEXT, THERE),
        (account("America/Los_Angeles", "2026-11-27T07:01:00Z"), "2026-11-27T08:00:00Z", THERE, THERE),
    ],
}


@pytest.mark.parametrize("device", CASES)
def test_a_phone_goes_by_the_day_of_its_firm(tmp_path: Path, device: str) -> None:
    (tmp_path / "package.json").write_text('{"type": "module"}')
    (tmp_path / "phone").mkdir()
    for name in ("today.js", "phone/engine.js", "phone/api.js", "phone/signal.js"):
        shutil.copy(STATIC / name, tmp_path / name)
    shutil.copy(STATIC / "phone" / "say.js", tmp_path / "say.js")
    script = ASKED.format(
        device=json.dumps(device), folder=json.dumps(str(tmp_path)), other=json.dumps("Pacific/Kiritimati"),
        wanted=json.dumps([[given, at] for given, at, _, _ in CASES[device]]),
    )  # fmt: skip
    program = ["node", "--input-type=module", "-e", script]
    done = subprocess.run(program, capture_output=True, text=True, timeout=60, check=True)
    told, asked, there = json.loads(done.stdout)
    assert told == [[judged, filled] for _, _, judged, filled in CASES[device]]
    assert asked == there
