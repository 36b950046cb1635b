// Compares files as the check page does: node compare.mjs COMPARED.js LIST.json, a list of [file, what is known].
import { readFileSync } from "node:fs";
import { pathToFileURL } from "node:url";

const { compared } = await import(pathToFileURL(process.argv[2]));
const told = [];
for (const [file, known] of JSON.parse(readFileSync(process.argv[3], "utf8"))) {
  told.push(await compared(new Uint8Array(readFileSync(file)), known));
}
process.stdout.write(JSON.stringify(told));
