// A pad to draw a signature on, kept as strokes of whole numbers: [x, y, milliseconds]. The pad is 10,000 wide, and its
// height is in the same units, so that the ink keeps its shape on paper. A typed name alone is always enough.

const WIDE = 10_000;
const MOST_POINTS = 4000;
const LONGEST_MS = 600_000;
const NEAREST = 25;

// holder  holds a canvas and a button [data-clear]
// changed(strokes) is called at the end of every stroke
// first  strokes that were drawn before
export function offerPad(holder, changed = () => {}, first = []) {
  const canvas = holder.querySelector("canvas");
  const pen = canvas.getContext("2d");
  let strokes = structuredClone(first);
  let stroke = null;
  let began = null;
  let points = strokes.flat().length;

  holder.hidden = false;

  // A canvas empties when its size changes: the ink is drawn again from the strokes.
  function fit() {
    const [wide, high] = [canvas.clientWidth * devicePixelRatio, canvas.clientHeight * devicePixelRatio];
    if (!wide || !high) return;
    canvas.width = wide;
    canvas.height = high;
    pen.lineWidth = 2.5 * devicePixelRatio;
    pen.lineCap = "round";
    pen.lineJoin = "round";
    pen.strokeStyle = "#1b2220";
    strokes.forEach((one) => ink(one));
  }

  function ink(line) {
    const scale = canvas.width / WIDE;
    pen.beginPath();
    pen.moveTo(line[0][0] * scale, line[0][1] * scale);
    for (const [x, y] of line.length > 1 ? line.slice(1) : line) pen.lineTo(x * scale, y * scale);
    pen.stroke();
  }

  function point(event) {
    const area = canvas.getBoundingClientRect();
    const units = (value) => Math.min(WIDE, Math.max(0, Math.round((value / area.width) * WIDE)));
    const at = Math.min(LONGEST_MS, Math.max(0, Math.round(event.timeStamp - began)));
    return [units(event.clientX - area.left), units(event.clientY - area.top), at];
  }

  canvas.addEventListener("pointerdown", (event) => {
    if (!event.isPrimary || points >= MOST_POINTS) return;
    began ??= event.timeStamp - (strokes.at(-1)?.at(-1)[2] ?? 0);
    canvas.setPointerCapture(event.pointerId);
    stroke = [point(event)];
    points += 1;
    strokes.push(stroke);
    ink(stroke);
    changed(strokes);
  });
  canvas.addEventListener("pointermove", (event) => {
    if (!stroke || !event.isPrimary || points >= MOST_POINTS) return;
    const last = stroke.at(-1);
    const next = point(event);
    if (Math.hypot(next[0] - last[0], next[1] - last[1]) < NEAREST) return;
    stroke.push(next);
    points += 1;
    ink([last, next]);
  });
  for (const end of ["pointerup", "pointercancel"]) {
    canvas.addEventListener(end, () => {
      stroke = null;
      changed(strokes);
    });
  }
  holder.querySelector("[data-clear]").addEventListener("click", () => {
    strokes = [];
    stroke = null;
    began = null;
    points = 0;
    pen.clearRect(0, 0, canvas.width, canvas.height);
    changed(strokes);
  });
  new ResizeObserver(fit).observe(canvas);
  return { fit, strokes: () => strokes };
}
