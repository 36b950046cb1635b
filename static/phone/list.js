// The jobs on this phone: in hand, waiting to be sent, sent; and those at the office that can be taken along.

import { say } from "../say.js";
import { FULL_S, inWords, LOUD_S } from "./age.js";
import { api, proofNow } from "./api.js";
import { actsFor } from "./acts.js";
import { addressOf, begun, clock } from "./drafts.js";
import { takeFromFile } from "./file.js";
import { broughtAlong } from "./going-along.js";
import { isNewer } from "./older.js";
import { reasonOf } from "./refused.js";
import { sentence } from "./sentence.js";
import { sayOfPhone } from "./staying.js";

const WORDS = {
  draft: say("in hand"), ready: say("signed, waits to be sent"), sending: say("being sent"), retry: say("waits for a connection"), needs_you: say("needs you"),
};
const SHOWN = 3;
const PAPERS = {
  certificate: say("certificate {number}"), correction_list: say("correction list {number}"), findings_report: say("findings report {number}"),
};

// A paper by its kind and number: no address of what was sent stays on the phone.
export const paperOf = ({ kind, number }) => (PAPERS[kind] ?? say("paper {number}")).replace("{number}", number);

const named = (one) => paperOf(one).replace(/^./, (first) => first.toUpperCase());

