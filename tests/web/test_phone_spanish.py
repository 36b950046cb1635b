"""The phone's pages in Spanish: a build of its own, whole and small, with no English in it; what is signed stays as it is."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from flask import Flask

from heaterapp import languages
from heaterapp.filling import door
from heaterapp.languages.files import for_phones
from heaterapp.languages.scripts import said, told_in
from heaterapp.sheet.words import Words
from heaterapp.web.phone_build import COMMENT, SHELL, build

from .conftest import job_answers
from .test_language import SPANISH, Marked, left_in
from .test_phone_shell import LARGEST_SHELL, told

TYPED = re.compile(r'"(?:[^"\\\n]|\\.)*"|`(?:[^`\\]|\\.)*`')
PUT_IN = re.compile(r"\$\{(?:[^{}`]|\{[^{}]*\})*\}")
WORDS = re.compile(r"[A-Za-z][A-Za-z'’]* [A-Za-z]{2,}")
SAYS = re.compile(r'\bsay\("(?:[^"\\]|\\.)*"')
NOT_READ = re.compile(
    r"^\W*(?:input|select|button|details|label|main|form|template|section|script|a|p|h1|h2)\b[^ ]*[\[:>.,]|^#|\[data-|^\.|"
    r"^(?:h1|summary|main|details) |"
    r"^(?:stack|button|line-link|chip|quiet|folded|timer|reader|pad|phone|hidden-words|models-says)\b|"
    r"^(?:use|take over|which build)\b|^import |^from |^\n"
)
"""A selector, names of classes, what one worker says to another, a line of Python: nothing that a person reads."""


SHOWN = re.compile(r'(?:textContent(?::| =)|"aria-label",|title:|button\(|way\(|tell\(|Error\() ?(["`][^"`]*[A-Za-z]{2}[^"`]*["`])')
"""One word alone, where words are put on a page."""


def unsaid(script: str) -> list[str]:
    """The words of a script that a person may come to read, and that do not come through the catalogue."""
    bare = SAYS.sub("say(", COMMENT.sub("", script))
    texts = (PUT_IN.sub("", one[0][1:-1]) for one in TYPED.finditer(bare))
    alone = (PUT_IN.sub("", one[1][1:-1]) for one in SHOWN.finditer(bare))
    found = [text for text in texts if WORDS.search(text) and not NOT_READ.search(text)]
    return [*found, *(text for text in alone if not re.fullmatch(r"[\W\dx]*(?:KB|in|)", text) and text not in found)]


@pytest.fixture
def marked(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """A language "xx" in which every text of the catalogue stands in brackets."""
    languages.teach("xx", Marked())
    plain = Words.of
    monkeypatch.setattr(Words, "of", lambda self, code: f"⟦{self.en}⟧" if code == "xx" else plain(self, code))
    yield
    languages._taught.pop("xx")


def test_each_browser_is_given_the_build_of_its_language_and_all_of_it_is_served(app: Flask) -> None:
    client = app.test_client()
    english, spanish = told(client)["build"], client.get("/phone/version.json", headers=SPANISH).json["build"]
    assert english != spanish
    page = client.get("/phone/", headers=SPANISH)
    assert (page.headers["ETag"], {"Accept-Language", "Cookie"} <= set(page.vary)) == (f'"{spanish}-p"', True)
    assert '<html lang="es">' in page.text
    assert f'"build": "{spanish}"' in page.text
    client.set_cookie("language", "es")
    kept = told(client)
    assert kept["build"] == spanish
    sent = [client.get(f"/phone/{spanish}/{path}", headers={"Accept-Encoding": "gzip"}) for path in kept["files"]]
    assert {one.status_code for one in sent} == {200}
    assert sum(len(one.data) for one in sent) <= LARGEST_SHELL
    # The worker of one language knows what to keep of the other, for a change with no signal.
    assert (kept["language"], kept["others"]["en"]["build"]) == ("es", english)
    assert kept["others"]["en"]["files"] == told(app.test_client())["files"]
    # Whoever changes the language meanwhile goes on with what he has.
    assert client.get(f"/phone/{english}/phone/main.js").status_code == 200


def test_an_english_phone_is_given_no_word_of_spanish(app: Flask) -> None:
    with app.app_context():
        english, spanish = build("en"), build("es")
    texts = b"".join(body for path, body in english.files.items() if path.endswith((".js", ".html", ".webmanifest"))).decode()
    # But for the way to it, and what is told at it where it leads nowhere now.
    way, found = re.subn(r'<button class="link" type="button" lang="es"[^>]*>Español</button>', "", texts)
    assert (found, re.findall("[¿¡ñáéíóú]", way.replace("español", ""))) == (1, []), "Spanish letters"
    assert not [name for name in english.beside if name.startswith("words-")]
    assert b"Firmar, listo para enviar" in spanish.files[SHELL]
    assert b"Inicie sesi" in spanish.files["phone/outbox.js"]
    assert [path for path in spanish.files if path not in english.files] == []


def test_only_what_the_first_script_imports_and_what_is_named_is_in_a_build(app: Flask) -> None:
    with app.app_context():
        files = build("en").files
    alone = {"passkey.js", "typed-over.js", "copying.js", "check.js", "seal.js", "job.js", "sign.js", "phone/sw.js", "phone/say.js"}
    assert not alone & set(files)
    assert {"theme.js", "whole.js", "phone/engine-worker.js", "say.js", "phone/store.js"} <= set(files)
    assert b"fetch(" not in files["say.js"]


def test_no_text_of_the_shell_bypasses_the_catalogue(app: Flask, marked: None) -> None:
    app.config["ENGINE_DIR"] = "/nowhere"
    with app.app_context():
        shell = build("xx").files[SHELL].decode()
    # What waits as text, in scripts and templates, is read as the markup that it becomes.
    page = re.sub(r'<script type="text/html"[^>]*>|</?template[^>]*>', "<div>", shell)
    assert page.count("<form") > 10
    assert left_in(page.replace("</script>", ""), {}) - {"settings"} == set()
    given = json.loads(re.search(r'id="settings">(.*?)</script>', shell, re.S)[1])
    shown = [*given["sections"].values(), *(one[part] for one in given["photos"] for part in ("label", "hint"))]
    assert [one for one in shown if not one.startswith("⟦")] == []


def test_no_text_of_a_script_bypasses_the_catalogue(app: Flask) -> None:
    assert unsaid('const a = say("Not kept."); tell("Was not kept."); tell(`${say("A b.")} at ${now} it was`);') == [
        "Was not kept.", " at  it was",
    ]  # fmt: skip
    assert unsaid('tell("Stopped."); one.textContent = `Room ${n}`; node.querySelector("main details");') == ["Stopped.", "Room "]
    root = Path(str(app.static_folder))
    with app.app_context():
        scripts = {path: (root / path).read_text(encoding="utf-8") for path in build("en").files if path.endswith(".js")}
    assert {path: found for path, text in scripts.items() if (found := unsaid(text))} == {
        # In both languages at once, for it is there before any other script; and what nobody is told.
        "theme.js": ["High contrast", "Alto contraste"], "phone/keep.js": [": other bytes"],
    }  # fmt: skip
    # Each text stands in its call, where it is found and told in another language.
    called = {path: len(re.findall(r"(?<![.\w])say\((?!\))", text.replace("function say(", ""))) for path, text in scripts.items()}
    assert called | {"theme.js": 0} == {path: len(said(text)) for path, text in scripts.items()}
    assert sum(called.values()) > 200


def test_a_script_is_told_in_another_language_and_keeps_its_lines(app: Flask) -> None:
    assert told_in('tell(say("No signal"));\nsay("{count} to send", { count });', "es") == (
        'tell(say("Sin señal"));\nsay("{count} por enviar", { count });'
    )
    root = Path(str(app.static_folder))
    with app.app_context():
        for path in ("phone/section.js", "phone/engine-worker.js"):
            served = [build(one).files[path].decode().splitlines() for one in ("en", "es")]
            text = (root / path).read_text(encoding="utf-8")
            assert {len(lines) for lines in served} == {len(text.splitlines())}
            assert not [line for line in served[0] if line.lstrip().startswith("//")]
            assert [one for one in re.findall(r"`[^`]*`", text) if COMMENT.search(one)] == [], "a line that only looks like a comment"


@pytest.mark.parametrize("name", ["gas_storage_to_fix", "gas_storage_existing_us_ca"])
def test_no_text_of_the_door_bypasses_the_catalogue(name: str, marked: None) -> None:
    answers = job_answers(name)
    left = {}
    for wish in ({"do": "told", "section": "water"}, {"do": "review"}, {"do": "seal"}, {"do": "photos"}):
        answer = json.loads(door.call(json.dumps({**wish, "language": "xx", "answers": answers})))
        assert "error" not in answer
        left[wish["do"]] = left_in("<p>".join(_shown(answer)), answers)
    assert left == {"told": set(), "review": set(), "seal": set(), "photos": set()}


def _shown(answer: Any, skip: tuple[str, ...] = ("answers", "statement", "consent", "report", "ruleset", "kind", "boxes")) -> Iterator[str]:
    """Every text of an answer that a page shows; what is signed and stored is English."""
    if isinstance(answer, dict):
        for key, value in answer.items():
            if key == "shown":
                yield from map(str, value.values())
            elif key not in (*skip, "outcome", "order", "names", "following", "spare", "todo", "later", "onward_to"):
                yield from _shown(value)
    elif isinstance(answer, list):
        for one in answer:
            yield from _shown(one)
    elif isinstance(answer, str) and not re.fullmatch(r"[0-9a-f]{64}|[a-z_0-9]*", answer):
        yield answer


def test_what_is_signed_and_reported_is_the_same_to_the_byte_in_both_languages() -> None:
    answers = job_answers("gas_storage_us_ca")
    english, spanish = (json.loads(door.call(json.dumps({"do": "seal", "language": one, "answers": answers}))) for one in ("en", "es"))
    shown = [one.pop("shown") for one in (english, spanish)]
    html = [[one.pop(part) for part in ("open", "usual")] for one in (english, spanish)]
    assert english == spanish
    assert shown[0] == {part: english[part] for part in ("statement", "consent")}
    assert shown[1]["statement"].startswith("Instalé este calentador")
    assert html[0][1] != html[1][1]
    photos = json.loads(door.call(json.dumps({"do": "photos", "language": "es", "answers": answers})))["wanted"]
    assert photos[0]["label"] == "Casa con su número y el permiso"


@pytest.mark.parametrize("odd", [5, None, ["es"], {"es": 1}, "zz", "ES", "es" * 5000], ids=lambda one: str(one)[:12])
def test_a_language_that_is_none_is_english(odd: Any) -> None:
    wish = {"do": "told", "answers": {"house_pressure_psi": "60"}, "section": "water"}
    assert door.call(json.dumps({**wish, "language": odd})) == door.call(json.dumps(wish))


def test_a_job_that_breaks_says_so_in_the_language_of_the_wish(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(door, "judged", lambda *_: 1 / 0)
    wish = {"do": "review", "language": "es", "answers": {}}
    assert json.loads(door.call(json.dumps(wish))) == {"error": "El juicio falló aquí (ZeroDivisionError).", "code": "broken"}


def test_what_the_server_refuses_is_said_in_the_phone_s_language(visit: Callable[..., Any]) -> None:
    visitor = visit("installer")
    answer = visitor.post_json("/phone/api/photos/wanted", {"sha256": ["x"]}, headers=SPANISH)
    assert answer.get_json()["error"].startswith("Se esperaban como máximo")
    headers = {"X-CSRFToken": visitor.secret(), "Content-Type": "application/json", **SPANISH}
    sent = visitor.client.put("/phone/api/parcels/x", data=b"{", headers=headers)
    assert sent.get_json()["error"].startswith("El trabajo no llegó como debía (")
    assert visitor.client.get("/phone/api/jobs/none", headers=SPANISH).get_json()["error"].startswith("No hay nada en esta dirección")
    assert visitor.client.get("/phone/api/jobs/none").get_json()["error"].startswith("There is nothing here")


def test_the_words_of_the_phone_s_python_are_the_catalogue_without_the_pages_own() -> None:
    words = json.loads(for_phones("es"))
    assert words["texts"]["House pressure, no water running"]
    assert "Sign, ready to send" not in words["texts"], "what only a template says"
    assert "Type your name." not in words["texts"], "what only a script says"
    assert words["patterns"].keys() >= {"pan.depth", "common", "figures"}
