/* Names: from the words people use to the food they mean, to what is withheld, or to neither (names.py). */
"use strict";
(function (book) {
  const { letters, first, isAscii, plain, shown, split, trimmed } = book.letters;
  const { IDLE, bag, bagKey, orderKey, ordered } = book.stems;
  const { WAYS } = book.WithheldNames;
  const LONGEST = 120;
  const TURNS = /[,;:()\u2013\u2014]| - /;
  const BRACKET = /\(([^()]*)\)/;
  const BRACKETS = /\(([^()]*)\)/g;

  const NOT_NAMED_LATIN = "\u1d2f\u1d3b\u1d4e\u2132\u214e\u{10780}"; // of the script, but named otherwise

  const isForeign = (letter) =>
    /\p{L}/u.test(letter) && (!/\p{Script=Latin}/u.test(letter) || NOT_NAMED_LATIN.includes(letter));

  /** A plain name turned round at its commas and brackets; blank without any. */
  function turnedRound(name) {
    const parts = name.split(TURNS).map(plain);
    return parts.length > 1 ? parts.reverse().filter((part) => part).join(" ") : "";
  }

  const sameMeaning = (one, other) => one.food === other.food && one.form === other.form && one.pack === other.pack;

  /** Meanings by another form of their names; names that are alike in this form leave the food open. */
  function by(form, exact) {
    const found = new Map();
    for (const [words, meanings] of exact) {
      const key = form(words);
      if (!found.has(key)) found.set(key, []);
      const kept = found.get(key);
      for (const meaning of meanings) if (!kept.some((other) => sameMeaning(other, meaning))) kept.push(meaning);
    }
    return found;
  }

  const NONE = [];

  class Names {
    /** `tested`: gives meanings by plain name; `foods`; `withheld`: a WithheldNames; `fillers`: silent words. */
    constructor(tested, foods, withheld, fillers) {
      Object.assign(this, { _tested: tested, foods, withheld, fillers: new Set(fillers) });
      this.byId = new Map(foods.map((food) => [food.id, food]));
      this.own = new Map();
      foods.forEach((food) => this._enter(food));
    }

    _enter(food) {
      const meaning = { food: food.number, form: "", pack: "", said: "" };
      this.own.set(plain(food.title), meaning);
      if (!food.leftOpen) this.own.set(plain(food.id), meaning);
    }

    // tables of names, made when they are first needed

    /** Meanings by plain name. */
    get exact() {
      if (!this._exact) this._exact = this._tested();
      return this._exact;
    }

    get ordered() {
      if (!this._ordered) this._ordered = by(orderKey, this.exact);
      return this._ordered;
    }

    get bag() {
      if (!this._bag) this._bag = by(bagKey, this.exact);
      return this._bag;
    }

    get nearness() {
      if (!this._nearness) {
        const named = new Map([...this.exact].map(([name, found]) => [name, found[0].food]));
        this._nearness = new book.Nearness(this.foods, named, this.withheld, this.fillers);
      }
      return this._nearness;
    }

    /** The foods a name may mean: one, or each of several where the name leaves it open. */
    meanings(name) {
      const found = this.ifKnown(name);
      if (found.length) return found;
      const readings = Array.from(new Set(this._readings(name, plain(name))));
      throw this._unknown(name, readings[readings.length - 1]);
    }

    /** The same; none where no food is called so. */
    ifKnown(name) {
      if (typeof name !== "string") {
        throw new book.BadInput(`food ${name ?? "None"} is not text: write its name, like "snap beans"`);
      }
      if (letters(name).length > LONGEST) {
        throw new book.BadInput(
          `food "${shown(name)}" is longer than any name: write its name alone, like "snap beans"`);
      }
      const words = plain(name);
      if (!words) throw new book.BadInput(`food "${first(name, 20)}" is empty: write its name, like "snap beans"`);
      if (!isAscii(words) && letters(words).some(isForeign)) {
        throw new book.BadInput(
          `food "${shown(name)}" has letters that are not Latin: write its name, like "snap beans"`);
      }
      const known = this.byId.get(name);
      const own = known ? { food: known.number, form: "", pack: "", said: "" } : this.own.get(words);
      return own ? [own] : this._meant(name, words);
    }

    /** The entry of what is withheld under a name, in any number and order, or with more words around it. */
    withheldUnder(words) {
      const asked = plain(words);
      for (const reading of this._readings(words, asked)) {
        const found = this.withheld.anyWay(reading);
        if (found !== undefined) return found;
      }
      return this._withheldWithin(ordered(asked));
    }

    _meant(name, words) {
      const readings = Array.from(new Set(this._readings(name, words)));
      const turned = TURNS.test(name);
      for (const reading of readings) {
        for (const nth of WAYS) {
          const withheld = this.withheld.way(reading, nth);
          if (withheld !== undefined) throw this.withheld.refused(withheld);
          const tested = this._testedWay(reading, turned, nth);
          if (tested.length) return tested;
        }
      }
      for (const reading of readings) {
        const within = this._withheldWithin(ordered(reading));
        if (within !== undefined) throw this.withheld.refused(within);
      }
      return this._bracketed(name);
    }

    /** A name whose bracket only tells, in words of the same food, what it is. */
    _bracketed(name) {
      const bracket = BRACKET.exec(name);
      const bare = name.replace(BRACKETS, " ");
      const outside = bracket ? plain(bare) : "";
      if (!outside) return NONE;
      const readings = this._readings(bare, outside);
      if (readings.some((words) => this.withheld.anyWay(words) !== undefined)) return NONE;
      const ways = readings.flatMap((words) => WAYS.map((nth) => this._testedWay(words, true, nth)));
      const found = ways.find((way) => way.length) || NONE;
      if (found.length !== 1) return NONE;
      const own = this._wordsOf(found[0].food);
      return [...bag(plain(bracket[1]))].every((word) => own.has(word)) ? found : NONE;
    }

    /** Words of all names of a food, and of the captions of its tables. */
    _wordsOf(food) {
      const words = new Set(this.foods[food].captionWords);
      for (const [name, meanings] of this.exact) {
        if (meanings[0].food === food) bag(name).forEach((word) => words.add(word));
      }
      return words;
    }

    /** Ways to read a name: as it stands, turned round, and without words that say nothing. */
    _readings(name, words) {
      const turned = turnedRound(name);
      const ways = turned ? [words, turned] : [words];
      const told = ways
        .map((way) => split(way).filter((word) => !this.fillers.has(word)))
        .filter((left) => left.length && !left.every((word) => IDLE.has(word)));
      return [...ways, ...told.map((left) => left.join(" "))];
    }

    /** Meanings word for word (0), by stems in order (1), or in any (2): of two words only where a sign turns them. */
    _testedWay(words, turned, nth) {
      if (nth === 0) return this.exact.get(words) || NONE;
      if (nth === 1) return this.ordered.get(orderKey(words)) || NONE;
      return turned || bag(words).size > 2 ? this.bag.get(bagKey(words)) || NONE : NONE;
    }

    /** What is withheld under the longest name of several words within a name; none where a tested one is as long. */
    _withheldWithin(asked) {
      for (let length = asked.length; length > 1; length -= 1) {
        const parts = [];
        for (let at = 0; at + length <= asked.length; at += 1) parts.push(asked.slice(at, at + length).join(" "));
        const found = parts.find((part) => this.withheld.ordered.has(part));
        if (found !== undefined) return this.withheld.ordered.get(found);
        if (parts.some((part) => this.ordered.has(part))) return undefined;
      }
      return undefined;
    }

    _unknown(name, words) {
      const said = shown(trimmed(name));
      const holding = this.nearness.holding(words);
      if (holding.length > 1) {
        const titles = holding.map((food) => this.foods[food].title);
        return new book.UnknownFood(`"${said}" may mean several foods: say which one.`, titles);
      }
      const near = this.nearness.suggestions(words);
      if (near.length) return new book.UnknownFood(`no food is called "${said}"; these names come near.`, near);
      return new book.UnknownFood(`no food is called "${said}"; see stillroom foods.`, []);
    }
  }

  book.Names = Names;
})((globalThis.stillroomBook = globalThis.stillroomBook || {}));
