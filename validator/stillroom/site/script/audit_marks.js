/* Audit marks: the verdict of each cell, what is published in its place, and what it must say (foreign/auditing.py). */
"use strict";
(function (book) {
  const { audit } = book;
  const { columnsOf } = audit.claims;
  const { rank, worst } = audit.judged;
  const { trimmed } = book.letters;

  /** A published option as a cell of a kind says it. */
  function short(option, kind) {
    if (kind === "pressure" && option.psi !== null) return `${option.psi} psi`;
    if (kind === "minutes" || option.psi === null) return `${option.minutes} min`;
    return audit.options.inWords(option);
  }

  const keyOf = (place) => place.join("|");

  class Marks {
    constructor() {
      Object.assign(this, { _verdicts: new Map(), _blamed: new Map(), _said: new Map(), _struck: new Set() });
    }

    worse(place, verdict) {
      const key = keyOf(place), before = this._verdicts.get(key) || "text";
      this._verdicts.set(key, rank(verdict) > rank(before) ? verdict : before);
    }

    /** Put the verdicts of a row on its cells. */
    row(part, row) {
      const { cells } = part.grid.rows[row.said.row];
      const placeOf = (column) => [part.gridAt, ...cells[column].first];
      for (const one of row.judged) this._claim(part, one);
      for (const amount of row.amounts) {
        const column = amount.column !== null ? amount.column : row.said.labelAt;
        if (column === null) continue;
        this.worse(placeOf(column), amount.verdict);
        if (amount.column !== null && ["weaker", "missing"].includes(amount.verdict)) {
          this._said.set(keyOf(placeOf(column)), amount.published);
        }
      }
      const verdicts = new Set(row.judged.map(({ verdict }) => verdict).filter((verdict) => verdict !== "text"));
      const key = `${part.gridAt}|${row.said.row}`;
      if (verdicts.size === 1 && verdicts.has("withheld")) this._struck.add(key);
      const isNamed = row.said.named.withheld || this._struck.has(key);
      if (isNamed && row.said.labelAt !== null && row.judged.length) {
        this.worse(placeOf(row.said.labelAt), worst(row.judged, ({ verdict }) => verdict).verdict);
      }
    }

    _claim(part, judged) {
      const { claim } = judged, text = (row, column) => part.grid.rows[row].cells[column].text;
      const blamed = audit.found.blamed(judged, text);
      for (const column of columnsOf(claim)) {
        const cell = part.grid.rows[claim.row].cells[column];
        const place = [part.gridAt, ...cell.first], isBlamed = blamed.includes(column);
        let verdict = isBlamed ? judged.verdict : "same";
        if (!trimmed(cell.text) && !isBlamed) verdict = "text";
        this.worse(place, verdict);
        if (verdict === judged.verdict) {
          this._blamed.set(keyOf(place), [...(this._blamed.get(keyOf(place)) || []), judged]);
        }
        this._say(keyOf(place), judged, part.columns[column].kind);
      }
    }

    _say(key, judged, kind) {
      const options = judged.deciding.flatMap((sample) => sample.options);
      if (!options.length || (this._said.has(key) && ["same", "text"].includes(judged.verdict))) return;
      const texts = [...new Set(options.map((option) => short(option, kind)))];
      this._said.set(key, texts.length <= 3 ? texts.join(" or ") : "");
    }

    /** Every cell, in the order of the handout, each with the columns and rows it reaches over. */
    cells(grids, parts, isBare) {
      const columns = new Map();
      for (const part of parts) {
        for (const [, row] of part.block.rows) {
          for (const column of part.columns) columns.set(keyOf([part.gridAt, row, column.at]), column);
        }
      }
      const found = [];
      grids.forEach((grid, at) => grid.rows.forEach((row, number) => row.cells.forEach((cell, place) => {
        if (cell.first[0] !== number || cell.first[1] !== place) return;
        const key = keyOf([at, number, place]), column = columns.get(key) || null;
        const bare = column !== null && isBare.get(`${at}|${place}`) === true;
        found.push({ ...this._cell(key, cell.text, column, bare, `${at}|${number}`), grid: at, row: number,
          column: place, line: row.line, text: cell.text, ...this._reach(grid, number, place) });
      })));
      return found;
    }

    _reach(grid, row, column) {
      const isPart = (r, c) => {
        const cell = grid.rows[r] && grid.rows[r].cells[c];
        return cell !== undefined && cell.first[0] === row && cell.first[1] === column;
      };
      let across = 1, down = 1;
      while (isPart(row, column + across)) across += 1;
      while (isPart(row + down, column)) down += 1;
      return { across, down };
    }

    _cell(key, text, column, bare, row) {
      const verdict = this._verdicts.get(key) || "text", published = this._said.get(key) || "";
      const blamed = (this._blamed.get(key) || []).filter((one) => one.verdict === verdict);
      let corrected = null;
      if (column !== null && blamed.length) corrected = audit.corrections.corrected(text, column, blamed, bare);
      else if (column !== null && ["weaker", "missing"].includes(verdict)) {
        corrected = ["acid", "headspace"].includes(column.kind) && published ? published : null;
      }
      return { verdict, published, corrected, struck: this._struck.has(row) };
    }
  }

  audit.Marks = Marks;
})((globalThis.stillroomBook = globalThis.stillroomBook || {}));
