/* Runs the page's scripts under node as a browser runs plain scripts, and asks them: a line of JSON in, a line out.
   A line with "tell" is a question whose answer is told in sentences, one with "play" a run of the timer, step by step;
   one with "audit" is a pasted table with what is "said" beside it; one with "call" names a function of the page, like "letters.plain", called with "with". Any other is a question.
   Arguments: the data script and the scripts of the page, in their order. */
"use strict";
const fs = require("fs");
const readline = require("readline");
const vm = require("vm");

const page = vm.createContext({});
for (const path of process.argv.slice(2)) {
  new vm.Script(fs.readFileSync(path, "utf8"), { filename: path }).runInContext(page);
}
const run = new vm.Script(`"use strict";
  function played({ answer, option, load, steps, zone, until }) {
    const kept = (run) => JSON.parse(JSON.stringify(run)); // as a page keeps it, and takes it up again
    const refused = [];
    let run = stillroomTimer.begin(answer, option, load);
    for (const [name, ...said] of steps) {
      try {
        run = kept(stillroomTimer[name](run, ...said));
      } catch (error) {
        refused.push(error.message);
      }
    }
    const { log, record, shows } = stillroomTimer;
    return { log: log(run, zone), record: record(run), shows: shows(run, until), refused };
  }

  function told(found) {
    const { counted, sentences, verdict } = stillroomBook.audit.told;
    const shelf = new stillroomBook.Shelf(stillroomData);
    return [verdict(found), counted(found), found.findings.map((one) => sentences(shelf, one))];
  }

  (() => {
    const said = JSON.parse(line);
    if (said.play) return JSON.stringify(played(said.play));
    if (said.tell) return JSON.stringify(stillroomTell(stillroomAsk(said.tell)));
    if (said.told) return JSON.stringify(told(stillroomAudit(said.audit)));
    if (said.audit !== undefined) return JSON.stringify(stillroomAudit(said.audit, said.said));
    if (!said.call) return JSON.stringify(stillroomAsk(said));
    const called = said.call.split(".").reduce((part, name) => part[name], stillroomBook);
    return JSON.stringify(said.with.map((values) => called(...values)));
  })()`);

readline.createInterface({ input: process.stdin, crlfDelay: Infinity }).on("line", (line) => {
  page.line = line;
  try {
    process.stdout.write(`${run.runInContext(page)}\n`);
  } catch (error) {
    process.stdout.write(`${JSON.stringify({ kind: "thrown", reason: String(error.stack) })}\n`);
  }
});
