// Where one was on a page, kept over a reload: which field, how far down, which folds are open. Nothing that was typed.

const KEY = "place";

export function keepPlace() {
  const at = document.activeElement;
  const text = at?.selectionStart ?? null;
  const place = {
    hash: location.hash, down: scrollY, folds: folds().map((one) => one.open),
    at: at && at !== document.body ? { id: at.id, name: at.name, value: at.type === "radio" ? at.value : null, from: text, to: at.selectionEnd } : null,
  };
  sessionStorage.setItem(KEY, JSON.stringify(place));
}

// To be called once, when the first view is shown.
export function takePlace() {
  const text = sessionStorage.getItem(KEY);
  sessionStorage.removeItem(KEY);
  const place = text && JSON.parse(text);
  if (!place || place.hash !== location.hash) return;
  const now = folds();
  if (now.length === place.folds.length) now.forEach((one, nth) => (one.open = place.folds[nth]));
  focus(place.at);
  scrollTo(0, place.down);
}

function folds() {
  return [...document.querySelectorAll("#main details")];
}

function focus(kept) {
  if (!kept) return;
  const byName = kept.name && [...document.getElementsByName(kept.name)].find((one) => kept.value === null || one.value === kept.value);
  const found = byName || (kept.id && document.getElementById(kept.id));
  found?.focus?.({ preventScroll: true });
  if (kept.from !== null) found?.setSelectionRange?.(kept.from, kept.to);
}
