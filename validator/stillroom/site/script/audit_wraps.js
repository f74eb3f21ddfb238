/* Audit wraps: lines of a text table that go on with the cells of the row above (foreign/wraps.py). Only words are ever
   joined. */
"use strict";
(function (book) {
  const { audit } = book;
  const { letters } = book.letters;
  const FIGURE =
    /^[^A-Za-z]*[0-9\u00bc-\u00be\u2150-\u215e][^A-Za-z]*(?:[A-Za-z]{1,4}\.?)?[^A-Za-z]*$/;
  const LONG = 60, LONGEST = 1000;
  const GOES_ON = new RegExp(`(?:[,(/\\u2013\\-]|(?<!${audit.WORD})(?:and|or|with|in|of|for|the))$`, "iu");

  /** Whether a cell is a figure, with a unit or without. */
  const isFigure = (text) => letters(text).length < LONG && FIGURE.test(text);

  const isSmall = (text) => /^\p{Lowercase}/u.test(text);

  /** Whether a line goes on with the row above. */
  function goesOn(above, cells, indented) {
    const filled = cells.map((cell, place) => place).filter((place) => cells[place]);
    if (!filled.length || filled.length === cells.length) return false;
    if (filled.some((place) => isFigure(cells[place]))) return false;
    const isNone = (place) => place >= above.length || !above[place] || isFigure(above[place]);
    if (filled.some((place) => isNone(place) || letters(above[place]).length > LONGEST)) return false;
    const isRest = (text) => isSmall(text) || /^[(&/]/.test(text);
    return filled.every((place) => GOES_ON.test(above[place]) || ((place > 0 || indented) && isRest(cells[place])));
  }

  /** The cells of a line put below those of the row above. */
  function joined(above, cells) {
    const width = Math.max(above.length, cells.length);
    return Array.from({ length: width }, (_, at) => [above[at], cells[at]].filter((part) => part).join("\n"));
  }

  audit.wraps = { goesOn, isFigure, isSmall, joined };
})((globalThis.stillroomBook = globalThis.stillroomBook || {}));
