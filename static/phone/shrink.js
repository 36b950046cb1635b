// A picture as a camera or a gallery gives it, made small before it is kept: upright, JPEG, nothing in it but the
// picture (no position, no time, no name of a phone), the long side at most 1600 pixels. One at a time.

import { say } from "../say.js";
import { sha256 } from "./sums.js";

export const LONGEST_SIDE = 1600;
const QUALITY = 0.8;
const LARGEST_BYTES = 60_000_000;
const MOST_PIXELS = 64_000_000;
const HEAD = 200_000;
const HEIC = new Set(["heic", "heix", "heim", "heis", "hevc", "hevx", "mif1", "msf1"]);
const SAYS = {
  not_a_photo: say("That file is no picture that can be taken here. Choose a JPEG or PNG picture."),
  empty: say("That picture came empty. Take it again, or choose it from the gallery."),
  heic: say("This browser cannot open that picture (HEIC). It stays in the phone's gallery. Take it with Take a picture on this page, or set the camera to JPEG (most compatible)."),
  too_large: say("That picture is too large for this page: at most 64 megapixels and 60 MB. Set the camera to a smaller size and take it again."),
  damaged: say("That picture cannot be opened: it is damaged or only half there. Take it again, or choose another."),
  memory: say("This phone is short of memory and could not make the picture small. Close other apps and take it again."),
};

// A picture that is not taken. code: as in SAYS; its message is for a person.
export class Unfit extends Error {
  constructor(code) {
    super(SAYS[code]);
    this.code = code;
  }
}

let before = Promise.resolve();

// returns  {bytes: ArrayBuffer, type: "image/jpeg", width, height, sha256}
// raises   Unfit
export function shrunk(file) {
  const turn = before.then(() => made(file));
  before = turn.catch(() => {});
  return turn;
}

async function made(file) {
  if (file.size === 0) throw new Unfit("empty");
  if (file.size > LARGEST_BYTES) throw new Unfit("too_large");
  let head = null;
  try {
    head = new Uint8Array(await file.slice(0, HEAD).arrayBuffer());
  } catch {
    throw new Unfit("damaged");
  }
  const kind = kindOf(head);
  const stated = sizeOf(head, kind);
  if (stated && stated.width * stated.height > MOST_PIXELS) throw new Unfit("too_large");
  const picture = await opened(file, kind, stated);
  try {
    return await written(picture);
  } finally {
    picture.close?.();
  }
}

// What the bytes are, whatever the file is called.
export function kindOf(head) {
  const text = (from, to) => String.fromCharCode(...head.subarray(from, to));
  if (head[0] === 0xff && head[1] === 0xd8 && head[2] === 0xff) return "jpeg";
  if (text(0, 8) === "\x89PNG\r\n\x1a\n") return "png";
  if (text(0, 4) === "RIFF" && text(8, 12) === "WEBP") return "webp";
  if (text(4, 8) === "ftyp" && HEIC.has(text(8, 12))) return "heic";
  throw new Unfit("not_a_photo");
}

// Width and height as the header states them, and whether the camera lay on its side; null where it does not say.
export function sizeOf(head, kind) {
  const view = new DataView(head.buffer, head.byteOffset, head.byteLength);
  try {
    if (kind === "png") return { width: view.getUint32(16), height: view.getUint32(20), lying: false };
    return kind === "jpeg" ? sizeOfJpeg(view) : null;
  } catch {
    return null;
  }
}

function sizeOfJpeg(view) {
  let lying = false;
  for (let at = 2; view.getUint8(at) === 0xff; ) {
    const marker = view.getUint8(at + 1);
    if (marker === 0xff) {
      at += 1;
      continue;
    }
    if (marker === 0xe1) lying ||= turnOf(view, at + 4) > 4;
    if (marker >= 0xc0 && marker < 0xd0 && marker !== 0xc4 && marker !== 0xc8 && marker !== 0xcc) {
      return { width: view.getUint16(at + 7), height: view.getUint16(at + 5), lying };
    }
    at += 2 + view.getUint16(at + 2);
  }
  return null;
}

// The camera's own note of how it was held, 1 to 8 (Exif, tag 0x0112); 1 where there is none.
function turnOf(view, at) {
  if (view.getUint32(at) !== 0x45786966) return 1;
  const tiff = at + 6;
  const little = view.getUint16(tiff) === 0x4949;
  const first = tiff + view.getUint32(tiff + 4, little);
  const entries = view.getUint16(first, little);
  for (let entry = first + 2; entry < first + 2 + entries * 12; entry += 12) {
    if (view.getUint16(entry, little) === 0x0112) return view.getUint16(entry + 8, little);
  }
  return 1;
}

function within(width, height) {
  const share = Math.min(1, LONGEST_SIDE / Math.max(width, height));
  return [Math.max(1, Math.round(width * share)), Math.max(1, Math.round(height * share))];
}

// The browser turns the picture upright while it opens it. Made small in the same step only where the picture lay
// straight: browsers differ on which side is which of one that is turned as well.
async function opened(file, kind, stated) {
  const options = { imageOrientation: "from-image" };
  if (stated && !stated.lying && Math.max(stated.width, stated.height) > LONGEST_SIDE) {
    [options.resizeWidth, options.resizeHeight] = within(stated.width, stated.height);
    options.resizeQuality = "high";
  }
  try {
    return await createImageBitmap(file, options);
  } catch {
    return await openedAsImage(file, kind);
  }
}

// Older browsers show a picture that they make no bitmap of.
async function openedAsImage(file, kind) {
  const image = new Image();
  const address = URL.createObjectURL(file);
  try {
    image.src = address;
    await image.decode();
  } catch {
    throw new Unfit(kind === "heic" ? "heic" : "damaged");
  } finally {
    URL.revokeObjectURL(address);
  }
  return image;
}

async function written(picture) {
  const [width, height] = within(picture.naturalWidth ?? picture.width, picture.naturalHeight ?? picture.height);
  const sheet = document.createElement("canvas");
  Object.assign(sheet, { width, height });
  const pen = sheet.getContext("2d", { alpha: false });
  if (!pen) throw new Unfit("memory");
  pen.fillStyle = "#ffffff";
  pen.fillRect(0, 0, width, height);
  pen.imageSmoothingQuality = "high";
  pen.drawImage(picture, 0, 0, width, height);
  const blob = await new Promise((done) => sheet.toBlob(done, "image/jpeg", QUALITY));
  // Some phones give a canvas's memory back only when it is made small.
  Object.assign(sheet, { width: 1, height: 1 });
  if (!blob || blob.type !== "image/jpeg") throw new Unfit("memory");
  const bytes = await blob.arrayBuffer();
  return { bytes, type: "image/jpeg", width, height, sha256: await sha256(bytes) };
}
