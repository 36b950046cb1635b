// What the server has not taken yet, kept in this tab: a reload, or a sign-in that ended, loses nothing typed.

import { put } from "./fields.js";

// keep(parcel)    remembers the answers still on their way; an empty parcel forgets them
// restore(boxes)  puts them back into their boxes and gives the names; the page then names the older revision,
//                 so that what another device saved meanwhile is not written over
export function unsent(form) {
  const key = `unsent/${form.dataset.job}/${form.dataset.section}/${form.elements.whose.value}`;

  function keep(parcel) {
    try {
      if (!parcel.size) sessionStorage.removeItem(key);
      else sessionStorage.setItem(key, JSON.stringify({ revision: form.elements.revision.value, answers: [...parcel] }));
    } catch {
      // A tab that may keep nothing still sends everything.
    }
  }

  function restore(boxes) {
    let held = null;
    try {
      held = JSON.parse(sessionStorage.getItem(key));
    } catch {
      return [];
    }
    if (!held) return [];
    form.elements.revision.value = Math.min(Number(held.revision), Number(form.elements.revision.value));
    const known = held.answers.filter(([name]) => boxes.has(name));
    for (const [name, answer] of known) put(boxes.get(name), asTyped(boxes.get(name), answer));
    return known.map(([name]) => name);
  }

  return { keep, restore };
}

function asTyped(box, answer) {
  if (answer === null) return {};
  if (Array.isArray(answer)) return Object.fromEntries(answer.map((text, place) => [`-${place + 1}`, text]));
  if (typeof answer === "object") return { "-said": "could_not_measure", "-why": answer.could_not_measure };
  const excused = answer === "not_here" && box.querySelector(`[name="${box.dataset.q}-said"]`);
  return excused ? { "-said": answer } : { "": answer };
}
