/* Audit grid: a foreign table as cells of text at their places; white space, bounds, rows of one length
   (foreign/gridding.py). */
"use strict";
(function (book) {
  const { audit } = book;
  const { isPrintable, letters, split, spaced } = book.letters;
  const { thousands } = book.numbers;
  const MOST_CELLS = 2000000, MOST_COLUMNS = 16384;
  const UNSEEN = /[\u00ad\u034f\u200b\u200c\u200d\u200e\u2060\ufeff]/g;
  const BREAKS = /\r\n|[\n\r\x0b\x0c\x1c\x1d\x1e\x85\u2028\u2029]/;
  const TURNS = /^[\u061c\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069]$/;
  const LOST = "\ufffd";
  const CLEAN = /^[ -~]*$/;

  const isWhole = (text) => CLEAN.test(text) || letters(text).every(isPrintable);

  function seen(line) {
    const left = line.replace(UNSEEN, "");
    if (isWhole(left)) return left;
    const isHidden = (sign) => /[\p{Cc}\p{Cs}]/u.test(sign) && split(sign).length > 0;
    return letters(left).map((sign) => (TURNS.test(sign) || isHidden(sign) ? LOST : sign)).join("");
  }

  /** Fold white space; what cannot be seen, or turns what follows, is a sign that no figure is read with. */
  function folded(text) {
    if (isWhole(text)) return spaced(text);
    return text.split(BREAKS).map((line) => spaced(seen(line))).filter((line) => line).join("\n");
  }

  /** Hold a table to the bounds. */
  function bound(shown, rows, columns) {
    if (columns > MOST_COLUMNS) {
      const cells = thousands(String(columns));
      throw new book.BadInput(
        `${shown}: a row has ${cells} cells, more than the ${thousands(String(MOST_COLUMNS))} that are read`);
    }
    if (rows * columns > MOST_CELLS) {
      const [cells, most] = [rows * columns, MOST_CELLS].map((count) => thousands(String(count)));
      throw new book.BadInput(
        `${shown}: has ${cells} cells or more, and ${most} are read: cut it into several files`);
    }
  }

  const keyOf = (row, column) => `${row}|${column}`;

  function widthOf(cells) {
    let width = cells.length;
    while (width && !cells[width - 1]) width -= 1;
    return width;
  }

  const widened = (cells, width) => {
    while (cells.length < width) cells.push("");
    return cells;
  };

  /**
   * Make a grid of rows of any lengths, each a line and its cells; null where nothing is left. `merged` has the place
   * of each further part of a merged cell with that of its upper left corner.
   */
  function gridded(shown, rows, heads = 0, merged = []) {
    const texts = rows.map(([, cells]) => cells.map(folded));
    const width = texts.reduce((most, cells) => Math.max(most, widthOf(cells)), 0);
    const parts = merged.filter(([[, column]]) => column < width);
    for (const [[row, column], [firstRow, firstColumn]] of parts) {
      widened(texts[row], column + 1)[column] = texts[firstRow][firstColumn];
    }
    const kept = texts.map((_, row) => row).filter((row) => texts[row].some((text) => text));
    bound(shown, kept.length, width);
    if (!width) return null;
    const place = new Map(kept.map((row, number) => [row, number]));
    const made = kept.map((row, number) => ({
      line: rows[row][0],
      cells: widened(texts[row].slice(0, width), width).map((text, column) => ({ text, first: [number, column] })),
    }));
    for (const [[row, column], [firstRow, firstColumn]] of parts) {
      if (!place.has(row)) continue;
      const number = place.get(row);
      made[number].cells[column].first = [place.has(firstRow) ? place.get(firstRow) : number, firstColumn];
    }
    return { name: "", rows: made, heads: kept.filter((row) => row < heads).length };
  }

  /** Leave out what is no grid, and name the others where there are several. */
  function named(grids) {
    const found = grids.filter((grid) => grid !== null);
    return found.length < 2 ? found : found.map((grid, at) => ({ ...grid, name: `table ${at + 1}` }));
  }

  audit.grid = { LOST, bound, folded, gridded, keyOf, named };
})((globalThis.stillroomBook = globalThis.stillroomBook || {}));
