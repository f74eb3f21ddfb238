/* Audit facets: what a head, a title, a section or a label says of its cells: pack, jar, canner, altitude, pressure,
   kind (foreign/facets.py). The words are data. */
"use strict";
(function (book) {
  const { audit } = book;
  const { NUMBER, WORD, figure, folded, nearestWhole, ofWhole } = audit;
  const { Pressure } = audit.figures;
  const { folded: caseless, plain, split } = book.letters;
  const NOT_IN = `(?<![\\p{L}\\p{N}_.,/])`;
  const PRESSURE = new RegExp(
    `${NOT_IN}(${NUMBER})[ -]?(psig|psi|lbs?(?!${WORD})\\.?|pounds?|#|kpa)(?:[ -](?:of )?pressure)?(?!${WORD})`, "gu");
  const WEIGHT = /(?<![0-9.,])([0-9]{1,2})[ -]?(?:psi|lbs?|pounds?)[ -]weight/;
  const TOKEN = /[0-9]+(?:[./,][0-9]+)*|[a-z]+|[^\sa-z0-9]/gu;
  const SIZES = new Set([
    "pint", "pints", "pt", "pts", "qt", "qts", "quart", "quarts", "gallon", "gallons", "gal", "oz", "ounce", "ounces",
    "ml", "l", "liter", "liters",
  ]);
  const LONGEST_JAR = 6;
  const JOINTS = new Set(["or", "and", "&", "/", ",", "-", "(", ")", ":", ";", ".", "'", '"', "+", "|", "=", "%"]);
  const BEGINS_NO_JAR = new Set(["or", "and", "&", ",", "-"]);
  const SILENT = new Set(["-", "/", ".", "'", "(", ")", ","]);
  const ENDS_NOTHING = new Set(["-", "/", "(", ","]);

  const once = (values) => [...new Set(values)];

  const NONE = Object.freeze({
    packs: [], jars: [], canners: [], jarWords: [], practices: [], spans: [], pressure: null, kinds: new Set(),
    left: "", named: "",
  });

  /** Whether a text says anything of pack, jar, canner, altitude or pressure. */
  const says = (facets) =>
    ["packs", "jars", "canners", "jarWords", "practices", "spans"].some((what) => facets[what].length > 0) ||
    facets.pressure !== null;

  /** Whether there are words in which a food may be named. */
  const names = (facets) =>
    split(facets.named).some((word) => !book.stems.IDLE.has(word) && !JOINTS.has(word));

  class Vocabulary {
    /** `shelf`, and what the data of the audit have of words in heads and of altitude bands. */
    constructor(shelf, data) {
      this.shelf = shelf;
      this.edges = [...new Set(data.bands.map(([, , to]) => to).filter((to) => to))].sort((a, b) => a - b);
      this.read = audit.keeping((text) => this._facets(folded(text).replace(/\n/g, " ")));
      this._heardJar = audit.keeping((words) => this._jarOf(words));
      this._lexicon = this._means(data.headWords);
      this._longest = Math.max(...[...this._lexicon.keys()].map((word) => split(word).length));
      this.boiled = this._boiled(data);
    }

    /** The sets of altitude bands that are printed for boiling water. */
    _boiled(data) {
      const sets = new Map();
      for (const [set, from, to] of data.bands) {
        if (!data.boiled.includes(set)) continue;
        if (!sets.has(set)) sets.set(set, new Set());
        sets.get(set).add(audit.spans.spanKey({ above: from ? from - 1 : null, to }));
      }
      return [...sets.values()];
    }

    /** Whether altitudes are one and the same, in other units. */
    agree(said) {
      const keys = said.filter((one) => one.unit).map((one) => this.spanKey(one, one.unit));
      return new Set(keys).size < 2;
    }

    spanKey(one, unit) {
      return audit.spans.spanKey(audit.spans.inFeet(one, unit, this.edges));
    }

    _facets(text) {
      const [said, rest] = audit.spans.found(text);
      let words = caseless(rest), pressure = null;
      const hits = [...words.matchAll(PRESSURE)].filter((hit) => hit[1].length <= audit.LONGEST_FIGURE);
      const weight = WEIGHT.exec(words);
      if (weight) pressure = new Pressure(ofWhole(weight[1]));
      else if (hits.length) {
        const values = hits.map((hit) => new Pressure(figure(hit[1]), hit[2] === "kpa"));
        const whole = values.length > 1 ? ofWhole(nearestWhole(values[0].psi())) : null;
        if (values.length === 1 || values.every((one) => one.isPsi(whole))) {
          [pressure] = values;
          words = words.replace(PRESSURE, " ");
        }
      }
      return this._words(words, said, pressure);
    }

    _words(text, spans, pressure) {
      const tokens = text.match(TOKEN) || [];
      const found = { pack: [], jar: [], canner: [], open: [], jarWord: [], practice: [] };
      const kinds = new Set(), left = [], named = [];
      const counted = () => Object.values(found).reduce((sum, list) => sum + list.length, 0);
      for (let at = 0; at < tokens.length; ) {
        const before = counted();
        let taken = this._jar(tokens, at, found) || this._known(tokens, at, found, kinds);
        if (!taken) {
          if (!JOINTS.has(tokens[at])) left.push(tokens[at]);
          taken = 1;
        }
        if (counted() === before) named.push(...tokens.slice(at, at + taken));
        at += taken;
      }
      return {
        packs: once(found.pack),
        jars: once(found.jar),
        canners: once(found.canner.length ? found.canner : found.open),
        jarWords: once(found.jarWord),
        practices: once(found.practice),
        spans,
        pressure,
        kinds,
        left: left.join(" "),
        named: named.join(" "),
      };
    }

    /** Read a size of jar that begins here, the longest there is; how many tokens it takes. */
    _jar(tokens, at, found) {
      for (let length = Math.min(LONGEST_JAR, tokens.length - at); length > 0; length -= 1) {
        const window = tokens.slice(at, at + length);
        const last = window[length - 1];
        if (!window.some((one) => SIZES.has(one)) || JOINTS.has(last) || BEGINS_NO_JAR.has(window[0])) continue;
        const heard = this._heardJar(window.join(" "));
        if (heard !== null) {
          found.jar.push(...heard.ids);
          if (heard.word) found.jarWord.push(heard.word);
          return length;
        }
      }
      return 0;
    }

    _jarOf(words) {
      try {
        const { ids } = this.shelf.words.jar(words);
        return { ids, word: ids.length ? "" : words };
      } catch (outcome) {
        if (outcome instanceof book.BadInput) return null;
        throw outcome;
      }
    }

    /** Read a word for a pack, a canner or a kind that begins here; how many tokens it takes. */
    _known(tokens, at, found, kinds) {
      if (JOINTS.has(tokens[at]) && tokens[at] !== "or" && tokens[at] !== "and") return 0;
      for (let length = Math.min(this._longest, tokens.length - at); length > 0; length -= 1) {
        const window = tokens.slice(at, at + length).filter((token) => !SILENT.has(token));
        if (!window.length || ENDS_NOTHING.has(tokens[at + length - 1])) continue;
        const means = this._lexicon.get(window.join(" "));
        if (means === undefined) continue;
        const isOpen = means.filter(([what]) => what === "canner").length > 1;
        for (const [what, which] of means) {
          if (what === "kind") kinds.add(which);
          else found[what === "canner" && isOpen ? "open" : what].push(which);
        }
        return length;
      }
      return 0;
    }

    _means(headWords) {
      const means = new Map(headWords.map(([word, kind]) => [word, kind === "idle" ? [] : [["kind", kind]]]));
      const packs = [...this.shelf.data.packWords];
      for (const pack of ["hot", "raw"]) packs.push([pack, pack], [`${pack} pack`, pack], [`${pack} packed`, pack]);
      for (const [word, pack] of packs) if (!means.has(word)) means.set(word, [["pack", pack]]);
      for (const [word, canner, which] of this.shelf.data.cannerWords) {
        if (means.has(word) && !canner) continue;
        const before = (means.get(word) || []).filter(([what]) => what === "canner");
        const entry = which < 0 ? "" : this.shelf.data.withheld[which][0];
        means.set(word, [...before, canner ? ["canner", canner] : ["practice", entry]]);
      }
      for (const { id, title } of this.shelf.canners) {
        for (const word of [plain(id), plain(title)]) means.set(word, [["canner", id]]);
      }
      return means;
    }
  }

  /** Canners of an inner text, within those of the outer where they meet. */
  function narrowed(outer, inner) {
    if (!inner.length) return outer;
    const both = inner.filter((canner) => outer.includes(canner));
    return both.length ? both : inner;
  }

  const either = (one, other) => (one.length ? one : other);

  /** What holds for something inner that stands under something outer. */
  const under = (outer, inner) => ({
    packs: either(inner.packs, outer.packs),
    jars: either(inner.jars, inner.jarWords.length ? [] : outer.jars),
    canners: narrowed(outer.canners, inner.canners),
    jarWords: either(inner.jarWords, inner.jars.length ? [] : outer.jarWords),
    practices: [...outer.practices, ...inner.practices],
    spans: either(inner.spans, outer.spans),
    pressure: inner.pressure || outer.pressure,
    kinds: new Set([...outer.kinds, ...inner.kinds]),
    left: book.letters.trimmed(`${outer.left} ${inner.left}`),
    named: book.letters.trimmed(`${outer.named} ${inner.named}`),
  });

  audit.facets = { NONE, Vocabulary, names, says, under };
})((globalThis.stillroomBook = globalThis.stillroomBook || {}));
