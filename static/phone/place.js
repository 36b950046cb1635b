// Where one was on a page, kept over a reload: which field, how far down, which folds are open. Nothing that was typed.

const KEY = "place";

export function keepPlace() {
  const at = document.activeElement;
  const place = {
    hash: location.hash, down: scrollY, folds: folds().map((one) => one.open),
    at: at && at !== document.body ? atOf(at) : null,
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
  const now = folds();
  if (now.length === place.folds.length) now.forEach((one, nth) => (one.open = place.folds[nth]));
  scrollTo(0, place.down);
  focus(place.at);
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
