"""The phone's door: one wish as JSON text in, what a page needs as JSON text out.

The same call answers in the phone's own Python and at the server; it saves nothing and never raises.
A wish names what to do, and in "language" what it is told in (English, where it cannot be):

    told    answers, changes, unread, section, presets: what the answers mean with these changes made
    usual   answers, section, presets: the same, with the usual answers filled in
    model   answers, section, plate, presets: the same, with what a known model has in common
    start   given, account, last: the answers a new job starts with
    review  answers: the review as markup, and what it can end in
    seal    answers: what a signature names, those answers themselves, and the report to the byte; both as
            they are signed, in English, and in "shown" what is signed in the language told in
    accept  answers, check, of, by, on, why, act: the answers with what the authority accepted, or without
    report  answers: the report to the byte, whatever is still open
    photos  answers: the pictures this job wants

What is wrong with a wish is told as {"error": a sentence, "code": "bad_wish"}; a job that cannot be
signed yet as "not_yet", with what is lacking; what could not be accepted as "not_recorded".
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable
from typing import Any

from ..languages import SOURCE, say, speaking, spoken
from ..rules import (
    CATALOGUE,
    SECTIONS,
    BadAnswer,
    Job,
    Report,
    assess,
    digest,
    read_amendments,
    readable,
)
from ..rules.version import RULESET
from ..sheet import live as sheet
from ..sheet.answered import accepted_html
from ..sheet.groups import Group
from . import photos, usual
from .accepting import NotRecorded, acceptances
from .judging import NO_PLACE, in_box, judged, notices
from .models import NAMED_BY, OF_A_MODEL, taken_over
from .review import follows_html, open_items_html, review_html
from .signed import CONSENT, OTHER_CODES, STATEMENTS, NotIssuable, answers_digest, kind_for, lacking
from .standing import where_it_stands
from .starting import account_answers, known_already, started
from .together import codes_together, kept_apart, merged, whole
from .told import folded_words, parts, read_changes, told
from .typed import questions_of, read_one, shown
from .ways import following, sections_of
from .wish import MOST_ANSWERS, BadWish, Wish, day_of, held_object, read_wish, section_of


def call(text: str) -> str:
    """Answer one wish; the texts are JSON."""
    try:
        answer = _answered(read_wish(text))
    except (BadWish, BadAnswer) as bad:
        answer = {"error": str(bad)[:500], "code": "bad_wish"}
    except RecursionError:
        answer = {"error": "A wish nested so deeply cannot be read.", "code": "bad_wish"}
    return json.dumps(answer)


def _answered(wish: Wish) -> Wish:
    do = _DOING.get(str(wish.get("do")))
    if do is None:
        raise BadWish(f'"do": expected one of {", ".join(_DOING)}.')
    with speaking(str(wish.get("language", SOURCE))):
        try:
            return do(wish)
        except (BadWish, BadAnswer, RecursionError):
            raise
        except Exception as broken:
            says = say("Judging broke here ({fault}).", fault=type(broken).__name__)
            return {"error": says, "code": "broken"}


def _told(wish: Wish) -> Wish:
    answers, changes, section = held_object(wish, "answers"), held_object(wish, "changes"), section_of(wish)
    unread = wish.get("unread", [])
    if not isinstance(unread, list) or not all(isinstance(name, str) for name in unread[:MOST_ANSWERS]):
        raise BadWish('"unread": expected a list of questions.')
    given, errors, accepted = read_changes(changes, _CODES)
    refused: dict[str, str] = {}
    going, read = given, whole(answers, given)
    if read is None:
        held, refused = _read(answers)
        errors |= codes_together(held, given)
        going, apart = kept_apart(held, given)
        errors |= apart
        now_held = merged(held, going)
    else:
        now_held = merged(answers, going)
    stored = _stored(answers, refused, now_held, going)
    still = {name for name in unread[:MOST_ANSWERS] if name not in given} | set(errors)
    answer = _as_told(stored, refused, now_held, still, section, read, held_object(wish, "presets"))
    return answer | {"errors": errors, "accepted": accepted}


def _as_told(
    stored: Wish, refused: dict[str, str], held: Wish, unread: set[str],
    section: str | None, read: Job | None, presets: Wish,
) -> Wish:  # fmt: skip
    answer = told(held, unread, section, (section,) if section else (), read, presets)
    usual_names = _usual_names(stored)
    refused = {name: said for name, said in refused.items() if name in stored and name not in held}
    kept = {name: stored[name] for name in refused}
    answer |= {
        "answers": stored, "errors": {}, "accepted": {}, "unreadable": refused,
        "notices": notices(held, kept, usual_names, section or ""),
    }  # fmt: skip
    if section:
        again = {name for name in kept if in_box(name, section, usual_names)}
        answer["boxes"] |= {name: shown(CATALOGUE[name], kept[name]) for name in again}
        wrong = unread | again
        later = [q.name for q in questions_of(section) if q.name not in wrong and q.name in answer["spare"]]
        answer |= {
            "following": following(section, answer["order"], answer),
            "later": later,
            "groups": [_group(one) for one in parts(section, answer, held, wrong)],
        }
    return answer


def _group(one: Group) -> Wish:
    words = folded_words(one)
    return {"title": one.title, "folded": one.folded, "words": words, "asked": one.asked, "names": one.names}


def _usual(wish: Wish) -> Wish:
    presets = held_object(wish, "presets")
    return _filled(wish, lambda section, held: usual.filled(section, held, presets))


def _model(wish: Wish) -> Wish:
    sent = held_object(wish, "plate")
    plate, _ = _read({name: sent[name] for name in (*NAMED_BY, *OF_A_MODEL) if name in sent})
    return _filled(wish, lambda section, held: kept_apart(held, taken_over(held, plate))[0])


def _filled(wish: Wish, by: Callable[[str, Wish], Wish]) -> Wish:
    answers, section = held_object(wish, "answers"), section_of(wish)
    if section is None:
        raise BadWish(f'"section": expected one of {", ".join(SECTIONS)}.')
    held, refused = _read(answers)
    filled = by(section, held)
    now_held = merged(held, filled)
    stored = _stored(answers, refused, now_held, filled)
    return _as_told(stored, refused, now_held, set(), section, None, held_object(wish, "presets"))


def _start(wish: Wish) -> Wish:
    given, account, last = (held_object(wish, name) for name in ("given", "account", "last"))

    def codes(choice: Any) -> Wish:
        chosen = {"place": read_one("place", choice)}
        own = read_amendments(given.get("amendments"))
        if own and own["base"] != chosen["place"]:
            raise BadAnswer("place", "the place that the amendments are laid over")
        return chosen | ({"amendments": own} if own else {})

    answers, errors = started(given, codes)
    if errors:
        return {"answers": answers, "errors": errors}
    person, firm = (
        {name: held for name, held in held_object(account, who).items() if isinstance(held, str)}
        for who in ("person", "firm")
    )
    answers |= known_already(answers, account_answers(person, firm), _read(last)[0])
    return {"answers": _read(answers)[0], "errors": {}}


def _review(wish: Wish) -> Wish:
    answers = held_object(wish, "answers")
    held, refused = _read(answers)
    read = Job(held)
    report = judged(held, read)
    now = sheet.live(held, report, (), read)
    stands, order = where_it_stands(held, report, now, day_of(wish)), sections_of(now["asked"])
    return {
        "html": review_html(held, report, now, order, stands),
        "outcome": now["outcome"], "outcome_words": stands.lead, "counts": now["counts"],
        "tallies": now["tallies"], "order": order, "kind": stands.kind,
        "signable": stands.signable, "follows": follows_html(stands),
        "notices": notices(held, {name: answers[name] for name in refused}, _usual_names(answers)),
    }  # fmt: skip


def _seal(wish: Wish) -> Wish:
    held, refused = _read(held_object(wish, "answers"))
    if not held.get("place"):
        return _not_yet({"place": say(NO_PLACE)})
    if "amendments" in refused:
        return _not_yet({"amendments": say(OTHER_CODES)})
    read = Job(held)
    report = assess(read)
    try:
        kind = kind_for(held, report.outcome)
    except NotIssuable as still:
        return _not_yet({"answers": say(str(still))})
    lacks = lacking(held, kind, day_of(wish))
    if lacks:
        return _not_yet(lacks)
    return {
        "kind": kind,
        "statement": STATEMENTS[kind],
        "consent": CONSENT,
        "shown": {"statement": say(STATEMENTS[kind]), "consent": say(CONSENT)},
        "answers": held,
        "answers_sha256": answers_digest(held),
        "open": open_items_html(report.as_json()),
        "usual": accepted_html(held),
        **_to_the_byte(report),
    }


def _accept(wish: Wish) -> Wish:
    answers = held_object(wish, "answers")
    held, refused = _read(answers)
    if "acceptances" in refused:
        raise BadWish('"acceptances": what was accepted before cannot be read by this version.')
    named = ("check", "of", "by", "on", "why", "act")
    said = {name: wish[name] for name in named if isinstance(wish.get(name), str)}
    try:
        now = acceptances(held, said)
    except NotRecorded as fault:
        return {"error": str(fault), "code": "not_recorded", "check": fault.check}
    kept = {name: one for name, one in answers.items() if name != "acceptances"}
    return {"answers": kept | ({"acceptances": now} if now else {})}


def _report(wish: Wish) -> Wish:
    return _to_the_byte(assess(Job(_read(held_object(wish, "answers"))[0])))


def _to_the_byte(report: Report) -> Wish:
    body = report.to_bytes()
    return {
        "report": body.decode(),
        "report_sha256": hashlib.sha256(body).hexdigest(),
        "ruleset": {"version": RULESET, "digest": digest()},
    }


def _photos(wish: Wish) -> Wish:
    return {"wanted": photos.told(_read(held_object(wish, "answers"))[0], spoken())}


def _not_yet(lacks: dict[str, str]) -> Wish:
    return {"error": " ".join(lacks.values()), "code": "not_yet", "lacking": lacks}


def _read(answers: Wish) -> tuple[Wish, dict[str, str]]:
    """The answers that this version reads, and what it expected where it cannot."""
    return readable({name: held for name, held in answers.items() if held is not None})


def _usual_names(answers: Wish) -> list[str]:
    names = answers.get("accepted_as_usual")
    return [name for name in names if isinstance(name, str)] if isinstance(names, list) else []


def _stored(answers: Wish, refused: dict[str, str], held: Wish, changes: Wish) -> Wish:
    """The answers with the changes made, those that this version cannot read kept as they are."""
    stored = {name: answers[name] for name in refused if name not in changes} | held
    left = [name for name in _usual_names(answers) if name not in changes]
    left = sorted({*left, *(held.get("accepted_as_usual") or ())}) if "accepted_as_usual" in changes else left
    stored.pop("accepted_as_usual", None)
    return stored | ({"accepted_as_usual": left} if left else {})


def _place(given: Any) -> Wish:
    return {"place": read_one("place", given)}


def _amendments(given: Any) -> Wish:
    return {"amendments": read_amendments(given)}


_CODES: dict[str, Callable[[Any], Wish]] = {"place": _place, "amendments": _amendments}
_DOING: dict[str, Callable[[Wish], Wish]] = {
    "told": _told, "usual": _usual, "model": _model, "start": _start, "review": _review, "seal": _seal,
    "report": _report, "photos": _photos, "accept": _accept,
}  # fmt: skip
