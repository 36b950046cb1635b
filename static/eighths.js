// Eighths of an inch as buttons, under the box that is being typed in: a decimals pad has no slash.

const EIGHTHS = ["0", "1/8", "1/4", "3/8", "1/2", "5/8", "3/4", "7/8"];

const row = document.createElement("div");
row.className = "eighths";
row.setAttribute("role", "group");
row.setAttribute("aria-label", "Eighths of an inch");
let box = null;
let tell = () => {};

for (const eighth of EIGHTHS) {
  const button = document.createElement("button");
  button.type = "button";
  button.className = "chip";
  button.textContent = eighth;
  button.addEventListener("click", () => {
    const whole = wholePart(box.value);
    box.value = eighth === "0" ? whole || "0" : `${whole} ${eighth}`.trim();
    tell();
  });
  row.append(button);
}
// What was typed without its fraction: 14 of 14 3/8 and of 14.375, 1' 2 of 1' 2 1/2".
function wholePart(typed) {
  return typed.trim().replace(/(^|[\s-]+)\d+\/\d+"?$/, "").replace(/\.\d*"?$/, "").replace(/"$/, "").trim();
}

// The box keeps the focus, and with it the phone's keyboard.
row.addEventListener("pointerdown", (press) => press.preventDefault());
row.addEventListener("mousedown", (press) => press.preventDefault());

// The row leaves a question only when another inch box is typed in, so that nothing moves under a thumb.
export function offerEighths(question, changed) {
  question.addEventListener("focusin", (event) => {
    const input = event.target;
    if (!input.matches(".box > input") || input.parentElement.querySelector(".unit")?.textContent !== "in") return;
    box = input;
    tell = changed;
    const after = input.closest(".boxes") ?? input.parentElement;
    if (row.previousElementSibling !== after) after.after(row);
  });
}
