/* Withheld names: the names of what must not be canned, in the forms in which they are compared (withheld_names.py). */
"use strict";
(function (book) {
  const { orderKey, stemsKey } = book.stems;
  const WAYS = [0, 1, 2];

  class WithheldNames {
    /** `named`: gives entry numbers by plain name; `entries`: id, title, code, kind, reason and citation of each. */
    constructor(named, entries) {
      this._named = named;
      this.entries = entries;
    }

    /** Entry numbers by plain name. */
    get exact() {
      if (!this._exact) this._exact = this._named();
      return this._exact;
    }

    /** Entry numbers by stems in their order. */
    get ordered() {
      if (!this._ordered) {
        this._ordered = new Map();
        for (const [words, which] of this.exact) {
          const key = orderKey(words);
          if (!this._ordered.has(key)) this._ordered.set(key, which);
        }
      }
      return this._ordered;
    }

    /** Entry numbers by stems in any order. */
    get anyhow() {
      if (!this._anyhow) {
        this._anyhow = new Map();
        for (const [words, which] of this.exact) {
          const key = stemsKey(words);
          if (!this._anyhow.has(key)) this._anyhow.set(key, which);
        }
      }
      return this._anyhow;
    }

    /** The entry of a plain name word for word (0), by stems in order (1), or by stems in any order (2). */
    way(words, nth) {
      if (nth === 0) return this.exact.get(words);
      return nth === 1 ? this.ordered.get(orderKey(words)) : this.anyhow.get(stemsKey(words));
    }

    /** The entry of a plain name by the first way that finds one. */
    anyWay(words) {
      return WAYS.map((nth) => this.way(words, nth)).find((which) => which !== undefined);
    }

    /** The refusal of an entry, with what the publication says. */
    refused(which) {
      const entry = this.entries[which];
      return new book.Refusal(entry.code, entry.reason, entry.cited, undefined, () => entry.earlier);
    }
  }

  WithheldNames.WAYS = WAYS;
  book.WithheldNames = WithheldNames;
})((globalThis.stillroomBook = globalThis.stillroomBook || {}));