export async function listView(app, says = "") {
  const node = document.createElement("div");
  node.append(app.template("list"));
  const part = (name) => node.querySelector(`[data-${name}]`);
  const rows = Object.fromEntries([...node.querySelectorAll("template[data-row]")].map((one) => [one.dataset.row, one]));

  const made = new Map();
  let taking = false;

  function tell(text) {
    part("says").textContent = text;
    part("says").hidden = !text;
  }

  async function fill() {
    const drafts = (await app.store.all("drafts")).sort((a, b) => (a.changed_at < b.changed_at ? 1 : -1));
    const signed = drafts.filter((one) => one.parcel);
    const inHand = drafts.filter((one) => !one.parcel);
    part("waiting-part").hidden = !signed.length;
    putRows(part("waiting"), signed.map(rowOf));
    putRows(part("drafts"), inHand.map(rowOf));
    part("none").hidden = inHand.length > 0;
    part("send").hidden = !signed.length;
    part("send").textContent = signed.length === 1 ? say("Send it now") : say("Send all {count} now", { count: signed.length });
    const oldest = signed.length ? (await app.outbox.counts()).oldest_s : 0;
    part("loud").hidden = oldest < LOUD_S;
    part("loud").classList.toggle("phone-full", oldest >= FULL_S);
    part("loud-words").textContent = say("A signed job has waited {time} on this phone and was not sent.", { time: inWords(oldest) });
    const sent = (await app.store.all("sent")).sort((a, b) => (a.sent_at < b.sent_at ? 1 : -1));
    part("sent-part").hidden = !sent.length;
    part("sent").replaceChildren(...sent.slice(0, SHOWN).map(sentRow));
    part("sent-before").replaceChildren(...sent.slice(SHOWN).map(sentRow));
    part("sent-before-part").hidden = sent.length <= SHOWN;
    const just = app.outbox?.justSent ?? [];
    part("just-part").hidden = !just.length;
    putRows(part("just"), just.slice(0, SHOWN).map(justRow));
    app.counted(signed.length);
  }

  // A row stays as it is while its job does: what is asked in it, and the focus, are not taken away.
  function rowOf(draft) {
    const { state, problem, changed_at, at, parcel_sha256, photos } = draft;
    const mark = JSON.stringify([state, problem, changed_at, at, parcel_sha256, photos?.length]);
    const before = made.get(draft.id);
    if (before?.mark === mark) return before.row;
    const row = newRow(draft);
    made.set(draft.id, { mark, row });
    return row;
  }

  function newRow(draft) {
    const one = rows.draft.content.cloneNode(true);
    const own = (name) => one.querySelector(`[data-${name}]`);
    const link = one.querySelector("a");
    link.href = `#/${draft.id}/${draft.parcel ? "review" : draft.at}`;
    link.querySelector("b").textContent = addressOf(draft);
    own("state").textContent = isNewer(draft) ? say("made by a newer version of this page") : WORDS[draft.state] ?? draft.state;
    own("saved-at").textContent = say("saved on this phone {time}", { time: clock(draft.changed_at) });
    own("problem").textContent = reasonOf(draft);
    own("problem").hidden = !reasonOf(draft);
    one.querySelector("li").dataset.state = draft.state;
    for (const act of actsFor(app, draft, tell, fill)) own("acts").append(act);
    return one.firstElementChild;
  }

  // What one looks for right after sending: which house, which number, and the way to the paper or to the code to scan.
  function justRow(one) {
    const before = made.get(one.number);
    if (before) return before;
    const row = rows.just.content.cloneNode(true).firstElementChild;
    row.querySelector("[data-address]").textContent = one.address;
    row.querySelector("[data-paper]").textContent = named(one);
    row.querySelector("a").href = one.link ?? "#/";
    const code = row.querySelector("form");
    code.hidden = !one.link || !proofNow();
    code.action = `${(one.link ?? "").replace(/issued$/, "")}link`;
    const prove = () => (code.elements.csrf_token.value = proofNow());
    prove();
    code.addEventListener("submit", prove);
    made.set(one.number, row);
    return row;
  }

  function sentRow(one) {
    const line = document.createElement("li");
    const words = named(one);
    const link = Object.assign(document.createElement("a"), { href: one.link ?? "#/", textContent: words, className: "line-link" });
    const when = Object.assign(document.createElement("span"), { className: "quiet", textContent: say("sent {time}", { time: clock(one.sent_at) }) });
    line.append(link, " ", when);
    return line;
  }

  async function atOffice() {
    if (!app.account) return;
    try {
      const { status, told } = await api("jobs");
      if (status !== 200) return;
      const here = new Set((await app.store.all("drafts")).flatMap((one) => [one.id, one.job]));
      const jobs = told.jobs.filter((one) => !here.has(one.id));
      part("office-part").hidden = !jobs.length;
      part("office").replaceChildren(...jobs.map(officeRow));
    } catch {
      // With no connection there is nothing to list, and nothing to say about it.
    }
  }

  function officeRow(job) {
    const one = rows.office.content.cloneNode(true);
    one.querySelector("b").textContent = job.address;
    one.querySelector("[data-heater]").textContent = job.heater;
    one.querySelector("button").addEventListener("click", () => takeAlong(job.id));
    return one;
  }

  // Two taps are one wish: a job that is on this phone already is gone on with.
  async function takeAlong(id) {
    if (taking) return;
    taking = true;
    try {
      const here = (await app.store.all("drafts")).find((one) => one.id === id || one.job === id);
      if (here) {
        app.go(`${here.id}/${here.at}`);
        return;
      }
      const { status, told } = await api(`jobs/${id}`);
      if (status !== 200) throw new Error(told.error ?? say("the server said {code}", { code: status }));
      const who = app.known ? { id: app.known.person.id, name: app.known.person.name } : null;
      const draft = begun(told.answers, who, { job: told.id, base: { revision: told.revision, answers: told.answers }, inspected: told.inspected ?? null, photos: broughtAlong(told.photos) });
      await app.store.put("drafts", draft);
      app.go(`${draft.id}/job`);
    } catch (fault) {
      tell(say("It was not taken along: {why}", { why: sentence(fault) }));
    } finally {
      taking = false;
    }
  }

  part("send").addEventListener("click", () => app.outbox.sendAll());
  part("open-file").addEventListener("change", async (event) => {
    const [file] = event.target.files;
    event.target.value = "";
    if (!file) return;
    try {
      const id = await takeFromFile(app, file);
      app.go(`${id}/review`);
    } catch (fault) {
      tell(fault.message);
    }
  });
  tell(says);
  await fill();
  atOffice();
  const off = app.outbox?.onChange(fill);
  sayOfPhone(part("phone"), part("drafts").children.length + part("waiting").children.length > 0);
  return { node, title: say("Jobs on this phone"), list: true, strip: true, rest: async () => {}, signedIn: atOffice, close: async () => off?.() };
}

function putRows(list, found) {
  if (found.length !== list.children.length || found.some((row, at) => row !== list.children[at])) list.replaceChildren(...found);
}
