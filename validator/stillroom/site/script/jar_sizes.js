/* Jar sizes: from what people write for a jar to a jar, or to why there is none (jar_sizes.py). */
"use strict";
(function (book) {
  const { folded, letters, split } = book.letters;
  const { Fraction, general } = book.numbers;
  const LARGEST_FL_OZ = Fraction.read("128"), SMALLEST_FL_OZ = Fraction.read("3/2");
  const LARGEST_ML = Fraction.read("5000"), SMALLEST_ML = Fraction.read("25");
  const COUNTED_FL_OZ = Fraction.read("16"), TWO = Fraction.read("2"), ONE = Fraction.read("1");
  const NOTHING = Fraction.read("0");
  const TOKEN =
    /([0-9]+[ -][0-9]+\/[0-9]+)|([0-9]+\/[0-9]+)|([0-9]+(?:[.,][0-9]+)*|[.,][0-9]+)|([a-z]+|#[0-9]+)|([^ ])/gu;
  const KINDS = ["mixed", "fraction", "figure", "word", "sign"];
  const ABBREVIATED = /(^|[^\p{L}\p{N}_])((?:[a-z]\.){2,})/gu;
  const DASHES = "\u2010\u2011\u2012\u2013\u2014\u2212\ufe63";
  const SLASHES = "\u2044\u2215";

  /** A character as a plain keyboard has it. */
  function spelled(letter) {
    const code = letter.codePointAt(0);
    if (code >= 0xff01 && code < 0xff5f) return String.fromCharCode(code - 0xfee0);
    if (DASHES.includes(letter)) return "-";
    if (SLASHES.includes(letter)) return "/";
    if (code < 0x80) return letter;
    if (/\p{Zs}/u.test(letter)) return " ";
    const apart = letter.normalize("NFKD");
    return apart.includes("\u2044") ? ` ${apart.replace(/\u2044/g, "/")} ` : letter;
  }

  /** Whether a sign only joins: a hyphen, comma or bracket beside a word, a dot after one. */
  function isJoint(sign, before, after) {
    if (sign === ".") return before === "word";
    if (sign === "-") return (before && after === "word") || (before === "word" && after && after !== "sign");
    if (sign === ",") return before === "word" && after === "word";
    return (sign === "(" || sign === ")") && (before === "word" || after === "word");
  }

  /** Figures, words and signs; a sign that joins words, or ends one, is left out. */
  function tokensOf(said) {
    const line = split(folded(letters(said).map(spelled).join(""))).join(" ");
    const dotted = line.replace(ABBREVIATED, (_, before, short) => `${before}${short.replace(/\./g, "")} `);
    const tokens = [...dotted.matchAll(TOKEN)].map((found) => ({
      text: found[0],
      kind: KINDS[found.slice(1).findIndex((part) => part !== undefined)],
    }));
    const kindAt = (at) => (tokens[at] ? tokens[at].kind : "");
    return tokens.filter(
      (token, at) => token.kind !== "sign" || !isJoint(token.text, kindAt(at - 1), kindAt(at + 1)));
  }

  /** Value of a figure; null where it is not one that a person reads in one way. */
  function figureOf({ text, kind }) {
    if (text.length > 12) return null;
    if (kind === "figure") {
      if (text.split(/[.,]/).length > 2 || text.startsWith(",")) return null;
      return Fraction.read(text.replace(",", "."));
    }
    const words = text.replace("-", " ").split(" ");
    const [top, bottom] = words[words.length - 1].split("/").map(BigInt);
    if (!(top > 0n && top < bottom)) return null;
    return new Fraction(top, bottom).plus(words.length > 1 ? Fraction.read(words[0]) : NOTHING);
  }

  /** One number: a figure, a word, one figure and a half, or one half; 1 where there is none. */
  function numberOf(parts) {
    if (!parts.length) return ONE;
    if (parts.some(({ kind }) => !["figure", "number", "and"].includes(kind)) || parts[0].kind === "and") return null;
    if (parts.length === 1) return parts[0].value;
    const [head, second] = parts;
    const last = parts[parts.length - 1];
    if (!last.value.isPart() || !head.value.isWhole()) return null;
    if (parts.length === 3 && second.kind === "and") return head.value.plus(last.value);
    return parts.length === 2 && head.value.against(ONE) === 0 && last.kind === "number" ? last.value : null;
  }

  /** How many of which measure; null where the words do not go together. */
  function amountOf(size) {
    const at = size.findIndex((part) => part.kind.endsWith("-unit"));
    if (at < 0) return null;
    const before = numberOf(size.slice(0, at));
    const after = size.slice(at + 1);
    if (before === null) return null;
    if (!after.length) return [before, size[at]];
    const [and, part] = after;
    if (after.length !== 2 || and.kind !== "and" || !part.value.isPart() || !before.isWhole()) return null;
    return ["number", "figure"].includes(part.kind) ? [before.plus(part.value), size[at]] : null;
  }

  const wrapped = (shown) => `Jar "${shown}"`;

  /** Whether a volume lies outside of what a jar can hold, or is no whole number of steps. */
  function isNoSize(volume, foreign, comma) {
    const [smallest, largest] = foreign ? [SMALLEST_ML, LARGEST_ML] : [SMALLEST_FL_OZ, LARGEST_FL_OZ];
    const within = volume.against(smallest) >= 0 && volume.against(largest) <= 0;
    return !(within || comma) || (!foreign && !volume.times(TWO).isWhole());
  }

  class Sizes {
    /** `rows`: word, jar, kind, amount, withheld; `jars`: id and volume. */
    constructor(rows, jars) {
      this.rows = new Map();
      for (const row of rows) {
        const key = tokensOf(row.word).map((token) => token.text).join("\n");
        if (!this.rows.has(key)) this.rows.set(key, []);
        this.rows.get(key).push(row);
      }
      this.longest = Math.max(1, ...[...this.rows.keys()].map((key) => key.split("\n").length));
      this.jars = [...jars].sort((a, b) => a.volume - b.volume);
    }

    /** What was heard; a text instead says what is wrong, as the end of a sentence. */
    heard(said, shown) {
      const parts = this._parts(said);
      const practice = parts && parts.find((part) => part.kind === "practice");
      if (practice) return { ids: [], said: shown, untested: "", withheld: practice.rows[0].withheld };
      if (!parts || parts.some((part) => part.kind === "unknown")) return "";
      if (parts.some((part) => part.kind === "other")) {
        const reason = "the processes here are for canning jars of glass, closed with two-piece lids";
        return { ids: [], said: shown, untested: `${wrapped(shown)} is not tested: ${reason}.`, withheld: null };
      }
      const size = parts.filter((part) => part.kind !== "filler" && part.kind !== "open");
      if (size.length) return this._sized(size, said, shown, parts.some((part) => part.text === "jars"));
      const open = parts.filter((part) => part.kind === "open").flatMap((part) => part.rows.map((row) => row.jar));
      const ids = this.jars.map((jar) => jar.id).filter((id) => open.includes(id));
      return ids.length ? { ids, said: shown, untested: "", withheld: null } : "";
    }

    _parts(said) {
      const tokens = tokensOf(said);
      const parts = [];
      for (let at = 0; at < tokens.length; ) {
        const found = this._longestAt(tokens, at);
        const part = found || this._part(tokens[at]);
        if (!part) return null;
        parts.push(part);
        at += found ? found.length : 1;
      }
      return parts;
    }

    _longestAt(tokens, at) {
      for (let length = Math.min(this.longest, tokens.length - at); length; length -= 1) {
        const texts = tokens.slice(at, at + length).map((token) => token.text);
        const rows = this.rows.get(texts.join("\n"));
        if (rows) {
          const [{ kind, amount }] = rows;
          return { kind, value: Fraction.read(amount), text: texts.join(" "), rows, length };
        }
      }
      return null;
    }

    _part(token) {
      if (token.text === "and" || token.text === "&") return { kind: "and", value: NOTHING, text: token.text };
      if (token.kind === "word" || token.kind === "sign") return { kind: "unknown", value: NOTHING, text: token.text };
      const value = figureOf(token);
      return value && { kind: "figure", value, text: token.text };
    }

    _sized(size, said, shown, several) {
      const found = amountOf(size);
      if (!found) return "";
      const [amount, unit] = found;
      const volume = amount.times(unit.value);
      const foreign = unit.kind === "other-unit";
      const comma = size.some((part) => part.text.includes(","));
      if (comma && !foreign) return "a comma may stand for a fraction or for thousands";
      if (isNoSize(volume, foreign, comma)) return "no jar has that size";
      const jar = foreign ? null : this.jars.find((one) => volume.against(one.exactly) === 0);
      if (!jar) return { ids: [], said: shown, untested: this._untested(volume, foreign, shown), withheld: null };
      const counted = amount.isWhole() && amount.against(TWO) >= 0 && unit.value.against(COUNTED_FL_OZ) >= 0;
      if (counted && (several || unit.text.endsWith("s")) && !folded(said).includes(`-${unit.text}`)) {
        return `that may be ${amount} jars, or one of ${volume} fluid ounces`;
      }
      return { ids: [jar.id], said: shown, untested: "", withheld: null };
    }

    _untested(volume, foreign, shown) {
      const reason = foreign
        ? "it is not a US jar, and the processes here are for US jars"
        : `no table here has a jar of ${general(volume.toNumber())} fluid ounces`;
      return `${wrapped(shown)} is not tested: ${reason}.`;
    }
  }

  book.Sizes = Sizes;
})((globalThis.stillroomBook = globalThis.stillroomBook || {}));
