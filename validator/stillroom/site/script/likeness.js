/* Likeness: the share of letters that two words have in common in the same order, as difflib.SequenceMatcher gives it. */
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

  const share = (same, a, b) => (2 * same) / (a.length + b.length);

  /** The most that two words can have in common, by their letters in any order. */
  function most(a, b) {
    const left = new Map();
    for (const letter of b) left.set(letter, (left.get(letter) || 0) + 1);
    let same = 0;
    for (const letter of a) {
      const count = left.get(letter) || 0;
      if (count > 0) same += 1;
      left.set(letter, count - 1);
    }
    return share(same, a, b);
  }

  function tooUnlike(a, b) {
    const long = Math.max(a.length, b.length);
    if (Math.min(a.length, b.length) < 0.55 * long) return true;
    const letters = new Set(a), others = new Set(b);
    let common = 0;
    for (const letter of letters) common += others.has(letter) ? 1 : 0;
    if (common < 0.5 * letters.size) return true;
    return share(Math.min(a.length, b.length), a, b) < 0.7 || most(a, b) < 0.7;
  }

  /** 0 below seven tenths, and where they begin otherwise below 85 hundredths. */
  function lettered(wanted, have) {
    const a = book.letters.letters(wanted), b = book.letters.letters(have);
    if (tooUnlike(a, b)) return 0;
    const ratio = share(matched(a, places(b), [0, a.length, 0, b.length]), a, b);
    return ratio >= (a[0] === b[0] ? 0.7 : 0.85) ? ratio * 0.95 : 0;
  }

  book.likeness = { lettered };
})((globalThis.stillroomBook = globalThis.stillroomBook || {}));
