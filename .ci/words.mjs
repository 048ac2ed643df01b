// The words of each page of a PDF as pdf.js reads them: one JSON list of pages.
//
//     node words.mjs FOLDER FILE.pdf
//
// FOLDER is where `npm install` put pdfjs-dist.
import { readFile } from "node:fs/promises";
import { pathToFileURL } from "node:url";

const [folder, path] = process.argv.slice(2);
console.log = () => {}; // pdf.js warns there of what drawing would need; nothing is drawn
const module = pathToFileURL(`${folder}/node_modules/pdfjs-dist/legacy/build/pdf.mjs`);
const { getDocument } = await import(module.href);
const data = new Uint8Array(await readFile(path));
const pdf = await getDocument({ data, isEvalSupported: false, useSystemFonts: false }).promise;
const pages = [];
for (let n = 1; n <= pdf.numPages; n++) {
  const { items } = await (await pdf.getPage(n)).getTextContent();
  let page = "";
  let end = null;
  for (const { str, transform, width, height, hasEOL } of items) {
    const [, , , , x, y] = transform;
    // Runs that stand well apart on one line are words apart.
    const apart = end && (Math.abs(end.y - y) > height / 2 || Math.abs(x - end.x) > 0.15 * height);
    page += (apart ? " " : "") + str + (hasEOL ? "\n" : "");
    end = str ? { x: x + width, y } : end;
  }
  pages.push(page);
}
process.stdout.write(JSON.stringify(pages));
