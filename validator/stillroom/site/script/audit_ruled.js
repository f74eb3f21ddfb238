/* Audit ruled: text tables with bars between their cells and lines of dashes between their rows (foreign/ruled.py). */
"use strict";
(function (book) {
  const { audit } = book;
  const { goesOn, joined } = audit.wraps;
  const { isAscii, trimmed } = book.letters;
  const BARS = /[\u2502\u2503\u2551\u2506\u2507\u250a\u250b\u254e\u254f\u00a6]/g;
  const DASHES = /[\u2500\u2501\u2550\u2504\u2505\u2508\u2509\u254c\u254d]/g;
  const CORNERS = /[\u250c-\u254b\u2552-\u256c]/g;
  const RULE = /^[\s|+:]*[-=_~*][\s|+\-=_~*:]{2,}$/;
  const OF_A_FRAME = 3;

  /** Drawn bars and lines as plain ones. */
  const unboxed = (line) =>
    isAscii(line) ? line : line.replace(CORNERS, "+").replace(BARS, "|").replace(DASHES, "-");

  /** Whether a line only rules: at least three signs of one. */
  const isRule = (line) => trimmed(line) !== "" && RULE.test(unboxed(line));

  function barsOf(line) {
    const text = audit.trimmedRight(line), bars = [];
    for (let at = 0; at < text.length; at += 1) if (text[at] === "|") bars.push(at);
    return bars;
  }

  const same = (one, other) => one.length === other.length && one.every((at, place) => at === other[place]);

  /** Cells of a line, and for each further part of one that reaches over several columns, where it begins. */
  function cellsOf(line, usual) {
    let cut = trimmed(line);
    const outer = cut.startsWith("|");
    if (outer) cut = cut.slice(1);
    if (cut.endsWith("|")) cut = cut.slice(0, -1);
    const parts = cut.split("|").map(trimmed), bars = barsOf(line);
    const isPart = bars.length < usual.length && bars.every((bar) => usual.includes(bar));
    const isFramed = isPart && bars[0] === usual[0] && bars[bars.length - 1] === usual[usual.length - 1];
    if (!outer || same(bars, usual) || !isFramed) return { cells: parts, spans: [] };
    const cells = [], spans = [], at = bars.map((bar) => usual.indexOf(bar));
    parts.slice(0, at.length - 1).forEach((part, place) => {
      cells.push(part);
      for (let column = at[place] + 1; column < at[place + 1]; column += 1) {
        spans.push([column, at[place]]);
        cells.push("");
      }
    });
    return { cells, spans };
  }

  function usualOf(lines) {
    const counts = new Map();
    for (const [, line] of lines.filter(([, text]) => !isRule(text) && text.includes("|"))) {
      const key = barsOf(line).join(" ");
      counts.set(key, (counts.get(key) || 0) + 1);
    }
    const [most] = [...counts].reduce((top, one) => (one[1] > top[1] ? one : top), ["", 0]);
    return most ? most.split(" ").map(Number) : [];
  }

  /** Cut lines that have bars, each a place and a text. */
  function ruled(lines) {
    const plain = lines.map(([place, line]) => [place, unboxed(line)]);
    const usual = usualOf(plain), rows = [], merged = [];
    const each = plain.filter(([, line]) => isRule(line)).length > OF_A_FRAME; // what is between lines is one row
    let heads = 0, fresh = true;
    for (const [place, line] of plain) {
      if (isRule(line)) {
        fresh = true;
        if (line.includes("=") && !heads) heads = rows.length;
        continue;
      }
      const { cells, spans } = cellsOf(line, usual), last = rows[rows.length - 1];
      if (!fresh && last && !spans.length && goesOn(last[1], cells, each)) {
        last[1] = joined(last[1], cells);
        continue;
      }
      for (const [column, first] of spans) merged.push([[rows.length, column], [rows.length, first]]);
      rows.push([place, cells]);
      fresh = false;
    }
    return { rows, heads: heads < rows.length ? heads : 0, merged };
  }

  audit.ruled = { isRule, ruled, unboxed };
})((globalThis.stillroomBook = globalThis.stillroomBook || {}));
