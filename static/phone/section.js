// One section of a job: its questions, and what their answers mean, judged while one types.

import { showCounts } from "../counts.js";
import { decorate } from "../decorate.js";
import { answerOf, put, showFault, wantedOf } from "../fields.js";
import { language, say } from "../say.js";
import { inSight, showTold, swap } from "../showing.js";
import { addressOf, mayChange, saver, unsigned } from "./drafts.js";
import { asBoxes, held } from "./held.js";
import { asList, atQuestions } from "./inspected.js";
import { offerModels } from "./models.js";
import { holdAlone } from "./one-tab.js";
import { remembered, UNJUDGED } from "./opening.js";
import { atRefused } from "./refused.js";
import { sentence } from "./sentence.js";
import { same } from "./store.js";

const PAUSE_MS = 400;
const UNSIGNED = say("You changed an answer, so the signature is gone. Sign again when you are done.");
const GONE = say("This job was sent or removed meanwhile, so what you change here is kept nowhere. Go back to the jobs.");

export async function sectionView(app, draft, section, question) {
  const node = document.createElement("div");
  node.append(app.template(`section-${section}`));
  const form = node.querySelector("form");
  const saved = form.querySelector("[data-saved]");
  const boxes = new Map([...form.querySelectorAll("[data-q]")].map((box) => [box.dataset.q, box]));
  const keeper = saver(draft, tell, () => {
    stopHere(GONE);
    app.tell("");
  });
  let open = mayChange(draft);
  const means = form.querySelector(".means");
  let failing = false;
  let unkept = false;
  let underway = false;
  let again = false;
  let closed = false;
  let settled = Promise.resolve();
  let understood = {};

  form.dataset.job = draft.id;
  node.querySelector("[data-address]").textContent = addressOf(draft);
  for (const way of node.querySelectorAll("[data-to]")) way.href = `#/${draft.id}/${way.dataset.to}`;
  offerCodes(app, draft, boxes.get("place"));
  for (const [name, box] of boxes) {
    // A question that may stay empty waits in a fold, and comes back to its own place.
    box.anchor = document.createComment("");
    box.before(box.anchor);
    put(box, draft.boxes[name] ?? asBoxes(draft.answers[name], box));
    decorate(box, note);
    // Judged while one was still in it, it reads back what was understood once one leaves it.
    box.addEventListener("focusout", (going) => {
      if (gone() || name === "place" || name in draft.typed || box.contains(going.relatedTarget)) return;
      if (understood[name]) readBack(name, box);
    });
    offerModels(box, { models: app.models, kind: () => draft.typed.heater_kind ?? draft.answers.heater_kind, fill: takeModel });
  }
  atQuestions(draft, boxes);
  atRefused(draft, boxes);
  if (section === "job") form.before(asList(draft) ?? "");
  if (!open) stopHere(say("This job is on its way and cannot be changed now."));
  holdAlone(draft.id, () => stopHere(say("This job was opened in another tab. What you typed here is kept; go on there.")));

  function stopHere(says) {
    open = false;
    for (const one of form.querySelectorAll("input, select, button:not([data-onward])")) one.disabled = true;
    tell(says, true);
  }

  function tell(text, bad = false) {
    // Said again word for word it would be read out again.
    if (saved.textContent !== text) saved.textContent = text;
    saved.toggleAttribute("data-bad", bad);
  }

  const gone = () => closed || !open;

  function note(box) {
    if (gone()) return;
    const name = box.dataset.q;
    // Of half an answer the door says what it still wants; until then nothing rests on the answer before.
    const answer = answerOf(box, (part) => part);
    const now = held(box);
    // Leaving a field tells of it once more, and nothing may move then under the thumb that left it.
    if (same(now, draft.boxes[name])) return;
    draft.boxes[name] = now;
    if (unsigned(draft)) app.tell(UNSIGNED);
    if (name === "place") chooseCodes(app, draft, answer);
    else draft.typed[name] = answer;
    keeper.touch();
    judge();
  }

  function takeModel(plate) {
    document.activeElement?.blur();
    delete draft.typed.heater_model;
    fill({ do: "model", plate });
  }

  function judge() {
    if (underway) {
      again = true;
      return;
    }
    underway = true;
    settled = judgeNow();
  }

  async function judgeNow() {
    means.setAttribute("aria-busy", "true");
    do {
      again = false;
      const sent = { ...draft.typed };
      try {
        const told = await app.ask({ do: "told", answers: draft.answers, changes: sent, section, presets: app.known?.presets });
        if (gone()) break;
        if (told.error) throw new Error(told.error);
        failing = false;
        taken(told, sent);
      } catch (fault) {
        if (!gone()) waits(fault);
        break;
      }
    } while (again);
    underway = false;
    if (!failing) means.removeAttribute("aria-busy");
  }

  // What cannot be judged now is judged by itself as soon as it can be; what is typed meanwhile is kept, and what was said
  // of the answers before is not said of these.
  function waits(fault) {
    failing = true;
    for (const box of boxes.values()) swap(box.querySelector("[data-said]"), "");
    showCounts(form, UNJUDGED);
    for (const one of document.querySelectorAll("[data-tally]")) swap(one, "");
    if (draft.told) Object.assign(draft.told, { counts: UNJUDGED, tallies: {}, outcome: null, outcome_words: null });
    keeper.touch();
    const html = node.querySelector("[data-section-html]");
    html.textContent = say("{why} What you type is kept.", { why: fault.soon || say("Not judged yet: {why}", { why: sentence(fault) }) });
    delete html.dataset.now;
    setTimeout(() => gone() || judge(), PAUSE_MS * 5);
  }

  function taken(told, sent) {
    const keep = inSight(form, document.activeElement);
    for (const [name, answer] of Object.entries(sent)) {
      if (draft.typed[name] !== answer || told.errors[name]) continue;
      delete draft.typed[name];
    }
    draft.answers = told.answers;
    understood = told.boxes;
    atRefused(draft, boxes);
    for (const [name, box] of boxes) {
      const waiting = name in draft.typed;
      showFault(box, waiting && told.errors[name] ? wantedOf(box, told.errors[name]) : "");
      const fresh = name in sent || (told.boxes[name] && !draft.boxes[name]);
      if (waiting || !fresh || name === "place" || box.contains(document.activeElement)) continue;
      readBack(name, box);
    }
    remember(told);
    folded ||= foldAsTold(form, told.groups);
    showTold(form, boxes, told);
    keep();
    unkept = true;
    afterPaint(keepNow);
  }

  // 14.375 as 14 3/8.
  function readBack(name, box) {
    put(box, understood[name] ?? {});
    draft.boxes[name] = understood[name] ?? {};
  }

  function keepNow() {
    if (!unkept || gone()) return;
    unkept = false;
    keeper.touch();
  }

  function remember(told) {
    const { asked, spare, order, counts, tallies, outcome, outcome_words, onward, following, groups } = told;
    draft.told = { asked, spare, order, counts, tallies, outcome, outcome_words, onward, following, groups, section, language };
  }

  async function goOn() {
    await Promise.race([settled, new Promise((enough) => setTimeout(enough, PAUSE_MS))]);
    keepNow();
    await keeper.settled;
    app.go(`${draft.id}/${draft.told?.section === section ? draft.told.following : after()}`);
  }

  function after() {
    const order = draft.told?.order ?? Object.keys(app.settings.sections);
    return order[order.indexOf(section) + 1] ?? "review";
  }

  // Several answers at once, worked out by the door: what is usual, or what a known model has in common.
  async function fill(wish) {
    while (underway) await settled;
    if (gone()) return;
    underway = true;
    settled = fillNow(wish);
    await settled;
    underway = false;
    // What was typed meanwhile is judged upon what was filled in.
    if (again && !gone()) judge();
  }

  async function fillNow(wish) {
    means.setAttribute("aria-busy", "true");
    try {
      const told = await app.ask({ ...wish, answers: draft.answers, section, presets: app.known?.presets });
      // Whoever has gone on works at the job elsewhere already.
      if (gone()) return;
      if (told.error) throw new Error(told.error);
      if (unsigned(draft)) app.tell(UNSIGNED);
      draft.answers = told.answers;
      understood = told.boxes;
      for (const [name, box] of boxes) if (!(name in draft.typed)) readBack(name, box);
      remember(told);
      showTold(form, boxes, told);
      keeper.touch();
    } catch (fault) {
      app.tell(say("Nothing was filled in: {why}", { why: fault.soon || sentence(fault) }), true);
    }
    means.removeAttribute("aria-busy");
  }

  form.addEventListener("submit", (going) => going.preventDefault());
  form.querySelector("[data-onward]").addEventListener("click", goOn);
  form.querySelector("[data-usual-button]").addEventListener("click", () => fill({ do: "usual" }));

  const first = remembered(app, draft, section);
  let folded = foldAsTold(form, first.groups);
  showTold(form, boxes, { said: {}, flags: {}, sections: {}, hazard: "", usual: [], ...first });
  draft.at = section;
  if (open) {
    keeper.touch();
    judge();
  }

  return {
    node,
    title: `${app.settings.sections[section]}, ${addressOf(draft)}`,
    strip: true,
    rest() {
      keepNow();
      return keeper.rest();
    },
    ready: () => (question ? (find(question), true) : false),
    goTo: (other, name) => (!other || other === section ? find(name) : app.go(`${draft.id}/${other}/${name}`)),
    async close() {
      keepNow();
      closed = true;
      await keeper.settled;
    },
  };

  function find(name) {
    const at = form.querySelector(`#q-${name}`);
    for (let fold = at?.closest("details"); fold; fold = fold.parentElement.closest("details")) fold.open = true;
    at?.focus();
    at?.closest(".q").scrollIntoView({ block: "center" });
  }
}

