/* Ask: one question in people's words, answered like the library from the data of the page. */
"use strict";
(function (book) {
  let lookup = null;

  /** Everything is laid out when it is first asked for. */
  function laidOut() {
    if (lookup === null) lookup = new book.Lookup(new book.Shelf(globalThis.stillroomData));
    return lookup;
  }

  /**
   * Ask: `food`, `pack`, `jar`, `canner`, `altitude` and `form` as text; null or missing: left out.
   *
   * Gives a plain object: `kind` is `answer`, `refusal` or `say-which`, in the shape of schema/answer.json, or
   * `bad-input` with its `reason`. Never throws for what a person writes.
   */
  function stillroomAsk(said) {
    const { shelf } = laidOut();
    try {
      return book.answered.answer(shelf, lookup.find(said));
    } catch (outcome) {
      return book.answered.otherwise(shelf, outcome);
    }
  }

  /** Lay out names and words before the first question, in an idle moment of the page. */
  stillroomAsk.ready = () => {
    const { shelf } = laidOut();
    return Boolean(shelf.names.nearness && shelf.words);
  };

  globalThis.stillroomAsk = stillroomAsk;
})((globalThis.stillroomBook = globalThis.stillroomBook || {}));
