/* Told: answers, refusals and several answers in the sentences of the library's sheets (answer_sheet.py, page.py). */
"use strict";
(function (book) {
  const { capital, height, listed, process, span, units } = book.numbers;
  const PARTS = ["food", "form", "pack", "jar", "canner"];
  const GAP = { kind: "gap", text: "", role: "" };

  const line = (role, text) => ({ kind: "line", text, role });
  const item = (role, text) => ({ kind: "item", text, role });
  const maybe = (condition, make) => (condition ? make() : []);

  /** A list under its heading, after a gap; nothing where there are no items. */
  const section = (role, heading, texts) =>
    maybe(texts.length, () => [
      GAP, { kind: "heading", text: heading, role }, ...texts.map((text) => item(role, text)),
    ]);

  const bracket = (short, page) => [short, book.pageNamed(page)].filter((part) => part).join(", ");

  /** A sentence with its page, as the library prints it. */
  function sentence({ text, page, source }) {
    const where = page === null ? "" : bracket(source ? source.short : "", page);
    return where ? `${text.endsWith(".") ? text.slice(0, -1) : text} (${where}).` : text;
  }

  /** How a part of a question was understood. */
  function understood({ what, said, means, how }) {
    if (how === "only") return `${capital(means)}: the only ${what} that is tested here.`;
    return `"${said}" is taken as ${means}.`;
  }

  const same = (one, other) => JSON.stringify(one) === JSON.stringify(other);
  const isIn = (one, others) => others.some((other) => same(one, other));

  function each(values) {
    const kept = [];
    for (const value of values) if (!isIn(value, kept)) kept.push(value);
    return kept;
  }

  class Telling {
    constructor(shelf) {
      this.shelf = shelf;
      this.standing = shelf.stated(shelf.data.standing, 0);
      this.foods = new Map(shelf.foods.map((food) => [food.id, food]));
    }

    // parts of an answer

    /** What an answer is for, part by part, in words; the jars as several. */
    parts(answer) {
      return {
        food: answer.title,
        form: this.shelf.inWords("form", answer.form),
        pack: this.shelf.inWords("pack", answer.pack),
        jar: this.shelf.jarsById.get(answer.jar).plural,
        canner: this.shelf.inWords("canner", answer.canner),
      };
    }

    isOfGuide(answer) {
      return this.foods.get(answer.food).short === "";
    }

    minded(options) {
      return this.others(each(options.flatMap((option) => option.cautions)));
    }

    /** Cautions but for the one that every answer carries. */
    others(cautions) {
      return cautions.filter((said) => !same(said, this.standing));
    }

    headspace(answer) {
      const [{ headspace }] = answer.options;
      if (!headspace.length) return "Headspace: none printed.";
      const said = each(headspace).map(
        ({ inches, variety }) => units(inches, "inch") + (variety ? ` for ${variety}` : ""));
      const printed = bracket(this.foods.get(answer.food).short, headspace[0].page);
      return `Headspace: ${listed(said, "and")} (${printed}).`;
    }

    notRecommended(option) {
      if (!option.not_recommended.length) return [];
      const times = listed(option.not_recommended.map((minutes) => units(minutes, "minute")), "and");
      const band = span(option.altitude_from_ft, option.altitude_to_ft);
      const printed = bracket(option.source.short, option.source.page);
      return [`Not recommended ${band}: ${times}. The table prints no pressure for it here (${printed}).`];
    }

    processes(options) {
      const said = options.map((option) => process(option.minutes, option.pressure_psi));
      const band = span(options[0].altitude_from_ft, options[0].altitude_to_ft);
      if (said.length === 1) return [line("process", `Process ${said[0]} (${band}).`)];
      const heading = `Process one of these; the publication counts them as equal (${band}):`;
      return [{ kind: "heading", text: heading, role: "process" }, ...said.map((text) => item("process", text))];
    }

    /** The last lines: the publication, and the caution that every sheet carries. */
    foot(sources) {
      const cited = sources.filter((source) => source !== null);
      return [
        GAP,
        ...cited.map((source) => line("source", `Source: ${source.cite}.`)),
        line("caution", `Caution: ${this.standing.text}`),
      ];
    }

    // an answer

    answer(answer) {
      const [first] = answer.options;
      const { food, form, pack, jar, canner } = this.parts(answer);
      return [
        line("what", [food, form, pack, jar].filter((part) => part).join(", ")),
        ...maybe(answer.asked, () => [line("asked", `Asked for as "${answer.asked}"`)]),
        line("where", `${capital(canner)}, ${height(answer.altitude_ft)}`),
        ...answer.understood.map((said) => line("understood", understood(said))),
        ...maybe(answer.follows, () => [GAP, line("follows", sentence(answer.follows))]),
        ...section("required", "Required for safety:", first.requires.map(sentence)),
        GAP,
        ...this.processes(answer.options),
        ...this.notRecommended(first).map((text) => line("not-recommended", text)),
        ...maybe(first.by_rule, () => [line("rule", `By rule: ${sentence(first.by_rule)}`)]),
        line("headspace", this.headspace(answer)),
        ...maybe(first.vent, () => [line("vent", sentence(first.vent))]),
        ...section("minded", "Also note:", this.minded(answer.options).map(sentence)),
        ...this.foot([first.source]),
      ];
    }

    // a refusal

    refusal(refusal) {
      const isUnknown = refusal.code === "unknown-food";
      const near = "Tested nearest to it (not a substitute; what differs is named):";
      return [
        line("refusal", (isUnknown ? "" : "No tested schedule. ") + capital(refusal.reason)),
        ...maybe(isUnknown, () => refusal.suggestions.map((name) => item("suggestion", name))),
        ...maybe(refusal.earlier, () => [line("earlier", sentence(refusal.earlier))]),
        ...section("near", near, refusal.tested.map((tested) => this.near(tested))),
        ...this.foot([refusal.source]),
      ];
    }

    near(tested) {
      const words = [
        this.shelf.inWords("pack", tested.pack),
        tested.form,
        this.shelf.jarsById.get(tested.jar).plural,
        this.shelf.inWords("canner", tested.canner),
      ];
      const said = listed(tested.processes.map((one) => process(one.minutes, one.pressure_psi)));
      const printed = bracket(this.shelf.shortOf(tested.source), tested.page);
      const named = words.filter((word) => word).join(", ") + (said ? `: ${said}` : "");
      return `${named} (${printed}); differs in ${tested.differs.join("; ")}`;
    }

    // several answers

    sayWhich(open) {
      if (!open.answers.length) {
        return [
          line("open", `Say which ${open.what}: ${open.reason}.`),
          ...open.choices.map((choice) => item("choice", choice)),
          ...this.foot([null]),
        ];
      }
      const shared = this.shared(open.answers);
      const isGuided = open.answers.every((answer) => this.isOfGuide(answer));
      return [
        line("what", this.sameForAll(open)),
        ...shared.understood.map((said) => line("understood", understood(said))),
        line("open", `Left open: the ${open.what} (${listed(open.choices)}). Every answer:`),
        ...this.alike(open).flatMap(([told, answer]) => [GAP, ...this.inShort(told, answer, shared, !isGuided)]),
        ...section("required", "Required for safety, whichever it is:", shared.requires.map(sentence)),
        ...maybe(isGuided, () => this.vented(open.answers)),
        ...section("minded", "Also note:", this.others(shared.cautions).map(sentence)),
        ...section("untold", "No tested schedule in this jar and canner, at this altitude:", this.untold(open)),
        ...this.foot(this.cited(open.answers)),
      ];
    }

    /** What was understood for every answer, and what every answer requires and minds. */
    shared(answers) {
      const options = answers.flatMap((answer) => answer.options);
      const inAll = (key, all) => all[0][key].filter((said) => all.every((one) => isIn(said, one[key])));
      return {
        understood: inAll("understood", answers),
        requires: inAll("requires", options),
        cautions: inAll("cautions", options),
      };
    }

    /** The parts of a question in which its answers differ, or that are asked about. */
    several(open) {
      const differ = (what) => new Set(open.answers.map((answer) => answer[what])).size > 1;
      return PARTS.filter((what) => what === open.what || differ(what));
    }

    sameForAll(open) {
      const [first] = open.answers;
      const several = this.several(open);
      const told = Object.entries(this.parts(first)).filter(([what, words]) => words && !several.includes(what));
      const words = told.map(([, text], place) => (place ? text : capital(text)));
      return [...words, height(first.altitude_ft)].join(", ");
    }

    /** Answers under what they are for; those that differ in their pack alone stand together. */
    alike(open) {
      const several = this.several(open);
      const groups = new Map();
      for (const answer of open.answers) {
        const key = JSON.stringify([answer.food, answer.form, answer.jar, answer.canner, answer.options]);
        groups.set(key, [...(groups.get(key) || []), answer]);
      }
      const named = new Map();
      for (const answers of groups.values()) {
        const packs = listed(answers.map((answer) => answer.pack).filter((pack) => pack));
        const told = { ...this.parts(answers[0]), pack: this.shelf.inWords("pack", packs) };
        const words = Object.entries(told).filter(([what, text]) => text && several.includes(what));
        named.set(capital(words.map(([, text]) => text).join(", ")), answers[0]);
      }
      return [...named];
    }

    /** One answer of several: its processes, and what it alone requires and minds. */
    inShort(told, answer, shared, isVentTold) {
      const [first] = answer.options;
      const said = listed(answer.options.map((option) => process(option.minutes, option.pressure_psi)));
      const band = span(first.altitude_from_ft, first.altitude_to_ft);
      const own = [
        ...answer.understood.filter((one) => !isIn(one, shared.understood)).map(understood),
        ...maybe(answer.follows, () => [sentence(answer.follows)]),
        ...this.notRecommended(first),
        ...maybe(first.by_rule, () => [`By rule: ${sentence(first.by_rule)}`]),
        ...first.requires.filter((one) => !isIn(one, shared.requires)).map((one) => `Required: ${sentence(one)}`),
        this.headspace(answer),
        ...maybe(isVentTold && first.vent, () => [sentence(first.vent)]),
        ...this.minded(answer.options).filter((one) => !isIn(one, shared.cautions)).map(sentence),
      ];
      const printed = bracket(first.source.short, first.source.page);
      return [line("process", `${told}: ${said} (${band}; ${printed}).`), ...own.map((text) => item("own", text))];
    }

    /** How a canner is vented, where one of the answers is for a pressure canner. */
    vented(answers) {
      const pressures = answers.flatMap((answer) => answer.options.map((option) => option.pressure_psi));
      if (pressures.every((psi) => psi === null)) return [];
      const place = this.shelf.data.vents[pressures.includes(null) ? 1 : 0];
      return [GAP, line("vent", sentence(this.shelf.stated(place, 0)))];
    }

    untold(open) {
      const words = (answer) =>
        open.what === "food" ? answer.title : this.shelf.inWords(open.what, answer[open.what]);
      const told = open.answers.map(words);
      return open.choices.filter((choice) => !told.includes(choice));
    }

    /** The page of the first answer, and that of the first of each further publication. */
    cited(answers) {
      const first = new Map();
      for (const answer of answers) {
        const { source } = this.foods.get(answer.food);
        if (!first.has(source)) first.set(source, answer.options[0].source);
      }
      return [...first.values()];
    }
  }

  /** Tell a document that came of a question. */
  function tell(shelf, said) {
    const telling = new Telling(shelf);
    if (said.kind === "answer") return telling.answer(said);
    if (said.kind === "refusal") return telling.refusal(said);
    return said.kind === "say-which" ? telling.sayWhich(said) : [line("bad-input", said.reason)];
  }

  book.told = { tell };
})((globalThis.stillroomBook = globalThis.stillroomBook || {}));
