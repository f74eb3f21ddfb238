/* Audit titles: what the lines above a table say for all of it, and which lines are notes to be read by a person
   (foreign/titles.py). */
"use strict";
(function (book) {
  const { audit } = book;
  const { NONE, under } = audit.facets;
  const { LONGEST_TITLE, endsSentence } = audit.layout;
  const { plain, split } = book.letters;
  const { ordered } = book.stems;
  const LONGEST_PRACTICE = 5, SHORT = 8, LEFT = 4;
  const AGAINST = [
    "never", "not", "no", "don", "dont", "avoid", "unsafe", "cannot", "dangerous", "instead", "without", "nor", "stop",
  ];
  const OF_COLUMNS = ["food", "jar", "pack", "group", "note", "page"];

  /** Whether a line above a table is no title: marked like a footnote, long, or a sentence of other things. */
  function isNote(text, words) {
    const isSentence = endsSentence(text) && split(words.read(text).left).length > LEFT;
    return isSentence || audit.marked(text) || split(text).length > LONGEST_TITLE;
  }

  /** What titles say of canner, altitude and units; of pack and jar only a short one. */
  function context(titles, words) {
    let out = NONE;
    for (const text of titles) {
      let facets = words.read(text);
      if (split(text).length > SHORT) facets = { ...facets, packs: [], jars: [], jarWords: [] };
      if (!words.agree(facets.spans)) facets = { ...facets, spans: [] };
      out = under(out, { ...facets, left: "", named: "", practices: [] });
    }
    return { ...out, kinds: new Set([...out.kinds].filter((kind) => !OF_COLUMNS.includes(kind))) };
  }

  /** Finds what is withheld in the words of notes. */
  class Warnings {
    constructor(shelf, words, data) {
      Object.assign(this, { _shelf: shelf, _words: words, _data: data });
      const { withheld } = shelf.names;
      this._names = new Map();
      for (const [name, which] of withheld.exact) {
        if (withheld.entries[which].isPractice) this._names.set(ordered(name).join(" "), withheld.entries[which].id);
      }
      this.of = audit.keeping((text) => this._of(text));
    }

    /** Id of a withheld practice that a text names without a word against it; blank where it names none. */
    urged(text) {
      const { practices } = this._words.read(text);
      const which = practices.length ? practices[0] : this._named(text);
      const entry = this._shelf.names.withheld.entries.find((one) => one.id === which);
      const isAgainst = split(plain(audit.folded(text))).some((word) => AGAINST.includes(word));
      return entry && entry.code === "withheld" && !isAgainst ? which : "";
    }

    _of(text) {
      const { practices, canners } = this._words.read(text);
      const which = practices.length ? practices[0] : this._named(text);
      if (which) {
        const place = this._shelf.names.withheld.entries.findIndex((entry) => entry.id === which);
        const entry = this._shelf.names.withheld.entries[place];
        const text = `${entry.title}: ${this._data.withheld[place][0]}`;
        return { text, page: entry.cited.page, source: entry.cited };
      }
      return canners.includes("steam") ? this._data.steam : null;
    }

    _named(text) {
      const asked = ordered(plain(audit.folded(text)));
      for (let length = Math.min(LONGEST_PRACTICE, asked.length); length > 0; length -= 1) {
        for (let at = 0; at + length <= asked.length; at += 1) {
          const which = this._names.get(asked.slice(at, at + length).join(" "));
          if (which) return which;
        }
      }
      return "";
    }
  }

  audit.titles = { Warnings, context, isNote };
})((globalThis.stillroomBook = globalThis.stillroomBook || {}));
