/* Understanding: what a question says, in ids: one where it is settled, several where it is left open
   (understanding.py). */
"use strict";
(function (book) {
  const { first, shown } = book.letters;
  const { height, listed } = book.numbers;
  const isLeftOut = (said) => said === null || said === undefined;
  const only = (heard) => (heard && heard.ids.length === 1 ? heard.ids[0] : null);

  /** A canner; what people use in place of one is refused. */
  function canner(shelf, said) {
    let heard;
    try {
      heard = shelf.words.canner(said);
    } catch (error) {
      if (!(error instanceof book.BadInput) || typeof said !== "string") throw error;
      const which = shelf.names.withheldUnder(first(said, book.Words.LONGEST));
      if (which === undefined || !shelf.names.withheld.entries[which].isPractice) throw error;
      throw shelf.names.withheld.refused(which);
    }
    if (heard.withheld !== null) throw shelf.names.withheld.refused(heard.withheld);
    return heard;
  }

  function jar(shelf, said) {
    const heard = shelf.words.jar(said);
    if (heard.withheld !== null) throw shelf.names.withheld.refused(heard.withheld);
    return heard;
  }

  function form(shelf, meanings, said) {
    const having = meanings.map((meaning) => shelf.foods[meaning.food]).find((food) => food.forms.length);
    if (typeof said !== "string") throw new book.BadInput(`form ${said} is not text`);
    if (having) return shelf.words.form(having, said);
    const { id } = shelf.foods[meanings[0].food];
    throw new book.BadInput(
      `form "${first(said, 40)}": the publication separates no forms of ${id}; leave the form out`);
  }

  /** Ask for the altitude, which no answer can do without. */
  function noAltitude(shelf, meanings, said) {
    const foods = Array.from(new Set(meanings.map((meaning) => meaning.food)));
    const one = foods.length === 1 ? shelf.foods[foods[0]] : null;
    const named = one ? one.title : `"${shown(said)}" stands for ${foods.length} foods`;
    const shows = one ? `"stillroom table ${one.id}" shows every altitude` : "then each is answered";
    return new book.BadInput(`${named}: say the altitude, like "1650 ft" or "503 m"; ${shows}`);
  }

  function saidBack(shelf, heard, read) {
    const told = Object.entries(heard)
      .filter(([, one]) => one && one.said)
      .map(([what, one]) => {
        const means = listed(one.ids.map((id) => shelf.inWords(what, id)));
        return { what, said: one.said, means, how: "words" };
      });
    if (read.said) {
      const means = read.feet >= 0 ? height(read.feet) : "below sea level, which counts as the lowest band";
      told.push({ what: "altitude", said: read.said, means, how: "words" });
    }
    return told;
  }

  /** All of a question but its food. */
  function read({ shelf, refusing }, said, meanings) {
    const heard = { form: null, pack: null, jar: null, canner: null };
    if (!isLeftOut(said.canner)) heard.canner = canner(shelf, said.canner);
    if (!isLeftOut(said.jar)) heard.jar = jar(shelf, said.jar);
    if (isLeftOut(said.altitude)) throw noAltitude(shelf, meanings, said.food);
    if (!isLeftOut(said.pack)) heard.pack = shelf.words.pack(said.pack);
    if (!isLeftOut(said.form)) heard.form = form(shelf, meanings, said.form);
    const altitude = book.altitude.read(said.altitude);
    if (heard.jar && heard.jar.untested) {
      const about = { form: only(heard.form), pack: only(heard.pack), jar: null, canner: only(heard.canner) };
      throw refusing.untestedWord(shelf.foods[meanings[0].food], heard.jar, about, altitude.feet);
    }
    return {
      jars: heard.jar ? heard.jar.ids : [],
      canners: heard.canner ? heard.canner.ids : [],
      pack: heard.pack ? heard.pack.ids[0] : null,
      form: heard.form ? heard.form.ids[0] : null,
      feet: altitude.feet,
      understood: saidBack(shelf, heard, altitude),
    };
  }

  /** Form of one food that a question settles: said, or implied by the name; blank where neither. */
  function formOf(shelf, meaning, said) {
    if (said === null || !meaning.form || said === meaning.form) return said || meaning.form;
    const [asked, named] = [said, meaning.form].map((id) => shelf.inWords("form", id));
    throw new book.BadInput(`form "${asked}" contradicts the name, which says ${named}`);
  }

  book.understanding = { formOf, read };
})((globalThis.stillroomBook = globalThis.stillroomBook || {}));
