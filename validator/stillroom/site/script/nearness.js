/* Nearness: what comes near to a name that nothing is called by (nearness.py). Suggestions, never answers. */
"use strict";
(function (book) {
  const { letters, plain } = book.letters;
  const { IDLE, stem } = book.stems;
  const { lettered } = book.likeness;
  const MOST = 6;
  const LEAST = { 1: 0.66, 2: 0.75 };
  const PARTLY = 0.6;
  const SAME_LENGTH = 2;
  const SAID = { withheld: "not recommended", "no-process": "no tested process" };

  const words = (text) => text.split(" ").filter((word) => word !== "");
  const size = (word) => letters(word).length;
  const compared = (a, b) => (a < b ? -1 : a > b ? 1 : 0);

  const isSameWord = (wanted, have) =>
    have.startsWith(wanted) || (size(wanted) > 3 && stem(wanted) === stem(have));

  /** 1 the same, 0.98 the same but for number, else by letters in common; 0: not alike. */
  function alike(wanted, have) {
    if (wanted === have) return 1;
    if (stem(wanted) === stem(have)) return 0.98;
    const long = size(wanted);
    if (long > 3 && have.startsWith(wanted)) return 0.9;
    if (long < 4 || have.length < 4 || Math.abs(long - have.length) > SAME_LENGTH) return 0;
    return lettered(wanted, have);
  }

  /** Mean likeness of the words that are wanted, each to a word of its own. */
  function scored(likes, have, wanted) {
    const left = [...have];
    let got = 0;
    for (const scores of likes) {
      let at = 0;
      left.forEach((word, place) => {
        if ((scores.get(word) || 0) > (scores.get(left[at]) || 0)) at = place;
      });
      const score = left.length ? scores.get(left[at]) || 0 : 0;
      if (score) {
        got += score;
        left.splice(at, 1);
      }
    }
    return got / wanted - 0.02 * Math.max(0, have.length - wanted);
  }

  class Nearness {
    /** `foods`: id, title, acidity by number; `named`: food numbers by plain name; `withheld`: a WithheldNames. */
    constructor(foods, named, withheld, fillers) {
      this.foods = foods;
      this.named = this._laid(named);
      this.withheld = this._laid(withheld.exact);
      this.entries = withheld.entries;
      this.silent = new Set([...fillers, ...IDLE, "in", "with", "without"]);
    }

    /** Each name with its words, and all words there are. */
    _laid(named) {
      const vocabulary = new Set();
      const names = [];
      for (const [name, which] of named) {
        const have = words(name);
        have.forEach((word) => vocabulary.add(word));
        names.push({ name, which, have, telling: have.filter((word) => !IDLE.has(word)), joined: have.join("") });
      }
      return { names, vocabulary };
    }

    /** Numbers of foods that have every word, or its beginning, in one of their names, closest names first. */
    holding(said, most = 20) {
      const wanted = words(plain(said));
      const best = new Map();
      for (const { name, which, have } of this.named.names) {
        if (wanted.length && wanted.every((w) => have.some((h) => isSameWord(w, h)))) {
          const rank = [have.length - wanted.length, name.length];
          const before = best.get(which);
          if (!before || rank[0] < before[0] || (rank[0] === before[0] && rank[1] < before[1])) best.set(which, rank);
        }
      }
      const order = ([a, x], [b, y]) => x[0] - y[0] || x[1] - y[1] || compared(this.foods[a].id, this.foods[b].id);
      return [...best].sort(order).slice(0, most).map(([which]) => which);
    }

    /** Titles that come near, best first; what is withheld says so. */
    suggestions(said) {
      const all = words(said);
      const telling = all.filter((word) => !this.silent.has(word));
      const wanted = telling.length ? telling : all;
      const least = LEAST[wanted.length] || PARTLY;
      const near = (laid, ids) => this._ranked(wanted, laid, ids).filter(([, score]) => score >= least);
      const foods = near(this.named, this.foods), withheld = near(this.withheld, this.entries);
      const best = foods.length ? foods[0][1] : 0;
      const like = foods.length ? this.foods[foods[0][0]].acidity : null;
      const found = foods
        .filter(([which, score]) => score >= 0.8 * best && this.foods[which].acidity === like)
        .map(([which, score]) => [score, this.foods[which].title]);
      for (const [which, score] of withheld) {
        const entry = this.entries[which];
        if (score >= best) found.push([score, `${entry.title} (${SAID[entry.code]})`]);
      }
      return found.sort((a, b) => b[0] - a[0]).slice(0, MOST).map(([, title]) => title);
    }

    /** What names stand for, by how near one of its names comes to the words: from 1 down to 0.32. */
    _ranked(wanted, laid, ids) {
      const joined = wanted.join("");
      const likes = wanted.map((word) => {
        const scores = new Map();
        for (const have of laid.vocabulary) {
          const score = alike(word, have);
          if (score) scores.set(have, score);
        }
        return scores;
      });
      const best = new Map();
      for (const entry of laid.names) {
        const score = this._score(entry, likes, joined, wanted.length);
        if (score >= 0.32 && score > (best.get(entry.which) || 0)) best.set(entry.which, score);
      }
      return [...best].sort(([a, x], [b, y]) => y - x || compared(ids[a].id, ids[b].id));
    }

    _score(entry, likes, joined, wanted) {
      if (entry.joined === joined) return 1;
      const score = scored(likes, entry.telling, wanted);
      const slip = wanted < 3 && score < 0.9 && letters(joined)[0] === entry.joined[0];
      return slip ? Math.max(score, lettered(joined, entry.joined)) : score;
    }
  }

  book.Nearness = Nearness;
})((globalThis.stillroomBook = globalThis.stillroomBook || {}));
