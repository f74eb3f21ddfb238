/* Numbers: exact fractions, and figures written as the library writes them (wording.py, heights.py). */
"use strict";
(function (book) {
  const FRACTIONS = {
    0.125: "1/8", 0.25: "1/4", 0.3333: "1/3", 0.375: "3/8", 0.5: "1/2", 0.625: "5/8", 0.6667: "2/3", 0.75: "3/4",
    0.875: "7/8",
  };

  function divisor(a, b) {
    while (b) [a, b] = [b, a % b];
    return a < 0n ? -a : a;
  }

  /** A fraction in lowest terms, of whole numbers of any length. */
  class Fraction {
    constructor(top, bottom = 1n) {
      const common = divisor(top, bottom) || 1n;
      this.top = top / common;
      this.bottom = bottom / common;
    }

    /** Read "3", "0.5" or "1/3". */
    static read(text) {
      const [over, under] = text.split("/");
      if (under !== undefined) return new Fraction(BigInt(over), BigInt(under));
      const [whole, decimals = ""] = text.split(".");
      return new Fraction(BigInt(whole + decimals), 10n ** BigInt(decimals.length));
    }

    plus(other) {
      return new Fraction(this.top * other.bottom + other.top * this.bottom, this.bottom * other.bottom);
    }

    times(other) {
      return new Fraction(this.top * other.top, this.bottom * other.bottom);
    }

    negative() {
      return new Fraction(-this.top, this.bottom);
    }

    /** Less than 0, 0 or more than 0, as this is less than, equal to or more than the other. */
    against(other) {
      const apart = this.top * other.bottom - other.top * this.bottom;
      return apart < 0n ? -1 : apart > 0n ? 1 : 0;
    }

    isWhole() {
      return this.bottom === 1n;
    }

    /** Whether it lies between nothing and one. */
    isPart() {
      return this.top > 0n && this.top < this.bottom;
    }

    toNumber() {
      return quotient(this.top, this.bottom);
    }

    toString() {
      return this.isWhole() ? `${this.top}` : `${this.top}/${this.bottom}`;
    }
  }

  const bits = (whole) => whole.toString(2).length;

  /** Divide whole numbers of any length; only the last step rounds, to the nearest, an even last bit in a tie. */
  function quotient(top, bottom) {
    if (top === 0n) return 0;
    const shift = Math.max(0, 66 - (bits(top) - bits(bottom)));
    const shifted = top << BigInt(shift);
    const rest = shifted % bottom ? 1n : 0n;
    return Number(((shifted / bottom) << 1n) | rest) / 2 ** (shift + 1);
  }

  /** A whole number with commas between thousands. */
  const thousands = (digits) => digits.replace(/\B(?=([0-9]{3})+$)/g, ",");

  /** Whole number nearest to a figure; the even one where two are as near. */
  function nearest(figure) {
    const low = Math.floor(figure);
    const over = figure - low;
    return over > 0.5 || (over === 0.5 && low % 2) ? low + 1 : low;
  }

  /** A figure without decimals, with commas. */
  function whole(figure) {
    const size = nearest(Math.abs(figure));
    return (figure < 0 ? "-" : "") + thousands(String(size));
  }

  /** A figure with two decimals, with commas; a tie goes to the even one. */
  function hundredths(figure) {
    const size = Math.abs(figure);
    const tie = Number.isInteger(size * 8) && !Number.isInteger(size * 4);
    const [before, after] = (tie ? nearest(size * 100) / 100 : size).toFixed(2).split(".");
    return `${figure < 0 ? "-" : ""}${thousands(before)}.${after}`;
  }

  const withoutZeros = (text) => (text.includes(".") ? text.replace(/\.?0+$/, "") : text);

  /** Six digits that tell, without zeros at the end: the general format of figures. */
  function general(figure) {
    if (figure < 0) return `-${general(-figure)}`;
    let [digits, power] = figure.toExponential(5).split("e").map(Number);
    const last = Math.round(digits * 1e5);
    const isTie = /^[0-9]\.[0-9]{5}50*e/.test(figure.toExponential(60));
    if (isTie && last % 2) digits = (last - 1) / 1e5;
    if (power >= -4 && power < 6) return withoutZeros(Number(`${digits}e${power}`).toFixed(5 - power));
    return `${withoutZeros(digits.toFixed(5))}e${power < 0 ? "-" : "+"}${String(Math.abs(power)).padStart(2, "0")}`;
  }

  /** Join words: `a`, `a or b`, `a, b or c`. */
  function listed(words, last = "or") {
    if (words.length < 2) return words.join("");
    return `${words.slice(0, -1).join(", ")} ${last} ${words[words.length - 1]}`;
  }

  /** A quantity with a kitchen fraction: 2.25 is `2-1/4`. */
  function amount(quantity) {
    const full = Math.trunc(quantity);
    const part = Number((quantity - full).toFixed(4));
    if (part === 0) return String(full);
    const fraction = FRACTIONS[part];
    if (fraction === undefined) return general(quantity);
    return full ? `${full}-${fraction}` : fraction;
  }

  /** A quantity with its unit: `1/2 teaspoon`, `2 tablespoons`. */
  function units(quantity, unit) {
    const plural = quantity <= 1 ? unit : unit + (unit.endsWith("ch") ? "es" : "s");
    return `${amount(quantity)} ${plural}`;
  }

  /** A process: `25 minutes at 11 psi`, or `30 minutes` in boiling water. */
  const process = (minutes, psi) => units(minutes, "minute") + (psi === null ? "" : ` at ${psi} psi`);

  /** An altitude band in feet. */
  function span(low, high) {
    if (high !== null) return `${whole(low)} to ${whole(high)} ft`;
    return low ? `above ${whole(low - 1)} ft` : "any altitude";
  }

  /** An altitude in feet, to the hundredth where it has one. */
  const height = (feet) => (Number.isInteger(feet) ? `${whole(feet)} ft` : `${hundredths(feet)} ft`);

  /** A sentence with a capital letter. */
  const capital = (text) => {
    const [first = "", ...rest] = book.letters.letters(text);
    return first.toUpperCase() + rest.join("");
  };

  book.numbers = {
    Fraction, amount, capital, general, height, listed, process, quotient, span, thousands, units, whole,
  };
})((globalThis.stillroomBook = globalThis.stillroomBook || {}));
