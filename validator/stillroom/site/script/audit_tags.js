/* Audit tags: the tags and words of HTML in their order, as the HTML reader of the library tells them (html.parser);
   comments, declarations and what is never shown are left out (foreign/markup.py). */
"use strict";
(function (book) {
  const { audit } = book;
  const { unescaped } = audit.inline;
  const QUIET =
    /<!|<\?|<(?=(script|style|template|noscript|svg|math|title|textarea|iframe)[\s/>])/gi;
  const NAME = /([a-zA-Z][^\t\n\r\f />\0]*)(?:\s|\/(?!>))*/y;
  const ATTRIBUTE =
    /((?<=['"\s/])[^\s/>][^\s/=>]*)(\s*=+\s*('[^']*'|"[^"]*"|(?!['"])[^>\s]*))?(?:\s|\/(?!>))*/y;
  const START = new RegExp(
    "<[a-zA-Z][^\\t\\n\\r\\f />\\0]*(?:[\\s/]*(?:(?<=['\"\\s/])[^\\s/>][^\\s/=>]*" +
    "(?:\\s*=+\\s*(?:'[^']*'|\"[^\"]*\"|(?!['\"])[^>\\s]*)\\s*)?(?:\\s|/(?!>))*)*)?\\s*", "y");
  const END_TAG = /<\/\s*([a-zA-Z][-.a-zA-Z0-9:_]*)\s*>/y;

  function matchAt(pattern, text, at) {
    pattern.lastIndex = at;
    return pattern.exec(text);
  }

  const breaksIn = (text) => text.split("\n").length - 1;

  /** Where what is quiet ends; less than 0 where it never does. */
  function endOf(text, found) {
    const begin = found.index;
    if (found[1]) {
      const closing = new RegExp(`</${found[1]}\\s*>`, "gi");
      const hit = matchAt(closing, text, begin + found[0].length);
      return hit ? hit.index + hit[0].length : -1;
    }
    if (text.startsWith("<!--", begin)) {
      const end = text.indexOf("-->", begin + 2);
      return end >= 0 ? end + 3 : -1;
    }
    return text.indexOf(">", begin) + 1 || -1;
  }

  /** Leave out comments, declarations and what is never shown; each line stays where it is. */
  function loud(text, shown, firstLine) {
    const parts = [];
    let at = 0;
    for (let found = matchAt(QUIET, text, 0); found; found = matchAt(QUIET, text, at)) {
      parts.push(text.slice(at, found.index));
      const end = endOf(text, found);
      if (end < 0) {
        const line = breaksIn(text.slice(0, found.index)) + firstLine;
        const what = found[1] || "a comment";
        throw new book.BadInput(`${shown}:${line}: ${what} is opened here and never closed: close it`);
      }
      parts.push("\n".repeat(breaksIn(text.slice(found.index, end))));
      at = end;
    }
    const last = Math.max(at, text.lastIndexOf(">") + 1);
    parts.push(text.slice(at, last), text.slice(last).replace(/</g, "&lt;"));
    return parts.join("");
  }

  /** Tells a listener the tags and words of a text: `line`, `start(tag, about)`, `end(tag)`, `words(text)`. */
  class Tags {
    constructor(text, listener) {
      Object.assign(this, { _text: text, _listener: listener, _at: 0, _line: 1 });
    }

    tell() {
      const text = this._text;
      while (this._at < text.length) {
        const next = text.indexOf("<", this._at);
        const until = next < 0 ? text.length : next;
        if (this._at < until) this._words(until);
        if (this._at < text.length) this._tag();
      }
    }

    _move(to) {
      this._line += breaksIn(this._text.slice(this._at, to));
      this._at = to;
    }

    _words(until) {
      this._listener.line = this._line;
      this._listener.words(unescaped(this._text.slice(this._at, until)));
      this._move(until);
    }

    _tag() {
      const text = this._text, at = this._at;
      this._listener.line = this._line;
      let end = at + 1;
      if (/[a-zA-Z]/.test(text[at + 1] || "")) end = this._start();
      else if (text.startsWith("</", at)) end = this._end();
      else this._listener.words("<");
      if (end >= 0) return this._move(end);
      const close = text.indexOf(">", at + 1), open = text.indexOf("<", at + 1);
      return this._words(close >= 0 ? close + 1 : open >= 0 ? open : at + 1);
    }

    /** Where a start tag ends; less than 0 where it does not. */
    _whole() {
      const text = this._text, found = matchAt(START, text, this._at);
      const end = this._at + found[0].length, next = text[end] || "";
      if (next === ">") return end + 1;
      if (next === "/") return text.startsWith("/>", end) ? end + 2 : -1;
      return next === "" || /[a-zA-Z=]/.test(next) ? -1 : end;
    }

    _start() {
      const text = this._text, end = this._whole();
      if (end < 0) return end;
      const named = matchAt(NAME, text, this._at + 1), about = new Map();
      let at = this._at + 1 + named[0].length;
      while (at < end) {
        const found = matchAt(ATTRIBUTE, text, at);
        if (!found) break;
        const [whole, name, rest, value] = found, key = name.toLowerCase();
        const isQuoted = value && value.length > 1 && /^(['"])[^]*\1$/.test(value);
        const said = rest ? unescaped(isQuoted ? value.slice(1, -1) : value) : "";
        if (!about.has(key)) about.set(key, said);
        at += whole.length;
      }
      const rest = book.letters.trimmed(text.slice(at, end));
      if (rest !== ">" && rest !== "/>") this._listener.words(text.slice(this._at, end));
      else this._listener.start(named[1].toLowerCase(), about);
      return end;
    }

    _end() {
      const text = this._text, at = this._at;
      if (text.indexOf(">", at + 1) < 0) return -1;
      const exact = matchAt(END_TAG, text, at);
      if (exact) {
        this._listener.end(exact[1].toLowerCase());
        return at + exact[0].length;
      }
      const named = matchAt(NAME, text, at + 2);
      if (!named) return text.startsWith("</>", at) ? at + 3 : text.indexOf(">", at + 2) + 1 || -1;
      this._listener.end(named[1].toLowerCase());
      return text.indexOf(">", at + 2 + named[0].length) + 1;
    }
  }

  audit.tags = { Tags, loud };
})((globalThis.stillroomBook = globalThis.stillroomBook || {}));
