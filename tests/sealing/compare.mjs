// Compares files as the check page does: node compare.mjs SEAL.mjs LIST.json, a list of [file, papers, prints, translations, redacted].
import { readFileSync } from "node:fs";
import { pathToFileURL } from "node:url";

const { compared } = await import(pathToFileURL(process.argv[2]));
const told = [];
for (const [file, papers, prints, ...made] of JSON.parse(readFileSync(process.argv[3], "utf8"))) {
  told.push(await compared(new Uint8Array(readFileSync(file)), papers, prints, ...made));
}
process.stdout.write(JSON.stringify(told));
