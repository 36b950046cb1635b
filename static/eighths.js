// What a length's text becomes by a tap: an eighth in place of its fraction, an inch more or less, its sign.
// A pressure is stepped the same way.

export const EIGHTHS = ["0/8", "1/8", "1/4", "3/8", "1/2", "5/8", "3/4", "7/8"];

export function withEighth(typed, eighth) {
  const whole = wholePart(typed);
  return eighth === EIGHTHS[0] ? whole || "0" : `${whole} ${eighth}`.trim();
}

// What was typed without its fraction: 14 of 14 3/8 and of 14.375, 1' 2 of 1' 2 1/2".
function wholePart(typed) {
  return typed.trim().replace(/(^|[\s-]+)\d+\/\d+"?$/, "").replace(/\.\d*"?$/, "").replace(/"$/, "").trim();
}

const FRACTION = /(^-?|[\s-]+)\d+\/\d*"?$/;

// Where the fraction begins, with the space before it and without its sign; the end of the text where there is none.
function fractionAt(typed) {
  const found = FRACTION.exec(typed);
  if (!found) return typed.length;
  return found.index || found[1].length;
}

// A digit by its key. Behind a whole fraction of eighths it belongs to the inches before it, and no number keeps a 0 that
// it does not begin with: 1 1/2 and 4 -> 14 1/2, 0 and 3 -> 3.
// returns {text, at}: at is where one goes on typing
export function withDigit(typed, from, to, digit) {
  const start = /\/[248]"?$/.test(typed) ? fractionAt(typed) : typed.length;
  const [first, last] = from === to && from > start ? [start, start] : [from, to];
  const after = typed.slice(last);
  const gap = last === start && /^\d/.test(after) ? " " : "";
  const text = `${typed.slice(0, first)}${digit}${gap}${after}`.replace(/(^|[^\d.\/])0+(?=\d)/g, "$1");
  return { text, at: Math.max(0, text.length - after.length - gap.length) };
}

// One key of what stands before the mark, or a fraction whole: half of one is no length.
export function erased(typed, from, to) {
  const start = fractionAt(typed);
  if (from === to && from > start) return { text: typed.slice(0, start), at: start };
  const first = from === to ? Math.max(0, from - 1) : from;
  return { text: typed.slice(0, first) + typed.slice(to), at: first };
}

// One more or one less, whatever stands behind the whole number: 14 3/8 -> 15 3/8, 60 psi -> 59 psi, 1' 11 -> 2' 0.
// Below nothing only where that can be.
export function stepped(typed, by, signed = false) {
  const [, feet, whole, tail] = /^(?:(\d+)\s*['’]\s*)?(-?\d*)(.*)$/s.exec(typed.trim());
  if (feet !== undefined) {
    const inches = Number(feet) * 12 + Number(whole) + by;
    return inches < 0 ? typed : `${Math.floor(inches / 12)}' ${inches % 12}${tail}`;
  }
  if (whole === "" || whole === "-" || tail.startsWith("/")) {
    const part = /^(\d+\/\d+|\.\d+|[¼½¾⅛⅜⅝⅞])"?$/.exec(whole + tail)?.[0];
    if (part && by > 0) return part.includes("/") ? `${by} ${part}` : `${by}${part}`;
    return typed.trim() || (by < 0 && !signed) ? typed : String(by);
  }
  const next = Number(whole) + by;
  return next < 0 && !signed ? typed : `${next}${tail}`;
}

export function turned(typed) {
  const text = typed.trim();
  return text.startsWith("-") ? text.slice(1).trim() : `-${text}`;
}