// What was typed is kept already: what it came to is shown first, and kept then.
function afterPaint(act) {
  if (document.hidden) act();
  else requestAnimationFrame(() => setTimeout(act));
}

// Once, when the section is first judged: what is answered stands folded, and says in a word what it holds.
function foldAsTold(form, groups) {
  if (!groups) return false;
  const told = new Map(groups.map((one) => [one.title, one]));
  for (const fold of form.querySelectorAll("[data-group]")) {
    const one = told.get(fold.querySelector("h2").textContent);
    fold.open = !one?.folded || fold.contains(document.activeElement);
    fold.querySelector("summary > .quiet").textContent = one?.folded ? one.words : "";
  }
  return true;
}

function offerCodes(app, draft, box) {
  if (!box || !app.known) return;
  const select = box.querySelector("select");
  const own = "amendments" in draft.typed ? draft.typed.amendments : draft.answers.amendments;
  const chosen = own ? `own:${own.name}` : draft.answers.place ?? "";
  select.replaceChildren(...app.known.codes.map(({ key, title }) => new Option(title, key, false, key === chosen)));
  draft.boxes.place = { "": chosen };
}

// A place and the amendments laid over it are chosen together.
function chooseCodes(app, draft, key) {
  const chosen = app.known?.codes.find((one) => one.key === key)?.answers ?? { place: key };
  Object.assign(draft.typed, { place: chosen.place, amendments: chosen.amendments ?? null });
}
