/* Audit spans: the altitudes that a head, a cell or a title states (foreign/spans.py).

   One foot is 0.3048 meter exactly (NIST Special Publication 811, 2008, appendix B.8). */
"use strict";
(function (book) {
  const { audit } = book;
  const { NUMBER, WORD, figure, ofWhole, over, roundsTo, same } = audit;
  const { Fraction } = book.numbers;
  const FOOT = new Fraction(3048n, 10000n);
  const NOTHING = ofWhole(0), ONE = ofWhole(1), SMALLEST = ofWhole(250);
  const KINDS = ["range", "above", "below", "more", "less", "sea", "point"];
  const END = `(?!${WORD})`;
  const UNIT = `(?:(?:ft|feet|foot|meters?|metres?|m)${END}\\.?|')`;
  const ABOVE = "(?:above|over|more than|greater than|higher than|beyond|exceeding|>)";
  const BELOW = "(?:up to|below|under|less than|lower than|at or below|at or under|not over|<=|<|\\u2264)";
  const MORE = `(?:\\+|(?:and|or) (?:up|above|over|more|higher|greater)${END})`;
  const LESS = `(?:(?:and|or) (?:below|under|less|lower)${END})`;
  const PATTERN = new RegExp(
    `(?<range>(?:from |between )?(?<low>${NUMBER}|sea level) ?(?<low_unit>${UNIT})? ?` +
    `(?:-|to|through|thru|until|and) ?(?<high>${NUMBER}) ?(?<high_unit>${UNIT})?)(?![0-9])` +
    `|(?<above>${ABOVE} ?(?<above_at>${NUMBER}) ?(?<above_unit>${UNIT})?)(?![0-9])` +
    `|(?<below>${BELOW} ?(?<below_at>${NUMBER}) ?(?<below_unit>${UNIT})?)(?![0-9])` +
    `|(?<more>(?<more_at>${NUMBER}) ?(?<more_unit>${UNIT})? ?${MORE}(?: ?(?<more_late>${UNIT}))?)` +
    `|(?<less>(?<less_at>${NUMBER}) ?(?<less_unit>${UNIT})? ?${LESS})` +
    `|(?<sea>(?<!${WORD})sea level${END})` +
    `|(?<point>(?<point_at>${NUMBER}) ?(?<point_unit>${UNIT}))(?![a-z0-9])`, "giu");
  const FIGURES = ["low", "high", "above_at", "below_at", "more_at", "less_at", "point_at"];
  const AFTER =
    /^ ?(?:above sea level|in elevation|in altitude|of elevation|of altitude|elevation|altitude)/;

  const unitOf = (text) => (!text ? "" : /^m/i.test(text) ? "m" : "ft");

  const said = (low, high, unit, point, text) => ({ low, high, unit, point, text });

  function ofRange(groups, text) {
    const low = /^sea level$/i.test(groups.low) ? NOTHING : figure(groups.low);
    const high = figure(groups.high), unit = unitOf(groups.high_unit || groups.low_unit);
    if (groups.low_unit && groups.high_unit && unitOf(groups.low_unit) !== unitOf(groups.high_unit)) return null;
    const isOne = low.against(high) < 0 && (unit || high.against(SMALLEST) >= 0);
    return isOne ? said(low, high, unit, false, text) : null;
  }

  function ofHit({ 0: whole, groups }) {
    const kind = KINDS.find((name) => groups[name]);
    const text = book.letters.trimmed(whole);
    if (FIGURES.some((name) => (groups[name] || "").length > audit.LONGEST_FIGURE)) return null;
    if (kind === "sea") return said(NOTHING, NOTHING, "ft", true, text);
    if (kind === "range") return ofRange(groups, text);
    const at = figure(groups[`${kind}_at`]), unit = unitOf(groups[`${kind}_unit`] || groups.more_late);
    if (at.against(kind === "point" || !unit ? SMALLEST : ONE) < 0) return null;
    if (kind === "above" || kind === "more") return said(at, null, unit, false, text);
    return kind === "point" ? said(at, at, unit, true, text) : said(null, at, unit, false, text);
  }

  /** All altitudes in a folded text, and the text without them. */
  function found(text) {
    const spans = [], left = [];
    let at = 0;
    for (const hit of text.matchAll(PATTERN)) {
      const one = ofHit(hit);
      if (one === null || (hit.index && /[\p{L}\p{N}]$/u.test(text.slice(0, hit.index)))) continue;
      spans.push(one);
      left.push(text.slice(at, hit.index));
      at = hit.index + hit[0].length;
      const more = AFTER.exec(text.slice(at));
      at += more ? more[0].length : 0;
    }
    return [spans, spans.length ? [...left, text.slice(at)].join(" ") : text];
  }

  /** The published edge that a figure stands for; null where it is none. */
  function edgeOf(value, unit, edges) {
    const fits = unit === "ft"
      ? (edge) => same(ofWhole(edge), value)
      : (edge) => roundsTo(ofWhole(edge).times(FOOT), value);
    const edge = edges.find(fits);
    return edge === undefined ? null : edge;
  }

  const plainFeet = (value, unit) => (unit === "m" ? over(value, FOOT) : value).toNumber();

  function feet(high, unit, edges) {
    const edge = edgeOf(high, unit, edges);
    return edge === null ? plainFeet(high, unit) : edge;
  }

  /** Where a band begins: just above a published edge if the next whole figure above it is written. */
  function lower(low, unit, edges) {
    for (const before of [low.plus(ofWhole(-1)), low]) {
      const edge = before.top < 0n ? null : edgeOf(before, unit, edges);
      if (edge !== null) return edge;
    }
    return plainFeet(low, unit);
  }

  /** What is said in feet: from above the first up to the second; null without a limit. */
  function inFeet(one, unit, edges) {
    if (one.point && one.high !== null) {
      const at = feet(one.high, unit, edges);
      return { above: at, to: at };
    }
    const above = one.low === null || one.low.top === 0n ? null : lower(one.low, unit, edges);
    return { above, to: one.high === null ? null : feet(one.high, unit, edges) };
  }

  const spanKey = (span) => (span === null ? "none" : `${span.above}|${span.to}`);
  const isPoint = (span) => span.above !== null && span.above === span.to;

  audit.spans = { found, inFeet, isPoint, said, spanKey };
})((globalThis.stillroomBook = globalThis.stillroomBook || {}));
