/* Words: from what people write for a jar, a canner, a pack and a form to their ids (words.py). */
"use strict";
(function (book) {
  const { folded, letters, plain, shown, spaced, split } = book.letters;
  const { listed } = book.numbers;
  const LONGEST = 80;
  const PACKS = ["hot", "raw"];

  /** A word with a figure stays as it is, for a sign between figures carries meaning. */
  const ownForm = (word) => (/\p{N}/u.test(word) ? spaced(folded(word)) : plain(word));
  const own = (pairs) => new Map(pairs.map(([word, id]) => [ownForm(word), id]));
  const isShort = (said) => typeof said === "string" && letters(said).length <= LONGEST;

  function known(said, words) {
    if (typeof said !== "string") return undefined;
    return words.get(said) || (isShort(said) ? words.get(ownForm(said)) : undefined);
  }

  const heard = (ids, said = "", withheld = null) => ({ ids, said, untested: "", withheld });

  function bad(what, said, accepted, more = "") {
    const quoted = typeof said === "string" ? `"${shown(said)}"` : shown(String(said));
    return new book.BadInput(`${what} ${quoted} is not one of ${listed(accepted)}${more}`);
  }

  function oneOf(what, said, ours, accepted, people) {
    const id = known(said, ours);
    if (id !== undefined) return heard([id]);
    if (isShort(said)) {
      const meant = people.get(plain(said));
      if (meant !== undefined) return heard([meant], shown(spaced(said)));
    }
    throw bad(what, said, accepted);
  }

  class Words {
    /** `shelf`: the tables of words, and jars, canners and forms by id. */
    constructor(shelf) {
      this.shelf = shelf;
      const { jars, canners } = shelf;
      this.jarPairs = jars.flatMap((jar) => [jar.id, jar.title, jar.plural, jar.abbreviation].map((w) => [w, jar.id]));
      this.jars = own(this.jarPairs);
      this.canners = own(canners.flatMap((canner) => [[canner.id, canner.id], [canner.title, canner.id]]));
      this.packs = own(PACKS.flatMap((pack) => [[pack, pack], [`${pack} pack`, pack]]));
      this.sizes = new book.Sizes(shelf.jarWords, jars);
      this.packWords = new Map(shelf.packWords);
      this.fillers = shelf.cannerFillers.map(split).sort((a, b) => b.length - a.length);
      this.cannerWords = this._meaningsOfCanners(shelf.cannerWords);
    }

    _meaningsOfCanners(rows) {
      const means = new Map();
      for (const { word, canner, withheld } of rows) {
        const before = means.has(word) ? means.get(word).ids : [];
        means.set(word, { ids: canner ? [...before, canner] : [], withheld });
      }
      return means;
    }

    jar(said) {
      const id = known(said, this.jars);
      if (id !== undefined) return heard([id]);
      let wrong = "";
      if (isShort(said)) {
        const found = this.sizes.heard(said, shown(spaced(said)));
        if (typeof found !== "string") return this._isOurs(found, said) ? { ...found, said: "" } : found;
        wrong = found && `: ${found}`;
      }
      const ids = this.shelf.jars.map((jar) => jar.id);
      throw bad("jar", said, ids, `${wrong}; write the size of one jar, like "pint" or "12 oz"`);
    }

    _isOurs(found, said) {
      const words = found.ids.length === 1 ? [...this.jars].filter(([, id]) => id === found.ids[0]) : [];
      return words.some(([word]) => plain(said) === plain(word));
    }

    canner(said) {
      const id = known(said, this.canners);
      if (id !== undefined) return heard([id]);
      if (isShort(said)) {
        const means = this.cannerWords.get(this._withoutFillers(plain(said)));
        if (means) return heard(means.ids, shown(spaced(said)), means.withheld);
      }
      throw bad("canner", said, this.shelf.canners.map((canner) => canner.id));
    }

    _withoutFillers(words) {
      const left = split(words);
      const kept = [];
      while (left.length) {
        const filler = this.fillers.find((parts) => parts.every((part, at) => left[at] === part));
        if (filler) left.splice(0, filler.length);
        else kept.push(left.shift());
      }
      return kept.join(" ");
    }

    pack(said) {
      return oneOf("pack", said, this.packs, PACKS, this.packWords);
    }

    form(food, said) {
      const forms = food.forms;
      const ours = own(forms.flatMap((form) => [[form, form], [this.shelf.formTitles.get(form), form]]));
      return oneOf("form", said, ours, forms, new Map(food.formWords));
    }
  }

  Words.LONGEST = LONGEST;
  book.Words = Words;
})((globalThis.stillroomBook = globalThis.stillroomBook || {}));
