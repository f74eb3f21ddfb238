/* Audit figures: what a cell of values says: a time, a pressure, both, several equal options; or what is no figure
   (foreign/figures.py). What is not understood to its last sign is not read at all. */
"use strict";
(function (book) {
  const { audit } = book;
  const { NUMBER, nearestWhole, number, ofWhole, over, roundsTo, same, shown } = audit;
  const { Fraction } = book.numbers;
  const { folded: caseless, trimmed } = book.letters;
  /** Kilopascals in one psi (NIST Special Publication 811, 2008, appendix B.8). */
  const KPA = new Fraction(6894757n, 1000000n);
  const FIVE = ofWhole(5);
  const TOKEN = new RegExp(
    "([0-9]+[ -][0-9]+/[0-9]+)|([0-9]+/[0-9]+(?![0-9]))|" + `(${NUMBER})|([a-z]+\\.?)|(\\S)`, "gu");
  const KINDS = ["mixed", "fraction", "number", "word", "sign"];
  const MINUTES = new Set(["min", "mins", "minute", "minutes"]);
  const HOURS = new Set(["h", "hr", "hrs", "hour", "hours"]);
  const POUNDS = new Set(["psi", "psig", "lb", "lbs", "pound", "pounds", "#"]);
  const KILOPASCALS = new Set(["kpa", "kilopascal", "kilopascals"]);
  const IDLE = new Set([
    "at", "@", "for", "process", "time", "of", "pressure", "in", "and", "gauge", "(", ")", ",", ":", "/",
  ]);
  const NEXT = /\s+or\s+|\s*;\s*|\s+\|\s+/;
  const MOST_MINUTES = ofWhole(1000);

  /** A pressure as it is written, in psi or in kilopascals. */
  class Pressure {
    constructor(value, kpa = false) {
      this.value = value;
      this.kpa = kpa;
    }

    psi() {
      return this.kpa ? over(this.value, KPA) : this.value;
    }

    /** Whether it is a published pressure, or one that is converted and rounded as it is written. */
    isPsi(published) {
      const whole = published instanceof Fraction ? published : ofWhole(published);
      if (!this.kpa) return same(this.value, whole);
      const exact = whole.times(KPA);
      const isFives = this.value.isWhole() && this.value.top % 5n === 0n;
      const fives = isFives && nearestWhole(over(exact, FIVE)) * 5n === this.value.top;
      return fives || roundsTo(exact, this.value);
    }

    toString() {
      return `${shown(this.value)} ${this.kpa ? "kPa" : "psi"}`;
    }
  }

  /** Values of a token: 25/11 are two figures, 1/2 is a fraction; null where it is none. */
  function valuesOf({ text, kind }) {
    if (kind === "fraction" && text.length <= audit.LONGEST_FIGURE) {
      const [top, bottom] = text.split("/").map(BigInt);
      if (top >= bottom || bottom > 8n) return [new Fraction(top), new Fraction(bottom)];
    }
    const value = number(text);
    return value === null ? null : [value];
  }

  /** Put a value where its unit belongs; how many tokens the unit takes. */
  function take(value, unit, into) {
    if (MINUTES.has(unit)) into.minutes.push(value);
    else if (HOURS.has(unit)) into.hours.push(value);
    else if (POUNDS.has(unit)) into.pressures.push(new Pressure(value));
    else if (KILOPASCALS.has(unit)) into.pressures.push(new Pressure(value, true));
    else {
      into.bare.push(value);
      return 0;
    }
    return 1;
  }

  /** Whether two figures for one pressure are the same. */
  function agree(first, second) {
    const [psi, other] = second.kpa ? [first, second] : [second, first];
    if (psi.kpa || !other.kpa) return first.kpa === second.kpa && same(first.value, second.value);
    return other.isPsi(psi.value) || roundsTo(other.psi(), psi.value);
  }

  function joined({ minutes, hours, pressures, bare }) {
    let [plain, loose] = [minutes, bare];
    if (hours.length && loose.length === 1 && !plain.length) [plain, loose] = [loose, []]; // 1 hr 15
    if (hours.length > 1 || plain.length > 1 || pressures.length > 2 || loose.length > 2) return null;
    const isTimed = hours.length + plain.length > 0;
    const sixty = ofWhole(60);
    const time = isTimed
      ? [...hours.map((value) => value.times(sixty)), ...plain].reduce((sum, value) => sum.plus(value))
      : null;
    if (isTimed && loose.length > 1) return null;
    if (!isTimed && !pressures.length && !loose.length) return null;
    const disagree = pressures.length === 2 && !agree(...pressures);
    return { minutes: time, pressure: pressures[0] || null, bare: loose, disagree };
  }

  /** One option; null where it is not understood. */
  function option(part) {
    const tokens = [...part.matchAll(TOKEN)].map((hit) => ({
      text: hit[0].replace(/\.+$/, ""), kind: KINDS[hit.slice(1).findIndex((one) => one !== undefined)],
    }));
    if (tokens.some(({ text, kind }) => kind === "sign" && text === "-")) return null;
    const into = { minutes: [], hours: [], pressures: [], bare: [] };
    for (let at = 0; at < tokens.length; ) {
      const token = tokens[at];
      at += 1;
      if (token.kind === "word" || token.kind === "sign") {
        if (!IDLE.has(token.text)) return null;
        continue;
      }
      const values = valuesOf(token);
      if (values === null) return null;
      into.bare.push(...values.slice(0, -1));
      at += take(values[values.length - 1], at < tokens.length ? tokens[at].text : "", into);
    }
    return joined(into);
  }

  /** Lines of a cell that each hold a whole option; else all as one: a pressure may stand under its time. */
  function linesOf(said) {
    const lines = said.split("\n");
    const isWhole = (one) => one !== null && (one.minutes !== null || one.bare.length === 2);
    if (lines.length > 1 && lines.map(option).every(isWhole)) return lines;
    return [lines.join(" ")];
  }

  /** The options of a folded cell; empty where it is not understood to its last sign. */
  const read = audit.keeping((text) => {
    const said = trimmed(caseless(text)).replace(/\.+$/, "");
    const parts = linesOf(said).flatMap((line) => line.split(NEXT)).filter((part) => trimmed(part));
    if (parts.length > 6) return [];
    const found = parts.map(option);
    return found.every((one) => one !== null) ? found : [];
  });

  audit.figures = { KPA, MOST_MINUTES, Pressure, read };
})((globalThis.stillroomBook = globalThis.stillroomBook || {}));
