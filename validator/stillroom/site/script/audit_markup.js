/* Audit markup: the tables of HTML, laid out as a browser would, and the text around them (foreign/markup.py; HTML
   Living Standard, 4.9.12, forming a table). */
"use strict";
(function (book) {
  const { audit } = book;
  const { LOST, bound, folded, gridded, named } = audit.grid;
  const { split, trimmed } = book.letters;
  const MOST_NESTED = 100, MOST_COLSPAN = 1000, MOST_ROWSPAN = 65534;
  const BREAKS = new Set(
    ("address article aside blockquote br center dd details div dl dt fieldset figcaption figure footer form h1 h2 " +
    "h3 h4 h5 h6 header hr li main nav ol p pre section summary ul").split(" "));
  const VOID = new Set("area base br col embed hr img input link meta source track wbr".split(" "));
  const GROUPS = new Set(["thead", "tbody", "tfoot"]), STRUCK = new Set(["s", "del", "strike"]);
  const PARTS = new Set(["td", "th", "tr", "caption", ...GROUPS]);
  const UNSHOWN = /display\s*:\s*none|visibility\s*:\s*(?:hidden|collapse)/i;
  const LINE_THROUGH = /text-decoration[\p{L}\p{N}_-]*\s*:[^;]*line-through/iu;
  const [UP, UP_END, DOWN, DOWN_END, STRIKE, BREAK] = "\ue000\ue001\ue002\ue003\ue004\ue005";
  const OWN = /[\ue000-\ue005]/g, SIGNS = /[\ue000-\ue004]/;
  const FRACTION =
    /\ue000\s*([0-9]+)\s*\ue001\s*[/\u2044\u2215]\s*\ue002?\s*([0-9]+)\s*\ue003?/g;
  const MARK = /\s*[\ue000\ue002]([^\ue000-\ue003]*)(?:[\ue001\ue003]|$)/g;
  const NEXT = /(?<=\])(?=[\p{L}\p{N}_])/gu;

  const styleOf = (about) => about.get("style") || "";
  const isUnshown = (about) => about.has("hidden") || UNSHOWN.test(styleOf(about));
  const isStruck = (about) => LINE_THROUGH.test(styleOf(about));

  function numberOf(text, otherwise = 0) {
    const found = /^\s*\+?([0-9]{1,9})/.exec(text || "");
    return found ? Number(found[1]) : otherwise;
  }

  /** Text of a cell or block, and whether all of it is struck out. */
  function written(words) {
    let text = words.join("");
    if (text.split(STRIKE).length % 2 === 0) text += STRIKE;
    text = split(text).join(" ").split(BREAK).join("\n");
    if (!SIGNS.test(text)) return { text: folded(text), isStruck: false };
    text = text.replace(FRACTION, " $1/$2").replace(MARK, (_, inside) => {
      const mark = inside.replace(/^[ [\]()]+|[ [\]()]+$/g, "");
      return mark ? ` [${mark}]` : "";
    });
    text = text.replace(OWN, (sign) => (sign === STRIKE ? "~~" : " ")).replace(NEXT, " ");
    text = folded(text).split("~~~~").join("");
    const whole = audit.inline.struck(text);
    return whole === null ? { text, isStruck: false } : { text: folded(whole), isStruck: true };
  }

  /** Count the first rows that are marked as heads. */
  function headsOf(rows) {
    const isHead = (row) => row.inHead || (row.cells.length > 0 && row.cells.every((cell) => cell.isHead));
    const first = rows.findIndex((row) => !isHead(row));
    return first < 0 ? rows.length : first;
  }

  /** Give each cell its columns and rows. */
  function laid({ rows }, shown) {
    const ends = new Map(rows.map((row, number) => [row.group, number]));
    const merged = new Map(), lines = [];
    let below = new Map(), taken = 0;
    rows.forEach((row, number) => {
      const texts = [];
      below = new Map([...below].filter(([, [last]]) => last >= number));
      for (const [column, [, first]] of below) merged.set(`${number}|${column}`, [[number, column], first]);
      let column = 0;
      for (const cell of row.cells) {
        while (below.has(column)) column += 1;
        while (texts.length < column) texts.push("");
        texts.push(cell.text);
        const end = ends.get(row.group);
        const last = cell.rows ? Math.min(number + cell.rows - 1, end) : end;
        for (let part = column; part < column + cell.columns; part += 1) {
          if (below.has(part)) break;
          if (part > column) merged.set(`${number}|${part}`, [[number, part], [number, column]]);
          if (last > number) below.set(part, [last, [number, column]]);
        }
        column += Math.max(cell.columns, 1);
        taken += cell.columns;
        bound(shown, taken + merged.size, 1);
      }
      lines.push([row.line, texts]);
    });
    return gridded(shown, lines, headsOf(rows), [...merged.values()]);
  }

  const table = (number) => ({
    number, rows: [], row: null, cell: null, words: [], group: 0, inHead: false, struckRow: false, unshownRow: false,
  });

  /** Listens to the tags of a page. */
  class Page {
    constructor(shown, firstLine) {
      Object.assign(this, { _shown: shown, _first: firstLine, line: 1, _open: [], _tables: [], _said: [] });
      Object.assign(this, { _words: [], _wordsLine: 0, _unshown: "", _depth: 0, _spans: [], _cells: 0 });
    }

    get _table() {
      return this._open[this._open.length - 1] || null;
    }

    _here() {
      return this.line + this._first - 1;
    }

    // what is told

    start(tag, about) {
      if (this._unshown) {
        this._depth += tag === this._unshown ? 1 : 0;
        return;
      }
      const isPart = tag === "td" || tag === "th" || tag === "tr" || VOID.has(tag);
      if (!isPart && isUnshown(about)) [this._unshown, this._depth] = [tag, 1];
      else if (tag === "table") this._beginTable();
      else if (PARTS.has(tag)) {
        if (this._table) this._part(tag, about);
      } else this._within(tag, about);
    }

    end(tag) {
      if (this._unshown) {
        this._depth -= tag === this._unshown ? 1 : 0;
        if (this._depth && !["td", "th", "tr", "table", "body"].includes(tag)) return;
        const ended = this._unshown;
        [this._unshown, this._depth] = ["", 0];
        if (ended === tag) return;
      }
      if (tag === "table") {
        if (this._table) this._endTable();
      } else if (tag === "td" || tag === "th") this._endCell();
      else if (tag === "caption") this._flush();
      else if (tag === "tr" || GROUPS.has(tag)) this._endGroup(tag);
      else if (BREAKS.has(tag)) this._break();
      else this._endWithin(tag);
    }

    words(data) {
      if (this._unshown) return;
      const words = data.replace(OWN, LOST);
      if (this._table && this._table.cell) {
        this._table.words.push(words);
        return;
      }
      if (!this._wordsLine && trimmed(words)) {
        const before = words.slice(0, words.length - audit.trimmedLeft(words).length);
        this._wordsLine = this._here() + before.split("\n").length - 1;
      }
      this._words.push(words);
    }

    // tables

    _beginTable() {
      this._flush();
      if (this._open.length === MOST_NESTED) {
        throw new book.BadInput(
          `${this._shown}:${this._here()}: more than ${MOST_NESTED} tables stand within each other`);
      }
      if (this._table && this._table.cell) this._table.words.push(BREAK);
      this._open.push(table(this._tables.length));
      this._tables.push(this._table);
    }

    _endTable() {
      this._endRow();
      this._open.pop();
    }

    _endGroup(tag) {
      this._endRow();
      if (GROUPS.has(tag) && this._table) {
        this._table.group += 1;
        this._table.inHead = false;
      }
    }

    _part(tag, about) {
      const here = this._table;
      this._flush();
      if (tag === "td" || tag === "th") {
        this._cell(tag === "th", about);
        return;
      }
      this._endRow();
      if (tag === "tr") {
        this._row();
        [here.struckRow, here.unshownRow] = [isStruck(about), isUnshown(about)];
      } else if (tag !== "caption") {
        here.group += 1;
        here.inHead = tag === "thead";
      }
    }

    _row() {
      const here = this._table;
      here.row = { line: this._here(), group: here.group, inHead: here.inHead, cells: [] };
      here.struckRow = here.unshownRow = false;
    }

    _endRow() {
      const here = this._table;
      if (!here) return;
      this._endCell();
      if (here.row && !here.unshownRow) here.rows.push(here.row);
      here.row = null;
    }

    _cell(isHead, about) {
      this._endCell();
      const here = this._table;
      if (!here.row) this._row();
      const columns = isUnshown(about) ? 0 : Math.min(numberOf(about.get("colspan")) || 1, MOST_COLSPAN);
      const rows = Math.min(numberOf(about.get("rowspan"), 1), MOST_ROWSPAN);
      here.cell = { text: "", isHead, columns, rows };
      here.words = isStruck(about) || here.struckRow ? [STRIKE] : [];
      this._spans = [];
      this._cells += 1;
      bound(this._shown, this._cells, 1);
    }

    _endCell() {
      const here = this._table;
      if (!here || !here.cell || !here.row) return;
      if (here.cell.columns) {
        const { text, isStruck: isGone } = written(here.words);
        here.row.cells.push({ ...here.cell, text });
        if (isGone && !here.unshownRow) {
          const told = `struck out in cell ${here.row.cells.length} of its row: ${text}`;
          this._said.push({ line: here.row.line, text: told, before: here.number });
        }
      }
      [here.cell, here.words] = [null, []];
    }

    // text

    _within(tag, about) {
      if (BREAKS.has(tag)) this._break();
      else if (tag === "sup" || tag === "sub") this._add(tag === "sup" ? UP : DOWN);
      else if (STRUCK.has(tag)) this._add(STRIKE);
      else if (tag === "span" && this._spans.length < MOST_NESTED) {
        const isGone = isStruck(about);
        this._spans.push(isGone);
        if (isGone) this._add(STRIKE);
      }
    }

    _endWithin(tag) {
      if (tag === "sup" || tag === "sub") this._add(tag === "sup" ? UP_END : DOWN_END);
      else if (STRUCK.has(tag) || (tag === "span" && this._spans.pop())) this._add(STRIKE);
    }

    _add(sign) {
      (this._table && this._table.cell ? this._table.words : this._words).push(sign);
    }

    _break() {
      if (this._table && this._table.cell) this._table.words.push(BREAK);
      else this._flush();
    }

    _flush() {
      const { text, isStruck: isGone } = written(this._words);
      if (text) {
        this._said.push({ line: this._wordsLine, text: isGone ? `~~${text}~~` : text, before: this._tables.length });
      }
      [this._words, this._wordsLine] = [[], 0];
    }

    done() {
      while (this._table) this._endTable();
      this._flush();
      const grids = this._tables.map((one) => this._laid(one));
      const before = [0];
      for (const grid of grids) before.push(before[before.length - 1] + (grid === null ? 0 : 1));
      const said = [...this._said].sort((one, other) => one.line - other.line);
      return { grids: named(grids), said: said.map((words) => ({ ...words, before: before[words.before] })) };
    }

    _laid(one) {
      const grid = laid(one, this._shown);
      if (grid === null) return null;
      const firsts = new Set(grid.rows.flatMap((row) => row.cells.map((cell) => cell.first.join("|"))));
      if (firsts.size < 2) { // a frame for looks
        this._said.push({ line: grid.rows[0].line, text: grid.rows[0].cells[0].text, before: one.number });
        return null;
      }
      this._kept = (this._kept || 0) + grid.rows.length * grid.rows[0].cells.length;
      bound(this._shown, this._kept, 1);
      return grid;
    }
  }

  /** Read the tables of a page, and the text around them. */
  function marked(text, shown, firstLine = 1) {
    const page = new Page(shown, firstLine);
    new audit.tags.Tags(audit.tags.loud(text.replace(/\r\n?/g, "\n"), shown, firstLine), page).tell();
    return page.done();
  }

  audit.markup = { marked };
})((globalThis.stillroomBook = globalThis.stillroomBook || {}));
