// Inches as a person types them and as a tape shows them, for what a script moves itself. What counts is what the
// judge reads: a text that this does not know is left alone.

const PARTS = { "¼": 0.25, "½": 0.5, "¾": 0.75, "⅛": 0.125, "⅜": 0.375, "⅝": 0.625, "⅞": 0.875 };
const SIXTEEN = 16;
const TYPED = /^(?:(\d+)\s*['’])?\s*(?:(\d+(?:\.\d+)?)(?![\d/]))?\s*-?\s*(?:(\d+)\/(\d+)|([¼½¾⅛⅜⅝⅞]))?\s*(?:"|in)?$/u;

export function inches(typed) {
  const found = typed.trim() && TYPED.exec(typed.trim());
  if (!found) return null;
  const [, feet, whole, over, under, part] = found;
  if ([feet, whole, over, part].every((one) => one === undefined) || under === "0") return null;
  return Number(feet ?? 0) * 12 + Number(whole ?? 0) + (over ? Number(over) / Number(under) : 0) + (part ? PARTS[part] : 0);
}

export function asTaped(value) {
  let over = Math.round(value * SIXTEEN);
  const whole = Math.floor(over / SIXTEEN);
  over -= whole * SIXTEEN;
  let under = SIXTEEN;
  while (over && over % 2 === 0) [over, under] = [over / 2, under / 2];
  if (!over) return String(whole);
  return whole ? `${whole} ${over}/${under}` : `${over}/${under}`;
}
