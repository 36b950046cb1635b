// Sign a job on this phone: the statement, the installer's signature, the homeowner's receipt; then it is ready to send.

import { offerPad } from "../ink.js";
import { say } from "../say.js";
import { joined, plateOf } from "./known-models.js";
import { Unreachable } from "./api.js";
import { addressOf, FORM, mayChange, saver } from "./drafts.js";
import { showFaults } from "./faults.js";
import { alongOf } from "./going-along.js";
import { oneLine } from "./one-line.js";
import { holdAlone } from "./one-tab.js";
import { sentence } from "./sentence.js";
import { settle } from "./settle.js";
import { sha256 } from "./sums.js";

const AGAIN_MS = 1_500;
const ELSEWHERE = say("This job was opened in another tab. Nothing is signed here; go on there.");
const GONE = say("This job was sent or removed meanwhile. Nothing was signed here.");
const HEADS = { certificate: say("Sign the certificate"), correction_list: say("Sign the correction list"), findings_report: say("Sign the findings report") };

export async function signView(app, draft) {
  const node = document.createElement("div");
  node.append(app.template("sign"));
  const form = node.querySelector("form");
  const title = say("Sign, {address}", { address: addressOf(draft) });
  const tell = (text, soon = "") => {
    for (const [name, words] of [["why", text], ["soon", soon]]) {
      const line = node.querySelector(`[data-${name}]`);
      if (line.textContent !== words) line.textContent = words;
    }
  };
  node.querySelector("[data-back]").href = `#/${draft.id}/review`;
  node.querySelector("[data-address]").textContent = addressOf(draft);
  let seal = null;
  let signing = false;
  let closed = false;
  const stopHere = (why) => {
    tell(why);
    form.hidden = true;
  };
  const keeper = saver(draft, (text, bad) => bad && tell(text), () => stopHere(GONE));
  holdAlone(draft.id, () => {
    signing = true;
    stopHere(ELSEWHERE);
  });
  const leave = { rest: keeper.rest, close: async () => ((closed = true), keeper.settled) };
  try {
    if (!mayChange(draft)) throw new Error(say("this job is on its way already"));
    if (Object.keys(await settle(app, draft)).length) throw new Error(say("something typed could not be read; it is marked in its section"));
    seal = await app.ask({ do: "seal", answers: draft.answers });
    if (seal.error) throw new Error(seal.error);
  } catch (fault) {
    form.hidden = true;
    sayWhyNot(fault);
    return { node, title, ...leave };
  }
  // Where nothing can judge yet it is asked again by itself, and the page comes once it can.
  function sayWhyNot(fault) {
    if (fault.soon) tell("", say("{soon} Then it can be signed here.", { soon: fault.soon }));
    else tell(say("It cannot be signed now: {why}", { why: sentence(fault) }));
    if (fault instanceof Unreachable) setTimeout(askAgain, AGAIN_MS);
  }

  async function askAgain() {
    if (closed || signing) return;
    const fault = await app.ask({ do: "seal", answers: draft.answers }).then(() => null, (why) => why);
    if (closed || signing) return;
    if (fault) sayWhyNot(fault);
    else app.go(`${draft.id}/sign`);
  }

  node.querySelector("h1").textContent = HEADS[seal.kind];
  node.querySelector("[data-no-certificate]").hidden = seal.kind !== "correction_list";
  // What is signed is English; whoever signs reads it in the language of the page as well.
  for (const one of node.querySelectorAll("[data-statement]")) one.textContent = one.lang ? seal.statement : seal.shown.statement;
  node.querySelector("[data-open]").innerHTML = seal.open;
  node.querySelector("[data-open-part]").hidden = !seal.open;
  const along = alongOf(draft.photos);
  node.querySelector("[data-along]").hidden = !along;
  node.querySelector("[data-along-words]").textContent = along;
  node.querySelector("[data-along] a").href = `#/${draft.id}/photos`;
  node.querySelector("[data-usual]").innerHTML = seal.usual;
  for (const one of node.querySelectorAll("[data-consent]")) one.textContent = one.lang ? seal.consent : seal.shown.consent;
  node.querySelector("[data-mark]").textContent = seal.answers_sha256.slice(0, 16);
  form.elements.name.value = app.known?.person.name ?? draft.answers.installer_name ?? "";
  // What is being signed outlives the page too, as long as the answers are the same.
  if (draft.signing?.answers_sha256 !== seal.answers_sha256) draft.signing = { answers_sha256: seal.answers_sha256, fields: {}, ink: {} };
  const { fields, ink } = draft.signing;
  putBack(form, fields);
  const pads = {};
  for (const who of ["installer", "homeowner"]) {
    const kept = (strokes) => {
      ink[who] = strokes;
      keeper.touch();
    };
    pads[who] = offerPad(node.querySelector(`[data-pad="${who}"]`), kept, ink[who]);
  }
  form.addEventListener("input", () => {
    Object.assign(fields, Object.fromEntries(new FormData(form)), { consent: form.elements.consent.checked });
    keeper.touch();
  });
  const receipt = node.querySelector("[data-receipt]");
  const showReceipt = () => (receipt.hidden = form.elements.homeowner.value !== "signs");
  form.addEventListener("change", showReceipt);
  showReceipt();

  form.addEventListener("submit", async (going) => {
    going.preventDefault();
    const faults = faultsOf(form);
    showFaults(node, faults);
    if (faults.length || signing) return;
    signing = true;
    await keeper.settled;
    const at = new Date().toISOString().replace(/\.\d+Z$/, "Z");
    // Begun before anybody had signed in here, it is still not just anybody's to send.
    const who = draft.who?.id ?? app.known?.person.id ?? null;
    const signatures = [installers(form, seal, pads.installer, at), homeowners(form, seal, pads.homeowner, at)];
    const parcel = JSON.stringify(parcelOf({ ...draft, signatures }, seal, at, who));
    const parcel_sha256 = await sha256(new TextEncoder().encode(parcel));
    const ready = { signatures, parcel, parcel_sha256, state: "ready", ready_at: at, problem: null, signing: null, by_file: false, tries: 0, next_try_at: null };
    try {
      const signed = { ...structuredClone(draft), ...ready };
      if (!(await app.store.change("drafts", draft.id, (row) => row && signed))) return stopHere(GONE);
    } catch (fault) {
      tell(say("{why} It is not signed.", { why: fault.message }));
      signing = false;
      return;
    }
    closed = true;
    rememberModel(app, draft);
    app.go("");
    app.outbox.sendAll();
  });
  return { node, title, ...leave };
}

