/* Audit typed: a text with tables in it, each kind found in its place, and the lines beside them
   (foreign/typed_text.py). */
"use strict";
(function (book) {
  const { audit } = book;
  const { bound, folded, gridded, named } = audit.grid;
  const { inline, ruled, gutters } = audit;
  const { isRule, unboxed } = ruled;
  const { letters, trimmed } = book.letters;
  const { thousands } = book.numbers;
  const { trimmedLeft, trimmedRight } = audit;
  const LINES = /\r\n|\r|\n/;
  const FENCE = /^\s*(?:```|~~~)[^`]*$/;
  const PLAIN_FIGURE = /^[0-9]{1,3}(?: (?:min|minutes))?$/;
  const HEADING = /^\s{0,3}#{1,6}\s+(.*?)(?:\s+#+)?\s*$/;
  const LONGEST_LINE = 10000;

  const isTabular = (line) => unboxed(line).includes("|") || (!isRule(line) && gutters.segments(line).length > 1);
  const indent = (line) => line.length - trimmedLeft(line).length;
  const isBarred = (lines) => lines.some(([, line]) => unboxed(line).includes("|"));
  const isFigured = (row) => row.slice(1).some((text) => PLAIN_FIGURE.test(text));
  const shape = (row) => JSON.stringify(row.slice(1).map((text) => text.replace(/\p{Nd}+/gu, "9")));

  const rowsOf = (lines) =>
    lines
      .filter(([, line]) => !isRule(line))
      .map(([, line]) => gutters.segments(line).map((segment) => segment.text))
      .filter((row) => row.length > 1);

  /** Whether a line after a table goes on with its last row, or rules off its end. */
  function isWrapped(line, above) {
    if (isRule(line)) return true;
    const text = trimmed(line);
    return indent(line) > indent(above) && audit.wraps.isSmall(text) && !audit.wraps.isFigure(text);
  }

  /** Whether a line is a head over some of the columns: it begins where the first column has ended. */
  function standsOver(line, below) {
    const first = gutters.segments(below), found = gutters.segments(line);
    return found.length > 0 && first.length > 1 && !isRule(line) && found[0].start > first[0].end;
  }

  /** Whether a line above a table is a part of it: a rule, a head, or a name that goes on in its first row. */
  function belongs(line, below) {
    if (isRule(line) || standsOver(line, below)) return true;
    return /(?:,| or| and)$/.test(trimmedRight(line)) && audit.wraps.isSmall(trimmedLeft(below));
  }

  /** Cut a paragraph into the lines before its table, those of the table, and those after. */
  function parted(paragraph) {
    const tabular = paragraph.map((_, at) => at).filter((at) => isTabular(paragraph[at][1]));
    if (!tabular.length) return [paragraph, [], []];
    let [start] = tabular, stop = tabular[tabular.length - 1] + 1;
    while (stop < paragraph.length && isWrapped(paragraph[stop][1], paragraph[stop - 1][1])) stop += 1;
    while (start && belongs(paragraph[start - 1][1], paragraph[start][1])) start -= 1;
    return [paragraph.slice(0, start), paragraph.slice(start, stop), paragraph.slice(stop)];
  }

  /** Whether lines below a blank one are a table of their own, and not further rows of the one above. */
  function beginsAnew(above, table) {
    const [upperBarred, lowerBarred] = [above, table].map(isBarred);
    if (upperBarred !== lowerBarred) return true;
    if (upperBarred) return isRule(table[0][1]);
    const upper = rowsOf(above), lower = rowsOf(table);
    if (!upper.length || !lower.length || upper[0][0] === lower[0][0]) return true;
    if (!upper.some(isFigured)) return false; // heads, so far
    return !isFigured(lower[0]) && !upper.slice(1).map(shape).includes(shape(lower[0]));
  }

  /** Runs of lines that are not blank. */
  function paragraphsOf(lines, start, stop) {
    const made = [[]];
    for (let place = start; place < stop; place += 1) {
      if (trimmed(lines[place]) && !FENCE.test(lines[place])) made[made.length - 1].push([place, lines[place]]);
      else if (made[made.length - 1].length) made.push([]);
    }
    return made.filter((paragraph) => paragraph.length);
  }

  class Typing {
    constructor(shown, firstLine) {
      Object.assign(this, { _shown: shown, _first: firstLine, grids: [], said: [] });
    }

    _say(line, text) {
      const words = folded(text);
      if (words) this.said.push({ line, text: words, before: this.grids.length });
    }

    _keep(grid) {
      if (grid !== null) this.grids.push(grid);
    }

    _sayAll(lines) {
      for (const [place, line] of lines) {
        if (isRule(line) || FENCE.test(line)) continue;
        const heading = HEADING.exec(line);
        this._say(place + this._first, inline.plain(heading ? heading[1] : line));
      }
    }

    piped(table) {
      const rows = table.rows.map(([place, cells]) => [place + this._first, cells.map((cell) => this._cell(cell))]);
      for (const [line, cells] of rows) {
        cells.forEach((cell, column) => {
          const words = inline.struck(cell);
          if (words === null) return;
          cells[column] = words;
          this._say(line, `struck out in column ${column + 1}: ${words}`);
        });
      }
      bound(this._shown, rows.length, Math.max(...rows.map(([, cells]) => cells.length)));
      this._keep(gridded(this._shown, rows, 1));
    }

    _cell(cell) {
      return folded(inline.plain(cell));
    }

    /** Read what stands between Markdown tables. */
    between(lines, start, stop) {
      let waiting = [];
      const finish = () => {
        if (waiting.length) this._columns(waiting);
        waiting = [];
      };
      for (const paragraph of paragraphsOf(lines, start, stop)) {
        let [before, table, after] = parted(paragraph);
        const isAnew = () => beginsAnew(waiting, table);
        if (before.length === 1 && waiting.length && table.length && !isAnew()) {
          [before, table] = [[], [...before, ...table]]; // a heading between rows
        } else if (waiting.length && (before.length || !table.length || isAnew())) finish();
        this._sayAll(before);
        waiting.push(...table);
        if (after.length) finish();
        this._sayAll(after);
      }
      finish();
    }

    /** Read the lines of one table; of a single line that is none, say it. */
    _columns(lines) {
      const rows = lines.map(([, line]) => line).filter((line) => !isRule(line));
      if (rows.filter(isTabular).length < 2) {
        this._sayAll(lines);
        return;
      }
      const table = this._cut(lines, rows);
      const numbered = table.rows.map(([place, cells]) => [place + this._first, cells]);
      bound(this._shown, numbered.length, Math.max(...numbered.map(([, cells]) => cells.length)));
      this._keep(gridded(this._shown, numbered, table.heads, table.merged));
    }

    _cut(lines, rows) {
      const plain = rows.map((line) => trimmed(unboxed(line)));
      const framed = plain.filter((line) => line.startsWith("|")).length;
      if (framed * 2 > rows.length || plain.filter(isTabular).every((line) => line.includes("|"))) {
        return ruled.ruled(lines);
      }
      const tabs = new Set(rows.map((line) => line.split("\t").length));
      if (rows[0].includes("\t") && tabs.size === 1) {
        const cut = lines.filter(([, line]) => !isRule(line)).map(([place, line]) => [place, line.split("\t")]);
        return { rows: cut, heads: 0, merged: [] };
      }
      return gutters.aligned(lines);
    }
  }

  /** Find the tables of a text: Markdown, ruled, or in columns; and what stands beside them. */
  function typed(text, shown, firstLine = 1) {
    const lines = text.split(LINES);
    const long = lines.findIndex((line) => line.length > LONGEST_LINE && letters(line).length > LONGEST_LINE);
    if (long >= 0) {
      const most = thousands(String(LONGEST_LINE));
      throw new book.BadInput(
        `${shown}:${long + firstLine}: a line of more than ${most} characters: break it into several`);
    }
    const typing = new Typing(shown, firstLine);
    let at = 0;
    for (const table of audit.pipes.tables(lines)) {
      typing.between(lines, at, table.start);
      typing.piped(table);
      at = table.stop;
    }
    typing.between(lines, at, lines.length);
    return { grids: named(typing.grids), said: typing.said };
  }

  audit.typed = typed;
})((globalThis.stillroomBook = globalThis.stillroomBook || {}));
