/* Likeness: the share of letters that two words have in common in the same order, by the rule of Python's difflib. */
"use strict";
(function (book) {
  /** Places of each letter in a text. */
  function places(text) {
    const found = new Map();
    text.forEach((letter, at) => (found.has(letter) ? found.get(letter).push(at) : found.set(letter, [at])));
    return found;
  }

  /** The longest stretch that two parts have in common, the earliest of several. */
  function longest(a, where, [aLow, aHigh, bLow, bHigh]) {
    let [bestA, bestB, size] = [aLow, bLow, 0];
    let lengths = new Map();
    for (let i = aLow; i < aHigh; i += 1) {
      const next = new Map();
      for (const j of where.get(a[i]) || []) {
        if (j >= bHigh) break;
        if (j >= bLow) {
          const length = (lengths.get(j - 1) || 0) + 1;
          next.set(j, length);
          if (length > size) [bestA, bestB, size] = [i - length + 1, j - length + 1, length];
        }
      }
      lengths = next;
    }
    return [bestA, bestB, size];
  }

  function matched(a, where, [aLow, aHigh, bLow, bHigh]) {
    const [i, j, size] = longest(a, where, [aLow, aHigh, bLow, bHigh]);
    if (!size) return 0;
    return (
      size +
      (aLow < i && bLow < j ? matched(a, where, [aLow, i, bLow, j]) : 0) +
      (i + size < aHigh && j + size < bHigh ? matched(a, where, [i + size, aHigh, j + size, bHigh]) : 0)
    );
  }

  /** A text to be compared: its letters in their order, and sorted, cut when they are first needed. */
  class Cut {
    constructor(text) {
      this.text = text;
      this.size = book.letters.isAscii(text) ? text.length : book.letters.letters(text).length;
    }

    get letters() {
      if (!this._letters) this._letters = book.letters.letters(this.text);
      return this._letters;
    }

    get sorted() {
      if (!this._sorted) this._sorted = [...this.letters].sort();
      return this._sorted;
    }

    /** How many different letters it has. */
    get different() {
      if (!this._different) this._different = new Set(this.letters).size;
      return this._different;
    }
  }

  /** How many letters two sorted texts have in common, each as often as both have it, and how many different ones. */
  function common(a, b) {
    let [same, different, last] = [0, 0, ""];
    for (let i = 0, j = 0; i < a.length && j < b.length; ) {
      if (a[i] === b[j]) {
        if (a[i] !== last) different += 1;
        last = a[i];
        same += 1;
        i += 1;
        j += 1;
      } else if (a[i] < b[j]) i += 1;
      else j += 1;
    }
    return { same, different };
  }

  const share = (same, a, b) => (2 * same) / (a.size + b.size);

  /** Whether the sizes of two texts alone make them too unlike. */
  const isTooLong = (short, long) => short < 0.55 * long || (2 * short) / (short + long) < 0.7;

  /** 0 below seven tenths, and where they begin otherwise below 85 hundredths. */
  function lettered(a, b) {
    if (isTooLong(Math.min(a.size, b.size), Math.max(a.size, b.size))) return 0;
    const { same, different } = common(a.sorted, b.sorted);
    if (different < 0.5 * a.different || share(same, a, b) < 0.7) return 0;
    const ratio = share(matched(a.letters, places(b.letters), [0, a.size, 0, b.size]), a, b);
    return ratio >= (a.letters[0] === b.letters[0] ? 0.7 : 0.85) ? ratio * 0.95 : 0;
  }

  /** Likeness of two words. */
  const ofWords = (wanted, have) => lettered(new Cut(wanted), new Cut(have));

  book.likeness = { Cut, lettered, ofWords };
})((globalThis.stillroomBook = globalThis.stillroomBook || {}));
