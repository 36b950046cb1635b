// Texts of the phone's scripts. Each stands in the script itself in the language that its build is in, so that nothing is
// looked up here: only its holes are filled.

export const language = globalThis.document?.documentElement.lang || "en";

// holes  name -> what is put in for {name}
export function say(text, holes = {}) {
  return text.replace(/\{(\w+)\}/g, (whole, name) => holes[name] ?? whole);
}
