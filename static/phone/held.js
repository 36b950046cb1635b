// What stands in a question's inputs, by the end of each input's name: kept in the draft, and put back by `put`.

export function held(box) {
  const name = box.dataset.q;
  const kept = {};
  for (const one of box.querySelectorAll("input, select")) {
    if (!one.name || (one.type === "radio" && !one.checked)) continue;
    if (one.value) kept[one.name.slice(name.length)] = one.value;
  }
  return kept;
}

// The same for an answer as it is stored, where nothing was typed here: what was taken along, or chosen from elsewhere.
export function asBoxes(answer, box) {
  if (answer === undefined || answer === null) return {};
  const excusable = box.querySelector(`[name="${box.dataset.q}-said"]`);
  if (answer === "not_here" && excusable) return { "-said": answer };
  if (Array.isArray(answer)) return Object.fromEntries(answer.flatMap(asRow));
  if (typeof answer === "object") return { "-said": "could_not_measure", "-why": answer.could_not_measure ?? "" };
  return { "": String(answer) };
}

function asRow(one, place) {
  if (typeof one !== "object") return [[`-${place + 1}`, String(one)]];
  return Object.entries(one).map(([part, text]) => [`-${place + 1}-${part}`, String(text)]);
}
