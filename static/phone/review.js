// The review of a job on this phone: what is to fix, to answer, left to others; and the way to the signature.

import { showCounts } from "../counts.js";
import { language, say } from "../say.js";
import { addressOf, mayChange, saver } from "./drafts.js";
import { asList, atFindings } from "./inspected.js";
import { holdAlone } from "./one-tab.js";
import { reasonOf } from "./refused.js";
import { sentence } from "./sentence.js";
import { settle } from "./settle.js";

const AGAIN_MS = 1_500;
const PATIENCE_MS = 400;
const SIGN = { certificate: say("Sign the certificate"), correction_list: say("Sign a correction list"), findings_report: say("Sign the findings report") };

export async function reviewView(app, draft) {
  const node = document.createElement("div");
  node.append(app.template("review"));
  const part = (name) => node.querySelector(`[data-${name}]`);
  part("address").textContent = addressOf(draft);
  for (const way of node.querySelectorAll("[data-to]")) way.href = `#/${draft.id}/${way.dataset.to}`;
  for (const way of node.querySelectorAll("[data-way]")) way.hidden = draft.told ? !draft.told.order.includes(way.dataset.way) : false;
  sayPhotos(null);
  const dated = () => (part("now").textContent = new Date().toLocaleString(language, { dateStyle: "medium", timeStyle: "short" }));
  addEventListener("beforeprint", dated);
  part("print").addEventListener("click", () => print());
  const keeper = saver(draft, () => {});
  let closed = false;
  let timer = 0;
  // A signed job belongs to its sending: looking at it writes nothing over what that keeps.
  const keep = () => draft.parcel || keeper.touch();
  if (!draft.parcel) draft.at = "review";
  part("review-html").before(asList(draft) ?? "");
  part("signed").hidden = !draft.parcel;
  part("refused").textContent = reasonOf(draft);
  part("refused").hidden = !reasonOf(draft);
  if (draft.by_file) part("signed-where").textContent = say("Signed before it came to this phone by a file, and not at the office yet as far as this phone knows.");
  holdAlone(draft.id, () => {
    closed = true;
    clearTimeout(timer);
    part("lead").textContent = say("This job was opened in another tab: go on there.");
    part("strip").hidden = true;
  });
  keep();

  // What the authority accepted, or takes back: an answer like another, kept with the job.
  part("review-html").addEventListener("submit", async (going) => {
    going.preventDefault();
    const form = going.target;
    const said = { ...form.dataset, ...Object.fromEntries(new FormData(form)) };
    const fault = form.querySelector("[data-fault]");
    const { accept: check, of, by, on, why } = said;
    const wish = { do: "accept", answers: draft.answers, check, of, by, on, why, act: going.submitter?.value };
    const told = await app.ask(wish).catch((lost) => {
      const why = lost.soon || say("It was not recorded: {why}", { why: sentence(lost) });
      return { error: say("{why} Press again in a moment.", { why }) };
    });
    if (closed || draft.parcel) return;
    fault.textContent = told.error ?? "";
    fault.hidden = !told.error;
    if (told.error) return;
    draft.answers = told.answers;
    keeper.touch();
    await judge();
  });

  // Where nothing can judge yet, it is tried again by itself: the phone's own engine may still be starting.
  async function judge() {
    try {
      await settle(app, draft);
      // Beside what cannot be read now no older answer to it is judged; a place is never taken away.
      const read = ([name]) => name === "place" || !(name in draft.typed);
      const told = await app.ask({ do: "review", answers: Object.fromEntries(Object.entries(draft.answers).filter(read)) });
      if (told.error) throw new Error(told.error);
      if (!closed) show(told);
      countPhotos();
    } catch (fault) {
      if (closed) return;
      part("lead").textContent = say("{why} Everything is kept on this phone.", { why: fault.soon || say("Not judged yet: {why}", { why: sentence(fault) }) });
      timer = setTimeout(judge, AGAIN_MS);
    }
  }

  async function countPhotos() {
    const { wanted } = await app.ask({ do: "photos", answers: draft.answers }).catch(() => ({}));
    const lacks = ({ kind, asked }) => asked && !draft.photos.some((one) => one.kind === kind);
    if (wanted) sayPhotos(wanted.filter(lacks).length);
  }

  // left: how many kinds of picture this job still wants, null where nobody can tell now
  function sayPhotos(left) {
    const many = draft.photos.length;
    const taken = many ? (many === 1 ? say("1 taken") : say("{count} taken", { count: many })) : say("none yet");
    const wanted = left === 1 ? say("1 still wanted") : say("{count} still wanted", { count: left });
    const more = left ? wanted : say("none still wanted");
    part("photos").textContent = left === null ? taken : `${taken}, ${more}`;
  }

  function show(told) {
    keep();
    const unread = Object.keys(draft.typed);
    part("lead").textContent = unread.length ? say("Something typed could not be read, and is not judged.") : `${told.outcome_words}.`;
    showCounts(node, told.counts);
    part("review-html").innerHTML = told.html;
    atFindings(draft, part("review-html"));
    if (draft.parcel || !mayChange(draft)) for (const one of node.querySelectorAll(".taken-form, [data-accept]")) one.remove();
    part("notices").replaceChildren(...noticesOf(draft, told).map((says) => Object.assign(document.createElement("p"), { className: "notice", textContent: says })));
    part("unread-part").hidden = !unread.length;
    part("unread").replaceChildren(...unread.map((name) => wayLine(sectionOf(app, name), name, labelOf(app, name))));
    part("others").hidden = !told.counts.open;
    part("accepted-count").hidden = !told.counts.accepted;
    part("follows").innerHTML = draft.parcel || unread.length ? "" : told.follows;
    part("follows").hidden = !part("follows").innerHTML;
    part("strip").hidden = !told.signable || unread.length > 0 || !mayChange(draft);
    part("sign").textContent = SIGN[told.kind] ?? "";
  }

  await Promise.race([judge(), new Promise((enough) => setTimeout(enough, PATIENCE_MS))]);
  return {
    node,
    title: say("Review, {address}", { address: addressOf(draft) }),
    strip: true,
    rest: keeper.rest,
    async close() {
      closed = true;
      removeEventListener("beforeprint", dated);
      clearTimeout(timer);
      await keeper.settled;
    },
    goTo: (section, name) => app.go([draft.id, section, name].filter(Boolean).join("/")),
  };
}

function wayLine(section, question, says) {
  const link = Object.assign(document.createElement("a"), { className: "line-link", href: `#${section}/q-${question}`, textContent: says });
  const line = document.createElement("li");
  line.append(link);
  return line;
}

function sectionOf(app, name) {
  return Object.keys(app.settings.sections).find((one) => app.template(`section-${one}`).querySelector(`[data-q="${name}"]`)) ?? "job";
}

function labelOf(app, name) {
  const label = app.template(`section-${sectionOf(app, name)}`).querySelector(`[data-q="${name}"] .label`);
  return label?.textContent.trim() ?? name.replaceAll("_", " ");
}

function noticesOf(draft, told) {
  const own = draft.answers.amendments;
  return [...(own ? [say("Judged with {title}, version {version}.", own)] : []), ...told.notices];
}
