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

  /** What is laid out before the first question, in steps of a few milliseconds each. */
  const STEPS = [
    ({ names }) => names.exact,
    ({ names }) => names.withheld.ordered,
    ({ names }) => names.withheld.anyhow,
    ({ names }) => names.ordered,
    ({ names }) => names.bag,
    ({ words }) => words.sizes,
    ({ names }) => names.nearness,
    ({ names }) => names.nearness.suggestions("stillroom"),
    ({ foods }) => stillroomAsk({ food: foods[0].title, altitude: "0 ft" }),
  ];
  let done = 0;

  /** Take one step more; true when all are done. For the idle moments of a page. */
  stillroomAsk.prepare = () => {
    if (done < STEPS.length) STEPS[done](laidOut().shelf);
    done = Math.min(done + 1, STEPS.length);
    return done === STEPS.length;
  };

  /**
   * Tell what came of a question as the sheets of the library do: a list of parts, each with its `kind` (`line`,
   * `heading`, `item` or `gap`), its `text` and its `role` (what it is for, like `process`).
   */
  const stillroomTell = (said) => book.told.tell(laidOut().shelf, said);

  Object.assign(globalThis, { stillroomAsk, stillroomTell });
})((globalThis.stillroomBook = globalThis.stillroomBook || {}));
