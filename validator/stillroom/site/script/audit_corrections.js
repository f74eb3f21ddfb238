/* Audit corrections: what a wrong cell must say, in its own way of writing (foreign/corrections.py). */
"use strict";
(function (book) {
  const { audit } = book;
  const { number, ofWhole, nearestWhole, same } = audit;
  const { KPA } = audit.figures;
  const NOT_TESTED = "no tested process";
  const FIGURE = new RegExp(`(?<![0-9.,])${audit.NUMBER}(?![0-9])`, "g");
  const HOURS = new RegExp(`(?<!${audit.WORD})h(?:ou)?rs?(?!${audit.WORD})`, "iu");

  const kilopascals = (psi) => nearestWhole(ofWhole(psi).times(KPA));

  function stricter(one, other) {
    const [a, b] = [one, other].map((sample) => sample.option || sample.options[0]);
    return b.minutes - a.minutes || (b.psi || 0) - (a.psi || 0);
  }

  const strictest = (samples) => samples.reduce((most, one) => (stricter(most, one) > 0 ? one : most));

  /** What of a process the column holds. */
  const partOf = ({ minutes, pressure }, column) => ({
    minutes: column.kind === "pressure" ? null : minutes,
    pressure: column.kind === "minutes" ? null : pressure,
  });

  const keyOf = ({ minutes, pressure }) =>
    `${minutes}|${pressure === null ? "" : `${pressure.value}|${pressure.kpa}`}`;

  /** Exchange the wrong figures of a cell; null where there is not exactly one to exchange for each. */
  function inPlace(text, column, judged, option) {
    const hits = [...text.matchAll(FIGURE)];
    const processes = judged.flatMap(({ claim }) => claim.processes).map((process) => partOf(process, column));
    if (new Set(processes.map(keyOf)).size !== 1 || column.unit === "hours" || HOURS.test(text)) return null;
    const [{ minutes, pressure }] = processes;
    const wanted = [];
    if (minutes !== null) wanted.push([minutes, String(option.minutes)]);
    if (pressure !== null && option.psi !== null) {
      wanted.push([pressure.value, String(pressure.kpa ? kilopascals(option.psi) : option.psi)]);
    }
    if (hits.length !== wanted.length) return null;
    const isFigure = (hit, value) => {
      const found = number(hit[0]);
      return found !== null && same(found, value);
    };
    if (wanted.length === 2 && !isFigure(hits[0], wanted[0][0])) wanted.reverse();
    let out = text;
    for (let at = hits.length - 1; at >= 0; at -= 1) {
      const [before, after] = wanted[at], hit = hits[at];
      if (!isFigure(hit, before)) return null;
      out = out.slice(0, hit.index) + after + out.slice(hit.index + hit[0].length);
    }
    return out;
  }

  function anew(column, option, bare) {
    if (column.kind === "process") return audit.options.inWords(option);
    if (bare && column.unit === "") {
      const value = column.kind === "pressure" ? option.psi : option.minutes;
      return value === null ? null : String(value);
    }
    if (column.kind !== "pressure") return `${option.minutes} min`;
    if (option.psi === null) return null;
    return column.unit === "kpa" ? `${kilopascals(option.psi)} kPa` : `${option.psi} psi`;
  }

  /** What a cell must say; null where no value can stand there, or none is needed. */
  function corrected(text, column, judged, bare) {
    const { verdict } = audit.judged.worst(judged, (one) => one.verdict);
    if (verdict === "untested") return NOT_TESTED;
    if (verdict !== "weaker" && verdict !== "missing") return null;
    const samples = judged.flatMap((one) => one.samples).filter((sample) => sample.options.length);
    if (!samples.length) return null;
    const most = strictest(samples);
    const valuesOf = ({ options }) => JSON.stringify(options.map(({ minutes, psi }) => [minutes, psi]));
    const several = new Set(samples.map(valuesOf)).size === 1 && most.options.length > 1;
    if (several && column.kind === "process") return most.options.map(audit.options.inWords).join(" or ");
    const option = most.option || most.options[0];
    return inPlace(text, column, judged, option) || anew(column, option, bare);
  }

  audit.corrections = { corrected };
})((globalThis.stillroomBook = globalThis.stillroomBook || {}));
