// Eighths of an inch as buttons, under the box that is being typed in: a decimals pad has no slash.
// What is bought in its usual sizes is offered those in their place.

const EIGHTHS = ["0", "1/8", "1/4", "3/8", "1/2", "5/8", "3/4", "7/8"];

const row = document.createElement("div");
row.className = "eighths";
row.setAttribute("role", "group");
let box = null;
let tell = () => {};

function offer(words, name, put) {
  if (row.dataset.words === words.join()) return;
  row.dataset.words = words.join();
  row.setAttribute("aria-label", name);
  row.replaceChildren(
    ...words.map((word) => {
      const button = document.createElement("button");
      button.type = "button";
      button.className = "chip";
      button.textContent = word;
      button.addEventListener("click", () => {
        box.value = put(word);
        tell();
      });
      return button;
    }),
  );
}

function withEighth(eighth) {
  const whole = wholePart(box.value);
  return eighth === "0" ? whole || "0" : `${whole} ${eighth}`.trim();
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
  const sizes = question.dataset.sizes?.split("|");
  // Its usual sizes stand beside the box already.
  if (sizes && question.querySelector(".chips")) return;
  question.addEventListener("focusin", (event) => {
    const input = event.target;
    if (!input.matches(".box > input") || input.parentElement.querySelector(".unit")?.textContent !== "in") return;
    box = input;
    tell = changed;
    if (sizes) offer(sizes, "Usual sizes, in inches", (size) => size);
    else offer(EIGHTHS, "Eighths of an inch", withEighth);
    const after = input.closest(".boxes") ?? input.parentElement;
    if (row.previousElementSibling !== after) after.after(row);
  });
}
