/* Refusal: why a question has no tested answer, and the tested combinations that come nearest to it (refusal.py). */
"use strict";
(function (book) {
  const { capital, height, listed, span } = book.numbers;
  const MOST = 6;
  const FIELDS = ["form", "pack", "jar", "canner"];

  /** The band an altitude falls in; null above the last published limit. */
  const bandAt = (row, feet) => row.bands.find((band) => band.to === null || feet <= band.to) || null;

  const optionsOf = (held) => (Array.isArray(held) ? held : []);

  function differences(has, asked) {
    return FIELDS.flatMap((field) => {
      const want = asked[field];
      if (want === null) return has[field] ? [`${field}: ${has[field]}`] : [];
      return want === has[field] ? [] : [`${field}: ${has[field] || "none named"} instead of ${want || "none named"}`];
    });
  }

  /** From the lowest to the highest foot that a row is printed for; null: no limit. */
  function reach(cells) {
    const highs = cells.map((cell) => cell.to);
    return [Math.min(...cells.map((cell) => cell.from)), highs.includes(null) ? null : Math.max(...highs)];
  }

  const inOrder = (a, b) => (a < b ? -1 : a > b ? 1 : 0);

  function ranked(one, other) {
    return (
      one.tested.differs.length - other.tested.differs.length ||
      one.off - other.off ||
      FIELDS.reduce((so, field) => so || inOrder(one.at[field], other.at[field]), 0)
    );
  }

  class Refusing {
    constructor(shelf) {
      this.shelf = shelf;
    }

    /** Tested combinations of a food: fewest differences first, then the jar nearest in size. */
    nearest(food, asked, feet, pack = "") {
      return this.shelf
        .laidOut(food)
        .chart.filter((row) => pack === "" || row.at.pack === pack)
        .map((row) => this._near(food, row, asked, feet))
        .filter((near) => near !== null && near.tested.differs.length)
        .sort(ranked)
        .slice(0, MOST)
        .map((near) => near.tested);
    }

    _near(food, row, asked, feet) {
      const cells = row.bands.flatMap((band) => optionsOf(band.held)).map((place) => this.shelf.cell(place));
      if (!cells.length) return null;
      const differs = differences(row.at, asked);
      const band = bandAt(row, feet);
      const here = band ? optionsOf(band.held).map((place) => this.shelf.cell(place)) : [];
      const [low, high] = reach(cells);
      if (!here.length) differs.push(`altitude: ${span(low, high)} instead of ${height(feet)}`);
      const size = (jar) => this.shelf.jarsById.get(jar).volume;
      const off = Math.abs(size(row.at.jar) - size(asked.jar || row.at.jar));
      return { at: row.at, off, tested: this._tested(food, row.at, cells[0], [low, high], differs, here) };
    }

    _tested(food, at, first, [low, high], differs, here) {
      const cited = this.shelf.citation(first.cited);
      const processes = here.map((cell) => ({ minutes: cell.minutes, pressure_psi: cell.psi }));
      const { minutes, pressure_psi } = processes[0] || { minutes: null, pressure_psi: null };
      return {
        food: food.id,
        form: at.form || null,
        pack: at.pack || null,
        jar: at.jar,
        canner: at.canner,
        altitude_from_ft: low,
        altitude_to_ft: high,
        page: cited.page,
        differs,
        processes,
        source: cited.id,
        minutes,
        pressure_psi,
      };
    }

    /** Says of what is nearest that it is not for the canner asked for either, which takes the rows of another. */
    _ofCanner(near, canner) {
      return near.map((tested) => ({
        ...tested,
        differs: [
          `canner: ${tested.canner} instead of ${canner}`,
          ...tested.differs.filter((said) => !said.startsWith("canner: ")),
        ],
      }));
    }

    _taken(at) {
      const { takes } = this.shelf.cannersById.get(at.canner);
      return takes ? { ...at, canner: takes } : at;
    }

    /** Refuse a combination without a row; null in `about`: it was left out. */
    untested(food, at, feet, about) {
      const taken = this._taken(at);
      const place = this.shelf.reason(food, at, about || at);
      const near = () => this.nearest(food, about || taken, feet);
      if (taken !== at) return this._placed(place, food, feet, () => this._ofCanner(near(), at.canner));
      return this._placed(place, food, feet, near, () => this.shelf.earlier(food, at));
    }

    /** Refuse an altitude, or a process too long for the canner: what stands in the place of options. */
    ofBand(place, food, at, feet) {
      const isOfTaken = this.shelf.data.refusals[place][3] === 1;
      const near = isOfTaken
        ? () => this._ofCanner(this.nearest(food, this._taken(at), feet), at.canner)
        : () => this.nearest(food, at, feet);
      return this._placed(place, food, feet, near);
    }

    _placed(place, food, feet, near, earlier) {
      const [code, text, cited] = this.shelf.data.refusals[place];
      const told = text.split("{height}").join(height(feet));
      return new book.Refusal(code, `${food.title}: ${told}`, this.shelf.citation(cited), near, earlier);
    }

    /** Refuse a jar that people have and that no publication here has tested. */
    untestedWord(food, heard, about, feet) {
      const have = new Set(this.shelf.laidOut(food).chart.map((row) => row.at.jar));
      const jars = [...this.shelf.jars].sort((a, b) => a.volume - b.volume).filter((jar) => have.has(jar.id));
      const tested = listed(jars.map((jar) => jar.plural), "and");
      const reason = `${food.title}: ${heard.untested} Tested jars: ${tested}.`;
      return new book.Refusal("jar-not-tested", reason, null, () => this.nearest(food, about, feet));
    }

    /** Refuse a pack that is tested for other kinds of the food than the one that was named. */
    otherKind(food, meaning, at, feet) {
      const [, , text, cited] = food.otherKinds.find(([pack, other]) => pack === meaning.pack && other === at.pack);
      const near = () => this.nearest(food, at, feet, meaning.pack);
      return new book.Refusal("pack-not-tested", capital(meaning.said) + text, this.shelf.citation(cited), near);
    }
  }

  Object.assign(book, { Refusing, bandAt });
})((globalThis.stillroomBook = globalThis.stillroomBook || {}));