function putBack(form, fields) {
  for (const name of ["name", "homeowner_name", "relation", "homeowner"]) if (fields[name]) form.elements[name].value = fields[name];
  form.elements.consent.checked = Boolean(fields.consent);
}

// Known here from now on; where there is no room for it, the next plate is typed again.
function rememberModel(app, draft) {
  app.models = joined([plateOf(draft.answers, app.settings.plate)], app.models);
  app.store.put("kept", { key: "models", value: app.models }).catch(() => {});
}

function faultsOf(form) {
  const { name, consent, homeowner, homeowner_name: owner } = form.elements;
  const faults = [];
  if (!oneLine(name.value)) faults.push(["sign-name", say("Type your name.")]);
  if (!consent.checked) faults.push(["consent", say("Tick that you sign electronically.")]);
  if (!homeowner.value) faults.push(["homeowner", say("Say whether the homeowner signs.")]);
  if (homeowner.value === "signs" && !oneLine(owner.value)) faults.push(["homeowner-name", say("Type the homeowner's name.")]);
  return faults;
}

function drawn(pad) {
  const strokes = pad.strokes();
  return strokes.length ? { method: "drawn", strokes } : { method: "typed" };
}

function installers(form, seal, pad, at) {
  const { statement, consent, answers_sha256 } = seal;
  return { role: "installer", name: oneLine(form.elements.name.value), statement, consent, at, answers_sha256, ...readIn(), ...drawn(pad) };
}

// In which language this page showed what is signed beside the English.
function readIn() {
  const { lang } = document.documentElement;
  return lang === "en" ? {} : { read_in: lang };
}

function homeowners(form, seal, pad, at) {
  const answer = form.elements.homeowner.value;
  const own = answer === "signs" ? { ...readIn(), ...drawn(pad) } : { method: answer };
  const said = (name) => (answer === "signs" ? oneLine(form.elements[name].value) : "");
  return {
    role: "homeowner", name: said("homeowner_name"), relation: said("relation"), at, answers_sha256: seal.answers_sha256,
    statement: answer === "signs" ? form.querySelector("[data-receipt-words]").textContent.trim() : "", ...own,
  };
}

function parcelOf(draft, seal, at, who) {
  return {
    form: FORM, draft: draft.id, job: draft.job, base: draft.base, answers: seal.answers, kind: seal.kind,
    report_sha256: seal.report_sha256, ruleset: seal.ruleset, signatures: draft.signatures,
    photos: draft.photos.map(({ sha256: sum, kind, note, chosen, taken_at }) => ({ sha256: sum, kind, note, chosen, taken_at })),
    device: { made_at: draft.made_at, signed_at: at, agent: navigator.userAgent.slice(0, 200) }, person: who,
  };
}
