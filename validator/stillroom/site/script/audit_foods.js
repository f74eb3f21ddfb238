/* Audit foods: which food a label names, by the names that are known here and by nothing that only looks like one
   (foreign/foods_named.py). */
"use strict";
(function (book) {
  const { audit } = book;
  const { names, says } = audit.facets;
  const { letters, plain, trimmed } = book.letters;
  const LONGEST = 120;
  const PARTS = /[,;:()[\]\n]| - /;
  const SEVERAL = /\s+(?:or|and)\s+|\s*[&/;,]\s*/;
  const BRACKETS = /\([^()]*\)/g;
  const NOTHING = Object.freeze({ foods: [], withheld: "" });

  const isKnown = (named) => named.foods.length > 0 || named.withheld !== "";
  const same = (one, other) => JSON.stringify(one) === JSON.stringify(other);
  const partsOf = (text) => text.split(PARTS).map(trimmed).filter((part) => part);

  class FoodNames {
    /** `words`: a Vocabulary. */
    constructor(words) {
      this._words = words;
      this.named = audit.keeping((label) => this._look(audit.folded(label)));
      this._one = audit.keeping((name) => this._known(name));
    }

    _look(text) {
      const found = this._whole(text);
      if (isKnown(found)) return this._withForm(found, text);
      const formed = this._formed(text);
      if (isKnown(formed)) return formed;
      const parts = this._words.read(text).named.split(SEVERAL).filter((part) => trimmed(part));
      if (parts.length > 1 && parts.length <= 8) {
        const each = parts.map(this._one);
        if (each.every((one) => one.foods.length)) return { foods: each.flatMap((one) => one.foods), withheld: "" };
      }
      return NOTHING;
    }

    /** A label that names one food, with or without its words of pack, jar or canner. */
    _whole(text) {
      for (const reading of new Set(this._readings(text))) {
        const found = this._one(reading);
        if (isKnown(found)) return found;
      }
      return NOTHING;
    }

    /** What is named, narrowed to the form that a part of the label names. */
    _withForm(found, text) {
      let named = found;
      for (const part of text.split(PARTS).slice(1).map(trimmed)) {
        if (part && named.foods.some((food) => food.some((meaning) => meaning.form === ""))) {
          named = this.inForm(named, part);
        }
      }
      return named;
    }

    /** A food with a part that names one of its forms. */
    _formed(text) {
      const parts = partsOf(text);
      for (let at = 1; at < parts.length; at += 1) {
        const named = this._whole([...parts.slice(0, at), ...parts.slice(at + 1)].join(", "));
        const formed = this.inForm(named, parts[at]);
        if (isKnown(formed) && !same(formed, named)) return formed;
      }
      return NOTHING;
    }

    /** What is named, narrowed to the form that words name; as it was where they name none of its forms. */
    inForm(named, words) {
      return { ...named, foods: named.foods.map((meanings) => meanings.map((one) => this._formOf(one, words))) };
    }

    _formOf(meaning, words) {
      const { shelf } = this._words;
      try {
        return { ...meaning, form: shelf.words.form(shelf.foods[meaning.food], words).ids[0] };
      } catch (outcome) {
        if (outcome instanceof book.BadInput) return meaning;
        throw outcome;
      }
    }

    /** A label as it stands, without its parts that tell of pack, jar or canner, and without such words. */
    _readings(text) {
      const facets = this._words.read(text);
      if (!names(facets)) return [];
      const kept = partsOf(text).filter((part) => this._namesSomething(part));
      const without = text.replace(BRACKETS, " ");
      return [text, kept.join(", "), facets.named, ...(without === text ? [] : this._bracketed(text, without))];
    }

    _namesSomething(part) {
      const facets = this._words.read(part);
      return names(facets) || !says(facets);
    }

    /** A name without its bracket, where the bracket says nothing but pack, jar, canner or altitude. */
    _bracketed(text, without) {
      const inside = (text.match(BRACKETS) || []).map((part) => part.slice(1, -1)).join(" ");
      return this._namesSomething(inside) ? [] : [without, this._words.read(without).named];
    }

    _known(name) {
      const length = letters(name).length;
      if (!(length > 0 && length <= LONGEST)) return NOTHING;
      const known = this._words.shelf.names;
      try {
        const found = known.ifKnown(name);
        return found.length ? { foods: [found], withheld: "" } : NOTHING;
      } catch (outcome) {
        if (outcome instanceof book.BadInput) return NOTHING;
        if (!(outcome instanceof book.Refusal)) throw outcome;
        const entry = known.withheldUnder(name);
        return entry === undefined ? NOTHING : { foods: [], withheld: known.withheld.entries[entry].id };
      }
    }
  }

  audit.foods = { FoodNames, NOTHING, isKnown };
})((globalThis.stillroomBook = globalThis.stillroomBook || {}));
