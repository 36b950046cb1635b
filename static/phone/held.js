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
