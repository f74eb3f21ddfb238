/* Outcomes: what a question may come to besides an answer: bad input, a refusal, or several answers. */
"use strict";
(function (book) {
  /** A question that cannot be understood. */
  class BadInput extends Error {
    constructor(message) {
      super(book.letters.printable(message));
    }
  }

  /**
   * Nobody has tested it, or a publication says not to do it. `near` ranks what is tested, and `earlier` says what a
   * superseded leaflet gave, when they are asked for.
   */
  class Refusal extends Error {
    constructor(code, reason, cited = null, near = () => [], earlier = () => null) {
      super(book.letters.printable(reason));
      Object.assign(this, { code, cited, near, earlier, suggestions: [] });
    }
  }

  /** No food, or more than one, goes by that name. */
  class UnknownFood extends Refusal {
    constructor(reason, suggestions) {
      super("unknown-food", reason);
      this.suggestions = suggestions;
    }
  }

  /** Something was left open: every meaning with its answer. */
  class SayWhich extends Error {
    constructor(what, reason, answers, choices) {
      super(book.letters.printable(reason));
      Object.assign(this, { what, answers, choices });
    }
  }

  Object.assign(book, { BadInput, Refusal, UnknownFood, SayWhich });
})((globalThis.stillroomBook = globalThis.stillroomBook || {}));
