// A new job: the few things it starts with, kept on this phone from the first tap.

import { say } from "../say.js";
import { today } from "../today.js";
import { begun } from "./drafts.js";
import { showFaults } from "./faults.js";

const PATIENCE_MS = 1500;
const NEEDED = { heater_kind: say("Kind of heater: choose one"), job_kind: say("Kind of job: choose one"), place: say("Adopted codes: choose one") };

export async function beginView(app) {
  const node = document.createElement("div");
  node.append(app.template("begin"));
  const form = node.querySelector("form");
  const known = app.known;
  const last = (await app.store.get("kept", "last"))?.value ?? {};
  const codes = form.elements.place;
  // What the office told of its codes was told in the language of then; those of the books stand here in this one.
  const titles = new Map([...codes.options].map(({ value, text }) => [value, text]));
  const offer = (who) => codes.replaceChildren(new Option(say("Choose"), ""), ...who.codes.map(({ key, title }) => new Option(titles.get(key) ?? title, key)));
  if (known) offer(known);
  codes.value = known?.default_code || last.code || "";
  if (last.kind) form.elements.heater_kind.value = last.kind;
  form.elements.address_city.value = last.answers?.address_city ?? "";

  let underway = false;
  form.addEventListener("submit", async (going) => {
    going.preventDefault();
    const given = Object.fromEntries([...new FormData(form)].map(([name, text]) => [name, String(text).trim()]));
    const faults = Object.entries(NEEDED).filter(([name]) => !given[name]);
    showFaults(node, faults);
    if (faults.length || underway) return;
    underway = true;
    const answers = dated(await answersFor(app, given, last.answers ?? {}));
    const draft = begun(answers, known ? { id: known.person.id, name: known.person.name } : null);
    try {
      await app.store.putTogether([
        ["drafts", draft],
        ["kept", { key: "last", value: { code: given.place, kind: given.heater_kind, answers: townOf(draft.answers) } }],
      ]);
    } catch (fault) {
      underway = false;
      app.tell(say("{why} This job was not begun.", { why: fault.message }), true);
      return;
    }
    navigator.storage?.persist?.();
    app.go(`${draft.id}/job`);
  });
  // A firm's own codes are told in this page's language from now on; what was chosen meanwhile stays.
  function signedIn() {
    if (!app.account) return;
    const chosen = codes.value || app.account.default_code;
    offer(app.account);
    codes.value = chosen;
  }

  return { node, title: say("New job"), signedIn };
}

// The door knows what the account and the last job fill in; while it is not there, what was chosen is enough.
async function answersFor(app, given, last) {
  const { place, ...rest } = given;
  const chosen = app.known?.codes.find((one) => one.key === place)?.answers ?? { place };
  const plain = { ...Object.fromEntries(Object.entries(rest).filter(([, text]) => text)), ...chosen };
  const wish = { do: "start", given: { ...rest, ...chosen }, account: app.known ?? {}, last };
  const late = new Promise((done) => setTimeout(() => done(null), PATIENCE_MS));
  const told = await Promise.race([app.ask(wish).catch(() => null), late]);
  if (told?.answers && !Object.keys(told.errors ?? {}).length) return told.answers;
  const { person, firm } = app.known ?? { person: {}, firm: {} };
  const names = given.job_kind === "existing" ? {} : {
    installer_name: person.name, installer_licence: person.licence, contractor_name: firm.name, contractor_licence: firm.licence,
  };
  return { ...plain, ...Object.fromEntries(Object.entries(names).filter(([, text]) => text)) };
}

// Work is mostly begun on the day it is dated: kept as accepted, and changed in the section Job.
function dated(answers) {
  if (answers.work_date) return answers;
  return { ...answers, work_date: today(), accepted_as_usual: [...(answers.accepted_as_usual ?? []), "work_date"].sort() };
}

// What the next job may take over: the town's, never the address or the owner.
function townOf(answers) {
  const kept = ["address_city", "address_state", "design_winter_temperature_f", "elevation_ft"];
  return Object.fromEntries(kept.filter((name) => name in answers).map((name) => [name, answers[name]]));
}
