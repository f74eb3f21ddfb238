/* Timer: a canner load from heating to the open lid, and its record and log as "stillroom judge" reads them.

   A run is a plain object of a load and rows; it can be kept as JSON and taken up again. A function gives a new one.
   Times are milliseconds since 1970, from a clock that never goes forward by itself while the page sleeps or is set:
   a row is never earlier than the one before it, so that no time is credited that did not pass.

   The rules of the time stand in the library (verdict.py, watched.py); here the timer stops where they would not count:
   it begins with the sign of the canner, or with a reading of the dial at the pressure that is required, begins anew
   after every drop, and ends with the heat. */
"use strict";
(function (book) {
  const { shown, spaced } = book.letters;
  const { Fraction } = book.numbers;
  const MINUTE = 60000;
  const GAP_MIN = 10; // longest silence of a dial (the project's own, no source), as in batch.py
  const FEWEST_READINGS = 3; // that show a stretch (the project's own, no source), as in verdict.py
  const LOG = "run.csv";
  const SIGNS = {
    dial: { on: null, off: "restart" },
    weighted: { on: "rocking", off: "not-rocking" },
    "boiling-water": { on: "boil", off: "boil-stopped" },
    steam: { on: "steam-full", off: "steam-stopped" },
  };
  const PRESSURE = ["dial", "weighted"];
  const PLAIN = /^(?:[0-9]+(\.[0-9]+)? (ft|m)|[a-z0-9]+([.\-][a-z0-9]+)*|[0-9]{4}-[0-9]{2}-[0-9]{2})$/;
  const WORDS_OF_YAML = ["null", "true", "false", "yes", "no", "on", "off", "y", "n"];
  const FIGURE = /^[-+]?(?:[0-9]{1,3}(?:\.[0-9]{1,6})?|\.[0-9]{1,6}|[0-9]{1,3}\/[1-9][0-9]{0,2})$/;

  function figure(text, what, example) {
    const said = String(text).trim();
    if (!FIGURE.test(said)) throw new book.BadInput(`${what} "${said}" is not a figure: write it like "${example}"`);
    const size = Fraction.read(said.replace(/^[-+]/, "").replace(/^\./, "0."));
    return said.startsWith("-") ? size.negative() : size;
  }

  /** A pressure as it was said, which must be in psi. */
  function inPsi(text, what) {
    const said = /^(.*?) *psi$/.exec(spaced(text));
    if (!said) throw new book.BadInput(`${what} "${shown(text)}" is not in psi: write it like "0.5 psi"`);
    return figure(said[1], what, "0.5 psi");
  }

  /** What a gauge shows too much, psi; nothing where it was not told. */
  const errorOf = ({ gauge }) =>
    (gauge && gauge.reads_high_by ? inPsi(gauge.reads_high_by, "gauge error") : Fraction.read("0"));

  /** A run that has not begun, of an answer (schema/answer.json) and one of its options, counted from 0. */
  function begin(answer, option, said) {
    const { food, form, pack, jar, canner, options } = answer;
    const { minutes, pressure_psi: psi } = options[option];
    if (!(said.altitude && /^\d{4}-\d\d-\d\d$/.test(said.date))) {
      throw new book.BadInput("the run needs the altitude as it was said, and its day, like 2026-08-15");
    }
    const load = {
      food, form, pack, jar, canner, minutes, psi, isOneOf: options.length > 1, altitude: said.altitude,
      date: said.date, jars: said.jars || null, weight: said.weight || null, gauge: said.gauge || null,
      note: shown(spaced(said.note || ""), 2000),
      ventMin: globalThis.stillroomData.ventMin,
    };
    holdTo(load);
    return { load, rows: [] };
  }

  /** Refuse a load that could not be delivered, whatever its run: a weight too light, a gauge too far off. */
  function holdTo(load) {
    const { gaugeLimitPsi } = globalThis.stillroomData;
    const error = errorOf(load), limit = Fraction.read(String(gaugeLimitPsi));
    if (error.against(limit) > 0 || error.negative().against(limit) > 0) {
      throw new book.BadInput(
        `gauge error "${load.gauge.reads_high_by}" is more than ${gaugeLimitPsi} psi: the gauge must be replaced`);
    }
    if (load.canner !== "weighted") return;
    const needed = `${load.psi} psi`;
    if (!load.weight) throw new book.BadInput(`which weight is on is not said: write it like "${needed}"`);
    if (inPsi(load.weight, "weight").against(Fraction.read(String(load.psi))) < 0) {
      throw new book.BadInput(`weight "${load.weight}" is lighter than the ${needed} that are required`);
    }
  }

  // from rows to where the run stands

  const start = ({ canner }) => ({
    stage: "heating",
    vent: null,
    vented: null,
    from: null,
    last: null,
    until: null,
    needsVent: PRESSURE.includes(canner),
  });

  const anew = (stand) => ({ ...stand, from: null, last: null });

  /** Longest silence between two readings of a dial, milliseconds. */
  const gapOf = ({ minutes }) => Math.min(GAP_MIN * MINUTE, (minutes * MINUTE) / (FEWEST_READINGS - 1));

  /**
   * A reading: below the pressure that is required the time begins anew. At it the time of a dial begins, or goes on;
   * it begins anew too after a silence that is too long to show anything.
   */
  function read(stand, { at, psi }, load) {
    if (!["rising", "processing"].includes(stand.stage) || !PRESSURE.includes(load.canner)) return stand;
    const wanted = Fraction.read(String(load.psi)).plus(errorOf(load));
    if (figure(psi, "reading", "11.5").against(wanted) < 0) return { ...anew(stand), stage: "rising" };
    if (load.canner !== "dial") return stand;
    const goesOn = stand.stage === "processing" && at - stand.last <= gapOf(load);
    return { ...stand, stage: "processing", from: goesOn ? stand.from : at, last: at };
  }

  function happened(stand, { at, event }, { canner }) {
    const { on, off } = SIGNS[canner];
    if (event === "vent-start") return { ...anew(stand), stage: "venting", vent: at, vented: null };
    if (event === "weight-on") return { ...anew(stand), stage: "rising", vented: at - stand.vent };
    if (event === off) return { ...anew(stand), stage: stand.needsVent ? "rising" : "heating" };
    if (event === on) return stand.stage === "processing" ? stand : { ...anew(stand), stage: "processing", from: at };
    if (event === "heat-off") return { ...stand, stage: "cooling", until: at };
    return event === "lock-dropped" ? { ...stand, stage: "open" } : stand;
  }

  function stands({ load, rows }) {
    return rows.reduce((stand, row) => {
      const after = row.event ? happened(stand, row, load) : stand;
      return row.psi === null || row.event === SIGNS.dial.off ? after : read(after, row, load);
    }, start(load));
  }

  /** What may be said next at each stage. */
  function nextOf(stage, canner) {
    const { on, off } = SIGNS[canner];
    const isPressure = PRESSURE.includes(canner);
    const sign = on ? [on] : [];
    const next = {
      heating: isPressure ? ["vent-start"] : sign,
      venting: ["weight-on"],
      rising: [...sign, "vent-start", "heat-off"],
      processing: [...sign, off, "heat-off"],
      cooling: [on || off, ...(isPressure ? ["lock-dropped"] : [])],
      open: isPressure ? ["vent-start"] : [],
    };
    return next[stage];
  }

  /** Whether all of the time is shown, up to a moment: for a dial by its readings. */
  const isHeld = (stand, load, until) =>
    stand.from !== null && (load.canner === "dial" ? stand.last : until) - stand.from >= load.minutes * MINUTE;

  /**
   * Where a run stands at a time: `stage` (heating, venting, rising, processing, cooling, open), `next` (what may be
   * said), milliseconds of venting and of the time that are left, `isHeld` (all of the time is shown), and for a dial
   * `dueIn`, milliseconds until a reading is due, and `isSilent`, that it was left too long: the time begins anew.
   */
  function standsAt(run, now) {
    const { load } = run;
    const stand = stands(run);
    const isRunning = stand.stage === "processing";
    const until = isRunning ? now : stand.until || now;
    const ventLeft = stand.stage === "venting" ? Math.max(0, stand.vent + load.ventMin * MINUTE - now) : 0;
    const isRead = load.canner === "dial" && isRunning;
    const left = stand.from === null ? load.minutes * MINUTE : Math.max(0, stand.from + load.minutes * MINUTE - until);
    return {
      stage: stand.stage,
      next: nextOf(stand.stage, load.canner),
      ventLeft,
      isVented: !stand.needsVent || (stand.vented !== null && stand.vented >= load.ventMin * MINUTE),
      left,
      elapsed: stand.from === null ? 0 : Math.max(0, until - stand.from),
      isHeld: isHeld(stand, load, until),
      dueIn: isRead ? Math.max(0, Math.min(stand.last + gapOf(load) - now, left)) : null,
      isSilent: isRead && now - stand.last > gapOf(load),
    };
  }

  // what is noted

  function noted(run, at, row) {
    const before = run.rows.length ? run.rows[run.rows.length - 1].at : -Infinity;
    return { ...run, rows: [...run.rows, { at: Math.max(at, before + 1), event: "", psi: null, note: "", ...row }] };
  }

  /** Note what happened, with what the dial showed where it was read. */
  function did(run, event, at, psi = null) {
    const next = nextOf(stands(run).stage, run.load.canner);
    if (!next.includes(event)) {
      throw new book.BadInput(`"${event}" cannot come now: ${next.join(" or ") || "it is over"}`);
    }
    if (psi !== null) figure(psi, "reading", "11.5");
    return noted(run, at, { event, psi: psi === null ? null : String(psi).trim() });
  }

  /** Say that the pressure, the boil or the steam dropped: the time begins anew once it is back. */
  const dropped = (run, at, psi = null) => did(run, SIGNS[run.load.canner].off, at, psi);

  /** Note a reading of the dial, psi. */
  function reading(run, at, psi) {
    if (figure(psi, "reading", "11.5").against(Fraction.read("0")) < 0) {
      throw new book.BadInput(`reading "${psi}" is below zero: write what the dial shows, like "11.5"`);
    }
    return noted(run, at, { psi: String(psi).trim() });
  }

  const remark = (run, at, note) => noted(run, at, { note: shown(spaced(note), 200) });

  /** Take back what was noted last. */
  const undo = (run) => ({ ...run, rows: run.rows.slice(0, -1) });

  // the two files

  /** A time of the wall clock in ISO 8601, with its zone: minutes east of Greenwich. */
  function iso(at, zone) {
    const local = new Date(at + zone * MINUTE).toISOString().slice(0, -1);
    const [hours, minutes] = [Math.floor(Math.abs(zone) / 60), Math.abs(zone) % 60];
    return `${local}${zone < 0 ? "-" : "+"}${String(hours).padStart(2, "0")}:${String(minutes).padStart(2, "0")}`;
  }

  const cell = (text) => (/[",\r\n]/.test(text) ? `"${text.replace(/"/g, '""')}"` : text);

  /** A reading as a decimal, which a log asks for; psi. */
  function decimal(psi) {
    if (psi === null) return "";
    return psi.includes("/") ? String(figure(psi, "reading", "11.5").toNumber()) : psi;
  }

  /** The log of a run (CSV); `zone`: minutes east of Greenwich. */
  function log({ load, rows }, zone) {
    const hasDial = PRESSURE.includes(load.canner);
    const head = hasDial ? "time,gauge_psi,event,note" : "time,event,note";
    const lines = rows.map(({ at, event, psi, note }) =>
      [iso(at, zone), ...(hasDial ? [decimal(psi)] : []), event, cell(note)].join(","));
    return `${[head, ...lines].join("\n")}\n`;
  }

  function quoted(value) {
    return PLAIN.test(value) && !WORDS_OF_YAML.includes(value) && !/^[0-9.]+$/.test(value)
      ? value
      : JSON.stringify(value).replace(/[\x7f-\x9f\u2028\u2029\ufeff\ufffe\uffff]/g, escapedSign);
  }

  const escapedSign = (sign) => `\\u${sign.charCodeAt(0).toString(16).padStart(4, "0")}`;

  /** The record of a run (YAML), for a log that is called run.csv. */
  function record({ load }) {
    const { food, form, pack, jar, altitude, canner, date, weight, note } = load;
    const said = { food, form, pack, jar, altitude, canner, date: null, run: LOG };
    said.weight = canner === "weighted" ? weight : null;
    said.note = note || null;
    const lines = Object.entries(said).filter(([, value]) => value).map(([key, value]) => `${key}: ${quoted(value)}`);
    lines.push(`date: ${date}`);
    if (load.jars) lines.push(`jars: ${load.jars}`);
    if (load.isOneOf) lines.push(`option: {minutes: ${load.minutes}}`);
    const gauge = Object.entries(load.gauge || {}).filter(([, value]) => value);
    if (gauge.length && PRESSURE.includes(canner)) {
      lines.push(`gauge: {${gauge.map(([key, value]) => `${key}: ${quoted(value)}`).join(", ")}}`);
    }
    return `${lines.join("\n")}\n`;
  }

  book.timer = { begin, did, dropped, log, reading, record, remark, shows: standsAt, undo };
  globalThis.stillroomTimer = book.timer;
})((globalThis.stillroomBook = globalThis.stillroomBook || {}));
