// What is typed on one line, as the server keeps a line: no half or hidden characters, every gap one plain space.

export function oneLine(text) {
  return text.replace(/[\p{C}\p{Z}]+/gu, " ").trim();
}
