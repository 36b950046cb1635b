// Where one was on a page, kept over a reload: which field, how far down, which folds are open. What was typed only
// where no job keeps it.

const KEY = "place";

const typable = () => [...document.querySelectorAll("#main :is(input, select)[name]")];
const isPick = ({ type }) => type === "radio" || type === "checkbox";

export function keepPlace({ typed = false } = {}) {
  const at = document.activeElement;
  const place = {
    hash: location.hash, down: scrollY, folds: folds().map((one) => one.open),
    at: at && at !== document.body ? atOf(at) : null,
    typed: typed ? typable().filter((one) => !isPick(one) || one.checked).map(({ name, value }) => [name, value]) : [],
  };
  sessionStorage.setItem(KEY, JSON.stringify(place));
}

function atOf(field) {
  const { id, name, type, value, selectionStart, selectionEnd } = field;
  const { top } = field.getBoundingClientRect();
  return { id, name, value: type === "radio" ? value : null, from: selectionStart ?? null, to: selectionEnd, top };
}

// To be called once, when the first view is shown.
export function takePlace() {
  const text = sessionStorage.getItem(KEY);
  sessionStorage.removeItem(KEY);
  const place = text && JSON.parse(text);
  if (!place || place.hash !== location.hash) return;
  for (const [name, value] of place.typed ?? []) putBack(name, value);
  const now = folds();
  if (now.length === place.folds.length) now.forEach((one, nth) => (one.open = place.folds[nth]));
  scrollTo(0, place.down);
  focus(place.at);
}

function putBack(name, value) {
  const field = typable().find((one) => one.name === name && (!isPick(one) || one.value === value));
  if (!field) return;
  if (isPick(field)) field.checked = true;
  else field.value = value;
  field.dispatchEvent(new Event("change", { bubbles: true }));
}

function folds() {
  return [...document.querySelectorAll("#main details")];
}

function focus(kept) {
  if (!kept) return;
  const byName = kept.name && [...document.getElementsByName(kept.name)].find((one) => kept.value === null || one.value === kept.value);
  const found = byName || (kept.id && document.getElementById(kept.id));
  if (!found?.focus) return;
  found.focus({ preventScroll: true });
  if (kept.from !== null) found.setSelectionRange?.(kept.from, kept.to);
  // What was said of the answers above is not said yet, so the field itself is what stays where it was.
  scrollBy(0, found.getBoundingClientRect().top - kept.top);
}
