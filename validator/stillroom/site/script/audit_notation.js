/* Audit notation: what people write in a cell, brought to plain signs (foreign/notation.py); and exact figures. */
"use strict";
(function (book) {
  const { letters, split, trimmed } = book.letters;
  const { Fraction, general } = book.numbers;
  const audit = (book.audit = book.audit || {});

  const NUMBER = "(?:[0-9]{1,3}(?:,[0-9]{3})+|[0-9]+)(?:\\.[0-9]+)?";
  const WORD = "[\\p{L}\\p{N}_]"; // what is part of a word in any script
  const PLAIN = new Map([
    ...Array.from("\u2010\u2011\u2012\u2013\u2014\u2015\u2212\ufe58\ufe63\uff0d", (sign) => [sign, "-"]),
    ...Array.from("\u2044\u2215\uff0f", (sign) => [sign, "/"]),
    ...Array.from("\u2019\u2018\u2032\u00b4`", (sign) => [sign, "'"]),
    ...Array.from("\u201c\u201d\u2033", (sign) => [sign, '"']),
    ["\u00d7", "x"],
  ]);
  /** Signs that Unicode decomposes as raised ones (Unicode Standard Annex 44, Decomposition_Type super). */
  const RAISED = new RegExp(
    "^[\\u{aa}\\u{b2}-\\u{b3}\\u{b9}-\\u{ba}\\u{2b0}-\\u{2b8}\\u{2e0}-\\u{2e4}\\u{10fc}\\u{1d2c}-\\u{1d2e}" +
    "\\u{1d30}-\\u{1d3a}\\u{1d3c}-\\u{1d4d}\\u{1d4f}-\\u{1d61}\\u{1d78}\\u{1d9b}-\\u{1dbf}\\u{2070}-\\u{2071}" +
    "\\u{2074}-\\u{207f}\\u{2120}\\u{2122}\\u{2c7d}\\u{2d6f}\\u{3192}-\\u{319f}\\u{a69c}-\\u{a69d}\\u{a770}" +
    "\\u{a7f2}-\\u{a7f4}\\u{a7f8}-\\u{a7f9}\\u{ab5c}-\\u{ab5f}\\u{ab69}\\u{10781}-\\u{10785}\\u{10787}-\\u{107b0}" +
    "\\u{107b2}-\\u{107ba}\\u{1f16a}-\\u{1f16c}]$", "u");
  const MARKS =
    /[*\u2020\u2021\u00a7\u00b6\u2051\u2042\u25ca\u2022]+|\[[0-9a-z]{1,2}\]|\(\s*[*\u2020\u2021]+\s*\)/g;
  const LAST_MARK = /(?<=\S)\s*\((?:[0-9]{1,2}|[a-z])\)\s*$/i;
  const ONE_LETTER = /^([0-9]+(?:\.[0-9]+)?)[a-e]$/i;
  const MIXED = /^(?:([0-9]+)[ -]+)?([0-9]+)\/([0-9]+)$/;
  const FIGURE = new RegExp(`^${NUMBER}$`);
  const NOTE = /^(?:\[[0-9a-z]{1,2}\]|\([0-9a-z]{1,2}\)|[0-9a-e][.)])\s*\S/;
  const MOST_KEPT = 20000, LONGEST_FIGURE = 15;

  /** A function of one text that keeps what it has found. */
  function keeping(make) {
    const kept = new Map();
    return (text) => {
      if (!kept.has(text)) {
        if (kept.size >= MOST_KEPT) kept.clear();
        kept.set(text, make(text));
      }
      return kept.get(text);
    };
  }

  function spelled(letter) {
    if (letter < "\x80") return letter;
    if (RAISED.test(letter)) return "";
    const apart = letter.normalize("NFKD");
    if (apart.includes("\u2044")) return ` ${apart.replace(/\u2044/g, "/")} `;
    if (/\p{Cf}/u.test(letter)) return "";
    if (/[\p{Zs}\p{Cc}]/u.test(letter)) return " ";
    return letter.normalize("NFKC");
  }

  /** A text in plain signs, without footnote marks; a raised figure is a mark and never a digit. */
  const folded = keeping((text) => {
    let out = text;
    if (!book.letters.isAscii(text)) {
      out = letters(text).map((sign) => spelled(PLAIN.has(sign) ? PLAIN.get(sign) : sign)).join("");
    }
    out = out.replace(MARKS, "").replace(LAST_MARK, "");
    const lines = out.split("\n").map((line) => split(line).join(" ")).filter((line) => line);
    return lines.join("\n").replace(ONE_LETTER, "$1");
  });

  /** Whether a text begins like a footnote. */
  function marked(text) {
    const start = trimmedLeft(text);
    if (!start) return false;
    const [sign] = letters(start);
    return "*\u2020\u2021\u00a7\u00b6#".includes(sign) || RAISED.test(sign) || NOTE.test(start);
  }

  const trimmedLeft = (text) => trimmed(`${text}|`).slice(0, -1);
  const trimmedRight = (text) => trimmed(`|${text}`).slice(1);

  const ofWhole = (whole) => new Fraction(BigInt(whole));

  /** A figure as an exact fraction; null where it is none. */
  function number(text) {
    const said = trimmed(text);
    if (said.length > LONGEST_FIGURE) return null;
    const mixed = MIXED.exec(said);
    if (mixed) {
      const [whole, top, bottom] = [BigInt(mixed[1] || 0), BigInt(mixed[2]), BigInt(mixed[3])];
      return top > 0n && top < bottom ? new Fraction(whole * bottom + top, bottom) : null;
    }
    return FIGURE.test(said) ? figure(said) : null;
  }

  /** An exact fraction of digits with commas. */
  const figure = (digits) => Fraction.read(digits.replace(/,/g, ""));

  /** A figure written: whole, or with its decimals. */
  const shown = (value) => (value.isWhole() ? String(value.top) : general(value.toNumber()));

  const over = (one, other) => new Fraction(one.top * other.bottom, one.bottom * other.top);

  /** The whole number nearest to a fraction that is not negative; the even one where two are as near. */
  function nearestWhole(value) {
    const low = value.top / value.bottom;
    const twice = 2n * (value.top % value.bottom);
    return twice > value.bottom || (twice === value.bottom && low % 2n === 1n) ? low + 1n : low;
  }

  /** Whether an exact figure, rounded as coarsely as another is written, is that other. */
  function roundsTo(exact, written) {
    if (!written.isWhole()) {
      const places = (general(written.toNumber()).split(".")[1] || "").length;
      const scale = 10n ** BigInt(places);
      return new Fraction(nearestWhole(exact.times(new Fraction(scale))), scale).against(written) === 0;
    }
    let step = 1n;
    while (written.top && written.top % (step * 10n) === 0n && step < 100n) step *= 10n;
    const half = new Fraction(1n, 2n);
    return [1n, 10n, 100n].some((near) => {
      if (near > step) return false;
      const whole = over(exact, new Fraction(near)).plus(half);
      return (whole.top / whole.bottom) * near === written.top;
    });
  }

  const same = (one, other) => one.against(other) === 0;

  Object.assign(audit, {
    LONGEST_FIGURE, NUMBER, WORD, figure, folded, keeping, marked, nearestWhole, number, ofWhole, over,
    roundsTo, same, shown, trimmedLeft, trimmedRight,
  });
})((globalThis.stillroomBook = globalThis.stillroomBook || {}));
