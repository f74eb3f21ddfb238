/* Nearness: what comes near to a name that nothing is called by (nearness.py). Suggestions, never answers. */
"use strict";
(function (book) {
  const { letters, plain } = book.letters;
  const { IDLE, stem } = book.stems;
  const { Cut, lettered } = book.likeness;
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

  /** A word cut for comparing, with its stem. */
  class Word extends Cut {
    get stem() {
      if (!this._stem) this._stem = stem(this.text);
      return this._stem;
    }
  }

  /** 1 the same, 0.98 the same but for number, else by letters in common; 0: not alike. */
  function alike(wanted, have) {
    if (wanted.text === have.text) return 1;
    if (wanted.stem === have.stem) return 0.98;
    if (wanted.size > 3 && have.text.startsWith(wanted.text)) return 0.9;
    const apart = Math.abs(wanted.size - have.size);
    return wanted.size < 4 || have.size < 4 || apart > SAME_LENGTH ? 0 : lettered(wanted, have);
  }

  /** Place of the word that is most like; the first of several. */
  function likest(scores, words) {
    let best = 0;
    for (let at = 1; at < words.length; at += 1) {
      if ((scores.get(words[at]) || 0) > (scores.get(words[best]) || 0)) best = at;
    }
    return best;
  }

  /** Mean likeness of the words that are wanted, each to a word of its own. */
  function scored(likes, have) {
    const left = [...have];
    let got = 0;
    for (const scores of likes) {
      const at = likest(scores, left);
      const score = scores.get(left[at]) || 0;
      if (score) {
        got += score;
        left.splice(at, 1);
      }
    }
    return got / likes.length - 0.02 * Math.max(0, have.length - likes.length);
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
        const telling = have.filter((word) => !IDLE.has(word));
        names.push({ name, which, have, telling, joined: new Cut(have.join("")) });
      }
      return { names, vocabulary: [...vocabulary].map((word) => new Word(word)) };
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
      const whole = new Cut(joined);
      const likes = wanted.map((said) => new Word(said)).map((word) => {
        const scores = new Map();
        for (const have of laid.vocabulary) {
          const score = alike(word, have);
          if (score) scores.set(have.text, score);
        }
        return scores;
      });
      const liked = new Set(likes.flatMap((scores) => [...scores.keys()]));
      const best = new Map();
      for (const entry of laid.names) {
        const score = this._score(entry, likes, liked, whole);
        if (score >= 0.32 && score > (best.get(entry.which) || 0)) best.set(entry.which, score);
      }
      return [...best].sort(([a, x], [b, y]) => y - x || compared(ids[a].id, ids[b].id));
    }

    _score(entry, likes, liked, whole) {
      if (entry.joined.text === whole.text) return 1;
      const wanted = likes.length;
      const isLike = entry.telling.some((word) => liked.has(word));
      const score = isLike ? scored(likes, entry.telling) : 0;
      const slip = wanted < 3 && score < 0.9 && entry.joined.text.startsWith(whole.letters[0]);
      return slip ? Math.max(score, lettered(whole, entry.joined)) : score;
    }
  }

  book.Nearness = Nearness;
})((globalThis.stillroomBook = globalThis.stillroomBook || {}));
