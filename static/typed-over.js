// What is typed over a record, kept in this tab until it is issued: the browser's Back gives it again.

const form = document.querySelector("form[data-typed]");
const OWN = new Set(["csrf_token", "whose", "act"]);

if (form) {
  const key = `typed/${form.dataset.typed}/${form.elements.whose.value}`;
  const boxes = [...form.elements].filter((box) => box.name && !OWN.has(box.name) && box.type !== "submit");
  const ticks = (box) => box.type === "radio" || box.type === "checkbox";

  function keep() {
    const said = boxes.filter((box) => !ticks(box) || box.checked).map((box) => [box.name, box.value]);
    try {
      sessionStorage.setItem(key, JSON.stringify(said));
    } catch {
      // A tab that may keep nothing still sends everything.
    }
  }

  function kept() {
    try {
      return JSON.parse(sessionStorage.getItem(key));
    } catch {
      return null;
    }
  }

  function opened(box) {
    for (let fold = box.closest("details"); fold; fold = fold.parentElement.closest("details")) fold.open = true;
  }

  function restore(said) {
    for (const box of boxes) {
      const mine = said.filter(([name]) => name === box.name).map(([, value]) => value);
      const before = ticks(box) ? box.checked : box.value;
      if (ticks(box)) box.checked = mine.includes(box.value);
      else if (mine.length) box.value = mine[0];
      if (before !== (ticks(box) ? box.checked : box.value)) opened(box);
    }
  }

  const [came] = performance.getEntriesByType("navigation");
  const again = came && (came.type === "back_forward" || came.type === "reload");
  if (form.dataset.fresh === undefined) keep();
  else if (again && kept()) restore(kept());
  else sessionStorage.removeItem(key);
  form.addEventListener("input", keep);
  form.addEventListener("change", keep);
}
