"""The renderer opens nothing: whatever a job's answers say, and whatever address is asked for."""

from __future__ import annotations

import builtins
import io
import socket

import pypdf
import pytest

from heaterapp.certificate import press, render_here
from heaterapp.certificate.handed import OwnFaces, Refused
from heaterapp.certificate.press import PaperFault
from heaterapp.fonts import font_files
from tests.certificate.printed import printed

INJECTED = {
    "owner_name": '<img src="file:///etc/hostname"><script>alert(1)</script>',
    "address_street": '<link rel=attachment href="file:///etc/passwd"><object data="http://127.0.0.1:9/x">',
    "heater_maker": "\"><style>*{background:url(http://127.0.0.1:9/a)}</style>",
    "heater_model": "url(file:///etc/passwd)",
    "permit_number": "{{ 7 * 7 }} {% include '/etc/passwd' %}",
}


@pytest.mark.parametrize(
    "address",
    [
        "file:///etc/passwd", "http://127.0.0.1:9/", "https://127.0.0.1:9/", "data:text/plain,x", "ftp://127.0.0.1/", "about:blank", "",
        "lettering:", "lettering:B612-Regular.woff2", "lettering:../B612-Regular.ttf", "LETTERING:B612-Regular.ttf",
        "lettering:B612-Regular.ttf?x", "B612-Regular.ttf",
    ],
)  # fmt: skip
def test_only_the_exact_names_of_our_faces_are_answered(address):
    with pytest.raises(Refused):
        OwnFaces().fetch(address)


def test_our_faces_are_answered():
    face = OwnFaces().fetch("lettering:B612-Bold.ttf")
    assert face.read() == font_files()["B612-Bold.ttf"].read_bytes()


def test_injected_names_are_text_and_open_nothing(record_of, monkeypatch, gas):
    record = record_of(changes=INJECTED)
    asked = []
    monkeypatch.setattr(OwnFaces, "fetch", lambda self, url, headers=None: asked.append(url))
    monkeypatch.setattr(socket, "socket", lambda *_, **__: asked.append("socket"))
    opened, real = [], builtins.open
    monkeypatch.setattr(builtins, "open", lambda *a, **k: opened.append(str(a[0])) or real(*a, **k))
    made = render_here(record)
    assert asked == []
    assert not [path for path in opened if "etc" in path]
    text = printed(made["certificate.pdf"])
    flat = "".join(text.split())
    for said in INJECTED.values():
        assert "".join(said.split()) in flat
    for end, carried in (("", set()), ("-archival", {"job.json", "report.json", "job-schema.json"})):
        read = pypdf.PdfReader(io.BytesIO(made[f"certificate{end}.pdf"]))
        assert {str(one) for one in read.attachments} == carried


def test_a_complaint_of_the_renderer_stops_the_paper(record_of, monkeypatch):
    whole, picture = press.html_of, '<img alt="" src="file:///etc/hostname"/>'
    monkeypatch.setattr(press, "html_of", lambda *a: whole(*a).replace("</body>", picture + "</body>"))
    with pytest.raises(PaperFault, match="etc/hostname"):
        render_here(record_of())
