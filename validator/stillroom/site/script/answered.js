/* Answered: answers, refusals and several answers as plain documents (schema/answer.json, documents.py). */
"use strict";
(function (book) {
  /** Lay out an answer. */
  function answer(shelf, found) {
    const { meaning, food, at, feet } = found;
    return {
      kind: "answer",
      version: shelf.data.version,
      food: food.id,
      asked: meaning.said || null,
      title: food.title,
      form: at.form || null,
      pack: at.pack || null,
      jar: at.jar,
      canner: at.canner,
      altitude_ft: feet,
      follows: shelf.stated(food.follows, feet),
      options: found.places.map((place) => shelf.option(place, feet)),
      understood: found.understood,
    };
  }

  /** Lay out a refusal. */
  function refusal(shelf, { code, message, cited, suggestions, near, earlier }) {
    return {
      kind: "refusal",
      version: shelf.data.version,
      code,
      reason: message,
      source: cited,
      suggestions: [...suggestions],
      tested: near(),
      earlier: earlier(),
    };
  }

  /** Lay out every answer to a question that leaves something open. */
  function sayWhich(shelf, { what, message, choices, answers }) {
    return {
      kind: "say-which",
      version: shelf.data.version,
      what,
      reason: message,
      choices: [...choices],
      answers: answers.map((found) => answer(shelf, found)),
    };
  }

  /** Lay out what came of a question besides an answer; what is no outcome of ours is thrown on. */
  function otherwise(shelf, outcome) {
    if (outcome instanceof book.SayWhich) return sayWhich(shelf, outcome);
    if (outcome instanceof book.Refusal) return refusal(shelf, outcome);
    if (outcome instanceof book.BadInput) return { kind: "bad-input", reason: outcome.message };
    throw outcome;
  }

  book.answered = { answer, otherwise };
})((globalThis.stillroomBook = globalThis.stillroomBook || {}));
