/* Which: a question that leaves something open, answered for every meaning at once; never one meaning assumed
   (which.py). */
"use strict";
(function (book) {
  const { height } = book.numbers;
  const SETTLED_FIRST = ["food", "form", "pack", "canner", "jar"];
  const TELLING = [
    "altitude-not-tested", "not-recommended", "jar-not-tested", "pack-not-tested", "canner-not-tested", "method-unsafe",
  ];

  const each = (values) => Array.from(new Set(values));
  const rank = (refusal) => (TELLING.includes(refusal.code) ? TELLING.indexOf(refusal.code) : TELLING.length);

  /** Packs to look at: the one that was said, else those that are tested so, else none named. */
  function packs(shelf, meaning, asked, at) {
    if (asked.pack !== null) return [asked.pack];
    const food = shelf.foods[meaning.food];
    const takes = food.carried.get(at.jar) || at.jar;
    const canner = shelf.cannersById.get(at.canner).takes || at.canner;
    const have = shelf
      .laidOut(food)
      .chart.map((row) => row.at)
      .filter((row) => row.form === at.form && row.canner === canner && (row.jar === at.jar || row.jar === takes))
      .map((row) => row.pack)
      .filter((pack) => meaning.pack === "" || pack === meaning.pack);
    return have.length ? each(have) : [meaning.pack];
  }

  /** Combinations that one meaning of the food may stand for: every form, canner, jar and pack that was left out. */
  function meant(shelf, meaning, asked) {
    const said = book.understanding.formOf(shelf, meaning, asked.form);
    const { chart } = shelf.laidOut(shelf.foods[meaning.food]);
    const forms = said ? [said] : each(chart.map((row) => row.at.form));
    const canners = asked.canners.length ? asked.canners : shelf.canners.map((canner) => canner.id);
    const jars = asked.jars.length ? asked.jars : shelf.jars.map((jar) => jar.id);
    const found = [];
    for (const form of forms) {
      for (const canner of canners) {
        for (const jar of jars) {
          const at = { form, pack: "", jar, canner };
          for (const pack of packs(shelf, meaning, asked, at)) found.push({ meaning, at: { ...at, pack } });
        }
      }
    }
    return found;
  }

  function attempt(lookup, { meaning, at }, asked) {
    const { chart } = lookup.shelf.laidOut(lookup.shelf.foods[meaning.food]);
    const isPackNamed = chart.some((row) => row.at.pack);
    const about = {
      form: asked.form || meaning.form || !at.form ? at.form : null,
      pack: asked.pack !== null || isPackNamed ? asked.pack : "",
      jar: asked.jars.length ? at.jar : null,
      canner: asked.canners.length ? at.canner : null,
    };
    try {
      return { meaning, at, answer: lookup.answer(meaning, at, asked, about), refusal: null };
    } catch (refusal) {
      if (!(refusal instanceof book.Refusal)) throw refusal;
      return { meaning, at, answer: null, refusal };
    }
  }

  /** The first thing that is left open; null where nothing is. */
  function leftOpen(tried, answered, asked) {
    const several = (all, of) => new Set(all.map(of)).size > 1;
    const open = {
      food: several(tried, (one) => one.meaning.food),
      form: several(tried, (one) => `${one.meaning.food}|${one.at.form}`),
      pack: several(answered, (one) => one.at.pack),
      canner: asked.canners.length > 1 || several(answered, (one) => one.at.canner),
      jar: asked.jars.length > 1 || several(answered, (one) => one.at.jar),
    };
    return SETTLED_FIRST.find((what) => open[what]) || null;
  }

  /** Whether nothing was said of it, so that what is not tested is no choice. */
  const isLeftOut = (what, asked) =>
    what === "pack" || (what === "canner" && !asked.canners.length) || (what === "jar" && !asked.jars.length);

  const theOnly = (shelf, what, answer) => ({
    what, said: "", means: shelf.inWords(what, answer.at[what]), how: "only",
  });

  /** Names the pack of an answer where it was left out and no other pack of that food is answered. */
  function withPack(shelf, answer, answers, asked) {
    const other = answers.some((one) => one.food === answer.food && one.at.pack !== answer.at.pack);
    if (asked.pack !== null || !answer.at.pack || other) return answer;
    return { ...answer, understood: [...answer.understood, theOnly(shelf, "pack", answer)] };
  }

  function onlyOne(shelf, answer, asked) {
    const told = withPack(shelf, answer, [answer], asked).understood.slice();
    if (!asked.canners.length) told.push(theOnly(shelf, "canner", answer));
    if (!asked.jars.length) told.push(theOnly(shelf, "jar", answer));
    return { ...answer, understood: told };
  }

  const choices = (shelf, what, tried) =>
    each(tried.map((one) => shelf.inWords(what, what === "food" ? one.meaning.food : one.at[what])));

  function reason(what, { food, feet }) {
    if (what === "food") return "the name stands for several tested foods";
    return `${food.title} at ${height(feet)}, with more than one answer`;
  }

  /** Answer a question that leaves something out. */
  function find(lookup, meanings, asked) {
    const { shelf } = lookup;
    const tried = meanings
      .flatMap((meaning) => meant(shelf, meaning, asked))
      .map((one) => attempt(lookup, one, asked));
    const answered = tried.filter((one) => one.answer !== null);
    if (!answered.length) {
      throw tried.map((one) => one.refusal).reduce((best, one) => (rank(one) < rank(best) ? one : best));
    }
    const answers = answered.map((one) => one.answer);
    const what = leftOpen(tried, answered, asked);
    if (what === null) return onlyOne(shelf, answers[0], asked);
    const named = choices(shelf, what, isLeftOut(what, asked) ? answered : tried);
    const told = answers.map((answer) => withPack(shelf, answer, answers, asked));
    throw new book.SayWhich(what, reason(what, answers[0]), told, named);
  }

  book.which = { find };
})((globalThis.stillroomBook = globalThis.stillroomBook || {}));
