/* Letters: text cut, folded and made fit to be shown, letter by letter as the library does it (stems.py, screen.py). */
"use strict";
(function (book) {
  const SPACES = /[\t-\r\x1c-\x20\x85\xa0\u1680\u2000-\u200a\u2028\u2029\u202f\u205f\u3000]+/u;
  const ASCII = /^[\0-\x7f]*$/;
  const CLEAN = /^[ -~]*$/;
  const UNPRINTABLE = /[\p{C}\p{Z}]/u;
  const SHORT_ESCAPES = { "\n": "\\n", "\r": "\\r", "\t": "\\t" };
  const FOLDED_OTHERWISE = { "\u0131": "\u0131" }; // a dotless i folds to itself, not to i

  /** Letters of a text as whole characters, so that no pair of halves counts as two. */
  const letters = (text) => Array.from(text);

  /** First letters of a text. */
  const first = (text, most) => letters(text).slice(0, most).join("");

  /** Words between white space. */
  const split = (text) => text.split(SPACES).filter((word) => word !== "");

  /** Without white space at both ends. */
  const trimmed = (text) => {
    const inner = /^[\t-\r\x1c-\x20\x85\xa0\u1680\u2000-\u200a\u2028\u2029\u202f\u205f\u3000]+/u;
    const from = text.replace(inner, "");
    return letters(letters(from).reverse().join("").replace(inner, "")).reverse().join("");
  };

  /** The same words with one space between them. */
  const spaced = (text) => split(text).join(" ");

  const isAscii = (text) => ASCII.test(text);

  const isPrintable = (letter) => letter === " " || !UNPRINTABLE.test(letter);

  /** On one line for a message: what cannot be printed becomes a question mark, and what is long is cut. */
  function shown(text, most = 40) {
    const line = letters(text).slice(0, most + 1).map((letter) => (isPrintable(letter) ? letter : "?"));
    return line.length <= most ? line.join("") : `${line.slice(0, most - 3).join("")}...`;
  }

  function escaped(letter) {
    if (letter in SHORT_ESCAPES) return SHORT_ESCAPES[letter];
    const code = letter.codePointAt(0);
    const [mark, width] = code < 0x100 ? ["x", 2] : code < 0x10000 ? ["u", 4] : ["U", 8];
    return `\\${mark}${code.toString(16).padStart(width, "0")}`;
  }

  /** Fit for one line: control characters and the like written out, long text cut. */
  function printable(text, most = 2000) {
    if (text.length <= most && CLEAN.test(text)) return text;
    const all = letters(text);
    const cut = all.length <= most ? all : [...all.slice(0, most - 3), "...", ""];
    return cut.map((letter) => (letter.length > 2 || isPrintable(letter) ? letter : escaped(letter))).join("");
  }

  /** Lower case for comparing, letter by letter (Unicode Standard, full case folding). */
  function folded(text) {
    if (isAscii(text)) return text.toLowerCase();
    return letters(text).map((c) => FOLDED_OTHERWISE[c] || c.toLowerCase().toUpperCase().toLowerCase()).join("");
  }

  /**
   * Whether a letter is a combining mark, one of a class other than zero: such a mark, and no other, changes places
   * with a mark of another class when a text is normalized (Unicode Standard Annex 15).
   */
  function isCombining(letter) {
    if (letter < "\u0300") return false;
    const low = letter + "\u0334", high = "\u0301" + letter;
    return low.normalize("NFKD") !== low || high.normalize("NFKD") !== high;
  }

  /** A name as names are compared: lower case, no accents, words with one space between them. */
  function plain(text) {
    if (isAscii(text)) return (text.toLowerCase().match(/[a-z0-9]+/g) || []).join(" ");
    const bare = letters(text.normalize("NFKD")).filter((letter) => !isCombining(letter)).join("");
    return (folded(bare).match(/[\p{L}\p{N}]+/gu) || []).join(" ");
  }

  book.letters = {
    ASCII, first, folded, isAscii, isCombining, isPrintable, letters, plain, printable, shown, spaced, split,
    trimmed,
  };
})((globalThis.stillroomBook = globalThis.stillroomBook || {}));
