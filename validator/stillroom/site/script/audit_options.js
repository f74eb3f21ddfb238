/* Audit options: what an audit needs of a published option, and how pages are named beside it. */
"use strict";
(function (book) {
  const { audit } = book;
  const kept = new WeakMap();

  function made(shelf, place) {
    const [minutes, psi, from, to, cited, notRecommended, facts] = shelf.data.options[place];
    const [, headspace, , , rule, , acid] = shelf.data.facts[facts];
    return {
      minutes, psi, from, to, notRecommended,
      cited: shelf.citation(cited),
      headspace: headspace.map(([inches, , page]) => ({ inches, page })),
      isByRule: rule >= 0,
      acid: acid.map((one) => shelf.acid(one)),
    };
  }

  /** The option at a place of the data. */
  function of(shelf, place) {
    if (!kept.has(shelf)) kept.set(shelf, new Map());
    const known = kept.get(shelf);
    if (!known.has(place)) known.set(place, made(shelf, place));
    return known.get(place);
  }

  /** A publication with another page of it. */
  function paged(cited, page) {
    const { author, title, series, edition } = cited;
    const cite = [author, title, series, edition, book.pageNamed(page)].filter((part) => part).join(", ");
    return { ...cited, page, cite };
  }

  /** The page as it is cited inside a sentence; null without a citation. */
  const inBrackets = (cited) =>
    cited ? [cited.short, book.pageNamed(cited.page)].filter((part) => part).join(", ") : null;

  /** A published process in words. */
  const inWords = ({ minutes, psi }) => `${minutes} min` + (psi === null ? "" : ` at ${psi} psi`);

  audit.options = { inBrackets, inWords, of, paged };
})((globalThis.stillroomBook = globalThis.stillroomBook || {}));
