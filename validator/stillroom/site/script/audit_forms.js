/* Audit forms: a pasted text read as it stands; what it is written in is told by what it holds (foreign/forms.py). */
"use strict";
(function (book) {
  const { audit } = book;
  const { named } = audit.grid;
  const { best, delimited, isCut } = audit.delimited;
  const { shown: fit, trimmed } = book.letters;
  const LARGEST = 50000000, MOST_NAME = 255, LOOKED_AT = 2000;
  const ASK = "save the table as .xlsx or .csv";
  const MARKUP = /<(?:!doctype\s+html|html|table)(?![\p{L}\p{N}_])/iu;
  const TABLE_OR_END = /<(\/?)table(?![\p{L}\p{N}_])[^<>]*>/giu;
  const OFFICE_XML =
    /^\s*<\?xml(?![\p{L}\p{N}_])[^]{0,2000}?<(?:[\p{L}\p{N}_]+:)?(?:Workbook|wordDocument)(?![\p{L}\p{N}_])/u;
  const DELIMITED = [".csv", ".tsv", ".tab", ".psv"], TYPED = [".md", ".markdown", ".txt", ".text", ".rst"];
  const NOTHING = "holds no table: it needs at least two rows with a delimiter, bars or wide gaps between their cells";

  const begins = (text) => audit.trimmedLeft(text)[0] || "";

  /** The ending of a name, its point with it, in small letters. */
  function endingOf(name) {
    const found = /[^/.][^/]*(\.[^./]*)$/.exec(name);
    return found ? found[1].toLowerCase() : "";
  }

  const tsv = (ending) => ending === ".tsv" || ending === ".tab";

  /** Tell rows with delimiters from Markdown and from columns. */
  function isDelimited(text, ending) {
    if (tsv(ending)) return true;
    const lines = text.split("\n").slice(0, LOOKED_AT).filter((line) => trimmed(line));
    if (audit.pipes.tables(lines).length) return false;
    const [delimiter, share] = best(text);
    if (DELIMITED.includes(ending) && share) return true;
    if (delimiter === "|" || !share) return false;
    const wide = lines.filter((line) => /\S {2,}\S/u.test(line)).length / lines.length;
    if (delimiter === "\t") return share >= 0.5 && (wide < 0.5 || share > 0.9);
    return share >= (TYPED.includes(ending) ? 0.9 : 0.6) && wide < 0.5;
  }

  const cut = (text, shown, said = null) => ({ grids: named([delimited(text, shown, said)]), said: [] });

  /** Cut a text before and after each outermost table of HTML. */
  function partsOf(text) {
    const cuts = [];
    let depth = 0;
    for (const tag of text.matchAll(TABLE_OR_END)) {
      if (!tag[1]) {
        depth += 1;
        if (depth === 1) cuts.push([tag.index, false]);
      } else if (depth) {
        depth -= 1;
        if (!depth) cuts.push([tag.index + tag[0].length, true]);
      }
    }
    let at = 0, line = 1;
    return [...cuts, [text.length, depth > 0]].map(([end, isTable]) => {
      const part = { line, text: text.slice(at, end), isTable };
      line += part.text.split(/\r\n|\r|\n/).length - 1;
      at = end;
      return part;
    });
  }

  /** Read Markdown with tables of HTML in it, each part by its own reader. */
  function mixed(text, shown) {
    const grids = [], said = [];
    for (const part of partsOf(text)) {
      const found = (part.isTable ? audit.markup.marked : audit.typed)(part.text, shown, part.line);
      said.push(...found.said.map((words) => ({ ...words, before: words.before + grids.length })));
      grids.push(...found.grids.map((grid) => ({ ...grid, name: "" })));
    }
    return { grids: named(grids), said };
  }

  function byContent(text, shown, ending) {
    if (OFFICE_XML.test(text)) throw new book.BadInput(`${shown}: a document in XML is not read: ${ASK}`);
    const isFirst = begins(text) === "<";
    if (MARKUP.test(text) && (!DELIMITED.includes(ending) || isFirst)) {
      const isPage = [".htm", ".html", ".xhtml"].includes(ending) || isFirst;
      const isMixed = !isPage && audit.pipes.tables(text.split("\n")).length > 0;
      return isMixed ? mixed(text, shown) : audit.markup.marked(text, shown);
    }
    if (isDelimited(text, ending)) return cut(text, shown, tsv(ending) && text.includes("\t") ? "\t" : null);
    const found = audit.typed(text, shown);
    return !found.grids.length && isCut(text) ? cut(text, shown) : found;
  }

  /** Read a text that was pasted: its tables, and what stands beside them. */
  function read(text, name) {
    const shown = fit(name.split("/").pop() || name, MOST_NAME);
    if (text.length > LARGEST) {
      throw new book.BadInput(`${shown}: is larger than the ${LARGEST / 1000000} MB that are read`);
    }
    const plain = text.replace(/^\ufeff/, "").replace(/\ufeff/g, "\u200b"); // unseen too, and no space to a script
    const { grids, said } = byContent(plain, shown, endingOf(name));
    if (!grids.length) {
      throw new book.BadInput(`${shown}: ${/[^\t-\r ]/.test(text) ? NOTHING : "is empty"}`);
    }
    return { name: shown, grids, said };
  }

  audit.forms = { read };
})((globalThis.stillroomBook = globalThis.stillroomBook || {}));
