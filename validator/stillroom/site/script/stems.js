/* Stems: the forms in which names are compared (stems.py): words without their endings, in order or in none. */
"use strict";
(function (book) {
  const IDLE = new Set(
    ["a", "an", "and", "by", "for", "from", "my", "of", "on", "or", "our", "some", "the", "to"],
  );
  const kept = { singular: new Map(), stem: new Map() };
  const MOST_KEPT = 10000;

  function keeping(known, word, made) {
    if (known.has(word)) return known.get(word);
    const value = made(word);
    if (known.size < MOST_KEPT) known.set(word, value);
    return value;
  }

  const withoutS = (word) => (word.length > 3 && word.endsWith("s") && !word.endsWith("ss") ? word.slice(0, -1) : word);

  function inSingular(said) {
    let word = withoutS(said);
    if (word.length > 4) word = word.replace(/e+$/, "");
    return word.length > 2 && word.endsWith("y") ? `${word.slice(0, -1)}i` : word;
  }

  function stemmed(said) {
    const word = withoutS(said);
    return singular(word.length > 4 && word.endsWith("ed") ? word.slice(0, -1) : word);
  }

  const singular = (word) => keeping(kept.singular, word, inSingular);

  /** Brings singular and plural, and puree and pureed, together. */
  const stem = (word) => keeping(kept.stem, word, stemmed);

  const telling = (words) => words.split(" ").filter((word) => word && !IDLE.has(word));

  /** Stems of a plain name in their order, without idle words. */
  const ordered = (words) => telling(words).map(stem);

  /** Words of a plain name in the singular, without idle words, each once, in no order that matters. */
  const bag = (words) => new Set(telling(words).map(singular));

  /** The one key of a list of words, whatever their order and however often each stands in it. */
  const keyOf = (words) => words.sort().filter((word, at) => word !== words[at - 1]).join(" ");

  /** Key of the words of a plain name in the singular. */
  const bagKey = (words) => keyOf(telling(words).map(singular));

  /** Key of the stems of a plain name. */
  const stemsKey = (words) => keyOf(ordered(words));

  /** Stems of a plain name in their order, as one text. */
  const orderKey = (words) => ordered(words).join(" ");

  book.stems = { IDLE, bag, bagKey, orderKey, ordered, stem, stemsKey };
})((globalThis.stillroomBook = globalThis.stillroomBook || {}));
