// What is wrong on a form, said above it with a link to each field, and at the field itself: what was typed stays.

import { say } from "../say.js";

const ERROR = say("Error:");

// node    the view: its heading takes the focus when nothing is wrong any more
// faults  [[id of the field, sentence], ...]; none: the summary goes
export function showFaults(node, faults) {
  const old = node.querySelector(".error-summary");
  hearMending(node);
  for (const line of node.querySelectorAll("[data-fault]")) {
    mark(line, faults.find(([id]) => id === line.dataset.fault)?.[1] ?? "");
  }
  document.title = untitled();
  old?.remove();
  if (!faults.length) return;
  document.title = `${ERROR} ${document.title}`;
  const summary = Object.assign(document.createElement("div"), { className: "error-summary", tabIndex: -1 });
  summary.setAttribute("role", "alert");
  const list = document.createElement("ul");
  for (const [id, says] of faults) {
    const link = Object.assign(document.createElement("a"), { href: `#${id}`, textContent: says });
    link.addEventListener("click", (press) => {
      press.preventDefault();
      const place = node.querySelector(`#${id}`);
      place.focus({ preventScroll: true });
      place.closest(".field").scrollIntoView({ block: "center" });
    });
    const item = document.createElement("li");
    item.append(link);
    list.append(item);
  }
  summary.append(Object.assign(document.createElement("h2"), { textContent: say("Check these") }), list);
  node.querySelector("h1").closest("header, h1").after(summary);
  summary.focus();
  summary.scrollIntoView({ block: "nearest" });
}

const untitled = () => document.title.replace(`${ERROR} `, "");

function mark(line, says) {
  const field = line.closest(".field");
  const input = field.querySelector("input, select");
  line.textContent = says;
  line.hidden = !says;
  field.classList.toggle("field-error", Boolean(says));
  for (const one of field.matches("fieldset") ? [field] : [input]) {
    if (says) one.setAttribute("aria-describedby", line.id);
    else one.removeAttribute("aria-describedby");
    if (one === input) one.setAttribute("aria-invalid", String(Boolean(says)));
  }
}

// What is said of a field goes as soon as somebody answers it; whether it is right now is looked at when one goes on.
function hearMending(node) {
  if (node.dataset.mends) return;
  node.dataset.mends = "";
  for (const happening of ["input", "change"]) {
    node.addEventListener(happening, ({ target }) => {
      const line = target.closest(".field")?.querySelector("[data-fault]:not([hidden])");
      if (!line || !(target.type === "checkbox" ? target.checked : target.value.trim())) return;
      // Nothing moves under the thumb.
      const before = target.getBoundingClientRect().top;
      mark(line, "");
      const summary = node.querySelector(".error-summary");
      summary?.querySelector(`a[href="#${line.dataset.fault}"]`)?.parentElement.remove();
      if (summary && !summary.querySelector("li")) {
        summary.remove();
        document.title = untitled();
      }
      scrollBy(0, target.getBoundingClientRect().top - before);
    });
  }
}
