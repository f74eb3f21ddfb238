/* Audit: a table that somebody pasted, held against what is published, cell by cell, from the data of the page. */
"use strict";
(function (book) {
  const { audit } = book;
  const NAME = "pasted table";
  let auditor = null;

  /** Everything is laid out when it is first needed. */
  function laidOut() {
    if (auditor === null) {
      const shelf = new book.Shelf(globalThis.stillroomData);
      auditor = new audit.Auditor(shelf, globalThis.stillroomAuditData);
    }
    return auditor;
  }

  const isLeftOut = (said) => said === undefined || said === null || said === "";

  /** Ids of a canner, pack or jar that a person names beside the table; a refusal where nothing was tested in it. */
  function idsOf(shelf, what, said) {
    if (isLeftOut(said)) return [];
    const heard = shelf.words[what](said);
    if (heard.ids.length) return heard.ids;
    if (heard.untested) throw new book.Refusal("jar-not-tested", heard.untested);
    throw shelf.names.withheld.refused(heard.withheld);
  }

  function givenOf(shelf, { at, canner, pack, jar }) {
    const facets = {
      ...audit.facets.NONE,
      canners: idsOf(shelf, "canner", canner),
      packs: idsOf(shelf, "pack", pack),
      jars: idsOf(shelf, "jar", jar),
    };
    return { feet: isLeftOut(at) ? null : book.altitude.read(at).feet, facets };
  }

  /**
   * Audit a pasted text: rows from a spreadsheet, CSV, Markdown, columns of text, or HTML. Beside it `at` (a height
   * for which alone it is judged), `canner`, `pack` and `jar` (where the table names none) and `name`, each text or
   * left out.
   *
   * Gives a plain object in the shape of schema/audit.json, with three differences: `cells` has every cell with its
   * place, class, published value and what it must say; `without` names what is not told here: the hash of the bytes,
   * which is left out, and what an older publication printed (`history`), which is always null. Where nothing can be
   * read `kind` is `bad-input`, and `refusal` where a canner or jar beside it is not tested, each with its `reason`.
   * Never throws for what a person pastes.
   */
  function stillroomAudit(text, said = {}) {
    const { shelf } = laidOut();
    try {
      const foreign = audit.forms.read(text, isLeftOut(said.name) ? NAME : said.name);
      return new audit.Auditing(auditor, foreign, givenOf(shelf, said)).audited();
    } catch (outcome) {
      return book.answered.otherwise(shelf, outcome);
    }
  }

  globalThis.stillroomAudit = stillroomAudit;
})((globalThis.stillroomBook = globalThis.stillroomBook || {}));
