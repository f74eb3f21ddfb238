/* Withheld names: the names of what must not be canned, in the forms in which names are compared (withheld_names.py). */
"use strict";
(function (book) {
  const { bagKey, ordered } = book.stems;

  class WithheldNames {
    /** `named`: entry numbers by plain name; `entries`: id, title, code, kind, reason and citation of each. */
    constructor(named, entries) {
      this.exact = named;
      this.entries = entries;
      this.ordered = new Map();
      this.anyhow = new Map();
      for (const [words, which] of named) this._enter(ordered(words), which);
    }

    _enter(stems, which) {
      const key = stems.join(" ");
      if (this.ordered.has(key)) return;
      this.ordered.set(key, which);
      const anyhow = bagKey(stems);
      if (!this.anyhow.has(anyhow)) this.anyhow.set(anyhow, which);
    }

    /** Entries a plain name has word for word, by stems in order, and by stems in any order. */
    ways(words) {
      const key = ordered(words);
      return [this.exact.get(words), this.ordered.get(key.join(" ")), this.anyhow.get(bagKey(key))];
    }

    /** The refusal of an entry, with what the publication says. */
    refused(which) {
      const entry = this.entries[which];
      return new book.Refusal(entry.code, entry.reason, entry.cited);
    }
  }

  book.WithheldNames = WithheldNames;
})((globalThis.stillroomBook = globalThis.stillroomBook || {}));
