// The phone's own pages: one shell, kept on the phone, that shows a view for what stands behind the # of the address.

import { language, say } from "../say.js";
import { goByTheFirm } from "../today.js";
import { inWords } from "./age.js";
import * as server from "./api.js";
import { beginView } from "./begin.js";
import { wayBack } from "./camera.js";
import { clashView } from "./clash.js";
import { mayChange } from "./drafts.js";
import * as engine from "./engine.js";
import { keepBeside } from "./keep.js";
import { wordsOf } from "./kept-words.js";
import { joined } from "./known-models.js";
import { leaveWithSignal } from "./leaving.js";
import { listView, paperOf } from "./list.js";
import { newerView } from "./newer-view.js";
import { broughtUp, isNewer } from "./older.js";
import { letGo } from "./one-tab.js";
import { outbox } from "./outbox.js";
import { photosPage } from "./photos-page.js";
import { takePlace } from "./place.js";
import { reviewView } from "./review.js";
import { sectionView } from "./section.js";
import { hasSignal, onSignal } from "./signal.js";
import { signView } from "./sign-view.js";
import * as store from "./store.js";
import { keepOthers, tellOffice, tongues } from "./tongue.js";
import { keepUpdated } from "./update.js";

const settings = JSON.parse(document.getElementById("settings").textContent);
const main = document.getElementById("main");
const line = document.querySelector("[data-line]");
const views = { review: reviewView, photos: photosPage, sign: signView, clash: clashView };
let shown = null;
let updates = null;
let spoken = null;
let turn = 0;
let toldAt = 0;

const app = {
  settings,
  store,
  ask: engine.ask,
  account: null,
  known: null,
  models: [],
  outbox: null,
  go: (way) => {
    if (location.hash === `#/${way}`) show();
    else location.hash = `/${way}`;
  },
  template,
  tell,
  counted,
  nameOf,
};

// A section's markup is text until it is shown: a phone is slow to read them all.
function template(name) {
  const kept = document.querySelector(`[data-view="${name}"]`);
  if (kept.content) return kept.content.cloneNode(true);
  const made = document.createElement("template");
  made.innerHTML = kept.textContent;
  return made.content;
}

// A line above everything, for what concerns the whole phone; an empty text takes it away.
function tell(text, bad = false, lang = language) {
  line.textContent = text;
  line.lang = lang;
  line.hidden = !text;
  line.toggleAttribute("data-bad", bad);
  line.removeAttribute("data-late");
  toldAt = turn;
}

// How many signed jobs wait, beside the way back to them, on every page.
function counted(waiting) {
  const badge = document.querySelector("[data-waiting-count]");
  badge.textContent = waiting ? say("{count} to send", { count: waiting }) : "";
  badge.hidden = !waiting;
}

// A kind of picture, as it is called within a sentence.
function nameOf(kind) {
  const label = settings.photos.find((one) => one.kind === kind)?.label ?? kind.replaceAll("_", " ");
  return label.charAt(0).toLowerCase() + label.slice(1);
}

async function viewFor(way) {
  const [first, second, question] = way.split("/");
  if (!first) return listView(app);
  if (first === "new") return beginView(app);
  const found = await store.get("drafts", first);
  if (!found) {
    const sent = await store.get("sent", first);
    const gone = sent
      ? say("This job was issued as {paper}, and is not on this phone any more. What was sent stands below.", { paper: paperOf(sent) })
      : say("That job is not on this phone any more. What was sent stands below.");
    return listView(app, gone);
  }
  if (isNewer(found)) return newerView(app, found);
  const draft = broughtUp(found);
  const view = views[second] ? await views[second](app, draft) : await sectionView(app, draft, settings.sections[second] ? second : draft.at, question);
  return { ...view, job: first, onItsWay: !mayChange(draft) };
}

// A job that was sent while its page is shown: nothing of the page holds any more. One that was on its way when its page
// was opened, and came back, can be changed again.
async function follow() {
  const id = shown?.job;
  const row = id && (await store.get("drafts", id));
  if (!id || shown?.job !== id) return;
  if (!row) await show();
  else if (shown.onItsWay && mayChange(row)) await show({ stay: true });
  else if (row.problem?.code === "issued_already") tell(wordsOf(row.problem), true);
}

