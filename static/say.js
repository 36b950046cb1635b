// Texts of scripts in the page's own language; English is what stands in the code, and asks for nothing.

const language = document.documentElement.lang;
const texts = language && language !== "en" ? await brought() : {};

async function brought() {
  try {
    const reply = await fetch(`/language/${language}.json`);
    return reply.ok ? await reply.json() : {};
  } catch {
    return {};
  }
}

// holes  name -> what is put in for {name}
export function say(text, holes = {}) {
  return (texts[text] ?? text).replace(/\{(\w+)\}/g, (whole, name) => holes[name] ?? whole);
}
