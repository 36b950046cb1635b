// A choice whose words are wider than its box stands whole beneath it: a phone cuts them short.

const MARGIN = 8;
const pen = document.createElement("canvas").getContext("2d");

function widthLeft(select, style) {
  return select.clientWidth - parseFloat(style.paddingLeft) - parseFloat(style.paddingRight) - parseFloat(style.fontSize) - MARGIN;
}

function show(select) {
  const style = getComputedStyle(select);
  const words = select.selectedOptions[0]?.textContent.trim() ?? "";
  pen.font = `${style.fontWeight} ${style.fontSize} ${style.fontFamily}`;
  const cut = select.clientWidth > 0 && pen.measureText(words).width > widthLeft(select, style);
  let line = select.nextElementSibling?.matches(".whole") ? select.nextElementSibling : null;
  if (!line && cut) {
    line = document.createElement("p");
    line.className = "whole";
    // The box itself reads its choice out.
    line.setAttribute("aria-hidden", "true");
    select.after(line);
  }
  if (!line) return;
  line.hidden = !cut;
  line.textContent = words;
}

function showAll() {
  for (const one of document.querySelectorAll("select")) show(one);
}

for (const happening of ["change", "shown"]) {
  document.addEventListener(happening, (event) => {
    if (event.target.matches?.("select")) show(event.target);
  });
}
document.addEventListener("toggle", showAll, true);
window.addEventListener("resize", showAll);
document.fonts.ready.then(showAll);
