"""Specimens of every paper: each heater kind and code family, the longest and the strangest, to test and to look at.

    python tests/certificate/specimens.py FOLDER [NAME...]     writes PDFs, and PNGs of their pages
"""

from __future__ import annotations

import dataclasses
import io
import json
import subprocess
import sys
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

from PIL import Image, ImageDraw

if __name__ == "__main__":
    sys.path.insert(0, str(Path(__file__).resolve().parent.parent.parent))

from heaterapp.certificate import Cover, Filed, Translated, cover, render_here, translated
from heaterapp.filling.signed import RECEIPT, STATEMENTS
from heaterapp.rules import Job, assess, canonical_bytes
from tests.certificate.conftest import DRAWN, FIRM, Record, answers_of_job

LONG_STREET = "Building 7 behind the old net loft, second door past the cannery clock, upper landing, " * 4
A4_FIRM = FIRM | {"settings": {"paper": "a4"}}
COAST = FIRM | {"settings": {"time_zone": "America/Los_Angeles"}}
SCRIPTS = {
    "owner_name": "محمد عبد الله الرشيد & שלום כהן, Nguyễn Thị Hạnh, 王小明, 山田 太郎 " + "\U0001f600" * 12,
    "address_street": "水田町 3丁目 ☔, हिन्दी मार्ग 12 1/2, শ্রী ক্ষিতীশ, ਗੁਰਪ੍ਰੀਤ ਸਿੰਘ, ગુજરાતી શ્રી, தமிழ்ச்செல்வன், "
                      "తెలుగు శ్రీ, മലയാളം കൃഷ്ണൻ, සිංහල ශ්‍රී, ខ្មែរ ស្រី, မြန်မာ မြွှုံ့, བསྒྲུབས, ສີໄພ, สมชาย น้ำผึ้ง, 김민준",
    "installer_name": "Łukasz Ødegård 😀 Нина Петрова አበበ በቀለ გიორგი Արամ",
    "heater_model": "LW<40>N & \"Sons\" </td>" + "\U0001f3e0" * 10,
    "heater_serial": "W" * 60,
}  # fmt: skip
CORRECTION = {
    "corrects": "C-000011", "signed_for": "C-000009", "signed_by": "Ana Reyes", "signed_at": "2026-09-03T10:00:00Z",
    "changes": [{"question": "owner_name", "label": "Owner", "old": "Mina Pak", "new": "Mina Park"}],
}  # fmt: skip
FORMER = {"replaced": {"number": "L-000002", "void": False, "items": 9, "more": 12, "changes": [
    {"question": "heater_serial", "old": "LW26K0000777", "new": "LW26K0000779"},
    {"question": "owner_name", "old": "Mina Pak", "new": "M" * 300}, {"question": "address_unit", "old": "B", "new": None},
    {"question": "thermostat_f", "old": None, "new": "120"}, {"question": "strap_heights_in", "old": ["20 3/8", "36"], "new": ["36", "68"]},
    {"question": "house_pressure_psi", "old": {"could_not_measure": "no gauge"}, "new": "60"},
]}}  # fmt: skip
"""What a paper that was signed anew keeps of the list before it, as much as is told."""
HOMEOWNER = {
    **DRAWN, "role": "homeowner", "relation": "owner", "name": "Dana Whitlock",
    "statement": "I was shown the valves, the gas cock and the breaker, and I received this sheet.",
}  # fmt: skip
VOID = Cover(
    "C-000001", "Certificate", "3 Sep 2026", "C-000001 is void since 1 Oct 2026. C-000004 stands in its place.",
    "Harborlight Plumbing", ("License C36-000000 · 555-0142", "3 Wharf Street, Port Larkin, CA 95999"),
    "Bay Mutual Insurance, claims desk", "claim 77-1042", "The owner has agreed.", "26 Nov 2026, 2:00\u00a0am PST", "Olu Grant",
    (("certificate.pdf", "ab" * 32), ("certificate-archival.pdf", "cd" * 32)), standing="void",
)  # fmt: skip
REPLACED = dataclasses.replace(
    VOID, number="C-000011", standing="replaced", state="When this copy was given, C-000011 was the current paper of this job.",
    since="Since then, as of 26 Nov 2026: C-000011 was replaced by C-000012.",
)  # fmt: skip
NOT_YET = ("flags", "assumed", "amended_by")
NOT_YET_OF = {
    "findings": ("hazard", "accepted", "confidence", "questions", "fix"), "figures": ("says", "source", "formula"),
}  # fmt: skip


