/* Audit found: from judged claims to findings, one for each cause in a row, with the cells and the published values
   (foreign/found.py). What an older publication printed is not told here. */
"use strict";
(function (book) {
  const { audit } = book;
  const { columnsOf } = audit.claims;
  const { inBrackets, inWords: optionInWords } = audit.options;
  const { listed, whole } = book.numbers;
  const { split } = book.letters;

  const only = (values) => {
    const seen = new Set(values);
    return seen.size === 1 ? [...seen][0] : "";
  };
  const isFilled = (text) => /[\p{L}\p{N}]/u.test(text);
  const each = (values) => [...new Set(values)];
  /** Whole number nearest to a figure; the even one where two are as near. */
  function rounded(figure) {
    const low = Math.floor(figure), over = figure - low;
    return over > 0.5 || (over === 0.5 && low % 2) ? low + 1 : low;
  }
  const isWrongFigure = (verdict) => verdict === "weaker" || verdict === "stronger";
  const isFine = (verdict) => verdict === "same" || verdict === "text";

  /** Columns of the cells that carry the verdict of a claim. */
  function blamed(judged, text) {
    const { claim, verdict } = judged, columns = columnsOf(claim);
    const filled = columns.filter((column) => isFilled(text(claim.row, column)));
    if (verdict === "missing") {
      const blank = columns.filter((column) => !filled.includes(column));
      return blank.length ? blank : columns;
    }
    if (verdict === "withheld" || verdict === "untested") return filled;
    if (!isWrongFigure(verdict)) return columns;
    const wrong = each(judged.deciding.map((sample) => sample.wrong));
    const part = wrong.length === 1 ? wrong[0] : "both";
    if (part === "minutes" && claim.minutesAt !== null) return [claim.minutesAt];
    return part === "pressure" && claim.pressureAt !== null ? [claim.pressureAt] : columns;
  }

  /** What claims must share to be told in one line. */
  function causeOf({ claim, verdict, deciding, why }) {
    const part = each(deciding.map((sample) => sample.wrong)).sort();
    const refusing = deciding.find((sample) => sample.refusal !== null);
    const isOfHeat = part.length === 1 && part[0] === "pressure";
    const ofNoJar = verdict === "withheld" || verdict === "unread" || isOfHeat;
    const canners = isWrongFigure(verdict) && part.includes("pressure") ? claim.facets.canners : [];
    const jars = ofNoJar ? [] : claim.facets.jars;
    return JSON.stringify([verdict, part, refusing ? refusing.refusal.code : "", jars, canners, why, claim.withheld]);
  }

  function leastOf(spans) {
    if (!spans.length) return null;
    return spans.some((span) => span.above === null) ? 0 : rounded(Math.min(...spans.map((span) => span.above)));
  }

  const mostOf = (spans) =>
    !spans.length || spans.some((span) => span.to === null)
      ? null
      : rounded(Math.max(...spans.map((span) => span.to)));

  function statedOf(group, samples) {
    const wrong = each(samples.map((sample) => sample.wrong));
    const isOnly = (part) => wrong.length === 1 && wrong[0] === part;
    const told = group.flatMap(({ claim }) => claim.processes).map((process) => audit.judged.inWords({
      minutes: isOnly("pressure") ? null : process.minutes,
      pressure: isOnly("minutes") ? null : process.pressure,
    }));
    return each(told.filter((said) => said)).join(", ");
  }

  function stricterFirst(one, other) {
    const of = ({ option }) => (option === null ? [0, 0] : [option.minutes, option.psi || 0]);
    const [[a, b], [c, d]] = [of(one), of(other)];
    return c - a || d - b;
  }

  function publishedAs(sample, option) {
    let text = optionInWords(option);
    if (sample.wrong === "minutes") text = `${option.minutes} min`;
    else if (sample.wrong === "pressure" && option.psi !== null) text = `${option.psi} psi`;
    return {
      pack: sample.at.pack || null,
      jar: sample.at.jar || null,
      canner: sample.at.canner || null,
      altitude_from_ft: option.from,
      altitude_to_ft: option.to,
      minutes: option.minutes,
      pressure_psi: option.psi,
      text,
      cited: option.cited,
    };
  }

  const written = ({ cited, ...published }) => ({ ...published, page: cited.page, source: cited.id });

  /** Why a value is not what is published, where the values do not say it. */
  class Reasons {
    constructor(shelf, weights) {
      Object.assign(this, { _shelf: shelf, _weights: weights });
    }

    of(group, samples) {
      const [{ verdict }] = group;
      if (verdict === "missing") return "";
      if (verdict === "stronger") return this._stronger(group, samples);
      const parts = group.filter((judged) => judged.verdict === "weaker").flatMap((judged) => this._weaker(judged));
      if (samples.some((sample) => sample.wrong === "both" && sample.options.length > 1)) {
        parts.push("The time of one tested option with the pressure of another is not tested.");
      }
      return each(parts).join(" ");
    }

    _weaker(judged) {
      const fine = judged.samples.filter(({ verdict }) => verdict === "same" || verdict === "stronger");
      if (!fine.length) return [];
      const parts = [];
      const highest = Math.max(...fine.map((sample) => sample.feet));
      const lowest = Math.min(...judged.deciding.map((sample) => sample.feet));
      const beyond = (what) => {
        const known = new Set(fine.map((sample) => sample.at[what]));
        return each(judged.deciding.map((sample) => sample.at[what])).filter((one) => !known.has(one)).sort();
      };
      if (highest < lowest) parts.push(`As published to ${whole(highest)} ft, weaker above.`);
      const packs = beyond("pack"), jars = beyond("jar");
      if (packs.length && !judged.claim.facets.packs.length) {
        parts.push(`No pack is stated, and ${listed(packs, "and")} pack takes more.`);
      }
      if (jars.length) {
        parts.push(`Too little for ${listed(jars.map((jar) => this._shelf.jarsById.get(jar).plural), "and")}.`);
      }
      return parts;
    }

    _stronger(group, samples) {
      if (group.some(({ claim }) => claim.content === "refused")) return "The handout speaks against what is tested.";
      if (!samples.some((sample) => sample.at.canner === "weighted" && sample.wrong !== "minutes")) return "";
      const heats = group.flatMap(({ claim }) => claim.processes).map((process) => process.pressure);
      const odd = heats.find(
        (pressure) => pressure !== null && !this._weights.some((weight) => pressure.isPsi(weight)));
      return odd ? `There is no weight of ${odd}.` : "";
    }
  }

  class Causes {
    /** `about`: the heads, and what tells place, line and text of a cell, and the name of the table. */
    constructor(shelf, ask, data, weights, about) {
      Object.assign(this, { _shelf: shelf, _ask: ask, _data: data, _about: about });
      this._reasons = new Reasons(shelf, weights);
    }

    /** The findings of one row. */
    of(row, below) {
      const groups = new Map();
      for (const judged of row.judged.filter(({ verdict }) => !isFine(verdict))) {
        const key = causeOf(judged);
        groups.set(key, [...(groups.get(key) || []), judged]);
      }
      return [
        ...[...groups.values()].map((group) => this._finding(row, group, below)),
        ...row.amounts.filter(({ verdict }) => !isFine(verdict)).map((amount) => this._ofAmount(row, amount)),
      ];
    }

    _finding(row, group, below) {
      const [{ claim, verdict }] = group;
      const samples = group.flatMap((judged) => judged.deciding);
      const cells = this._cells(row, group), published = this._published(samples, group);
      const spans = group.map((judged) => judged.claim.span).filter((span) => span !== null);
      const { why, instead, page } = this._reason(group, samples, published);
      const looks = isWrongFigure(verdict)
        ? audit.looks.slip(group, row.judged, below ? below.judged : [], this._ask)
        : null;
      const at = (what) => only(samples.map((sample) => sample.at[what]));
      const { heads, line, text, table } = this._about;
      const food = only(samples.map((sample) => sample.food));
      return {
        verdict,
        table,
        row: line(row.said.row),
        column: each(cells.map(([, , column]) => heads[column])).join(", "),
        cell: cells.length ? text(row.said.row, cells[0][2]) : "",
        label: split(row.said.label).join(" "),
        food: this._foodId(food === "" ? only(claim.foods.flat().map((meaning) => meaning.food)) : food),
        form: at("form") || null,
        pack: at("pack") || only(claim.facets.packs) || null,
        jar: at("jar") || only(claim.facets.jars) || null,
        canner: at("canner") || only(claim.facets.canners) || null,
        altitude_from_ft: leastOf(spans),
        altitude_to_ft: mostOf(spans),
        stated: statedOf(group, samples),
        published: published.map(written),
        page,
        why,
        looks_like: looks,
        instead,
        history: null,
        cells,
      };
    }

    _foodId(food) {
      return food === "" ? null : this._shelf.foods[food].id;
    }

    _cells(row, group) {
      const { place, text } = this._about;
      const places = group.flatMap((judged) =>
        blamed(judged, text).map((column) => place(judged.claim.row, column)));
      const [{ claim, verdict }] = group;
      if ((claim.withheld || verdict === "withheld") && row.said.labelAt !== null) {
        places.push(place(row.said.row, row.said.labelAt));
      }
      return [...new Map(places.map((at) => [at.join("|"), at])).values()];
    }

    _published(samples, group) {
      if (["withheld", "untested", "unread"].includes(group[0].verdict)) return [];
      const found = new Map();
      for (const sample of [...samples].sort(stricterFirst)) {
        const isOne = sample.option !== null && sample.wrong !== "both";
        for (const option of isOne ? [sample.option] : sample.options) {
          const published = publishedAs(sample, option), key = JSON.stringify(published);
          if (!found.has(key)) found.set(key, published);
        }
      }
      const all = [...found.values()];
      const kinds = new Set(all.map(({ pack, jar, canner, text }) => JSON.stringify([pack, jar, canner, text])));
      if (kinds.size !== 1) return all;
      const from = (one) => one.altitude_from_ft || 0;
      const first = all.reduce((low, one) => (from(one) < from(low) ? one : low));
      const last = all.reduce((high, one) => (from(one) > from(high) ? one : high));
      return [{ ...first, altitude_to_ft: last.altitude_to_ft }];
    }

    /** Why, what to do instead, and the page. */
    _reason(group, samples, published) {
      const [{ claim, verdict, why }] = group;
      const withheld = claim.withheld || claim.facets.practices[0] || "";
      if (withheld) {
        const { entries } = this._shelf.names.withheld;
        const place = entries.findIndex((entry) => entry.id === withheld);
        const [reason, instead] = this._data.withheld[place];
        return { why: reason, instead: instead || null, page: inBrackets(entries[place].cited) };
      }
      if (why) return { why, instead: null, page: null };
      const refusing = samples.find((sample) => sample.refusal !== null);
      if (refusing) {
        return { why: refusing.refusal.message, instead: null, page: inBrackets(refusing.refusal.cited) };
      }
      const against = verdict === "withheld" ? samples.find((sample) => sample.option !== null) : undefined;
      if (against) {
        const page = inBrackets(against.option.cited);
        return { why: "The table prints this time as not recommended.", instead: null, page };
      }
      const page = published.length ? inBrackets(published[0].cited) : null;
      return { why: this._reasons.of(group, samples), instead: null, page };
    }

    _ofAmount(row, amount) {
      const { heads, place, line, text, table } = this._about;
      const column = amount.column !== null ? amount.column : row.said.labelAt;
      const none = { pack: null, jar: null, canner: null, altitude_from_ft: null, altitude_to_ft: null };
      const shown = { ...none, minutes: null, pressure_psi: null, text: amount.published, cited: amount.page };
      return {
        verdict: amount.verdict,
        table,
        row: line(row.said.row),
        column: column === null ? "" : heads[column],
        cell: column === null ? "" : text(row.said.row, column),
        label: split(row.said.label).join(" "),
        food: this._foodId(only(row.said.named.foods.flat().map((meaning) => meaning.food))),
        form: null,
        pack: null,
        jar: only(row.said.facets.jars) || null,
        canner: null,
        altitude_from_ft: null,
        altitude_to_ft: null,
        stated: amount.stated,
        published: amount.page === null ? [] : [written(shown)],
        page: inBrackets(amount.page),
        why: amount.why,
        looks_like: null,
        instead: null,
        history: null,
        cells: column === null ? [] : [place(row.said.row, column)],
      };
    }
  }

  audit.found = { Causes, blamed };
})((globalThis.stillroomBook = globalThis.stillroomBook || {}));
