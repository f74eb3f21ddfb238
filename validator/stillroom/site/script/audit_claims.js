/* Audit claims: what each row of a foreign table says: this food, so packed, in this jar and canner, here, so long, so
   hot (foreign/claims.py). What cannot be read is a claim too, with the reason; nothing is judged here. */
"use strict";
(function (book) {
  const { audit } = book;
  const { NONE, names, says, under } = audit.facets;
  const { NOTHING, isKnown } = audit.foods;
  const { Pressure, MOST_MINUTES } = audit.figures;
  const { filledCells, kindOf } = audit.layout;
  const { inFeet, said: saidOf, spanKey } = audit.spans;
  const { listed } = book.numbers;
  const { trimmed } = book.letters;

  /** Columns that a claim was read from. */
  const columnsOf = (claim) => [...new Set([claim.minutesAt, claim.pressureAt].filter((at) => at !== null))];

  /** Whether a claim says anything of a process, if only a part of one. */
  const states = (claim) =>
    claim.content === "figure" || claim.content === "words" ||
    claim.processes.some((process) => process.minutes !== null || process.pressure !== null);

  const apart = (one, other) => one.length && other.length && !one.some((each) => other.includes(each));

  /** Time and pressure of one option, by what the column holds; null where they do not fit it. */
  function processOf(one, column, over) {
    const bare = [...one.bare], isHeat = column.kind === "pressure";
    let { minutes, pressure } = one;
    if (isHeat) {
      if (pressure === null && bare.length === 1) pressure = new Pressure(bare.pop(), column.unit === "kpa");
    } else if (minutes === null && bare.length) {
      minutes = bare.shift();
      if (column.unit === "hours") minutes = minutes.times(audit.ofWhole(60));
    }
    if (pressure === null && bare.length === 1 && !isHeat) pressure = new Pressure(bare.pop());
    if (bare.length || (column.kind === "minutes" && minutes === null) || (isHeat && pressure === null)) return null;
    if (pressure === null && minutes !== null && !isHeat) pressure = over;
    if (minutes !== null && !(minutes.top > 0n && minutes.against(MOST_MINUTES) <= 0)) return null;
    return { minutes, pressure };
  }

  /** What a row and the head of a column say against each other, as the end of a sentence. */
  function contradicts(row, column) {
    for (const [what, one, other] of [
      ["jar", row.jars, column.jars], ["pack", row.packs, column.packs], ["canner", row.canners, column.canners],
    ]) {
      if (apart(one, other)) return `the row says ${what} ${listed(one, "and")}, its column ${listed(other, "and")}`;
    }
    return "";
  }

  /** Whether a time and a pressure of one row are of one process. */
  function together(time, heat) {
    if (["packs", "jars", "canners"].some((what) => apart(time.facets[what], heat.facets[what]))) return false;
    return time.span === null || heat.span === null || spanKey(time.span) === spanKey(heat.span);
  }

  /** How far a pressure stands behind a time; one before it is farther than any behind. */
  function distance(time, heat) {
    const apart = columnsOf(heat)[0] - columnsOf(time)[0];
    return apart > 0 ? apart : 1000000 - apart;
  }

  /** Of pressures that are for the same row, jar, canner and altitude, the one that stands next after a time. */
  function nearestOf(time, heats) {
    const kept = new Map();
    for (const heat of heats) {
      const { packs, jars, canners } = heat.facets;
      const key = JSON.stringify([packs, jars, canners, heat.span && spanKey(heat.span)]);
      if (!kept.has(key) || distance(time, heat) < distance(time, kept.get(key))) kept.set(key, heat);
    }
    return [...kept.values()];
  }

  const both = (one, other) =>
    one.length && other.length ? one.filter((each) => other.includes(each)) : one.length ? one : other;

  function pair(time, heat) {
    const facets = under(time.facets, heat.facets);
    for (const what of ["packs", "jars", "canners"]) facets[what] = both(time.facets[what], heat.facets[what]);
    const contents = [time.content, heat.content], none = [{ minutes: null, pressure: null }];
    const times = time.processes.length ? time.processes : none, heats = heat.processes.length ? heat.processes : none;
    return {
      ...heat,
      facets,
      span: heat.span !== null ? heat.span : time.span,
      content: ["refused", "empty", "none"].find((one) => contents.includes(one)) || "figure",
      processes: times.flatMap(({ minutes }) => heats.map(({ pressure }) => ({ minutes, pressure }))),
      minutesAt: time.minutesAt,
      disagree: time.disagree || heat.disagree,
    };
  }

  class Claims {
    /** `context` and `title`: what titles say for all rows, and the food that one names. */
    constructor(grid, block, every, words, foodNames, context, title) {
      Object.assign(this, { _grid: grid, _block: block, _columns: every, _words: words, _names: foodNames });
      Object.assign(this, { _context: context, _title: title, _section: NONE, _sectionFood: null });
      this._labels = every.filter((column) => column.role === "label");
      this._values = every.filter((column) => column.role === "value");
      this._above = new Map();
    }

    /** The rows in their order, each with its claims. */
    read() {
      const found = [];
      for (const [kind, at] of this._block.rows) {
        if (kind === "section") this._begin(filledCells(this._grid.rows[at])[0]);
        else if (kind === "data") {
          const said = this._said(at);
          found.push({ said, claims: this._claims(said) });
        }
      }
      return found;
    }

    _text(row, column) {
      return this._grid.rows[row].cells[column].text;
    }

    // sections and labels

    /** Begin a section: what it says holds for the rows below, until another says otherwise. */
    _begin(text) {
      const facets = this._words.read(text), named = this._names.named(text);
      if (says(facets) && !names(facets)) {
        let outer = this._section;
        if (facets.canners.length || facets.practices.length) {
          outer = NONE;
          this._sectionFood = null;
        }
        this._section = under(outer, facets);
        return;
      }
      const { packs, jars, canners, jarWords, practices, spans, pressure } = facets;
      const lasting = canners.length ? canners : this._section.canners;
      this._section = { ...NONE, packs, jars, canners: lasting, jarWords, practices, spans, pressure };
      const isGroup = facets.kinds.has("group") && !facets.left;
      this._sectionFood = isGroup && !isKnown(named) ? null : { text, named };
      this._above = new Map();
    }

    _said(row) {
      let named = NOTHING, labelAt = null, label = "", unknown = "", facets = NONE, span = null;
      const forms = [];
      for (const { column, text } of this._labelTexts(row)) {
        const read = this._words.read(text);
        if (column.kind === "form") {
          forms.push(text);
          continue;
        }
        const found = names(read) ? this._names.named(text) : NOTHING;
        if (isKnown(found) && !isKnown(named)) [named, labelAt, label] = [found, column.at, text];
        else if (names(read) && !isKnown(found) && column.kind === "food" && !unknown) {
          unknown = text;
          if (labelAt === null) labelAt = column.at;
        }
        facets = under(facets, { ...read, spans: [] });
        span = this._labelSpan(column, read, text) || span;
      }
      span = this._fromTo(row) || span;
      if (!isKnown(named) && !unknown && this._sectionFood !== null) {
        ({ text: label, named } = this._sectionFood);
        unknown = isKnown(named) ? "" : label;
      }
      if (!isKnown(named) && !unknown && isKnown(this._title)) named = this._title;
      for (const text of forms) named = this._names.inForm(named, text);
      return { row, named, labelAt, label, facets, span, unknown };
    }

    /** Labels of a row; leading blank ones are those of the row above. */
    _labelTexts(row) {
      const found = [];
      let leading = true;
      for (const column of this._labels) {
        const text = trimmed(this._text(row, column.at));
        if (text) {
          if (leading && column.kind === "food") this._above = new Map();
          this._above.set(column.at, text);
          leading = false;
          found.push({ column, text });
        } else if (leading && this._above.has(column.at)) {
          found.push({ column, text: this._above.get(column.at) });
        }
      }
      return found;
    }

    _labelSpan(column, read, text) {
      const { edges } = this._words;
      if (read.spans.length) {
        const unit = read.spans[0].unit || column.unit;
        return unit ? inFeet(read.spans[0], unit, edges) : null;
      }
      const value = column.kind === "altitude" ? audit.number(audit.folded(text)) : null;
      if (value === null || !column.unit) return null;
      return inFeet(saidOf(value, value, column.unit, true, text), column.unit, edges);
    }

    _fromTo(row) {
      let low = null, high = null, unit = "";
      for (const column of this._columns) {
        if (column.role !== "from" && column.role !== "to") continue;
        const value = audit.number(audit.folded(this._text(row, column.at)));
        unit = column.unit || unit;
        if (column.role === "from") low = value;
        else high = value;
      }
      if ((low === null && high === null) || !unit) return null;
      return inFeet(saidOf(low, high, unit, false, ""), unit, this._words.edges);
    }

    // values

    _claims(said) {
      const pieces = this._values.map((column) => this._piece(said, column)).filter((piece) => piece !== null);
      const times = pieces.filter((piece) => this._isOnly(piece, "minutes"));
      const heats = pieces.filter((piece) => this._isOnly(piece, "pressure"));
      const keyOf = (piece) => columnsOf(piece).join("|");
      const paired = new Set(), found = [];
      for (const time of times) {
        const beside = nearestOf(time, heats.filter((heat) => together(time, heat)));
        for (const heat of beside) {
          paired.add(keyOf(heat));
          found.push(pair(time, heat));
        }
        const isFigure = (heat) => heat.content === "figure";
        if (beside.length && (time.content !== "figure" || beside.some(isFigure))) paired.add(keyOf(time));
      }
      return [...found, ...pieces.filter((piece) => !paired.has(keyOf(piece)))];
    }

    /** Whether a piece is of a column of times alone, or of pressures alone, and says no more itself. */
    _isOnly(piece, kind) {
      const at = columnsOf(piece);
      if (piece.kind !== "process" || at.length !== 1 || this._columns[at[0]].kind !== kind) return false;
      if (kind === "pressure") return piece.processes.every((one) => one.minutes === null);
      return !audit.columns.areBoiled(piece.facets.canners) && piece.processes.every((one) => one.pressure === null);
    }

    /** Claim of one cell alone; null where it says nothing of its own. */
    _piece(said, column) {
      const cell = this._grid.rows[said.row].cells[column.at];
      if (cell.first[1] !== column.at && cell.first[0] === said.row) return null; // its first column speaks
      const facets = under(under(this._context, this._section), under(said.facets, column.facets));
      const named = isKnown(said.named) || said.unknown ? said.named : column.named;
      const content = kindOf(cell.text, this._words);
      const claim = {
        row: said.row,
        kind: "process",
        content: "",
        foods: named.foods,
        withheld: named.withheld,
        facets,
        span: this._span(column) || said.span || this._outerSpan(),
        processes: [],
        minutesAt: column.kind === "pressure" ? null : column.at,
        pressureAt: column.kind === "pressure" || column.kind === "process" ? column.at : null,
        why: "",
        disagree: false,
      };
      if (column.kind === "acid" || column.kind === "headspace") {
        return { ...claim, kind: column.kind, content, minutesAt: column.at, pressureAt: null };
      }
      const against = contradicts(said.facets, column.facets);
      if (against && content !== "figure") return null; // the cell is not for this row
      if (against) return { ...claim, kind: "unread", content, why: against };
      if (content === "words") return this._ofWords(claim, cell.text);
      if (content !== "figure") return { ...claim, content };
      return this._ofFigures(claim, column, audit.figures.read(audit.folded(cell.text)));
    }

    _ofWords(claim, text) {
      const { practices } = this._words.read(text);
      if (practices.length) return { ...claim, content: "words", withheld: practices[0] };
      return { ...claim, kind: "unread", content: "words", why: "what the cell says is not understood" };
    }

    _ofFigures(claim, column, found) {
      const { jars, canners } = claim.facets;
      if (found.some((one) => one.bare.length > 1) && (jars.length > 1 || audit.columns.areBoiled(canners))) {
        const why = "two figures in one cell, and no pressure: give each jar a column of its own";
        return { ...claim, kind: "unread", content: "figure", why };
      }
      const processes = found.map((one) => processOf(one, column, claim.facets.pressure));
      if (processes.includes(null)) {
        return { ...claim, kind: "unread", content: "figure", why: "its figures do not fit the column" };
      }
      const isBoth = processes.some((one) => one.minutes !== null && one.pressure !== null);
      const isOwn = found.some((one) => one.pressure !== null || one.bare.length === 2);
      const at = isBoth && isOwn && column.kind !== "process" ? { minutesAt: column.at, pressureAt: column.at } : {};
      return { ...claim, ...at, content: "figure", processes, disagree: found.some((one) => one.disagree) };
    }

    _span(column) {
      const [said] = column.facets.spans;
      return said && said.unit ? inFeet(said, said.unit, this._words.edges) : null;
    }

    _outerSpan() {
      const said = [this._section, this._context].flatMap((facets) => facets.spans).find((one) => one.unit);
      return said ? inFeet(said, said.unit, this._words.edges) : null;
    }
  }

  audit.claims = { Claims, columnsOf, states };
})((globalThis.stillroomBook = globalThis.stillroomBook || {}));
