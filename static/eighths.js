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
    const whole = /^\s*(\d+)(?![\d./'])/.exec(box.value);
    if (eighth === "0") box.value = whole ? whole[1] : box.value;
    else box.value = whole ? `${whole[1]} ${eighth}` : eighth;
    tell();
  });
  row.append(button);
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
