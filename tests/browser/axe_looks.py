"""How axe looks at a page where something like it was looked at before, on this page or another.

Whether a text stands out hangs on its look: its color, size, weight and shadow, and all that lies under it by its own
and its parents' grounds. Of a look that was found good once the search for it, half of axe's work, is not done again.
"""

from __future__ import annotations

from typing import Any

from playwright.sync_api import Page

LOOK = """async ([rules, good]) => {
  const ground = (style) => `${style.backgroundColor} ${style.backgroundImage} ${style.opacity} `;
  const opaque = (style) => style.backgroundColor.startsWith("rgb(") && style.opacity === "1";
  const clear = (style) => ground(style) === "rgba(0, 0, 0, 0) none 1 ";
  const page = getComputedStyle(document.documentElement);
  const known = new Set(good), fresh = new Set(), other = [];
  const under = new Map([[document.documentElement, { ground: page.colorScheme + ground(page), lifted: false }]]);
  for (const one of [document.body, ...document.body.querySelectorAll("*")]) {
    const style = getComputedStyle(one), parent = under.get(one.parentElement);
    // What is lifted out of the page may come to lie on anything, unless it brings a ground of its own.
    const lifted = !opaque(style) && (parent.lifted || ["absolute", "fixed", "sticky"].includes(style.position));
    const here = { ground: (opaque(style) ? "" : parent.ground) + (clear(style) ? "" : ground(style)), lifted };
    under.set(one, here);
    if (!one.checkVisibility({ visibilityProperty: true })) continue;
    const look = `${here.ground}/${style.color}/${style.fontSize}/${style.fontWeight}/${style.textShadow}`;
    if (!lifted && known.has(look)) continue;
    other.push(one);
    fresh.add(look);
  }
  const found = (await axe.run(document, { ...rules, rules: { "color-contrast": { enabled: false } } })).violations;
  if (!other.length) return [found, []];
  const faint = (await axe.run({ include: other }, { ...rules, runOnly: { type: "rule", values: ["color-contrast"] } })).violations;
  return [[...found, ...faint], faint.length ? [] : [...fresh]];
}"""
GOOD: set[str] = set()
"""The looks that this process found good."""


def looked_at(page: Page, rules: dict[str, Any]) -> list[dict[str, Any]]:
    """What axe finds on the page by these rules."""
    found, fresh = page.evaluate(LOOK, [rules, sorted(GOOD)])
    GOOD.update(fresh)
    return list(found)
