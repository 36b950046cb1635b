// A job kept by another version of these pages. What an older one kept is brought up, a step a version; what a newer
// one kept (this phone went back to an older version since) is left exactly as it is.

import { say } from "../say.js";
import { FORM } from "./drafts.js";

// STEPS[n] takes a job of form n and gives it as form n + 1 has it; it changes nothing that it was given.
export const STEPS = {
  // Before jobs on the phone had a form: what was added since begins empty.
  0: (draft) => ({
    job: null, base: null, who: null, answers: {}, typed: {}, boxes: {}, at: "job", told: null, signatures: null, photos: [],
    state: "draft", parcel: null, parcel_sha256: null, problem: null, tries: 0, next_try_at: null, ready_at: null, number: null,
    link: null, ...draft, form: 1,
  }),
};

export function isNewer(draft, form = FORM) {
  return (draft.form ?? 0) > form;
}

// raises  Error where a step is missing: such a job is shown as it is, and can be saved to a file
export function broughtUp(draft, steps = STEPS, form = FORM) {
  let now = draft;
  for (let at = draft.form ?? 0; at < form; at += 1) {
    if (!steps[at]) throw new Error(say("this version cannot read a job of form {form}", { form: at }));
    now = steps[at](now);
  }
  return now;
}
