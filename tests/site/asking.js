/* Asks the page's scripts under node: a question a line on stdin (JSON), its answer a line on stdout.
   Arguments: the data script and the scripts of the page, in their order. Each is run as a browser runs a plain script. */
"use strict";
const fs = require("fs");
const vm = require("vm");
const readline = require("readline");

const page = vm.createContext({});
for (const path of process.argv.slice(2)) new vm.Script(fs.readFileSync(path, "utf8"), { filename: path }).runInContext(page);
const run = new vm.Script("JSON.stringify(globalThis.stillroomAsk(JSON.parse(line)))");

const lines = readline.createInterface({ input: process.stdin, crlfDelay: Infinity });
lines.on("line", (line) => {
  page.line = line;
  try {
    process.stdout.write(`${run.runInContext(page)}\n`);
  } catch (error) {
    process.stdout.write(`${JSON.stringify({ kind: "thrown", reason: String(error.stack) })}\n`);
  }
});
