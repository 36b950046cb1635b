// What a job asks before anything has judged it: worked out beforehand for each kind of heater and of job.

import { language, say } from "../say.js";

export const UNJUDGED = { meets: "?", fix: "?", answer: "?", open: "?" };

const sameLanguage = (told) => (told.language ?? "en") === language;

// What was last told of a section of this job, as long as its words are in the language of now.
export function remembered(app, draft, section) {
  return draft.told?.section === section && sameLanguage(draft.told) ? draft.told : opening(app, draft);
}

function opening(app, draft) {
  const { names, asked: tables } = app.settings.opening;
  const kinds = ["heater_kind", "job_kind"].map((name) => draft.typed[name] ?? draft.answers[name] ?? "");
  const table = tables[kinds.join("/")] ?? tables[`${kinds[0]}/`] ?? tables["/"];
  const asked = Object.fromEntries(names.map((name, at) => [name, table[at] !== "0" || name in draft.answers]));
  const spare = names.filter((name, at) => table[at] === "2" && !(name in draft.answers) && !(name in draft.boxes));
  const order = Object.keys(app.settings.sections);
  const earlier = draft.told ?? {};
  return {
    asked: earlier.asked ?? asked,
    spare: earlier.spare ?? spare,
    order: earlier.order ?? order,
    counts: earlier.counts ?? UNJUDGED,
    tallies: (sameLanguage(earlier) && earlier.tallies) || {},
    onward: say("Go on"),
    following: null,
  };
}
