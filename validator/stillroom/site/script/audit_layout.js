/* Audit layout: which rows of a grid are titles, heads, sections, data and notes (foreign/layout.py). */
"use strict";
(function (book) {
  const { audit } = book;
  const { names, says } = audit.facets;
  const { plain, split, trimmed } = book.letters;
  const LONGEST_TITLE = 14;
  const BLANK = /^[-_./~ \n]*$/;
  const COLUMN_KINDS = [
    "acid", "altitude", "canner", "food", "form", "from", "headspace", "jar", "minutes", "note", "pack", "page",
    "pressure", "process", "to", "hours", "kpa",
  ];

  const tellsKind = (facets) => COLUMN_KINDS.some((kind) => facets.kinds.has(kind));

  /** Whether a text reads like the head of a column. */
  const headsSomething = (facets) => says(facets) || tellsKind(facets);

  /** What sort of content a cell has: empty, none, refused, figure or words. */
  function kindOf(text, words) {
    const folded = audit.folded(text);
    if (!folded) return trimmed(text) ? "none" : "empty";
    if (audit.figures.read(folded).length) return "figure";
    if (!plain(folded)) return BLANK.test(folded) ? "none" : "words";
    const facets = words.read(text);
    if (!facets.left && !says(facets)) {
      if (facets.kinds.has("refused")) return "refused";
      if (facets.kinds.has("none")) return "none";
    }
    return "words";
  }

  /** Texts of the cells that say something, a merged one once. */
  function filledCells(row) {
    const seen = new Map();
    for (const { text, first } of row.cells) {
      const key = first.join("|");
      if (trimmed(text) && !seen.has(key)) seen.set(key, text);
    }
    return [...seen.values()];
  }

  const endsSentence = (text) => /[.!]$/.test(audit.trimmedRight(text));

  class Rows {
    constructor(grid, words, foodNames) {
      Object.assign(this, { _grid: grid, _words: words, _names: foodNames });
    }

    /** Cut the grid into blocks; each new set of heads begins one. */
    blocks() {
      const blocks = [{ heads: [], rows: [] }];
      this._grid.rows.forEach((row, at) => {
        const { heads, rows } = blocks[blocks.length - 1];
        const hasData = rows.some(([kind]) => kind === "data");
        const kind = this._kind(at, row, hasData, heads.length > 0);
        if (kind !== "head") rows.push([kind, at]);
        else if (hasData) blocks.push({ heads: [at], rows: [] });
        else heads.push(at);
      });
      return blocks.filter(({ heads, rows }) => heads.length || rows.length);
    }

    _kind(at, row, afterData, afterHead) {
      const filled = filledCells(row);
      if (filled.length === 1 && row.cells.length > 1) return this._alone(at, filled[0], afterData, afterHead);
      if (at < this._grid.heads) return "head";
      const isFigured = filled.some((text) => kindOf(text, this._words) === "figure");
      if (isFigured && !this._pressuresAbove(filled, afterData)) return "data";
      if (!afterData) {
        const noHead = this._namesFood(filled[0]) || (afterHead && !this._isHead(filled));
        return noHead ? "data" : "head";
      }
      return this._isHead(filled) && !this._namesFood(filled[0]) ? "head" : "data";
    }

    /** A row with one filled cell: a title before the heads; a section, a food without values, or a note below. */
    _alone(at, text, afterData, afterHead) {
      if (!(afterData || afterHead)) return "title";
      if (audit.marked(text) || split(text).length > LONGEST_TITLE || endsSentence(text)) {
        return this._namesFood(text) ? "section" : "note";
      }
      return this._namesFood(text) && this._nextHasFood(at) ? "data" : "section";
    }

    /** Whether the next row with several cells has a food of its own in its first cell. */
    _nextHasFood(at) {
      const next = this._grid.rows.slice(at + 1).find((row) => filledCells(row).length > 1);
      if (!next) return false;
      const first = next.cells[0].text;
      return trimmed(first) !== "" && this._namesFood(first);
    }

    /** Whether the only figures of a row are pressures, and it begins like a head. */
    _pressuresAbove(filled, afterData) {
      const first = this._words.read(filled[0]);
      const told = filled.filter((text) => kindOf(text, this._words) === "figure");
      if (afterData || (told.length < 2 && filled.length > 2)) return false;
      const pure = told.map(this._words.read).every((facets) => facets.pressure !== null && !facets.left);
      const begins = first.kinds.size > 0 || told.includes(filled[0]) || !first.left;
      return pure && !this._namesFood(filled[0]) && begins;
    }

    _isHead(filled) {
      return filled.map(this._words.read).filter(headsSomething).length * 2 >= filled.length;
    }

    _namesFood(text) {
      const facets = this._words.read(text);
      const onlyKinds = !facets.left && tellsKind(facets);
      return names(facets) && !onlyKinds && audit.foods.isKnown(this._names.named(text));
    }
  }

  /** Texts that stand above each column, upper first; a wide head of a file without merged cells reaches right. */
  function headParts(grid, heads) {
    const count = grid.rows.length ? grid.rows[0].cells.length : 0;
    const parts = Array.from({ length: count }, () => []);
    const isFilled = (at, column) => trimmed(grid.rows[at].cells[column].text) !== "";
    heads.forEach((at, order) => {
      let wide = "";
      grid.rows[at].cells.forEach((cell, column) => {
        let text = trimmed(cell.text);
        if (text) wide = text;
        else if (order < heads.length - 1 && heads.slice(order + 1).some((below) => isFilled(below, column))) {
          text = wide && column ? wide : "";
        }
        if (text && !parts[column].includes(text)) parts[column].push(text);
      });
    });
    return parts;
  }

  audit.layout = { LONGEST_TITLE, Rows, endsSentence, filledCells, headParts, kindOf };
})((globalThis.stillroomBook = globalThis.stillroomBook || {}));
