// What a person can do with a job of the list, as it stands.

import { say } from "../say.js";
import { account, api } from "./api.js";
import { begun } from "./drafts.js";
import { saveToFile } from "./file.js";
import { broughtAlong } from "./going-along.js";
import { isNewer } from "./older.js";
import { sentence } from "./sentence.js";

let visiting = false;

export function* actsFor(app, draft, tell, fill) {
  const button = (words, act) => {
    const one = Object.assign(document.createElement("button"), { type: "button", className: "button", textContent: words });
    one.addEventListener("click", act);
    return one;
  };
  const way = (words, href) => Object.assign(document.createElement("a"), { className: "button", textContent: words, href });
  const code = draft.problem?.code;
  if (isNewer(draft)) {
    yield button(say("Save to a file"), () => saveToFile(app, draft).catch((fault) => tell(fault.message)));
    return;
  }
  if (code === "sign_in") yield way(say("Sign in"), "/sign-in?next=/phone/");
  if (code === "photo" && draft.parcel) {
    for (const { sha256: sum, kind } of draft.problem.photos) {
      yield button(say("Send without {photo}", { photo: kind ? app.nameOf(kind) : say("that photo") }), () => app.outbox.sendWithout(draft.id, sum));
    }
  }
  if (code === "clashes") yield way(say("Choose the answers"), `#/${draft.id}/clash`);
  if (code === "not_yours") yield button(say("Send it as mine"), () => sendAsMine(app, draft, fill, tell));
  if (code === "other_content" || code === "issued_already") yield button(say("Keep as a second visit"), () => secondVisit(app, draft, tell));
  if (draft.parcel && code !== "clashes") yield Object.assign(button(say("Send this one"), () => app.outbox.sendOne(draft.id)), { id: `send-${draft.id}` });
  const save = button(say("Save to a file"), () => saveToFile(app, draft).catch((fault) => tell(fault.message)));
  if (!draft.parcel) save.className = "link";
  yield save;
  if (draft.state !== "sending") yield removal(app, draft, fill, button);
}

// Asked once more before it goes: what stands under the thumb then is to keep it.
function removal(app, draft, fill, button) {
  const ask = button(say("Remove"), () => {
    const keep = button(say("Keep it"), () => {
      keep.replaceWith(ask);
      sure.remove();
      ask.focus({ preventScroll: true });
    });
    const sure = button(draft.parcel ? say("It was not sent. Remove it for good") : say("Remove it for good"), async () => {
      const photos = await app.store.photosOf(draft.id);
      await app.store.changeTogether([["remove", "drafts", draft.id], ...photos.map((photo) => ["remove", "photos", photo.id])]);
      fill();
    });
    ask.replaceWith(keep);
    keep.after(sure);
    keep.focus({ preventScroll: true });
  });
  ask.className = "link";
  return ask;
}

// Another person is signed in than the one who began it: it is signed anew under the one who sends it.
async function sendAsMine(app, draft, fill, tell) {
  if (!app.account) return tell(say("Who you are is not known without a connection. Sign in first."));
  const { person } = app.account;
  const who = { id: person.id, name: person.name };
  const unsigned = { who, signatures: null, parcel: null, parcel_sha256: null, ready_at: null, state: "draft", problem: null };
  await app.store.change("drafts", draft.id, (held) => held && { ...held, ...unsigned, ...signedBy(held, person) });
  await fill();
  app.go(`${draft.id}/review`);
}

// The installer's name and licence on the paper are those of who signs, unless somebody wrote others.
function signedBy(held, person) {
  if (held.answers.installer_name !== held.who?.name) return {};
  const { installer_name, installer_licence, ...rest } = held.answers;
  const own = { installer_name: person.name, ...(person.licence ? { installer_licence: person.licence } : {}) };
  const { installer_name: name, installer_licence: licence, ...boxes } = held.boxes;
  return { answers: { ...rest, ...own }, boxes, told: null };
}

// What was issued stays. It is opened again at the office, and what stands on this phone becomes the next visit.
async function secondVisit(app, draft, tell) {
  if (visiting) return;
  visiting = true;
  const job = draft.job ?? draft.id;
  try {
    await account();
    const { status, told } = await api(`jobs/${job}/again`, { method: "POST", body: "{}" });
    if (status !== 200) throw new Error(told.error ?? say("the server said {code}", { code: status }));
    const rows = await app.store.photosOf(draft.id);
    const photos = [...draft.photos, ...broughtAlong(told.photos, draft.photos)];
    // What this phone sent itself it goes on from; what another one sent was never seen here, and is chosen field by field.
    const own = draft.problem.code === "other_content" || draft.problem.own;
    const base = { revision: told.revision, answers: own ? told.answers : draft.base?.answers ?? {} };
    const next = begun(draft.answers, draft.who, { job, base, boxes: draft.boxes, typed: draft.typed, photos, inspected: told.inspected ?? null });
    await app.store.changeTogether([
      ["put", "drafts", next],
      ["remove", "drafts", draft.id],
      ...rows.map((photo) => ["put", "photos", { ...photo, draft: next.id }]),
    ]);
    app.go(`${next.id}/review`);
  } catch (fault) {
    tell(say("It was not opened again: {why} What stands on this phone is kept.", { why: sentence(fault) }));
  } finally {
    visiting = false;
  }
}
