/* Audit pipes: Markdown tables, by the rules of the GitHub Flavored Markdown Spec, 4.10 Tables (foreign/pipes.py). */
"use strict";
(function (book) {
  const { audit } = book;
  const { trimmed } = book.letters;
  const DELIMITERS = /^ {0,3}\|?[ \t]*:?-+:?[ \t]*(?:\|[ \t]*:?-+:?[ \t]*)*\|?[ \t]*$/;
  const OTHER_BLOCK =
    /^ {0,3}(?:>|#{1,6}(?:\s|$)|```|~~~|[-+*] |[0-9]{1,9}[.)] |(?:\* *){3,}$|(?:- *){3,}$|<[!?/a-zA-Z])/;
  const TOO_DEEP = /^(?: {4}|\t)/;

  /** Cut a row at its bars; one after a backslash is a part of its cell. */
  function cut(text) {
    let line = trimmed(text);
    if (line.startsWith("|")) line = line.slice(1);
    const cells = [];
    let cell = "";
    for (let at = 0; at < line.length; at += 1) {
      if (line[at] === "\\" && line[at + 1] === "|") {
        cell += "|";
        at += 1;
      } else if (line[at] === "|") {
        cells.push(trimmed(cell));
        cell = "";
      } else cell += line[at];
    }
    const rest = trimmed(cell);
    return rest || !line.endsWith("|") || !cells.length ? [...cells, rest] : cells;
  }

  function isHead(head, delimiters) {
    if (!head.includes("|") || !delimiters.includes("-") || !DELIMITERS.test(delimiters)) return false;
    if (TOO_DEEP.test(head) || TOO_DEEP.test(delimiters) || DELIMITERS.test(head)) return false;
    return cut(head).length === cut(delimiters).length;
  }

  const ends = (line) => OTHER_BLOCK.test(line) && !audit.trimmedLeft(line).startsWith("|");

  /** The Markdown tables of a text: first line, line after the last, and place and cells of each row. */
  function tables(lines) {
    const found = [];
    let free = 0;
    for (let number = 1; number < lines.length; number += 1) {
      const head = number - 1;
      if (head < free || !isHead(lines[head], lines[number])) continue;
      let stop = number + 1;
      while (stop < lines.length && trimmed(lines[stop]) && !ends(lines[stop])) stop += 1;
      const rows = [[head, cut(lines[head])]];
      for (let place = number + 1; place < stop; place += 1) rows.push([place, cut(lines[place])]);
      found.push({ start: head, stop, rows });
      free = stop;
    }
    return found;
  }

  audit.pipes = { tables };
})((globalThis.stillroomBook = globalThis.stillroomBook || {}));
