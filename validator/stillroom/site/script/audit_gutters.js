/* Audit gutters: text tables whose columns are kept apart by white space, found from all their lines together
   (foreign/gutters.py). */
"use strict";
(function (book) {
  const { audit } = book;
  const { goesOn, isFigure, isSmall, joined } = audit.wraps;
  const { isRule } = audit.ruled;
  const { trimmedLeft, trimmedRight } = audit;
  const GAP = /[ \u00a0\u2000-\u200a\u3000]{2,}/g;
  const SENTENCE = /[a-z]{4,}[.?!:]$/;
  const MOST_LOOKED_AT = 200, MOST_COUNTS = 8, FITTING = 0.6;

  /** Stretches of a part without a gap, each with its place, the one after its end, and its text. */
  function within(part, at) {
    const found = [], end = trimmedRight(part).length;
    let start = part.length - trimmedLeft(part).length;
    const before = start;
    for (const hit of part.slice(before, Math.max(before, end)).matchAll(GAP)) {
      const from = hit.index + before, after = from + hit[0].length;
      const ended = SENTENCE.test(part.slice(Math.max(start, from - 5), from));
      if (ended && hit[0] === "  " && /^\p{Uppercase}/u.test(part.slice(after))) continue;
      found.push({ start: at + start, end: at + from, text: part.slice(start, from) });
      start = after;
    }
    if (start < end) found.push({ start: at + start, end: at + end, text: part.slice(start, end) });
    return found;
  }

  /** Cut a line where two or more spaces or a tab stand; two spaces after the end of a sentence are no gap. */
  function segments(line) {
    let at = 0;
    return trimmedRight(line).split("\t").flatMap((part) => {
      const found = within(part, at);
      at = Math.floor((at + part.length) / 8) * 8 + 8;
      return found;
    });
  }

  /** Columns that a segment stands over, or clearly beside; null where it may belong to either of two. */
  function over(segment, columns) {
    const found = columns
      .map((_, column) => column)
      .filter((column) => segment.start < columns[column][1] && columns[column][0] < segment.end);
    if (found.length) return found;
    const away = columns
      .map(([start, end], column) => [Math.max(start - segment.end, segment.start - end), column])
      .sort((one, other) => one[0] - other[0] || one[1] - other[1]);
    return away.length > 1 && away[0][0] * 2 >= away[1][0] ? null : [away[0][1]];
  }

  const blank = (count) => Array.from({ length: count }, () => "");

  function whole(found, columns) {
    const spans = [];
    for (let column = 1; column < columns; column += 1) spans.push([column, 0]);
    return { cells: [found.map((segment) => segment.text).join("  "), ...blank(columns - 1)], spans };
  }

  /** Cells of a line where only the number of columns is known. */
  function counted(found, columns) {
    if (found.length === columns) return { cells: found.map((segment) => segment.text), spans: [] };
    if (found.length === 1) return { cells: [found[0].text, ...blank(columns - 1)], spans: [] };
    return whole(found, columns);
  }

  /** Cells of a line, and for each further part of one that reaches over several columns, where it begins. */
  function placed(found, columns) {
    if (typeof columns === "number") return counted(found, columns);
    const cells = blank(columns.length), spans = new Map();
    for (const segment of found) {
      const at = over(segment, columns);
      if (at === null || at.some((column) => spans.has(column))) return whole(found, columns.length);
      const isTwo = isFigure(segment.text);
      if (at.length > 1 && (isTwo || at.some((column) => cells[column]))) return whole(found, columns.length);
      const held = cells[at[0]];
      if (held && (isTwo || isFigure(held))) return whole(found, columns.length);
      cells[at[0]] = [held, segment.text].filter((part) => part).join(" ");
      for (const column of at.slice(1)) spans.set(column, at[0]);
    }
    return { cells, spans: [...spans] };
  }

  function united(stretches) {
    const columns = [];
    for (const [start, end] of [...stretches].sort((one, other) => one[0] - other[0] || one[1] - other[1])) {
      const last = columns[columns.length - 1];
      if (last && start < last[1]) last[1] = Math.max(last[1], end);
      else columns.push([start, end]);
    }
    return columns;
  }

  /** Take in each segment that stands over one column alone, where the columns stay apart. */
  function widened(columns, found) {
    const wide = columns.map((column) => [...column]);
    for (const segment of found.flat()) {
      const at = over(segment, columns);
      if (at === null || at.length !== 1) continue;
      const [start, end] = wide[at[0]];
      wide[at[0]] = [Math.min(start, segment.start), Math.max(end, segment.end)];
    }
    return wide.every(([start], at) => at === 0 || wide[at - 1][1] < start) ? wide : columns;
  }

  const placeOf = (segment) => [segment.start, segment.end];

  /** Columns of the lines that have one number of segments; null where they do not stand in columns. */
  function columnsOf(number, found) {
    const full = found.filter((line) => line.length === number);
    const columns = united(full.flat().map(placeOf));
    const isIn = (segment, [start, end]) => start <= segment.start && segment.start < end;
    if (columns.length !== number) return null;
    return full.every((line) => line.every((segment, at) => isIn(segment, columns[at]))) ? columns : null;
  }

  /** First and last place of each column; only their number where the lines do not stand in columns. */
  function allColumns(found, rules) {
    if (rules.length) return rules.map(placeOf);
    const counts = new Map();
    for (const { length } of found.filter((line) => line.length > 1)) counts.set(length, (counts.get(length) || 0) + 1);
    for (const number of [...counts.keys()].sort((a, b) => b - a).slice(0, MOST_COUNTS)) {
      const columns = columnsOf(number, found);
      if (columns === null) continue;
      const wide = widened(columns, found), step = Math.max(1, Math.floor(found.length / MOST_LOOKED_AT));
      const sample = found.filter((_, at) => at % step === 0);
      if (sample.filter((line) => !placed(line, wide).spans.length).length >= FITTING * sample.length) return wide;
    }
    const total = [...counts.values()].reduce((sum, count) => sum + count, 0);
    const enough = Math.max(1, Math.min(2, total), Math.floor(total / 5));
    const often = [...counts].filter(([, lines]) => lines >= enough).map(([count]) => count);
    return Math.max(...(often.length ? often : counts.size ? counts.keys() : [1]));
  }

  function wraps(above, cells, indented) {
    if (goesOn(above, cells, indented)) return true;
    const isName = above.filter((cell) => cell).length === 1 && above[0] !== "" && /(?:,| or| and)$/.test(above[0]);
    return isName && cells[0] !== "" && isSmall(cells[0]);
  }

  /** Segments of the first line that rules each column by itself. */
  function rulesOf(parts) {
    const isOne = ({ found, line }) =>
      isRule(line) && found.length > 1 && !line.includes("|") && !line.includes("+");
    const rule = parts.find(isOne);
    return rule ? rule.found : [];
  }

  /** Cut lines at their white gutters; a line that fits no column for certain is one cell over all of them. */
  function aligned(lines) {
    const parts = lines.map(([place, line]) => ({ place, found: segments(line), line }));
    const told = parts.filter(({ line }) => !isRule(line)).map(({ found }) => found);
    const columns = allColumns(told, rulesOf(parts)), rows = [], merged = [];
    const starts = told.filter((found) => found.length).map(([first]) => first.start);
    const left = starts.length ? Math.min(...starts) : 0;
    let fresh = true;
    for (const { place, found, line } of parts) {
      if (isRule(line) || !found.length) {
        fresh = true;
        continue;
      }
      const { cells, spans } = placed(found, columns), last = rows[rows.length - 1];
      if (last && !spans.length && !fresh && wraps(last[1], cells, found[0].start > left)) {
        last[1] = joined(last[1], cells);
        continue;
      }
      for (const [column, first] of spans) merged.push([[rows.length, column], [rows.length, first]]);
      rows.push([place, cells]);
      fresh = false;
    }
    return { rows, heads: 0, merged };
  }

  audit.gutters = { aligned, segments };
})((globalThis.stillroomBook = globalThis.stillroomBook || {}));
