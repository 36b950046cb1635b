// Counts on a page, each with its word, which is another one behind "1". What stays as it is is not touched: it would be heard.

// counts   what is counted -> how many, or "?"
export function showCounts(node, counts) {
  for (const one of node.querySelectorAll("[data-count]")) {
    const count = String(counts[one.dataset.count] ?? 0);
    const word = one.nextElementSibling;
    if (one.textContent !== count) one.textContent = count;
    if (!word?.dataset.one) continue;
    const says = count === "1" ? word.dataset.one : word.dataset.many;
    if (word.textContent !== says) word.textContent = says;
  }
}
