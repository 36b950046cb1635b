// The phone's Enter key says what it does and does it: to the next box of the page, or, on the last, away with the keyboard.

const TYPED = 'input[type="text"]';

const stands = (one) => one.offsetParent !== null && !one.closest("details:not([open])");

export function nextBox(from) {
  const all = [...(from.closest("form") ?? document.body).querySelectorAll(TYPED)].filter((one) => one === from || stands(one));
  return all[all.indexOf(from) + 1] ?? null;
}

export function offerOnward(box) {
  box.addEventListener("focusin", ({ target }) => {
    if (target.matches(TYPED)) target.enterKeyHint = nextBox(target) ? "next" : "done";
  });
  box.addEventListener("keydown", (press) => {
    if (press.key !== "Enter" || press.isComposing || !press.target.matches(TYPED)) return;
    press.preventDefault();
    const next = nextBox(press.target);
    if (next) next.focus();
    else press.target.blur();
  });
}
