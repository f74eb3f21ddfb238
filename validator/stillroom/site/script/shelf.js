/* Shelf: the data of the page laid out by id, a food when it is first asked for. Nothing here decides. */
"use strict";
(function (book) {
  const { plain } = book.letters;
  const PACKS = [null, "", "hot", "raw"];

  const keyOf = ({ form, pack, jar, canner }) => [form, pack, jar, canner].join("|");

  /** A printed page: `page 4-9`; as it is printed where it says so itself; blank for a source without pages. */
  const pageNamed = (page) => (page === "web" ? "" : page.includes(". ") ? page : `page ${page}`);

  /** A band with its upper limit and its options, or the place of its refusal. */
  function bandsOf(flat) {
    const bands = [];
    for (let at = 0; at + 1 < flat.length; at += 2) bands.push({ to: flat[at], held: flat[at + 1] });
    return { bands, beyond: flat.length % 2 ? flat[flat.length - 1] : null };
  }

  class Shelf {
    constructor(data) {
      this.data = data;
      this.jars = data.jars.map(([id, title, plural, abbreviation, volume]) => ({
        id, title, plural, abbreviation, volume, exactly: book.numbers.Fraction.read(String(volume)),
      }));
      this.canners = data.canners.map(([id, title, takes]) => ({ id, title, takes }));
      this.jarsById = new Map(this.jars.map((jar) => [jar.id, jar]));
      this.cannersById = new Map(this.canners.map((canner) => [canner.id, canner]));
      this.formTitles = new Map(data.formTitles);
      this.foods = data.foods.map((row, number) => this._food(row, number));
      this._laidOut = new Map();
    }

    _food(row, number) {
      const [id, title, acidity, leftOpen, source, follows, tableForms, forms, formWords, captionWords] = row;
      const [otherKinds, carried, table, reasons, earlier] = row.slice(10);
      return {
        number, id, title, acidity, leftOpen, follows, tableForms, forms, formWords, captionWords, otherKinds, table,
        reasons, earlier, source: this.data.sources[source][0], short: this.data.sources[source][5],
        carried: new Map(this.data.carried[carried]),
      };
    }

    // words and names, laid out when they are first needed

    get words() {
      if (!this._words) {
        const { jarWords, cannerWords, packWords, cannerFillers } = this.data;
        this._words = new book.Words({
          jars: this.jars,
          canners: this.canners,
          formTitles: this.formTitles,
          packWords,
          cannerFillers,
          jarWords: jarWords.map(([word, jar, kind, amount, which]) => ({
            word, jar, kind, amount, withheld: which < 0 ? null : which,
          })),
          cannerWords: cannerWords.map(([word, canner, which]) => ({
            word, canner, withheld: which < 0 ? null : which,
          })),
        });
      }
      return this._words;
    }

    get names() {
      if (!this._names) {
        const withheld = new book.WithheldNames(() => this._withheldNames(), this._withheldEntries());
        this._names = new book.Names(() => this._testedNames(), this.foods, withheld, this.data.fillers);
      }
      return this._names;
    }

    _testedNames() {
      const { names, means, meanings, forms } = this.data;
      const exact = new Map();
      names.split("\n").forEach((text, at) => {
        const [food, form, pack] = meanings[means[at] >> 1];
        const words = plain(text);
        const meaning = {
          food, form: form < 0 ? "" : forms[form], pack: PACKS[pack], said: means[at] % 2 ? "" : text,
        };
        if (exact.has(words)) exact.get(words).push(meaning);
        else exact.set(words, [meaning]);
      });
      return exact;
    }

    _withheldNames() {
      const { withheldNames, withheldMeans } = this.data;
      return new Map(withheldNames.split("\n").map((name, at) => [name, withheldMeans[at]]));
    }

    _withheldEntries() {
      return this.data.withheld.map(([id, title, code, practice, reason, cited, earlier]) => ({
        id,
        title,
        code,
        isPractice: practice === 1,
        reason,
        cited: this.citation(cited),
        earlier: this.stated(earlier, 0),
      }));
    }

    /** The short name of a source, blank for the guide whose pages are cited bare. */
    shortOf(source) {
      return this.data.sources.find(([id]) => id === source)[5];
    }

    // what stands once and is named by its place

    /** A citation as a document; null where there is none. */
    citation(place) {
      if (place < 0) return null;
      const [source, page] = this.data.cited[place];
      const [id, author, title, series, edition, short] = this.data.sources[source];
      const cite = [author, title, series, edition, pageNamed(page)].filter((part) => part).join(", ");
      return { id, author, title, series, edition, page, short, cite };
    }

    /** A sentence with its page; the minutes that grow with the altitude are filled in. */
    stated(place, feet) {
      if (place < 0) return null;
      const [text, page, cited] = this.data.stated[place];
      const told = typeof text === "string"
        ? text
        : `${text[0]} ${text[1] + book.altitude.furtherMinutes(feet)} ${text[2]}`;
      return { text: told, page, source: this.citation(cited) };
    }

    acid(place) {
      const [acid, quantity, unit, per, jar, use, note, cited, others] = this.data.acids[place];
      const source = this.citation(cited);
      const alternatives = others.map((other) => this.acid(other));
      return { acid, quantity, unit, per, jar, use, note, source, page: source.page, alternatives };
    }

    option(place, feet) {
      const [minutes, psi, from, to, cited, notRecommended, facts] = this.data.options[place];
      const [inches, headspace, requires, vent, rule, cautions, acid] = this.data.facts[facts];
      const source = this.citation(cited);
      return {
        minutes,
        pressure_psi: psi,
        altitude_from_ft: from,
        altitude_to_ft: to,
        headspace_in: inches,
        headspace: headspace.map(([of, variety, page]) => ({ inches: of, variety, page })),
        requires: requires.map((said) => this.stated(said, feet)),
        vent: this.stated(vent, feet),
        source,
        page: source.page,
        by_rule: this.stated(rule, feet),
        cautions: cautions.map((said) => this.stated(said, feet)),
        not_recommended: [...notRecommended],
        acid: acid.map((one) => this.acid(one)),
      };
    }

    /** The process and band of an option, without what goes with it. */
    cell(place) {
      const [minutes, psi, from, to, cited] = this.data.options[place];
      return { minutes, psi, from, to, cited };
    }

    /** Rows of a food by what they are for, and the printed ones in their order. */
    laidOut(food) {
      if (!this._laidOut.has(food.number)) {
        const rows = this.data.tables[food.table].map((row) => this._row(food, row));
        const chart = rows.filter((row) => row.isPrinted);
        this._laidOut.set(food.number, { rows: new Map(rows.map((row) => [keyOf(row.at), row])), chart });
      }
      return this._laidOut.get(food.number);
    }

    _row(food, [form, pack, jar, canner, printed, ...bands]) {
      return { at: this._at(food, form, pack, jar, canner), isPrinted: printed === 1, ...bandsOf(bands) };
    }

    _at(food, form, pack, jar, canner) {
      const { jars, canners } = this;
      return { form: food.tableForms[form], pack: PACKS[pack], jar: jars[jar].id, canner: canners[canner].id };
    }

    /** What is said of a superseded leaflet that gave a process for a combination; null where none did. */
    earlier(food, at) {
      const key = keyOf(at);
      const found = food.earlier.find((way) => keyOf(this._at(food, ...way.slice(0, 4))) === key);
      return found ? this.stated(found[4], 0) : null;
    }

    row(food, at) {
      return this.laidOut(food).rows.get(keyOf(at));
    }

    /** Place of the reason why a combination without a row is refused; null in `about`: it was left out. */
    reason(food, at, about) {
      const form = about.form === null ? 0 : food.tableForms.indexOf(about.form) + 2 || 1;
      const way = [
        this.canners.findIndex((canner) => canner.id === at.canner),
        PACKS.indexOf(about.pack),
        form,
        this.jars.findIndex((jar) => jar.id === at.jar),
        about.jar === null ? 1 : 0,
      ];
      return way.reduce((node, step) => (Array.isArray(node) ? node[step] : node), this.data.reasons[food.reasons]);
    }

    /** An id as people say it; blank for none. */
    inWords(what, id) {
      if (!id && id !== 0) return "";
      if (what === "pack") return `${id} pack`;
      if (what === "form") return this.formTitles.get(id) || id;
      if (what === "food") return this.foods[id].title;
      return (what === "jar" ? this.jarsById : this.cannersById).get(id).title;
    }
  }

  Object.assign(book, { Shelf, pageNamed });
})((globalThis.stillroomBook = globalThis.stillroomBook || {}));
