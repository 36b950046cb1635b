// A code off a plate: what was typed stands beneath in groups, and a phone that reads barcodes offers to.

import { say } from "./say.js";

const GROUPED = new Set(["heater_serial", "heater_model", "permit_number"]);
const READ = new Set(["heater_serial", "heater_model"]);
const SHORTEST = 6;
const LONGEST_GROUP = 4;
const LOOKS_MS = 250;
const PATIENCE_MS = 30_000;
const CODE = /^[\x21-\x7e](?:[\x20-\x7e]{1,38}[\x21-\x7e])?$/;

export function groups(code) {
  const bare = code.trim();
  const parts = bare.split(/[\s-]+/);
  // What stands in short groups already is read back by itself.
  if (bare.length < SHORTEST || parts.every((part) => part.length <= LONGEST_GROUP)) return "";
  return parts.map((part) => part.match(/.{1,4}/gsu).join(" ")).join("  ");
}

const REFUSED = {
  NotAllowedError: say("The camera was not allowed. Allow it in the browser's settings, take a picture, or type the number."),
  NotFoundError: say("No camera was found here. Type the number."),
  NotReadableError: say("The camera is in use by something else. Close it there, or type the number."),
};

function made(tag, kind, text = "") {
  const one = document.createElement(tag);
  one.className = kind;
  one.textContent = text;
  return one;
}

function press(words, act) {
  const one = made("button", "button", words);
  one.type = "button";
  one.addEventListener("click", act);
  return one;
}

export function offerCode(box, changed) {
  if (!("code" in box.dataset) || !GROUPED.has(box.dataset.q)) return;
  const input = box.querySelector('input[type="text"]');
  const spaced = made("p", "spaced");
  // The box itself reads its text out.
  spaced.setAttribute("aria-hidden", "true");
  input.after(spaced);
  const show = () => {
    const code = groups(input.value);
    spaced.textContent = code ? say("To compare: {code}", { code }) : "";
  };
  for (const happening of ["input", "shown"]) input.addEventListener(happening, show);
  show();
  if (READ.has(box.dataset.q) && "BarcodeDetector" in globalThis) offerReader(box, input, spaced, changed, show);
}

async function offerReader(box, input, after, changed, show) {
  let detector = null;
  try {
    const formats = await BarcodeDetector.getSupportedFormats();
    if (!formats.length) return;
    detector = new BarcodeDetector({ formats });
  } catch {
    // A browser that names the reader and has none: the box is there to type in.
    return;
  }
  const reader = made("div", "reader");
  const says = made("p", "reader-says");
  says.setAttribute("role", "status");
  const found = made("div", "reader-found");
  const row = made("div", "reader-row");
  const screen = made("video", "reader-screen");
  screen.muted = screen.playsInline = true;
  screen.hidden = true;
  const start = press(say("Read the barcode"), () => (stream ? stop(say("Stopped.")) : look()));
  const still = press(say("From a picture"), picture);
  if (navigator.mediaDevices?.getUserMedia) row.append(start);
  row.append(still);
  reader.append(row, screen, found, says);
  after.after(reader);
  let stream = null;

  function stop(text) {
    for (const track of stream?.getTracks() ?? []) track.stop();
    stream = null;
    screen.hidden = true;
    screen.srcObject = null;
    start.textContent = say("Read the barcode");
    says.textContent = text;
  }

  async function look() {
    says.textContent = say("The camera starts.");
    found.replaceChildren();
    try {
      stream = await navigator.mediaDevices.getUserMedia({ video: { facingMode: "environment" } });
      screen.srcObject = stream;
      screen.hidden = false;
      await screen.play();
    } catch (fault) {
      stop(REFUSED[fault.name] ?? say("The camera did not start ({fault}). Take a picture, or type the number.", { fault: fault.name }));
      return;
    }
    start.textContent = say("Stop the camera");
    says.textContent = say("Hold the barcode a hand's width away, in even light.");
    const until = performance.now() + PATIENCE_MS;
    while (stream && screen.isConnected) {
      if (performance.now() > until) return stop(say("No barcode was found. Try in better light, or type the number."));
      if (await taken(screen)) return;
      await new Promise((enough) => setTimeout(enough, LOOKS_MS));
    }
    if (stream) stop("");
  }

  async function taken(source) {
    let codes = [];
    try {
      codes = [...new Set((await detector.detect(source)).map((one) => one.rawValue.trim()).filter((text) => CODE.test(text) && !text.includes("://")))];
    } catch (fault) {
      stop(say("The barcode reader failed ({fault}). Type the number.", { fault: fault.name }));
      return true;
    }
    if (!codes.length) return false;
    if (codes.length === 1) put(codes[0]);
    else {
      stop(say("Several codes are on this plate. Which is it?"));
      found.replaceChildren(...codes.map((code) => press(code, () => put(code))));
    }
    return true;
  }

  function put(code) {
    found.replaceChildren();
    input.value = code;
    show();
    stop(say("Read as {code}. Hold it against the plate; it can still be changed.", { code: groups(code) || code }));
    changed();
  }

  function picture() {
    // Not in the page: what stands in a question's field is read as its answer.
    const chosen = document.createElement("input");
    chosen.type = "file";
    chosen.accept = "image/*";
    chosen.addEventListener("change", async () => {
      found.replaceChildren();
      let image = null;
      try {
        image = await createImageBitmap(chosen.files[0]);
      } catch {
        says.textContent = say("This file could not be opened as a picture. Take another, or type the number.");
        return;
      }
      if (!(await taken(image))) says.textContent = say("No barcode was found in this picture. Take it nearer and level, or type the number.");
      image.close();
    });
    chosen.click();
  }

  input.addEventListener("input", () => {
    if (!stream) says.textContent = "";
  });
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "hidden" && stream) stop(say("Stopped while the page was away."));
  });
}
