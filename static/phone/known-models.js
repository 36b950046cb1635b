// The plates of models that this phone knows: what two heaters of one model have in common, nothing of a house or a person.

const MOST = 60;

const nameOf = (plate) => ["heater_kind", "heater_maker", "heater_model"].map((part) => String(plate[part] ?? "").toLowerCase()).join("/");

// The first list before the second; each model once.
export function joined(first, second) {
  const found = new Map();
  for (const plate of [...first, ...second]) {
    if (plate.heater_model && !found.has(nameOf(plate))) found.set(nameOf(plate), plate);
  }
  return [...found.values()].slice(0, MOST);
}

// names  the answers that a model has in common
export function plateOf(answers, names) {
  return Object.fromEntries(names.filter((name) => typeof answers[name] === "string").map((name) => [name, answers[name]]));
}
