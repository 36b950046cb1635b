// Why a signed job was not taken: told where the job is opened, until what was refused is answered otherwise.

import { wordsOf } from "./kept-words.js";
import { same } from "./store.js";

// Whether an answer is still the one that was refused.
function stands({ problem, answers }, name) {
  const refused = problem?.refused ?? {};
  return Object.hasOwn(refused, name) && same(answers[name] ?? null, refused[name]);
}

export function reasonOf(draft) {
  const named = Object.keys(draft.problem?.refused ?? {});
  return named.length && !named.some((name) => stands(draft, name)) ? "" : wordsOf(draft.problem);
}

// Above the verdicts of each question whose answer was refused.
export function atRefused(draft, boxes) {
  for (const [name, box] of boxes) {
    const said = box.querySelector("[data-refused]");
    if (stands(draft, name) === Boolean(said)) continue;
    if (said) {
      said.remove();
      continue;
    }
    const line = Object.assign(document.createElement("p"), { className: "phone-asked", textContent: wordsOf({ ...draft.problem, says: draft.problem.fields[name] }) });
    line.dataset.refused = "";
    box.querySelector("[data-said]")?.before(line);
  }
}
