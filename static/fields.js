// What stands in a question's boxes, in the form in which the server reads it.

const LISTS = new Set(["lengths", "two_lengths"]);

export function answerOf(box) {
  const name = box.dataset.q;
  const kind = box.dataset.kind;
  const said = box.querySelector(`input[name="${name}-said"]:checked`)?.value ?? "";
  if (said === "not_here") return "not_here";
  if (said === "could_not_measure") {
    const why = box.querySelector(`input[name="${name}-why"]`).value.trim();
    return why ? { could_not_measure: why } : undefined;
  }
  if (LISTS.has(kind)) {
    const typed = [...box.querySelectorAll(".boxes input")].map((one) => one.value.trim());
    const given = typed.filter(Boolean);
    if (kind === "two_lengths" && given.length === 1) return undefined;
    return given.length ? given : null;
  }
  const radio = box.querySelector(`input[type="radio"][name="${name}"]`);
  if (radio) return box.querySelector(`input[type="radio"][name="${name}"]:checked`)?.value || null;
  const one = box.querySelector(`[name="${name}"]`);
  return one && one.value.trim() ? one.value : null;
}

export function showFault(box, expected) {
  const line = box.querySelector(".error");
  const label = box.querySelector(".label")?.firstChild?.textContent.trim() ?? "";
  line.textContent = expected ? `${label}: expected ${expected}` : "";
  line.hidden = !expected;
  box.classList.toggle("field-error", Boolean(expected));
  for (const one of box.querySelectorAll("input, select")) {
    if (expected) one.setAttribute("aria-invalid", "true");
    else one.removeAttribute("aria-invalid");
  }
}

export function offerChips(box, changed) {
  const chips = box.querySelector(".chips");
  if (!chips) return;
  chips.hidden = false;
  chips.addEventListener("click", (press) => {
    const chip = press.target.closest(".chip");
    if (!chip) return;
    const input = box.querySelector(`[name="${box.dataset.q}"]`);
    input.value = chip.dataset.value;
    input.focus();
    changed();
  });
}

// A number typed again is a measured one: the excuse falls away.
export function typedAgain(box) {
  const measured = box.querySelector(`input[name="${box.dataset.q}-said"][value=""]`);
  if (measured) measured.checked = true;
}
