/* Audit columns: what each column of a block holds, told from its heads, its units and its own values
   (foreign/columns.py). A column whose heads and values leave two readings, or none, is not read. */
"use strict";
(function (book) {
  const { audit } = book;
  const { NONE, names, says, under } = audit.facets;
  const { listed } = book.numbers;
  const { split, trimmed } = book.letters;
  const LABELS = ["altitude", "canner", "food", "form", "jar", "pack"];
  const FIGURED = ["minutes", "pressure", "process", "hours", "kpa"];

  const hasAny = (kinds, wanted) => wanted.some((kind) => kinds.has(kind));
  const heightUnit = (kinds) => (kinds.has("feet") ? "ft" : kinds.has("meters") ? "m" : "");

  /** Which units the figures of an option have. */
  function unitsOf({ minutes, pressure, bare }) {
    const units = [];
    if (minutes !== null) units.push("minutes");
    if (pressure !== null) units.push("pressure");
    if (bare.length === 2 || (bare.length && units.length)) units.push("two");
    return units;
  }

  const bareOf = (text) =>
    audit.figures.read(audit.folded(text))
      .flatMap((one) => one.bare)
      .map((value) => (value.isWhole() ? Number(value.top) : -1));

  const lowOf = (column) => column.facets.spans[0].low;

  /** Whether a column begins higher than the one before it. */
  function rises(before, column) {
    if (!before.facets.spans.length || !column.facets.spans.length) return false;
    const zero = audit.ofWhole(0);
    return (lowOf(column) || zero).against(lowOf(before) || zero) > 0;
  }

  class Columns {
    /** `printed`: the times and pressures that are printed anywhere; `context`: what titles say. */
    constructor(grid, block, words, foodNames, printed, context) {
      Object.assign(this, { _words: words, _names: foodNames, _printed: printed, _context: context });
      this._parts = audit.layout.headParts(grid, block.heads);
      const data = block.rows.filter(([kind]) => kind === "data").map(([, at]) => at);
      const isOwn = (at, column) => {
        const [row, place] = grid.rows[at].cells[column].first;
        return row === at && place === column;
      };
      this._values = this._parts.map((_, column) =>
        data.filter((at) => isOwn(at, column)).map((at) => grid.rows[at].cells[column].text));
      this._kinds = this._values.map((values) => values.map((text) => audit.layout.kindOf(text, words)));
    }

    /** Give each column its role and kind. */
    understood() {
      const first = this._alike(this._parts.map((parts, at) => this._column(at, parts)));
      const timed = first.some(
        (column) => column.role === "value" && column.kind === "minutes" && !column.facets.spans.length);
      const second = this._gauged(first.map((column) => this._settled(column, timed)));
      return this._boiled(second.map((column) => this._unitOfAltitude(column, second)));
    }

    /** First look: what the heads say, and where they say nothing, what the values are. */
    _column(at, parts) {
      const facets = parts.map(this._words.read).reduce(under, NONE);
      const head = parts.map((part) => split(part).join(" ")).join(" / ") || `column ${at + 1}`;
      const column = {
        at, head, role: "text", kind: "", facets, unit: "", assumed: "", why: "", named: audit.foods.NOTHING,
      };
      const { kinds } = facets;
      const values = this._kinds[at].filter((kind) => kind !== "empty" && kind !== "none");
      const figured = values.filter((kind) => kind === "figure").length * 2 > values.length;
      const held = ["minutes", "pressure", "process", "acid", "headspace"];
      if (hasAny(kinds, ["page", "note"]) && !hasAny(kinds, held)) return column;
      const role = ["from", "to"].find((one) => kinds.has(one));
      if (role && figured && !facets.spans.length) return { ...column, role, unit: heightUnit(kinds) };
      if (kinds.has("headspace")) {
        const unit = kinds.has("centimeters") ? "centimeters" : "";
        return { ...column, role: "value", kind: "headspace", unit };
      }
      if (kinds.has("acid")) return { ...column, role: "value", kind: "acid" };
      if (!values.length) return this._empty(column);
      const isOver = facets.spans.length > 0 || facets.pressure !== null || hasAny(kinds, FIGURED);
      const overValues = isOver || (says(facets) && values.includes("figure"));
      const isOfFigures = figured || (overValues && !hasAny(kinds, LABELS));
      return isOfFigures && !this._labelOfFigures(column) ? this._figures(column) : this._label(column);
    }

    /** A column without a value: one of values where its heads say so, else nothing. */
    _empty(column) {
      const { facets } = column;
      const isOfValues = hasAny(facets.kinds, ["minutes", "pressure", "process", "hours"]);
      return isOfValues || (says(facets) && !hasAny(facets.kinds, LABELS)) ? this._figures(column) : column;
    }

    _labelOfFigures({ facets }) {
      const { kinds, spans } = facets;
      const isLabel = hasAny(kinds, ["altitude", "jar"]) && !hasAny(kinds, ["minutes", "pressure", "process"]);
      return isLabel && !spans.length;
    }

    /** A column of words: a label where it names foods, packs, jars, canners or altitudes. */
    _label(column) {
      const { kinds, left } = column.facets;
      const own = LABELS.filter((kind) => kinds.has(kind));
      const told = this._values[column.at].filter((text) => trimmed(text)).map((text) => this._told(text));
      if (own.length) return { ...column, role: "label", kind: own.includes("food") ? "food" : own[0] };
      if (told.length && told.filter((kind) => kind).length * 2 >= told.length) {
        const count = (kind) => told.filter((one) => one === kind).length;
        const kind = [...new Set(told)].reduce((most, one) => (count(one) > count(most) ? one : most));
        return { ...column, role: "label", kind };
      }
      const isFirst = column.at === 0 || (kinds.has("group") && !left);
      return isFirst ? { ...column, role: "label", kind: "food" } : column;
    }

    /** What one cell of words tells. */
    _told(text) {
      const facets = this._words.read(text);
      if (audit.foods.isKnown(this._names.named(text))) return "food";
      if (names(facets)) return "";
      for (const [kind, said] of [["pack", facets.packs], ["jar", facets.jars], ["canner", facets.canners]]) {
        if (said.length) return kind;
      }
      return facets.spans.length ? "altitude" : "";
    }

    /** A column of figures: what its own heads and values say they are; the rest is settled with the others. */
    _figures(before) {
      const { facets } = before;
      const { kinds } = facets;
      const found = this._values[before.at].flatMap((text) => audit.figures.read(audit.folded(text)));
      const units = new Set(found.flatMap(unitsOf));
      const isOnly = (unit) => units.size === 1 && units.has(unit);
      const column = { ...before, role: "value", named: this._named(before) };
      if (!this._words.agree(facets.spans)) {
        return { ...column, role: "unread", why: "its head says altitudes that contradict each other" };
      }
      if (/\p{Nd}/u.test(facets.left)) {
        return { ...column, role: "unread", why: `"${facets.left}" in its head is not understood` };
      }
      if (kinds.has("process") || (units.has("minutes") && units.has("pressure")) || units.has("two")) {
        return { ...column, kind: "process" };
      }
      const isTimed = hasAny(kinds, ["minutes", "hours"]), isHeated = hasAny(kinds, ["pressure", "kpa"]);
      if (isTimed && isHeated) {
        const kind = isOnly("minutes") ? "minutes" : isOnly("pressure") ? "pressure" : "process";
        return { ...column, kind };
      }
      if (isTimed || isOnly("minutes")) {
        const unit = kinds.has("hours") && !kinds.has("minutes") ? "hours" : "";
        return { ...column, kind: "minutes", unit };
      }
      if (isHeated || isOnly("pressure")) {
        return { ...column, kind: "pressure", unit: kinds.has("kpa") && !kinds.has("pressure") ? "kpa" : "" };
      }
      return facets.pressure !== null ? { ...column, kind: "minutes" } : column;
    }

    /** The food that a head names. */
    _named({ at }) {
      for (const part of [...this._parts[at]].reverse()) {
        const found = this._words.read(part).left ? this._names.named(part) : audit.foods.NOTHING;
        if (audit.foods.isKnown(found)) return found;
      }
      return audit.foods.NOTHING;
    }

    /** Take a column under an altitude that does not tell what it holds for what the one beside it holds. */
    _alike(every) {
      const out = [...every];
      every.forEach((column, at) => {
        if (column.role !== "value" || column.kind || !column.facets.spans.length) return;
        const before = at ? out[at - 1] : null;
        if (before && before.kind && before.role === "value" && rises(before, column)) {
          out[at] = { ...column, kind: before.kind, unit: before.unit };
          return;
        }
        if (this._kinds[column.at].includes("figure")) return;
        const others = [...every.slice(0, at).reverse(), ...every.slice(at + 1)];
        const beside = others.find((other) => other.facets.spans.length && other.kind);
        if (beside) out[at] = { ...column, kind: beside.kind, unit: beside.unit };
      });
      return out;
    }

    /** Take times under all altitude bands of boiling water for its own, where no canner or pressure is named. */
    _boiled(every) {
      const isTime = (column) => column.role === "value" && column.kind === "minutes";
      const labeled = every.find((column) => column.role === "label" && column.kind === "altitude");
      let timed = every.filter((column) => isTime(column) && column.facets.spans.length);
      if (labeled && !timed.length) timed = every.filter(isTime);
      const isNamed = this._context.canners.length > 0 || this._context.pressure !== null || every.some(
        ({ kind, facets }) =>
          facets.canners.length > 0 || facets.pressure !== null || ["pressure", "process", "canner"].includes(kind));
      if (isNamed) return every;
      const said = timed.flatMap((column) => column.facets.spans.slice(0, 1));
      if (labeled) said.push(...this._values[labeled.at].flatMap((text) => this._words.read(text).spans.slice(0, 1)));
      const spans = new Set(said.map((one) => this._words.spanKey(one, one.unit || "ft")));
      const isSet = (set) => set.size === spans.size && [...set].every((key) => spans.has(key));
      if (!this._words.boiled.some(isSet)) return every;
      return every.map((column) => (timed.includes(column) ? {
        ...column,
        facets: { ...column.facets, canners: ["boiling-water"] },
        assumed: `${column.head}: taken as boiling water, by its altitude bands`,
      } : column));
    }

    /** Second look: figures without a unit, by the canner, by what stands beside them, and by the printed values. */
    _settled(column, timed) {
      if (column.role !== "value" || column.kind) return column;
      const { facets } = column;
      const canners = facets.canners.length ? facets.canners : this._context.canners;
      const boiled = audit.columns.areBoiled(canners);
      if (!(says(facets) || facets.kinds.size || boiled || !column.head.startsWith("column "))) {
        return { ...column, role: "unread", why: "its head says nothing, and its figures have no unit" };
      }
      if (boiled) {
        return { ...column, kind: "minutes", assumed: `${column.head}: taken as minutes (no unit is written)` };
      }
      const context = ["minutes", "pressure"].filter((kind) => this._context.kinds.has(kind));
      if (context.length === 1 && !timed) return { ...column, kind: context[0] };
      return this._guessed(column, timed);
    }

    /** Lend columns of pressures that name no canner that of the column before, while altitudes go on rising. */
    _gauged(every) {
      const out = [];
      for (const column of every) {
        const before = out[out.length - 1];
        const follows = before && column.role === "value" && before.role === "value" && column.kind === before.kind &&
          !column.facets.canners.length && before.facets.canners.length && rises(before, column);
        out.push(
          follows ? { ...column, facets: { ...column.facets, canners: before.facets.canners } } : column);
      }
      return out;
    }

    _guessed(column, timed) {
      const values = [...new Set(this._values[column.at].flatMap(bareOf))];
      const { minutes, psi } = this._printed;
      const times = values.every((value) => minutes.has(value)), pressures = values.every((value) => psi.has(value));
      let kind = "";
      if (pressures && timed && (says(column.facets) || column.facets.canners.length)) kind = "pressure";
      else if (times && !pressures && !timed) kind = "minutes";
      else if (pressures && !times) kind = "pressure";
      if (!kind) {
        const odd = values.filter((value) => !minutes.has(value)).sort((a, b) => a - b);
        const what = odd.length ? `${odd.slice(0, 3).join(", ")} is no printed time` : "minutes and psi both fit";
        return { ...column, role: "unread", why: `its figures have no unit, and ${what}` };
      }
      const said = kind === "minutes" ? "minutes" : "psi";
      return { ...column, kind, assumed: `${column.head}: taken as ${said}; every value is a printed one` };
    }

    /** Lend a head without a unit of altitude that of the table, or refuse it. */
    _unitOfAltitude(column, every) {
      const { role, facets } = column;
      const isLimit = role === "from" || role === "to";
      const unwritten = facets.spans.some((said) => !said.unit) || (isLimit && !column.unit);
      const lent = () => heightUnit(facets.kinds) || this._tableUnit(every);
      if (role === "label" && column.kind === "altitude" && !column.unit) return { ...column, unit: lent() };
      if (!unwritten || role === "text" || role === "unread") return column;
      const unit = lent();
      if (!unit) return { ...column, role: "unread", why: "its altitude has no unit: write ft or m" };
      const spans = facets.spans.map((said) => (said.unit ? said : { ...said, unit }));
      return { ...column, unit: isLimit ? unit : column.unit, facets: { ...facets, spans } };
    }

    _tableUnit(every) {
      const said = new Set();
      for (const { facets } of every) {
        facets.spans.forEach((span) => said.add(span.unit));
        if (hasAny(facets.kinds, ["altitude", "from", "to"])) said.add(heightUnit(facets.kinds));
      }
      said.add(heightUnit(this._context.kinds));
      this._context.spans.forEach((span) => said.add(span.unit));
      said.delete("");
      return said.size === 1 ? [...said][0] : "";
    }
  }

  const UNITS = { "": "", centimeters: " (cm)", hours: " (hours)", kpa: " (kPa)" };
  const NAMED = { process: "minutes and psi", pressure: "pressure" };

  /** Say how a column is read, like `minutes, pints, dial gauge`. */
  function told(column, { shelf }) {
    const { role, kind, unit, facets } = column;
    if (role === "unread") return `not read: ${column.why}`;
    if (role === "text") return "text";
    if (role === "label") return kind;
    if (role === "from" || role === "to") return `altitude, ${role === "from" ? "lowest" : "highest"}, ${unit}`;
    const parts = [
      (NAMED[kind] || kind) + UNITS[unit],
      listed(column.named.foods.flat().map((meaning) => shelf.foods[meaning.food].title)),
      listed(facets.jars.map((jar) => shelf.jarsById.get(jar).plural)),
      listed(facets.packs.map((pack) => `${pack} pack`)),
      listed(facets.canners.map((canner) => shelf.cannersById.get(canner).title)),
      facets.pressure === null ? "" : String(facets.pressure),
      facets.spans.map((said) => said.text).join(", "),
    ];
    return parts.filter((part) => part).join(", ");
  }

  /** Whether only canners without pressure are named. */
  const areBoiled = (canners) =>
    canners.length > 0 && canners.every((canner) => canner === "boiling-water" || canner === "steam");

  audit.columns = { Columns, areBoiled, told };
})((globalThis.stillroomBook = globalThis.stillroomBook || {}));
