/* Audit inline: what Markdown and HTML write within a cell, as the text that a reader of the page sees
   (foreign/inline.py, and html.unescape for the references of characters). */
"use strict";
(function (book) {
  const { audit } = book;
  const { trimmed } = book.letters;
  const W = "\\p{L}\\p{N}_";
  const REFERENCE = /&(#[0-9]+;?|#[xX][0-9a-fA-F]+;?|[^\t\n\f <&#;]{1,32};?)/gu;
  /** Windows-1252 in the places of control characters, as the HTML Living Standard has it. */
  const WESTERN = Array.from(
    "\u20ac\x81\u201a\u0192\u201e\u2026\u2020\u2021\u02c6\u2030\u0160\u2039\u0152\x8d\u017d\x8f" +
    "\x90\u2018\u2019\u201c\u201d\u2022\u2013\u2014\u02dc\u2122\u0161\u203a\u0153\x9d\u017e\u0178");
  const CODE = /(?<!`)(`+)(?!`)([^]*?)(?<!`)\1(?!`)/g;
  const ESCAPED = /\\([!-/:-@[-`{-~])/g;
  const BREAK = /<br\s*\/?>/gi;
  const MARK = /\s*<sup(?![\p{L}\p{N}_])[^>]*>\s*([^<]*?)\s*<\/sup\s*>/giu;
  const FOOTNOTE = /\s*\[\^([^\]\s]{1,40})\]/g;
  const LINK =
    /!?\[([^[\]]*)\]\((?:<[^<>]*>|[^()\s]*)(?:\s+(?:"[^"]*"|'[^']*'))?\s*\)|<(https?:[^<>\s]+)>/g;
  const TAG = /<\/?[a-zA-Z][a-zA-Z0-9-]*(?:\s[^<>]*)?\/?>|<!--.*?-->/g;
  const STRUCK = /<(s|del|strike)(?![\p{L}\p{N}_])[^>]*>([^\n]*?)<\/\1\s*>/giu;
  const EMPHASIS = [3, 2, 1].flatMap((n) => ["*", "_"].map((sign) => new RegExp(
    `(?<![${W}${sign}])[${sign}]{${n}}(?![\\s${sign}])([^${sign}]*?)(?<!\\s)[${sign}]{${n}}(?![${W}${sign}])`, "gu")));
  const SIGNS = /[\\`*_~<&[\ue000\ue001]/;
  const HOLD = /\ue000([0-9]+)\ue001/g;

  function numbered(digits) {
    const code = /^[xX]/.test(digits) ? parseInt(digits.slice(1), 16) : parseInt(digits, 10);
    if (code === 0 || code > 0x10ffff || (code >= 0xd800 && code <= 0xdfff)) return audit.grid.LOST;
    if (code >= 0x80 && code <= 0x9f) return WESTERN[code - 0x80];
    const isNone = (code < 0x20 && ![9, 10, 12, 13].includes(code)) || code === 0x7f ||
      (code >= 0xfdd0 && code <= 0xfdef) || (code & 0xfffe) === 0xfffe;
    return isNone ? "" : String.fromCodePoint(code);
  }

  function referred(whole, said) {
    const names = globalThis.stillroomAuditData.references;
    if (said.startsWith("#")) return numbered(said.slice(1).replace(/;$/, ""));
    if (Object.hasOwn(names, said)) return names[said];
    for (let length = said.length - 1; length > 1; length -= 1) {
      const name = said.slice(0, length);
      if (Object.hasOwn(names, name)) return names[name] + said.slice(length);
    }
    return whole;
  }

  /** A text with the characters that its references stand for. */
  const unescaped = (text) => (text.includes("&") ? text.replace(REFERENCE, referred) : text);

  /** Markdown as plain text; what is struck out stands between two waves. */
  function plain(said) {
    if (!SIGNS.test(said)) return said;
    const held = [];
    const hold = (words) => `\ue000${held.push(words) - 1}\ue001`;
    let text = said.replace(/[\ue000\ue001]/g, audit.grid.LOST);
    text = text.replace(CODE, (_, marks, words) => hold(trimmed(words) || words));
    text = text.replace(ESCAPED, (_, sign) => hold(sign));
    text = text.replace(BREAK, "\n").replace(MARK, " [$1]").replace(FOOTNOTE, " [$1]");
    text = text.replace(LINK, (_, words, address) => (address === undefined ? words : address));
    text = text.replace(STRUCK, "~~$2~~").replace(TAG, "");
    for (const pattern of [...EMPHASIS, ...EMPHASIS]) text = text.replace(pattern, "$1"); // twice: one within another
    return unescaped(text).replace(HOLD, (_, place) => held[Number(place)]);
  }

  /** The words of a cell that is struck out as a whole; null for any other. */
  function struck(text) {
    const inner = text.slice(2, -2);
    const isWhole = text.length > 4 && text.startsWith("~~") && text.endsWith("~~") && !inner.includes("~~");
    return isWhole ? trimmed(inner) || null : null;
  }

  audit.inline = { plain, struck, unescaped };
})((globalThis.stillroomBook = globalThis.stillroomBook || {}));
