/* Audit looks: which slip a wrong figure looks like, told after the verdict and never in place of it
   (foreign/looks.py). */
"use strict";
(function (book) {
  const { audit } = book;
  const { columnsOf } = audit.claims;
  const OTHER_JAR = { pint: "quart", quart: "pint", "half-pint": "pint", "pint-and-half": "quart" };
  const TURNED_PACK = { hot: "raw", raw: "hot" }, TURNED_GAUGE = { dial: "weighted", weighted: "dial" };

  /** Stated figures that are wrong, with the place that says so. */
  function wrongOf(judged) {
    const found = [];
    for (const sample of judged.deciding) {
      for (const { minutes, pressure } of judged.claim.processes) {
        if (sample.wrong !== "pressure" && minutes !== null) found.push({ judged, sample, value: minutes });
        else if (sample.wrong === "pressure" && pressure !== null) {
          found.push({ judged, sample, value: pressure.value });
        }
      }
    }
    return found;
  }

  const published = (sample, options = sample.options) =>
    options
      .map((option) => (sample.wrong === "pressure" ? option.psi : option.minutes))
      .filter((value) => value !== null);

  const isAmong = (value, values) => values.some((one) => audit.same(audit.ofWhole(one), value));

  function isTurned({ value, sample }) {
    const digits = audit.shown(value);
    const turned = new Set([Array.from(digits).reverse().join("")]);
    for (let at = 0; at + 1 < digits.length; at += 1) {
      turned.add(digits.slice(0, at) + digits[at + 1] + digits[at] + digits.slice(at + 2));
    }
    const isOther = (one) => turned.has(String(one)) && !audit.same(audit.ofWhole(one), value);
    return digits.length > 1 && published(sample).some(isOther);
  }

  function nextBand(sample, step, ask) {
    const [option] = sample.options;
    if (!option) return [];
    if (step < 0) return option.from ? ask(sample.food, sample.at, option.from - 1) : [];
    return option.to === null ? [] : ask(sample.food, sample.at, option.to + 1);
  }

  /** Whether each figure is that of the band before or after, and several are. */
  function isShifted(pairs, ask) {
    const isMoved = (step) => ({ sample, value }) => isAmong(value, published(sample, nextBand(sample, step, ask)));
    const isSeveral = new Set(pairs.map(({ sample }) => sample.feet)).size > 1;
    return isSeveral && [-1, 1].some((step) => pairs.every(isMoved(step)));
  }

  /** The time of another jar: in both columns, or exchanged with it. */
  function ofJars(pairs, row, ask) {
    for (const { sample, value } of pairs) {
      const jar = OTHER_JAR[sample.at.jar];
      if (sample.wrong !== "minutes" || !jar) return "";
      if (!isAmong(value, published(sample, ask(sample.food, { ...sample.at, jar }, sample.feet)))) return "";
    }
    const [{ sample, value }] = pairs;
    const other = OTHER_JAR[sample.at.jar];
    const beside = row
      .filter(({ claim }) => claim.facets.jars.includes(other))
      .flatMap(({ claim }) => claim.processes.map((process) => process.minutes))
      .filter((minutes) => minutes !== null);
    const isExchanged = beside.some((minutes) => isAmong(minutes, published(sample)));
    if (isExchanged) return `${sample.at.jar}s and ${other}s exchanged`;
    const isBoth = beside.some((minutes) => audit.same(minutes, value));
    return `the time of ${other}s${isBoth ? " in both columns" : ""}`;
  }

  const elsewhere = (pairs, ask, turn) => pairs.every(({ sample, value }) => {
    const at = turn(sample.at);
    return at !== null && isAmong(value, published(sample, ask(sample.food, at, sample.feet)));
  });

  const packTurned = (at) => (TURNED_PACK[at.pack] ? { ...at, pack: TURNED_PACK[at.pack] } : null);
  const gaugeTurned = (at) => (TURNED_GAUGE[at.canner] ? { ...at, canner: TURNED_GAUGE[at.canner] } : null);

  /** Whether each figure is the one that is published for the same column of the next row. */
  const isOfNextRow = (pairs, below) => pairs.every(({ judged, sample, value }) => {
    const at = columnsOf(judged.claim).join("|");
    const options = below
      .filter((one) => columnsOf(one.claim).join("|") === at)
      .flatMap((one) => one.samples)
      .flatMap((one) => one.options);
    return isAmong(value, published(sample, options));
  });

  /** What slip the wrong figures of one cause look like; null where like none. `row`, `below`: all that was judged. */
  function slip(group, row, below, ask) {
    const pairs = group.flatMap(wrongOf);
    if (!pairs.length) return null;
    if (pairs.every(isTurned)) return "two digits exchanged";
    if (isShifted(pairs, ask)) return "the values of the next column";
    const ofJar = ofJars(pairs, row, ask);
    if (ofJar) return ofJar;
    if (elsewhere(pairs, ask, packTurned)) return "hot and raw pack exchanged";
    if (elsewhere(pairs, ask, gaugeTurned)) return "dial and weighted gauge exchanged";
    return isOfNextRow(pairs, below) ? "the value of the next row" : null;
  }

  audit.looks = { slip };
})((globalThis.stillroomBook = globalThis.stillroomBook || {}));
