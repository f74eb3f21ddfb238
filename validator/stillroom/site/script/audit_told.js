/* Audit told: an audit in the sentences of the library's sheets (sheets/audit_sheet.py), fit for a page. */
"use strict";
(function (book) {
  const { audit } = book;
  const { height, span, units } = book.numbers;
  const NOT_ACCEPTED = ["withheld", "untested", "weaker", "missing"];
  const MOST = 4, LONGEST_HEAD = 60;
  /** What speaks of the command line, and what a person does in the page instead. */
  const HERE = [
    ['--at "1650 ft" says it.', "say it in the field above, or in the head of the column."],
    ["--canner names it.", "choose it above, or write it into the head."],
    ["--names tells what a name of your own means.", "Write it as the list of foods has it."],
    [", or a map with --columns", ""],
    [". --columns-out writes what was guessed, to be corrected", ". Write what they hold into their heads"],
  ];

  /** A sentence of the library without what only its command line has. */
  const here = (text) => HERE.reduce((said, [before, after]) => said.split(before).join(after), text);

  /** Say in one line whether a handout may be given out. */
  function verdict(found) {
    const { counts, rows, rows_wrong: wrong } = found;
    const at = found.altitude_ft === null ? "" : ` At ${height(found.altitude_ft)} alone.`;
    if (NOT_ACCEPTED.some((kind) => counts[kind])) {
      const needs = wrong === 1 ? "needs" : "need";
      return `NOT SAFE TO HAND OUT. ${wrong} of ${units(rows, "row")} ${needs} a change.${at}`;
    }
    if (counts.unread) {
      return `NOT CLEARED: ${units(counts.unread, "cell")} could not be read, and none is wrong.${at}`;
    }
    if (!found.processes) return `NOTHING WAS JUDGED: no process is stated in it.${at}`;
    if (counts.stronger) {
      return `SAFE. ${units(counts.stronger, "cell")} stronger than published, the others as published.${at}`;
    }
    return `AS PUBLISHED. Nothing to change.${at}`;
  }

  /** Count the cells of each class, all of them. */
  function counted({ counts, data_version: version }) {
    const told = Object.entries(counts).filter(([, count]) => count);
    const all = told.reduce((sum, [, count]) => sum + count, 0);
    const kinds = told.map(([kind, count]) => `${count} ${kind}`).join(", ");
    return `${units(all, "cell")}: ${kinds}. Data version ${version}.`;
  }

  const band = ({ altitude_from_ft: low, altitude_to_ft: high }) => (low === null ? "" : ` at ${span(low, high)}`);

  /** What is published: values, where they hold, and the page. */
  function published(shelf, values) {
    const [{ page, source, text }] = values;
    const where = audit.options.inBrackets({ short: shelf.shortOf(source), page });
    if (new Set(values.map((value) => value.text)).size === 1) return `${text} (${where})`;
    const parts = new Set(values.slice(0, MOST).map((value) => value.text + band(value)));
    const more = values.length > MOST ? ` and ${values.length - MOST} more` : "";
    return `${[...parts].join("; ")}${more} (${where})`;
  }

  function told(shelf, one) {
    const stated = one.stated || (one.verdict === "missing" ? "nothing stated" : `"${one.cell}"`);
    const head = book.letters.letters(one.column);
    const column = head.length <= LONGEST_HEAD ? one.column : `${head.slice(0, LONGEST_HEAD - 3).join("")}...`;
    const said = one.label ? `${one.label}; ${column}: ${stated}` : `${column}: ${stated}`;
    return one.published.length ? `${said}, published ${published(shelf, one.published)}` : said;
  }

  function why({ why: said, page, published: values }) {
    if (!page || values.length) return said;
    return said.endsWith(".") ? `${said.slice(0, -1)} (${page}).` : `${said} (${page})`;
  }

  /** All of a finding in sentences. */
  function sentences(shelf, one) {
    const said = [`${one.table ? `${one.table}, ` : ""}line ${one.row}: ${told(shelf, one)}.`];
    if (one.why) said.push(why(one));
    if (one.instead) said.push(`Instead: ${one.instead}`);
    if (one.looks_like) said.push(`Looks like: ${one.looks_like}.`);
    return said;
  }

  audit.told = { counted, here, sentences, verdict };
})((globalThis.stillroomBook = globalThis.stillroomBook || {}));
