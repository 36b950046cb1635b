"""How axe looks at a page a second time."""

LOOK = """async (rules) => {
  const looks = new Map();
  for (const one of document.body.querySelectorAll("*")) {
    const style = getComputedStyle(one), own = style.backgroundColor;
    const plain = own === "rgba(0, 0, 0, 0)" && style.backgroundImage === "none";
    const ground = (plain ? "" : `${own} ${style.backgroundImage} `) + (own.startsWith("rgb(") ? "" : looks.get(one.parentElement)?.ground ?? "");
    const seen = one.checkVisibility({ visibilityProperty: true });
    looks.set(one, { ground, look: seen ? `${ground}/${style.color}/${style.fontSize}/${style.fontWeight}/${style.opacity}` : "" });
  }
  const before = globalThis.looksBefore;
  globalThis.looksBefore = looks;
  if (!before) return (await axe.run(document, rules)).violations;
  const other = [...looks].filter(([one, { look }]) => look && before.get(one)?.look !== look).map(([one]) => one);
  const found = (await axe.run(document, { ...rules, rules: { "color-contrast": { enabled: false } } })).violations;
  if (!other.length) return found;
  const contrast = { ...rules, runOnly: { type: "rule", values: ["color-contrast"] } };
  return [...found, ...(await axe.run({ include: other }, contrast)).violations];
}"""
"""Of a page that was looked at before, at another width or in another view, contrast is half of the work: it is done for
what was not in sight then, or stands in other colors, in another size or on another ground now."""
