/* Audit amounts held: the acids and headspaces of a row with their verdicts (foreign/auditing.py). */
"use strict";
(function (book) {
  const { audit } = book;
  const { amounts } = audit;
  const { listed, units } = book.numbers;
  const NO_ACID = "No acid is stated, and the food needs it in each jar.";
  const SAYS_NOTHING = ["empty", "none"];

  const inWords = (acids) => listed(acids.map((acid) => `${units(acid.quantity, acid.unit)} of ${acid.acid}`));

  /** Acid that the published options of a row need, by the jar it is printed for. */
  function neededByJar(judged) {
    const options = new Map();
    for (const sample of judged.flatMap((one) => one.samples)) {
      options.set(sample.at.jar, [...(options.get(sample.at.jar) || []), ...sample.options]);
    }
    const byJar = new Map();
    for (const acid of [...options.values()].flatMap(amounts.needed)) {
      const jar = acid.jar || "";
      byJar.set(jar, [...(byJar.get(jar) || []), acid]);
    }
    return byJar;
  }

  class AmountsHeld {
    /** `said`: whether the handout says anything of acid. */
    constructor(grid, every, words, said) {
      Object.assign(this, { _grid: grid, _every: every, _words: words, _said: said, _told: new Set() });
    }

    of(row, claims, judged) {
      const acids = this._acids(row, claims.filter((claim) => claim.kind === "acid"), neededByJar(judged));
      const options = [...this._optionsByJar(judged)];
      const rooms = claims.filter((claim) => claim.kind === "headspace").map((claim) => this._room(claim, options));
      return [...acids, ...rooms.filter((one) => one !== null)];
    }

    _optionsByJar(judged) {
      const byJar = new Map();
      for (const { at, options } of judged.flatMap((one) => one.samples)) {
        byJar.set(at.jar, [...(byJar.get(at.jar) || []), ...options]);
      }
      return [...byJar.values()].flat();
    }

    _text(claim, column) {
      return this._grid.rows[claim.row].cells[column].text;
    }

    _acids(row, claims, byJar) {
      if (!byJar.size) return [];
      const said = [...byJar].map(([jar, acids]) => `${inWords(acids)} in each ${jar} jar`).join("; ");
      const page = [...byJar.values()][0][0].source;
      const filled = claims.filter((claim) => !SAYS_NOTHING.includes(claim.content));
      const found = filled.map((claim) => this._acid(claim, byJar, said, page));
      const [first] = row.named.foods.flat();
      const food = first ? first.food : "";
      if (filled.length || this._told.has(food)) return found;
      const none = { verdict: "missing", stated: "", published: said, why: NO_ACID, page };
      if (claims.length) return [...found, { ...none, column: claims[0].minutesAt }];
      if (this._said) return found;
      this._told.add(food);
      return [...found, { ...none, column: null }];
    }

    _acid(claim, byJar, said, page) {
      const column = claim.minutesAt, text = this._text(claim, column);
      const stated = amounts.acids(text, this._every[column].head, this._words);
      const own = new Map([...byJar].filter(([jar]) => claim.facets.jars.includes(jar)));
      const { verdict, why } = amounts.holdAcid(stated, own.size ? own : byJar, said);
      return { column, verdict, stated: text, published: said, why, page };
    }

    _room(claim, options) {
      const column = claim.minutesAt, text = this._text(claim, column);
      const known = options.find((option) => option.headspace.length);
      if (!known) return null;
      const page = audit.options.paged(known.cited, known.headspace[0].page);
      const isBlank = SAYS_NOTHING.includes(claim.content);
      const stated = isBlank ? null : amounts.headspace(text, this._every[column].unit);
      const { verdict, published, why } = amounts.holdHeadspace(stated, options);
      if (isBlank) return { column, verdict: "missing", stated: "", published, why: "", page };
      return { column, verdict, stated: text, published, why, page };
    }
  }

  audit.AmountsHeld = AmountsHeld;
})((globalThis.stillroomBook = globalThis.stillroomBook || {}));
