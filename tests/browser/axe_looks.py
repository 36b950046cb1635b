"""How axe looks at a page where something like it was looked at before, on this page or another.

Whether a text stands out hangs on its look: its color, size, weight and shadow, and all that lies under it by its own
and its parents' grounds. Of a look that axe itself passed once the search for it, half of its work, is not done again.
What axe did not judge, as a text that is off, or could not judge, says nothing about its look.
"""

from __future__ import annotations

from typing import Any

from playwright.sync_api import Page

LOOK = """async ([rules, good]) => {
  const ground = (style) => `${style.backgroundColor} ${style.backgroundImage} ${style.opacity} `;
  const opaque = (style) => style.backgroundColor.startsWith("rgb(") && style.opacity === "1";
  const clear = (style) => ground(style) === "rgba(0, 0, 0, 0) none 1 ";
  const page = getComputedStyle(document.documentElement);
  const known = new Set(good), looks = new Map(), other = [];
  const under = new Map([[document.documentElement, { ground: page.colorScheme + ground(page), lifted: false }]]);
  // Alone what has a text of its own is judged; its parents, given to axe, would bring all that lies in them.
  const texts = (one) => one.matches("input, select, textarea")
    || [...one.childNodes].some((part) => part.nodeType === Node.TEXT_NODE && part.data.trim());
  for (const one of [document.body, ...document.body.querySelectorAll("*")]) {
    const style = getComputedStyle(one), parent = under.get(one.parentElement);
    // What is lifted out of the page may come to lie on anything, unless it brings a ground of its own.
    const lifted = !opaque(style) && (parent.lifted || ["absolute", "fixed", "sticky"].includes(style.position));
    const here = { ground: (opaque(style) ? "" : parent.ground) + (clear(style) ? "" : ground(style)), lifted };
    under.set(one, here);
    if (!texts(one) || !one.checkVisibility({ visibilityProperty: true })) continue;
    const look = `${here.ground}/${style.color}/${style.fontSize}/${style.fontWeight}/${style.textShadow}`;
    if (!lifted && known.has(look)) continue;
    other.push(one);
    if (!lifted) looks.set(one, look);
  }
  const found = (await axe.run(document, { ...rules, rules: { "color-contrast": { enabled: false } } })).violations;
  if (!other.length) return [found, []];
  const one = { ...rules, runOnly: { type: "rule", values: ["color-contrast"] }, resultTypes: ["violations", "passes", "incomplete"] };
  const judged = await axe.run({ include: other }, { ...one, elementRef: true });
  const those = (results) => results.flatMap(({ nodes }) => nodes.map(({ element }) => looks.get(element)).filter(Boolean));
  const doubted = new Set([...those(judged.violations), ...those(judged.incomplete)]);
  const passed = those(judged.passes).filter((look) => !doubted.has(look));
  const faint = judged.violations.map(({ id, nodes }) => ({ id, nodes: nodes.map(({ target, html }) => ({ target, html })) }));
  return [[...found, ...faint], [...new Set(passed)]];
}"""
GOOD: set[str] = set()
"""The looks that axe passed in this process."""


def looked_at(page: Page, rules: dict[str, Any]) -> list[dict[str, Any]]:
    """What axe finds on the page by these rules."""
    found, passed = page.evaluate(LOOK, [rules, sorted(GOOD)])
    GOOD.update(passed)
    return list(found)