@dataclasses.dataclass(frozen=True)
class Shot:
    """The names of a photo of the archive's record."""

    body: bytes
    kind: str = "plate"
    note: str = ""
    chosen: bool = True
    taken_at: str = "2026-11-26T09:14:07.123Z"
    sha256: str = "0123456789abcdef" * 4
    width: int = 0
    height: int = 0


@dataclasses.dataclass(frozen=True)
class WithPhotos(Record):
    """A record that has photos."""

    photos: tuple[Shot, ...] = ()


def busy(seed: int, wide: int = 1600, high: int = 1200) -> bytes:
    """A picture with as much in it as a kept photo, quickly made."""
    small = Image.effect_noise((wide // 4, high // 4), 60).resize((wide, high)).convert("RGB")
    pen = ImageDraw.Draw(small)
    for at in range(40):
        left, top = (at * 97 * seed) % wide, (at * 61 * seed) % high
        pen.ellipse((left, top, left + 90, top + 60), fill=(at * 6 % 256, 120, 255 - at * 6 % 256))
    out = io.BytesIO()
    small.save(out, "JPEG", quality=82)
    return out.getvalue()


def plain(wide: int, high: int) -> bytes:
    """A picture of one color in any shape."""
    out = io.BytesIO()
    Image.new("RGB", (wide, high), (142, 47, 18)).save(out, "JPEG")
    return out.getvalue()


def of_job(name: str, *, odd: dict[str, Any] | None = None, **more: Any) -> WithPhotos:
    """A record of a whole job; `odd` answers are kept as they are, as an older program may have kept them."""
    job = Job(answers_of_job(name))
    kept = {**json.loads(canonical_bytes(job.canonical())), **(odd or {})}
    return WithPhotos(json.dumps(kept, ensure_ascii=False).encode(), assess(job).to_bytes(), **more)


def changed(record: WithPhotos, change: Callable[[dict[str, Any]], None]) -> WithPhotos:
    """The record with its report changed."""
    report = json.loads(record.report)
    change(report)
    return dataclasses.replace(record, report=json.dumps(report).encode())


def _forty_fail(report: dict[str, Any]) -> None:
    failed = [one for one in report["findings"] if one["verdict"] == "fails" and one["kind"] == "rule"]
    others = [one for one in report["findings"] if one not in failed]
    many = [failed[at % len(failed)] for at in range(40)]
    report["findings"] = [{**one, "why": f"{at}. {one['why']}"} for at, one in enumerate(many, 1)] + others


def _older(report: dict[str, Any]) -> None:
    for name in NOT_YET:
        report.pop(name, None)
    for one in report["findings"]:
        for name in NOT_YET_OF["findings"]:
            one.pop(name, None)
    for one in report["figures"].values():
        for name in NOT_YET_OF["figures"]:
            one.pop(name, None)
    report["figures"]["a_figure_long_gone"] = {"value": "3.5", "unit": "gal", "worked": "7 / 2 = 3.5"}
    report["findings"].append({"check": "draining.old_rule", "topic": "draining", "kind": "rule", "verdict": "meets",
                               "title": "A rule of old.", "why": "It was met.", "section": "1.2"})  # fmt: skip


def signed(*more: dict[str, Any]) -> bytes:
    """The installer's signature, and others'."""
    return json.dumps({"signatures": [DRAWN, *more]}).encode()


def spanish(record: WithPhotos, **became: str) -> Translated:
    """A record as it is told in Spanish, signed with the words that a form has."""
    filed = Filed.of(record)
    given = json.loads(filed.signature or b'{"signatures": []}')["signatures"]
    words = {"homeowner": RECEIPT, "installer": STATEMENTS[filed.kind]}
    as_on_a_form = [{**one, "statement": words[one["role"]], "read_in": "es"} for one in given]
    signature = json.dumps({"signatures": as_on_a_form}).encode()
    return Translated(dataclasses.replace(filed, signature=signature), "es", **became)


SPECIMENS: dict[str, Callable[[], WithPhotos | Cover | Translated]] = {
    "gas storage, California": lambda: of_job("gas_storage_us_ca", organisation_snapshot=COAST),
    "electric storage, IRC, A4": lambda: of_job("electric_storage_irc", organisation_snapshot=A4_FIRM),
    "heat pump, IRC, revision": lambda: of_job(
        "heat_pump_irc_2021", revision=3, number="C-000012-3", replaces_number="C-000011", reason="misspelt",
        context={"correction": CORRECTION}, signature=signed(HOMEOWNER),
    ),
    "gas tankless, UPC, three photos": lambda: of_job("gas_tankless_direct_vent_upc_2021", photos=(
        Shot(busy(3), "plate", "Model and serial"), Shot(busy(5, 1200, 1600), "straps", "Tape from the floor"),
        Shot(busy(7), "house"), Shot(b"", "gauge", chosen=False),
    )),
    "electric tankless, IRC, slim photo": lambda: of_job(
        "electric_tankless_irc_2021", photos=(Shot(plain(1, 5000)),), organisation_snapshot=COAST,
    ),
    "indirect, UPC": lambda: of_job("indirect_upc_2021"),
    "shared vent, Utah": lambda: of_job("gas_storage_shared_vent_us_ut"),
    "gas tankless, IPC": lambda: of_job("gas_tankless_ipc_2021"),
    "correction list": lambda: of_job("gas_storage_to_fix", kind="correction_list", number="L-000003"),
    "forty findings, long address, A4": lambda: changed(of_job(
        "gas_storage_to_fix", kind="correction_list", number="L-000004", organisation_snapshot=A4_FIRM,
        odd={"address_street": LONG_STREET[:300]}, signature=signed(HOMEOWNER),
    ), _forty_fail),
    "findings report": lambda: of_job("gas_storage_existing_us_ca", kind="findings_report", number="F-000002"),
    "names in every script": lambda: of_job(
        "gas_storage_us_ca", odd=SCRIPTS, organisation_snapshot=FIRM | {"name": "Harborlight ကျွန်ုပ် & 水"},
    ),
    "older rules": lambda: changed(of_job("gas_storage_us_ca"), _older),
    "Spanish, gas storage, California": lambda: spanish(of_job("gas_storage_us_ca", organisation_snapshot=COAST)),
    "Spanish, correction list": lambda: spanish(of_job(
        "gas_storage_to_fix", kind="correction_list", number="L-000003",
    )),
    "Spanish, shared vent, Utah": lambda: spanish(of_job("gas_storage_shared_vent_us_ut")),
    "Spanish, heat pump, revision, replaced": lambda: spanish(of_job(
        "heat_pump_irc_2021", revision=3, number="C-000012-3", replaces_number="C-000011", reason="misspelt",
        context={"correction": CORRECTION}, signature=signed(HOMEOWNER),
    ), standing="replaced", other="C-000013"),
    "Spanish, electric storage, void, A4": lambda: spanish(
        of_job("electric_storage_irc", organisation_snapshot=A4_FIRM, revision=2, replaces_number="L-000002", context=FORMER),
        standing="void", other="C-000014", since="2026-10-01",
    ),
    "Spanish, older rules": lambda: spanish(changed(of_job("gas_storage_us_ca"), _older)),
    "void cover": lambda: VOID,
    "replaced cover": lambda: REPLACED,
}  # fmt: skip


@cache
def given(name: str) -> WithPhotos | Cover | Translated:
    """What a specimen is made from, judged once."""
    return SPECIMENS[name]()


def made(name: str) -> dict[str, bytes]:
    """The files of one specimen."""
    one = given(name)
    if isinstance(one, Translated):
        return translated.pressed(one)
    return cover.pressed(one) if isinstance(one, Cover) else render_here(one)


def main(folder: Path, names: list[str]) -> None:
    """Write each specimen's first file and pictures of its pages."""
    folder.mkdir(parents=True, exist_ok=True)
    for name in names or SPECIMENS:
        whole = next(iter(made(name).values()))
        path = folder / (name.replace(", ", "-").replace(" ", "-") + ".pdf")
        path.write_bytes(whole)
        subprocess.run(["pdftoppm", "-r", "80", "-png", path, path.with_suffix("")], check=True)
        print(path, len(whole))


if __name__ == "__main__":
    main(Path(sys.argv[1]), sys.argv[2:])
