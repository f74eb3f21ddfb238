/* Audit page: takes the pasted table, audits it, and shows the verdict, the table with its wrong cells, and the list.
   Whatever is shown is set as text. */
"use strict";
(function () {
  const SIGNS = {
    withheld: "\u2716", untested: "?", weaker: "\u25bc", missing: "\u25cb", unread: "\u2026", stronger: "\u25b2",
  };
  const TITLES = {
    withheld: "Withheld: take these rows out",
    untested: "Untested: nothing is published for it",
    weaker: "Weaker than published: correct before printing",
    missing: "Missing: published, and not stated",
    unread: "Unread: not understood, so not judged",
    stronger: "Stronger: safe, not as published",
  };
  const MOST_SHOWN = 2000; // cells; a larger table is told by its list alone
  const SAFE = /^(?:SAFE|AS PUBLISHED)/;

  const book = globalThis.stillroomBook;
  const { counted, here, sentences, verdict } = book.audit.told;
  const { printable } = book.letters;
  const byId = (id) => document.getElementById(id);

  /** Make an element with text or children. */
  function make(name, content, attributes = {}) {
    const element = document.createElement(name);
    for (const one of [].concat(content)) element.append(typeof one === "string" ? printable(one) : one);
    for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
    return element;
  }

  /** One cell: its sign and text, and what is published small beneath. */
  function cellOf({ text, verdict: kind, published, across, down }) {
    const isShown = Object.hasOwn(SIGNS, kind);
    const parts = isShown ? [make("span", `${SIGNS[kind]} `, { "aria-hidden": "true" })] : [];
    if (isShown) parts.push(make("span", `${kind}: `, { class: "unseen" }));
    text.split("\n").forEach((line, at) => parts.push(...(at ? [make("br", [])] : []), line));
    if (isShown && published) parts.push(make("small", published));
    const made = make("td", parts, isShown ? { class: `found ${kind}` } : {});
    if (across > 1) made.colSpan = across;
    if (down > 1) made.rowSpan = down;
    return made;
  }

  function tableOf(cells, number, several) {
    const rows = new Map();
    for (const cell of cells) {
      if (!rows.has(cell.row)) rows.set(cell.row, make("tr", []));
      rows.get(cell.row).append(cellOf(cell));
    }
    const name = several ? `Table ${number + 1} as it was read` : "The table as it was read";
    const table = make("table", [make("caption", name), make("tbody", [...rows.values()])]);
    return make("div", table, { class: "wide", role: "region", "aria-label": name, tabindex: "0" });
  }

  function tables({ cells }) {
    if (cells.length > MOST_SHOWN) return [];
    const numbers = [...new Set(cells.map((cell) => cell.grid))];
    return numbers.map((grid) => tableOf(cells.filter((cell) => cell.grid === grid), grid, numbers.length > 1));
  }

  function findings(shelf, { findings: all }) {
    return Object.keys(TITLES).flatMap((kind) => {
      const found = all.filter((finding) => finding.verdict === kind);
      if (!found.length) return [];
      const items = found.map((finding) => make("li", here(sentences(shelf, finding).join(" "))));
      return [make("h3", `${SIGNS[kind]} ${TITLES[kind]}`), make("ol", items)];
    });
  }

  function notes({ read_yourself: all }) {
    if (!all.length) return [];
    const items = all.map(({ row, text, warns }) => make("li", [
      `line ${row}: "${text}"`, ...(warns ? [make("strong", ` It names what is withheld. ${warns.text}`)] : []),
    ]));
    return [make("h3", "Read these yourself: no rule can judge them"), make("ul", items)];
  }

  function reading(found) {
    const left = found.left_out.length ? [`left out, as they do not hold there: ${found.left_out.join(", ")}`] : [];
    const items = [...found.reading, ...found.assumed, ...left].map((text) => make("li", text));
    return [make("h3", "How the table was read"), make("ul", items)];
  }

  function shown(found) {
    if (found.kind !== "audit") return [make("h2", "Not read"), make("p", here(found.reason))];
    const shelf = new book.Shelf(globalThis.stillroomData), said = verdict(found);
    return [
      make("h2", said, { class: SAFE.test(said) ? "verdict safe" : "verdict" }),
      make("p", counted(found)),
      ...reading(found),
      ...tables(found),
      ...findings(shelf, found),
      ...notes(found),
      make("p", `Held against ${found.source}. What older publications printed is not told on this page.`,
        { class: "small" }),
    ];
  }

  function audit() {
    const said = { at: byId("at").value.trim(), canner: byId("canner").value };
    const found = globalThis.stillroomAudit(byId("pasted").value, said), area = byId("audited");
    area.className = found.kind === "audit" && found.ok ? "answer" : "answer no";
    area.replaceChildren(...shown(found));
    byId("status").textContent = area.querySelector("h2").textContent;
    area.focus();
  }

  byId("audit-form").hidden = false;
  byId("audit-form").addEventListener("submit", (event) => event.preventDefault());
  byId("audit").addEventListener("click", audit);
  byId("audited").setAttribute("aria-live", "polite");
})();
