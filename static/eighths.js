// What a length's text becomes by a tap: an eighth in place of its fraction, an inch more or less, its sign.
// A pressure is stepped the same way.

export const EIGHTHS = ["0", "1/8", "1/4", "3/8", "1/2", "5/8", "3/4", "7/8"];

export function withEighth(typed, eighth) {
  const whole = wholePart(typed);
  return eighth === "0" ? whole || "0" : `${whole} ${eighth}`.trim();
}

// What was typed without its fraction: 14 of 14 3/8 and of 14.375, 1' 2 of 1' 2 1/2".
function wholePart(typed) {
  return typed.trim().replace(/(^|[\s-]+)\d+\/\d+"?$/, "").replace(/\.\d*"?$/, "").replace(/"$/, "").trim();
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
