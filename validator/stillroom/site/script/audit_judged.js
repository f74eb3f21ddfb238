/* Audit judged: each claim of a foreign table held against every published row that it touches; the weakest decides
   (foreign/judged.py). */
"use strict";
(function (book) {
  const { audit } = book;
  const { states } = audit.claims;
  const RANK = ["text", "same", "stronger", "unread", "missing", "weaker", "untested", "withheld"];
  const REFUSED_AS = { "not-recommended": "withheld", "method-unsafe": "withheld", withheld: "withheld" };
  const GAUGES = ["dial", "weighted"];

  const rank = (verdict) => RANK.indexOf(verdict);
  const worst = (list, of) => list.reduce((most, one) => (rank(of(one)) > rank(of(most)) ? one : most));
  const mildest = (list, of) => list.reduce((least, one) => (rank(of(one)) < rank(of(least)) ? one : least));
  const each = (values) => [...new Set(values)];

  /** A claim with its verdict; `why`: a reason that no sample tells. */
  const judged = (claim, verdict, samples = [], why = "") => ({
    claim, verdict, samples, why, deciding: samples.filter((sample) => sample.verdict === verdict),
  });

  /** Less than 0, 0 or more: a stated time is less than published, the same or not stated, or more. */
  const time = (process, option) =>
    process.minutes === null ? 0 : process.minutes.against(audit.ofWhole(option.minutes));

  function heat(process, option) {
    const { pressure } = process;
    if (pressure === null || option.psi === null || pressure.isPsi(option.psi)) return 0;
    return pressure.psi().against(audit.ofWhole(option.psi));
  }

  function differs(process, option) {
    const more = [time(process, option) > 0, heat(process, option) > 0];
    return more[0] && more[1] ? "both" : more[0] ? "minutes" : "pressure";
  }

  function weaker(process, options) {
    const byHeat = process.pressure === null ? undefined : options.find((option) => heat(process, option) === 0);
    const byTime = process.minutes === null ? undefined : options.find((option) => time(process, option) === 0);
    if (byHeat && byTime && options.length > 1) return ["weaker", "both", byHeat];
    if (byHeat || process.pressure === null) return ["weaker", "minutes", byHeat || options[0]];
    if (byTime || process.minutes === null) return ["weaker", "pressure", byTime || options[0]];
    const option = options.find((one) => heat(process, one) >= 0 || time(process, one) >= 0) || options[0];
    const isShort = time(process, option) < 0, isCool = heat(process, option) < 0;
    return ["weaker", isShort && isCool ? "both" : isShort ? "minutes" : "pressure", option];
  }

  function one(process, options) {
    const isAgainst = (option) =>
      process.minutes !== null &&
      option.notRecommended.some((minutes) => audit.same(process.minutes, audit.ofWhole(minutes)));
    const exact = options.find((option) => time(process, option) === 0 && heat(process, option) === 0);
    if (exact) return ["same", "", exact];
    const against = options.find(isAgainst);
    if (against) return ["withheld", "both", against];
    let safe = options.filter((option) => time(process, option) >= 0 && heat(process, option) >= 0);
    if (process.pressure === null || process.minutes === null) safe = safe.length === options.length ? safe : [];
    return safe.length ? ["stronger", differs(process, safe[0]), safe[0]] : weaker(process, options);
  }

  /** Hold stated options against published ones: verdict, what is wrong, and the published option that decides. */
  const held = (processes, options) =>
    worst(processes.map((process) => one(process, options)), ([verdict]) => verdict);

  class Judge {
    /** `heats`: every printed pressure of a dial and of a weighted gauge. */
    constructor(shelf, edges, heats) {
      Object.assign(this, { _shelf: shelf, _edges: edges, heats });
      this._lookup = new book.Lookup(shelf);
      this._kept = new Map();
      this._entries = new Map(shelf.names.withheld.entries.map((entry) => [entry.id, entry]));
    }

    /** Judge one claim of a process, or of nothing where one may be published. */
    judge(claim) {
      const { facets, content } = claim;
      if (claim.kind === "unread" || !(claim.foods.length || claim.withheld || facets.practices.length)) {
        const isSaid = content === "figure" || content === "words";
        return judged(claim, isSaid ? "unread" : "text", [], claim.why);
      }
      if (claim.withheld || facets.practices.length) {
        return judged(claim, states(claim) ? this._withheldAs(claim) : "text");
      }
      if (claim.disagree) return judged(claim, "unread", [], "The figures in this cell contradict each other.");
      if (content === "figure" && facets.jarWords.length && !facets.jars.length) {
        return judged(claim, "untested", [], `Nothing is tested in a jar of "${facets.jarWords[0]}".`);
      }
      const canners = this._canners(claim);
      if (!canners.length) {
        return judged(claim, content === "figure" ? "unread" : "text", [], "It says no canner: --canner names it.");
      }
      return worst(claim.foods.map((meanings) => this._food(claim, meanings, canners)), ({ verdict }) => verdict);
    }

    /** What no publication gives a process for is untested; what one speaks against is withheld. */
    _withheldAs({ withheld, facets }) {
      return this._entries.get(withheld || facets.practices[0]).code === "withheld" ? "withheld" : "untested";
    }

    // what the claim leaves open

    _canners(claim) {
      const said = claim.facets.canners;
      const heats = claim.processes.map((process) => process.pressure).filter((pressure) => pressure !== null);
      const under = said.filter((canner) => GAUGES.includes(canner));
      if (said.length && (!heats.length || !under.length)) return said;
      const open = under.length ? under : GAUGES;
      const isPrinted = (canner) => heats.every((pressure) => this.heats[canner].some((psi) => pressure.isPsi(psi)));
      const fits = heats.length ? open.filter(isPrinted) : [];
      if (fits.length) return fits;
      return heats.length ? open : said;
    }

    _food(claim, meanings, canners) {
      const found = meanings.map((meaning) => this._meaning(claim, meaning, canners));
      if (new Set(found.map(({ verdict }) => verdict)).size === 1) return found[0];
      if (claim.content !== "figure") return mildest(found, ({ verdict }) => verdict);
      if (found.every(({ verdict }) => verdict === "same" || verdict === "stronger")) {
        return worst(found, ({ verdict }) => verdict);
      }
      const titles = each(meanings.map((meaning) => this._shelf.foods[meaning.food].title));
      return judged(claim, "unread", [], `The name stands for several tested foods: ${titles.join("; ")}.`);
    }

    _meaning(claim, meaning, canners) {
      const samples = canners.flatMap((canner) =>
        this._combinations(claim, meaning, canner).flatMap((at) => this._samples(claim, meaning, at)));
      if (claim.content === "figure") return this._ofFigure(claim, samples);
      const published = samples.filter((sample) => sample.options.length && !sample.options[0].isByRule);
      if (claim.content === "refused") {
        const isAgainst = ({ option }) => option !== null && option.notRecommended.length > 0;
        const isClear = !published.length || samples.some(isAgainst);
        return judged(claim, isClear ? "text" : "stronger", isClear ? [] : published);
      }
      const timed = claim.processes.some((process) => process.minutes !== null);
      const heated = claim.processes.some((process) => process.pressure !== null);
      const wrong = timed && !heated ? "pressure" : heated && !timed ? "minutes" : "";
      const wanted = published.map((sample) => ({ ...sample, verdict: "missing", wrong }));
      return judged(claim, wanted.length ? "missing" : "text", wanted);
    }

    _ofFigure(claim, samples) {
      if (!samples.length) return judged(claim, "untested", [], "Nothing is published for it.");
      const most = worst(samples, ({ verdict }) => verdict).verdict;
      const fine = samples.some(({ verdict }) => verdict === "same" || verdict === "stronger");
      if (claim.span === null && most === "weaker" && fine) {
        const weak = new Set(samples.filter((one) => one.verdict === "weaker").map((one) => one.feet));
        if (!samples.every((sample) => weak.has(sample.feet))) {
          const why = 'It says no altitude, and times rise with it: --at "1650 ft" says it.';
          return judged(claim, "unread", [], why);
        }
      }
      return judged(claim, most, samples);
    }

    _chart(food) {
      return this._shelf.laidOut(this._shelf.foods[food]).chart;
    }

    /** Rows a claim is about; what it leaves open is every row that is published. */
    _combinations(claim, meaning, canner) {
      const chart = this._chart(meaning.food).map((row) => row.at), { facets } = claim;
      const printed = chart.filter((at) => at.canner === (canner === "steam" ? "boiling-water" : canner));
      const rows = printed.length ? printed : chart;
      const found = [];
      for (const form of meaning.form ? [meaning.form] : each(rows.map((at) => at.form))) {
        const formed = rows.filter((at) => at.form === form), here = formed.length ? formed : rows;
        const own = meaning.pack ? [meaning.pack] : each(here.map((at) => at.pack));
        const packs = facets.packs.length ? facets.packs : own;
        for (const pack of packs) {
          const packed = here.filter((at) => at.pack === pack);
          const jars = facets.jars.length ? facets.jars : each((packed.length ? packed : here).map((at) => at.jar));
          for (const jar of jars) found.push({ form, pack, jar, canner });
        }
      }
      return found;
    }

    /** Options of a row at a height, or the refusal in their place. */
    ask(food, at, feet) {
      const key = [food, at.form, at.pack, at.jar, at.canner, feet].join("|");
      if (!this._kept.has(key)) this._kept.set(key, this._asked(this._shelf.foods[food], at, feet));
      return this._kept.get(key);
    }

    _asked(food, at, feet) {
      try {
        const places = this._lookup.options(food, at, feet);
        return { options: places.map((place) => audit.options.of(this._shelf, place)), refusal: null };
      } catch (refusal) {
        if (!(refusal instanceof book.Refusal)) throw refusal;
        return { options: [], refusal };
      }
    }

    _samples(claim, meaning, at) {
      const food = this._shelf.foods[meaning.food];
      return this._heights(claim.span, meaning, at).map((feet) => {
        const isOther = meaning.pack && at.pack !== "" && at.pack !== meaning.pack;
        const found = isOther
          ? { options: [], refusal: this._lookup.refusing.otherKind(food, meaning, at, feet) }
          : this.ask(meaning.food, at, feet);
        const place = { food: meaning.food, at, feet, options: found.options, refusal: found.refusal };
        if (found.refusal) {
          return { ...place, verdict: REFUSED_AS[found.refusal.code] || "untested", wrong: "", option: null };
        }
        const isFigure = claim.content === "figure";
        const [verdict, wrong, option] = isFigure
          ? held(claim.processes, found.options)
          : ["same", "", found.options[0]];
        return { ...place, verdict, wrong, option };
      });
    }

    /** A height in each published band that is touched, and one beyond the last where the claim goes on. */
    _heights(span, meaning, at) {
      if (span !== null && audit.spans.isPoint(span)) return [span.to || 0];
      const low = span === null || span.above === null ? -1 : span.above;
      const high = span === null ? null : span.to;
      const inside = this._edges.filter((edge) => edge > low && (high === null || edge < high));
      if (high !== null) return [...inside, high];
      const above = this._edges[this._edges.length - 1] + 1;
      if (span !== null) return [...inside, above];
      const row = this._chart(meaning.food).find((one) => one.at.canner === at.canner);
      const top = row ? row.bands[row.bands.length - 1].to : null;
      return [...inside.filter((edge) => top === null || edge <= top), ...(top ? [] : [above])];
    }
  }

  /** A stated process: `35 min`, `11 psi`, `25 min at 11 psi`. */
  const inWords = ({ minutes, pressure }) =>
    [minutes === null ? "" : `${audit.shown(minutes)} min`, pressure === null ? "" : String(pressure)]
      .filter((part) => part).join(" at ");

  audit.judged = { Judge, RANK, inWords, rank, worst };
})((globalThis.stillroomBook = globalThis.stillroomBook || {}));
