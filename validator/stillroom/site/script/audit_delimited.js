/* Audit delimited: rows with a comma, a semicolon, a tab or a bar between their cells, by RFC 4180 and as people write
   (foreign/delimited.py). */
"use strict";
(function (book) {
  const { audit } = book;
  const { bound, gridded } = audit.grid;
  const { trimmed } = book.letters;
  const DELIMITERS = ["\t", ";", "|", ","];
  const LOOKED_AT = 500, MOST = 0.6, LONGEST = 131072;
  const END = "\uf8ffend";
  const FIRST = /(?<![0-9])[0-9]{1,3}\s*$/, SECOND = /^\s*00[01](?![0-9])/;

  class TooLong extends Error {}

  /** Lines with their ends, as an editor counts them. */
  function linesOf(text) {
    const lines = text.replace(/\r\n?/g, "\n").split("\n");
    const last = lines.pop();
    return [...lines.map((line) => `${line}\n`), ...(last ? [last] : [])];
  }

  /** Cuts lines into cells; a row goes on over several lines inside quotation marks. */
  class Cutter {
    constructor(lines, delimiter) {
      Object.assign(this, { _lines: lines, _delimiter: delimiter, lines: 0 });
    }

    /** The next row; null after the last. */
    next() {
      if (this.lines >= this._lines.length) return null;
      Object.assign(this, { _cells: [], _cell: [], _length: 0, _state: "record" });
      while (this.lines < this._lines.length) {
        const line = this._lines[this.lines];
        this.lines += 1;
        for (const sign of line) this._take(sign);
        this._end();
        if (this._state === "record") return this._cells;
      }
      this._save();
      return this._cells;
    }

    _save() {
      this._cells.push(this._cell.join(""));
      this._cell = [];
      this._length = 0;
    }

    _add(sign) {
      if (this._length >= LONGEST) throw new TooLong();
      this._cell.push(sign);
      this._length += 1;
    }

    _end() {
      if (this._state === "quoted" || this._state === "record") return;
      if (this._state !== "ended") this._save();
      this._state = "record";
    }

    _take(sign) {
      if (this._state === "quoted") {
        if (sign === '"') this._state = "mark";
        else this._add(sign);
        return;
      }
      if (sign === "\n") {
        if (this._state !== "record" && this._state !== "ended") this._save();
        this._state = "ended";
        return;
      }
      if (this._state === "mark" && sign === '"') {
        this._add(sign);
        this._state = "quoted";
      } else if (sign === this._delimiter) {
        this._save();
        this._state = "field";
      } else this._within(sign);
    }

    _within(sign) {
      const begins = this._state === "record" || this._state === "field";
      if (begins && sign === '"') this._state = "quoted";
      else if (begins && sign === " ") this._state = "field";
      else {
        this._add(sign);
        this._state = "cell";
      }
    }
  }

  /** Share of rows of the most frequent length, and share of rows that are cut at all. */
  function share(text, delimiter) {
    if (!text.includes(delimiter)) return [0, 0];
    const cutter = new Cutter(linesOf(text), delimiter), widths = [];
    try {
      for (let row = 0; row < LOOKED_AT; row += 1) {
        const cells = cutter.next();
        if (cells === null) break;
        if (cells.some((cell) => trimmed(cell))) widths.push(cells.length);
      }
    } catch (outcome) {
      if (!(outcome instanceof TooLong)) throw outcome;
    }
    const counts = new Map();
    for (const width of widths.filter((one) => one > 1)) counts.set(width, (counts.get(width) || 0) + 1);
    if (!counts.size) return [0, 0];
    const all = [...counts.values()];
    return [Math.max(...all) / widths.length, all.reduce((sum, count) => sum + count) / widths.length];
  }

  /** The delimiter that cuts the largest share of the rows into equally many cells, and that share. */
  function best(text) {
    const scores = DELIMITERS.map((delimiter) => [delimiter, ...share(text, delimiter)]);
    const isMore = (one, other) => one[1] > other[1] || (one[1] === other[1] && one[2] > other[2]);
    const [delimiter, most] = scores.reduce((top, one) => (isMore(one, top) ? one : top));
    return most ? [delimiter, most] : [",", 0];
  }

  /** Whether a delimiter cuts most of the rows, into however many cells. */
  const isCut = (text) => Math.max(...DELIMITERS.map((delimiter) => share(text, delimiter)[1])) > MOST;

  /** Rows, each with the line it starts on, one after the other. */
  function* rowsOf(text, delimiter, shown) {
    const lines = linesOf(text);
    if (lines.length && !lines[lines.length - 1].endsWith("\n")) lines.push("\n");
    lines.push(END);
    const cutter = new Cutter(lines, delimiter);
    let line = 1, following = 1;
    try {
      for (let cells = cutter.next(); cells !== null; cells = cutter.next()) {
        if (cells.length === 1 && cells[0] === END) return;
        [line, following] = [following, cutter.lines + 1];
        yield [line, cells];
      }
    } catch (outcome) {
      if (!(outcome instanceof TooLong)) throw outcome;
      const most = book.numbers.thousands(String(LONGEST));
      throw new book.BadInput(
        `${shown}:${following}: a cell has more than ${most} characters: is a quotation mark missing?`);
    }
    throw new book.BadInput(
      `${shown}:${line}: a quotation mark is opened here and never closed: close it, or take it out`);
  }

  const isCutInTwo = (cell, following) => SECOND.test(following) && FIRST.test(cell);

  /** Cut delimited text into a grid; null where every cell is blank. */
  function delimited(text, shown, said = null) {
    const delimiter = said || best(text)[0];
    let count = 0;
    const rows = [];
    for (const [line, cells] of rowsOf(text, delimiter, shown)) {
      while (cells.length && !trimmed(cells[cells.length - 1])) cells.pop();
      count += cells.length;
      bound(shown, 1, cells.length);
      bound(shown, count, 1);
      if (delimiter === "," && cells.some((cell, at) => at && isCutInTwo(cells[at - 1], cell))) {
        throw new book.BadInput(
          `${shown}:${line}: a figure like 1,000 is cut in two at its comma: put it in quotation marks`);
      }
      rows.push([line, cells]);
    }
    return gridded(shown, rows);
  }

  audit.delimited = { best, delimited, isCut };
})((globalThis.stillroomBook = globalThis.stillroomBook || {}));
