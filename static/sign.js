// A drawn signature, kept as strokes of whole numbers: [x, y, milliseconds], the field 10,000 wide and high.

const FIELD = 10000;
const MOST = 4000;

const holder = document.querySelector(".draw-field");
const canvas = holder.querySelector("canvas");
const kept = holder.querySelector('input[name="strokes"]');
const pen = canvas.getContext("2d");
let strokes = [];
let stroke = null;
let began = 0;

holder.hidden = false;
pen.lineWidth = 2.5;
pen.lineCap = "round";
pen.lineJoin = "round";
pen.strokeStyle = "#1b2220";

function point(event) {
  const area = canvas.getBoundingClientRect();
  const along = (value, size) => Math.min(FIELD, Math.max(0, Math.round((value / size) * FIELD)));
  return [along(event.clientX - area.left, area.width), along(event.clientY - area.top, area.height), Math.round(event.timeStamp - began)];
}

function line(from, to) {
  pen.beginPath();
  pen.moveTo((from[0] / FIELD) * canvas.width, (from[1] / FIELD) * canvas.height);
  pen.lineTo((to[0] / FIELD) * canvas.width, (to[1] / FIELD) * canvas.height);
  pen.stroke();
}

canvas.addEventListener("pointerdown", (event) => {
  if (!strokes.length) began = event.timeStamp;
  canvas.setPointerCapture(event.pointerId);
  stroke = [point(event)];
  strokes.push(stroke);
});
canvas.addEventListener("pointermove", (event) => {
  if (!stroke || strokes.flat().length >= MOST) return;
  const next = point(event);
  line(stroke.at(-1), next);
  stroke.push(next);
});
for (const end of ["pointerup", "pointercancel"]) {
  canvas.addEventListener(end, () => {
    stroke = null;
    kept.value = JSON.stringify(strokes);
  });
}
holder.querySelector("[data-clear]").addEventListener("click", () => {
  strokes = [];
  kept.value = "";
  pen.clearRect(0, 0, canvas.width, canvas.height);
});
