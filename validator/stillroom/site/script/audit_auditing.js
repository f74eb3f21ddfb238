/* Audit auditing: a foreign table from its cells to a finished audit. Every cell ends in one class
   (foreign/auditing.py, audit_document.py). */
"use strict";
(function (book) {
  const { audit } = book;
  const { columnsOf } = audit.claims;
  const { under } = audit.facets;
  const { NOTHING, isKnown } = audit.foods;
  const { LONGEST_TITLE, filledCells, kindOf } = audit.layout;
  const { isNote } = audit.titles;
  const { letters, split, trimmed } = book.letters;
  const VERSION = "1.0";
  const WORST_FIRST = ["withheld", "untested", "weaker", "missing", "unread", "stronger"];
  const CLASSES = ["same", "stronger", "unread", "missing", "weaker", "untested", "withheld", "text"];
  /** What the library tells of a handout and a page does not. */
  const WITHOUT = ["sha256", "history"];

  const each = (values) => [...new Set(values)];
  const isSaid = (content) => content === "figure" || content === "words";

  /** Audits foreign tables against one shelf; safe to keep for many. */
  class Auditor {
    constructor(shelf, data) {
      Object.assign(this, { shelf, data });
      this.words = new audit.facets.Vocabulary(shelf, data);
      this.printed = { minutes: new Set(data.minutes), psi: new Set(data.psi) };
      this.judge = new audit.judged.Judge(shelf, this.words.edges, data.heats);
      this.names = new audit.foods.FoodNames(this.words);
      this.warnings = new audit.titles.Warnings(shelf, this.words, data);
    }
  }

  /** The audit of one text. */
  class Auditing {
    constructor(auditor, foreign, given) {
      Object.assign(this, { _auditor: auditor, _foreign: foreign, _given: given, _shelf: auditor.shelf });
      Object.assign(this, { _words: auditor.words, _names: auditor.names, _warnings: auditor.warnings });
      Object.assign(this, { _marks: new audit.Marks(), _leftOut: new Set(), _notes: [], _bare: new Map() });
    }

    audited() {
      const { grids, name } = this._foreign;
      const parts = grids.flatMap((grid, at) => this._parts(at, grid));
      if (!parts.length) throw new book.BadInput(`${name}: there is no table in it`);
      if (!parts.some((part) => part.columns.some((column) => column.role === "value"))) {
        throw new book.BadInput(`${name}: ${this._notUnderstood(parts)}`);
      }
      const found = parts.flatMap((part) => this._findings(part));
      const findings = WORST_FIRST.flatMap((verdict) => found.filter((finding) => finding.verdict === verdict));
      const cells = this._marks.cells(grids, parts, this._bare);
      const counts = Object.fromEntries(CLASSES.map((verdict) => [verdict, 0]));
      for (const cell of cells) counts[cell.verdict] += 1;
      const processes = parts.flatMap((part) => part.rows).reduce((sum, row) => sum + this._judgedIn(row), 0);
      const rows = new Set(parts.flatMap((part) => part.rows.map((row) => `${part.gridAt}|${row.said.row}`)));
      const bad = findings.filter((finding) => finding.verdict !== "stronger").flatMap((finding) => finding.cells);
      const wrong = new Set(bad.map(([grid, row]) => `${grid}|${row}`).filter((key) => rows.has(key)));
      return {
        kind: "audit",
        version: VERSION,
        file: name,
        data_version: this._auditor.data.version,
        source: this._source(),
        ok: processes > 0 && WORST_FIRST.slice(0, -1).every((verdict) => !counts[verdict]),
        reading: parts.flatMap((part) => this._reading(part)),
        assumed: parts.flatMap((part) => part.columns.map((column) => column.assumed)).filter((said) => said),
        processes,
        rows: rows.size,
        rows_wrong: wrong.size,
        counts,
        findings: findings.map(({ cells: places, ...finding }) => finding),
        read_yourself: this._readYourself(),
        not_here: [],
        altitude_ft: this._given.feet,
        left_out: [...this._leftOut],
        cells,
        without: WITHOUT,
      };
    }

    _source() {
      const [, author, title, series, edition] = this._shelf.data.sources.find((source) => !source[5]);
      return [author, title, series, edition].filter((part) => part).join(", ");
    }

    _notUnderstood(parts) {
      const unread = parts.flatMap((part) => part.columns.filter((column) => column.role === "unread"));
      if (!unread.length) {
        return "no column of times or pressures is understood: give the columns heads, or a map with --columns";
      }
      const told = unread.slice(0, 4).map((column) => `"${column.head}": ${column.why}`).join("; ");
      return `its columns are not understood: ${told}. --columns-out writes what was guessed, to be corrected`;
    }

    _judgedIn(row) {
      return row.amounts.length + row.judged.filter(({ verdict }) => verdict !== "text" && verdict !== "unread").length;
    }

    // reading

    _parts(at, grid) {
      const beside = this._foreign.said.filter((said) => said.before === at).map((said) => said.text);
      this._noteBeside(at);
      return new audit.layout.Rows(grid, this._words, this._names).blocks().map((block) => {
        const titled = block.rows.filter(([kind]) => kind === "title");
        const own = titled.map(([, row]) => filledCells(grid.rows[row])[0]);
        const above = [...beside, ...own].filter((text) => !isNote(text, this._words));
        const context = under(this._given.facets, audit.titles.context([...above, grid.name], this._words));
        const title = [...above].reverse().map((text) => this._title(text)).find(isKnown) || NOTHING;
        const part = this._part(at, grid, block, context, title);
        this._noteRows(part);
        return part;
      });
    }

    /** The food that a title names, with the words of heads around it or without. */
    _title(text) {
      if (split(text).length > LONGEST_TITLE) return NOTHING;
      const named = this._names.named(text);
      const left = split(this._words.read(text).left).filter((word) => !/^\p{Nd}+$/u.test(word));
      return named.foods.length ? named : this._names.named(left.join(" "));
    }

    _noteBeside(at) {
      const isLast = at === this._foreign.grids.length - 1;
      for (const { text, before, line } of this._foreign.said) {
        const isHere = before === at || (isLast && before > at);
        if (isHere && (isNote(text, this._words) || before > at || this._warnings.of(text))) {
          this._notes.push({ row: line, text });
        }
      }
    }

    _noteRows(part) {
      const note = (row, text) => this._notes.push({ row: part.grid.rows[row].line, text });
      for (const [kind, row] of part.block.rows) {
        if (!["note", "title", "section"].includes(kind)) continue;
        const [text] = filledCells(part.grid.rows[row]);
        if (kind === "note" || isNote(text, this._words) || this._warnings.of(text)) note(row, text);
      }
      for (const column of part.columns.filter(({ role }) => role === "text")) {
        for (const [kind, row] of part.block.rows) {
          const { text } = part.grid.rows[row].cells[column.at];
          if (kind === "data" && trimmed(text) && this._warnings.of(text)) note(row, text);
        }
      }
    }

    _readYourself() {
      const once = new Map(this._notes.map((note) => [`${note.row}|${note.text}`, note]));
      return [...once.values()].map(({ row, text }) => ({
        row, text: split(text).join(" "), warns: this._warnings.of(text),
      }));
    }

    _part(gridAt, grid, block, context, title) {
      const { printed, judge } = this._auditor;
      const columns = new audit.columns.Columns(grid, block, this._words, this._names, printed, context).understood();
      const claims = new audit.claims.Claims(grid, block, columns, this._words, this._names, context, title);
      const amounts = new audit.AmountsHeld(grid, columns, this._words, this._acidIsSaid());
      const rows = claims.read().map(({ said, claims: every }) => {
        const kept = every.map((claim) => this._here(claim, columns)).filter((claim) => claim !== null);
        const processes = kept.filter(({ kind }) => kind === "process" || kind === "unread");
        const judged = processes.map((claim) => judge.judge(claim));
        return { said, judged, amounts: amounts.of(said, kept, judged) };
      });
      for (const { at } of columns) this._bare.set(`${gridAt}|${at}`, this._isBare(grid, block, at));
      return { gridAt, grid, block, columns, rows };
    }

    _isBare(grid, block, column) {
      const data = block.rows.filter(([kind]) => kind === "data").map(([, row]) => grid.rows[row].cells[column].text);
      const figured = data.filter((text) => kindOf(text, this._words) === "figure");
      return figured.length > 0 && !figured.some((text) => /\p{L}/u.test(text));
    }

    /** A claim at the height that is asked for; null where it does not hold there. */
    _here(claim, columns) {
      const { feet } = this._given, { span } = claim;
      if (feet === null) return claim;
      const isInside = span === null || (audit.spans.isPoint(span) && span.to === feet) ||
        ((span.above === null || feet > span.above) && (span.to === null || feet <= span.to));
      if (isInside) return { ...claim, span: { above: feet, to: feet } };
      for (const at of columnsOf(claim)) {
        if (columns[at].facets.spans.length) this._leftOut.add(columns[at].head);
      }
      return null;
    }

    _acidIsSaid() {
      if (this._acid === undefined) {
        const inside = this._foreign.grids.flatMap((grid) => grid.rows.flatMap(filledCells));
        const texts = [...this._foreign.said.map((said) => said.text), ...inside];
        this._acid = texts.some((text) => letters(text).length > 3 && this._words.read(text).kinds.has("acid"));
      }
      return this._acid;
    }

    // from rows to findings

    _findings(part) {
      const { grid, columns } = part, { judge, data } = this._auditor;
      const about = {
        heads: columns.map((column) => column.head),
        place: (row, column) => [part.gridAt, ...grid.rows[row].cells[column].first],
        line: (row) => grid.rows[row].line,
        text: (row, column) => grid.rows[row].cells[column].text,
        table: grid.name,
      };
      const ask = (food, at, feet) => judge.ask(food, at, feet).options;
      const causes = new audit.found.Causes(this._shelf, ask, data, judge.heats.weighted, about);
      const found = part.rows.flatMap((row, number) => {
        this._marks.row(part, row);
        const isTold = isKnown(row.said.named) ||
          row.judged.some(({ claim }) => claim.foods.length || claim.withheld);
        if (row.said.unknown || !isTold) return this._unknown(part, row, about);
        return causes.of(row, part.rows[number + 1] || null);
      });
      return [...found, ...this._unreadColumns(part, about), ...this._urged(part, about)];
    }

    /** Notes in rows that tell to do what is withheld. */
    _urged(part, about) {
      const { entries } = this._shelf.names.withheld;
      const noted = part.columns.filter(({ role }) => role === "text");
      const data = part.block.rows.filter(([kind]) => kind === "data").map(([, row]) => row);
      return noted.flatMap((column) => data.flatMap((row) => {
        const { text, first } = part.grid.rows[row].cells[column.at];
        const isOwn = first[0] === row && first[1] === column.at;
        const which = isOwn && trimmed(text) ? this._warnings.urged(text) : "";
        if (!which) return [];
        const place = entries.findIndex((entry) => entry.id === which);
        const [reason, instead] = this._auditor.data.withheld[place], entry = entries[place];
        const told = { column: column.head, label: "", why: `${entry.title}: ${reason}` };
        const finding = this._ofCells("withheld", about, [[part.gridAt, row, column.at]], row, text, told);
        return [{ ...finding, page: audit.options.inBrackets(entry.cited), instead: instead || null }];
      }));
    }

    /** A finding of cells that no row is judged by. */
    _ofCells(verdict, about, cells, row, cell, rest) {
      for (const at of cells) this._marks.worse(at, verdict);
      const none = {
        food: null, form: null, pack: null, jar: null, canner: null, altitude_from_ft: null, altitude_to_ft: null,
        stated: "", published: [], page: null,
      };
      const { column, label, why } = rest;
      return {
        verdict, table: about.table, row: about.line(row), column, cell, label, ...none, why,
        looks_like: null, instead: null, history: null, cells,
      };
    }

    _unknown(part, row, about) {
      const claims = row.judged.map(({ claim }) => claim).filter(({ content }) => isSaid(content));
      const places = claims.flatMap((claim) =>
        columnsOf(claim)
          .filter((column) => trimmed(about.text(claim.row, column)))
          .map((column) => about.place(claim.row, column)));
      if (!places.length) return [];
      if (row.said.labelAt !== null && row.said.unknown) places.unshift(about.place(row.said.row, row.said.labelAt));
      const label = split(row.said.unknown).join(" ");
      const why = label ? `"${label}" is no name that is known here.` : "No food is named in this row.";
      const column = each(places.map((at) => about.heads[at[2]])).join(", ");
      const cells = [...new Map(places.map((at) => [at.join("|"), at])).values()];
      const told = { column, label, why: `${why} --names tells what a name of your own means.` };
      return [this._ofCells("unread", about, cells, row.said.row, about.text(places[0][1], places[0][2]), told)];
    }

    _unreadColumns(part, about) {
      return part.columns.filter(({ role }) => role === "unread").flatMap((column) => {
        const data = part.block.rows.filter(([kind]) => kind === "data").map(([, row]) => row);
        const rows = data.filter((row) => trimmed(about.text(row, column.at)));
        if (!rows.length) return [];
        const places = rows.map((row) => about.place(row, column.at));
        const cells = [...new Map(places.map((at) => [at.join("|"), at])).values()];
        const told = { column: column.head, label: "", why: `The column is not read: ${column.why}.` };
        return [this._ofCells("unread", about, cells, rows[0], about.text(rows[0], column.at), told)];
      });
    }

    // how it was read

    _reading(part) {
      const { name } = part.grid;
      const prefix = name && this._foreign.grids.length > 1 ? `${name}: ` : "";
      const groups = new Map();
      for (const column of part.columns) {
        if (column.role === "text" && column.head.startsWith("column ")) continue;
        const { role, kind, facets, why, unit } = column;
        const same = [role, kind, facets.jars, facets.packs, facets.canners, why, unit];
        const key = JSON.stringify(facets.spans.length || facets.pressure !== null ? same : [...same, column.at]);
        groups.set(key, [...(groups.get(key) || []), column]);
      }
      return [...groups.values()].map((group) => prefix + this._told(group));
    }

    _told(group) {
      const [first] = group;
      if (group.length === 1) return `${first.head} -> ${audit.columns.told(first, this._words)}`;
      const bare = { ...first, facets: { ...first.facets, spans: [], pressure: null } };
      const bands = group.filter((column) => column.facets.spans.length).length;
      const heads = group.slice(0, 2).map((column) => column.head).join(" | ") + (group.length > 2 ? " ..." : "");
      const counted = bands ? `, ${book.numbers.units(bands, "band")}` : "";
      return `${heads} -> ${audit.columns.told(bare, this._words)}${counted}`;
    }
  }

  audit.Auditor = Auditor;
  audit.Auditing = Auditing;
})((globalThis.stillroomBook = globalThis.stillroomBook || {}));
