/* Lookup: one question, one answer from the table of answers, or a refusal that says why (lookup.py).
   Nothing is interpolated, extrapolated, averaged or guessed. */
"use strict";
(function (book) {
  class Lookup {
    constructor(shelf) {
      this.shelf = shelf;
      this.refusing = new book.Refusing(shelf);
    }

    find(said) {
      const meanings = this.shelf.names.meanings(said.food);
      const asked = book.understanding.read(this, said, meanings);
      if (meanings.length === 1 && asked.jars.length === 1 && asked.canners.length === 1) {
        const food = this.shelf.foods[meanings[0].food];
        const form = book.understanding.formOf(this.shelf, meanings[0], asked.form);
        const { chart } = this.shelf.laidOut(food);
        const isFormSettled = form || !chart.some((row) => row.at.form);
        if (isFormSettled && (asked.pack !== null || !chart.some((row) => row.at.pack))) {
          const at = { form, pack: asked.pack || "", jar: asked.jars[0], canner: asked.canners[0] };
          return this.answer(meanings[0], at, asked, null);
        }
      }
      return book.which.find(this, meanings, asked);
    }

    /** The answer for one food, one combination and one altitude; throws a refusal where nothing fits. */
    answer(meaning, at, asked, about) {
      const food = this.shelf.foods[meaning.food];
      if (meaning.pack && at.pack && at.pack !== meaning.pack) {
        throw this.refusing.otherKind(food, meaning, at, asked.feet);
      }
      const places = this.options(food, at, asked.feet, about);
      return { meaning, food, at, feet: asked.feet, places, understood: asked.understood };
    }

    /** Places of the options of one combination at one altitude; throws a refusal where nothing fits. */
    options(food, at, feet, about = null) {
      const row = this.shelf.row(food, at);
      if (!row) throw this.refusing.untested(food, at, feet, about);
      const band = book.bandAt(row, feet);
      const held = band ? band.held : row.beyond;
      if (!Array.isArray(held)) throw this.refusing.ofBand(held, food, at, feet);
      return held;
    }
  }

  book.Lookup = Lookup;
})((globalThis.stillroomBook = globalThis.stillroomBook || {}));