// stay: the same view anew, where one was in it
async function show({ stay = false } = {}) {
  const mine = ++turn;
  const before = shown;
  shown = null;
  await before?.close?.();
  let view = null;
  try {
    view = await viewFor(location.hash.replace(/^#\/?/, ""));
  } catch (fault) {
    view = { node: broken(fault), title: say("Something went wrong") };
  }
  if (mine !== turn) {
    view.close?.();
    return;
  }
  shown = view;
  if (!view.job) letGo();
  // What was told goes along to the next view, and not to the one after it.
  if (toldAt < turn - 1 && !line.hasAttribute("data-late")) tell("");
  countWaiting();
  document.title = view.title;
  document.body.classList.toggle("job-page", Boolean(view.strip));
  const top = stay ? scrollY : 0;
  main.replaceChildren(view.node);
  if (!view.ready?.()) {
    scrollTo(0, top);
    const head = main.querySelector("h1");
    head.tabIndex = -1;
    head.focus({ preventScroll: true });
  }
  updates?.look();
  spoken?.look();
  // The try may have ended while the view was laid out.
  if (view.onItsWay) follow();
}

function broken(fault) {
  const node = app.template("broken");
  node.querySelector("[data-why]").textContent = fault.message;
  return node;
}

// A link to a question of this section, or of another one, stays inside the shell.
document.addEventListener("click", (press) => {
  const link = press.target.closest?.("a[href]");
  const way = link && /^(?:#?([a-z_]+))?(?:#|\/)q-(\w+)$/.exec(link.getAttribute("href"));
  const section = link?.dataset.go;
  if ((way || section) && shown?.goTo) {
    press.preventDefault();
    shown.goTo(way?.[1] ?? section ?? "", way?.[2]);
  }
});

async function learnWho() {
  try {
    const found = await server.account();
    if (found) found.heard = new Date().toISOString();
    app.account = found;
    if (found && app.known && found.firm.id !== app.known.firm.id) await forgetFirm();
    app.known = found ?? app.known;
    goByTheFirm(app.known);
    if (found) await store.put("kept", { key: "account", value: found });
    document.querySelector("[data-sign-in]").hidden = Boolean(found);
    shown?.signedIn?.();
    if (found) await tellOffice();
    if (found) await learnModels();
  } catch {
    // With no connection, who was signed in last is who works here.
  }
  nameFirm();
}

// Another firm works on this phone now: what the work of the one before left here is not for it.
async function forgetFirm() {
  app.models = [];
  await store.changeTogether([["remove", "kept", "models"], ["remove", "kept", "last"]]);
}

// The plates of models fitted before: this phone's own newest first, then the firm's.
async function learnModels() {
  const { status, told } = await server.api("models");
  if (status !== 200) return;
  app.models = joined(app.models, told.models);
  await store.put("kept", { key: "models", value: app.models });
}

function nameFirm() {
  if (app.known) document.querySelector("[data-firm]").textContent = app.known.firm.name || say("Water heater records");
}

async function countWaiting() {
  const { waiting, late, oldest_s: oldest } = await app.outbox.counts();
  counted(waiting);
  // The list says it itself, larger; what was just told of this job goes before.
  const says = late && !shown?.list ? say("A signed job has waited {time} on this phone and was not sent. Send it, or save it to a file.", { time: inWords(oldest) }) : "";
  const ours = line.hasAttribute("data-late");
  if ((says && line.hidden) || (ours && line.textContent !== says)) {
    tell(says, Boolean(says));
    line.toggleAttribute("data-late", Boolean(says));
  }
}

function sayWhereJudged() {
  const { way, loading, fault } = engine.state();
  const words = {
    phone: fault ? say("Judges on this phone. {fault}", { fault }) : say("Judges on this phone, with or without signal."),
    server: fault ? say("Judges at the office, with a signal only: {fault}", { fault }) : say("Judges at the office, with a signal only."),
    none: say("Cannot judge without a signal. What you type is kept."),
  };
  const share = loading === null ? "" : ` ${say("Fetching what this phone needs to judge by itself: {share} %.", { share: Math.round(loading * 100) })}`;
  // What is fetched whole, or with no signal, comes up from the phone itself.
  const soon = loading !== null && (loading >= engine.FETCHED || !hasSignal());
  document.querySelector("[data-engine]").textContent = soon ? say("This phone is getting ready to judge. What you type is kept.") : words[way] + share;
}

async function start() {
  document.documentElement.classList.add("scripted");
  try {
    await store.open();
  } catch (fault) {
    main.replaceChildren(app.template("no-store"));
    main.querySelector("[data-why]").textContent = fault.message;
    return;
  }
  app.known = (await store.get("kept", "account"))?.value ?? null;
  goByTheFirm(app.known);
  app.models = (await store.get("kept", "models"))?.value ?? [];
  nameFirm();
  app.outbox = outbox({ store, api: server, nameOf });
  app.outbox.onChange(countWaiting);
  app.outbox.onChange(follow);
  leaveWithSignal(tell);
  onSignal(sayWhereJudged);
  engine.onState(sayWhereJudged);
  const camera = location.hash.length > 2 ? "" : wayBack(await store.all("drafts"));
  if (camera) history.replaceState(null, "", `#/${camera}`);
  window.addEventListener("hashchange", show);
  await show();
  takePlace();
  document.documentElement.dataset.ready = "yes";
  updates = keepUpdated(app, () => shown);
  spoken = tongues(app, { view: () => shown, mayChange: updates.mayChange });
  spoken.look();
  learnWho().then(() => app.outbox.begin());
  // Lettering and engine come after the form: a slow phone can be typed on while they load.
  const own = new Set(settings.engine?.files.map(({ shelf }) => shelf));
  if (settings.keep) await keepBeside(Object.fromEntries(Object.entries(settings.beside).filter(([name]) => !own.has(name))));
  const place = app.known?.codes?.find(({ key }) => key === app.known.default_code)?.answers.place;
  engine.start(settings.engine && { ...settings.engine, keep: settings.keep && Boolean(navigator.serviceWorker), place });
  const off = engine.onState(calm);
  calm(engine.state());

  function calm({ loading }) {
    if (loading !== null) return;
    off?.();
    keepOthers();
  }
}

start();
