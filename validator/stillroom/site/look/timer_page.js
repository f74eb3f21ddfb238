/* Timer page: the timer of a load on the page: a big clock, what may be said next, and the two files that judge reads. */
"use strict";
(function () {
  const { byId, button, make, store } = globalThis.stillroomPage;
  const timer = globalThis.stillroomTimer;
  const SECOND = 1000;
  const MINUTE = 60 * SECOND;
  const SOON = MINUTE;
  const PRESSURE = ["dial", "weighted"];
  const SAYS = {
    "vent-start": "Steam flows: begin venting",
    "weight-on": "Venting is over: weight on",
    rocking: "The weight rocks: begin the time",
    boil: "It boils: begin the time",
    "steam-full": "Steam fills it: begin the time",
    restart: "It dropped: back to zero",
    "not-rocking": "The weight stopped: back to zero",
    "boil-stopped": "The boil stopped: back to zero",
    "steam-stopped": "The steam stopped: back to zero",
    "heat-off": "Heat off",
    "lock-dropped": "The lock dropped by itself",
  };
  const DROPS = ["restart", "not-rocking", "boil-stopped", "steam-stopped"];
  const STAGES = {
    heating: "Heating",
    venting: "Venting",
    rising: "Coming up: the time has not begun",
    processing: "The time runs",
    cooling: "Heat off: let it cool by itself",
    open: "The load is over",
  };

  let run = null;
  let title = "";
  let said = null;
  let seen = "";
  let lock = null;
  let isTold = false;

  const now = () => Date.now();

  // the clock

  function clock(milliseconds) {
    const seconds = Math.ceil(milliseconds / SECOND);
    const [minutes, rest] = [Math.floor(seconds / 60), String(seconds % 60).padStart(2, "0")];
    return `${minutes}:${rest}`;
  }

  /** What is told of a stage, and whether it is good, bad or neither. */
  function stageOf(shows) {
    const { canner } = run.load;
    if (shows.isHeld && shows.isVented) {
      const more = ["processing", "rising"].includes(shows.stage) ? " Turn the heat off." : ` ${STAGES[shows.stage]}.`;
      return [`All of the time is shown.${more}`, "done"];
    }
    if (shows.stage === "cooling" || shows.stage === "open") return ["The heat went off before all of the time was shown: it does not count.", "bad"];
    if (!shows.isVented && ["rising", "processing"].includes(shows.stage)) {
      const first = shows.stage === "processing" ? "say below that it dropped, " : "";
      return [`Venting was too short: ${first}let the steam flow and begin venting again.`, "bad"];
    }
    if (shows.isSilent) return ["The dial was not read for too long: the time begins anew with the next reading.", "bad"];
    if (shows.dueIn !== null && shows.dueIn <= SOON) return [`Read the dial: due in ${clock(shows.dueIn)}.`, "bad"];
    if (shows.stage === "rising" && canner === "dial") return ["Coming up: note the dial once it shows enough; then the time begins.", ""];
    return [STAGES[shows.stage], ""];
  }

  function tick() {
    if (run === null) return;
    const shows = timer.shows(run, now());
    const [text, kind] = stageOf(shows);
    const counts = shows.isVented || shows.stage === "heating";
    const left = shows.stage === "venting" ? shows.ventLeft : counts ? shows.left : run.load.minutes * MINUTE;
    byId("clock").textContent = clock(left);
    if (byId("stage").textContent !== text) byId("stage").textContent = text;
    byId("stage").className = `stage ${kind}`;
    byId("clock-of").textContent = shows.stage === "venting" ? "left of the venting" : counts ? "left of the process" : "the time does not run";
    if (shows.stage === "processing" && counts) document.title = `${clock(left)} - Stillroom`;
    const state = `${shows.stage} ${shows.isHeld} ${shows.next}`;
    if (state !== seen) {
      seen = state;
      steps(shows);
      if (shows.isHeld && !isTold) call();
      isTold = shows.isHeld;
    }
  }

  /** Three short sounds, where the browser lets a page make any. */
  function call() {
    try {
      const sound = new AudioContext();
      for (const at of [0, 0.5, 1]) {
        const tone = sound.createOscillator();
        tone.connect(sound.destination);
        tone.start(sound.currentTime + at);
        tone.stop(sound.currentTime + at + 0.3);
      }
    } catch {
      // the clock tells it too
    }
  }

  async function stayAwake() {
    const told = byId("awake");
    const isOn = run !== null && !["cooling", "open"].includes(timer.shows(run, now()).stage);
    if (!isOn || !navigator.wakeLock || document.visibilityState !== "visible") {
      if (told) told.textContent = navigator.wakeLock ? "" : "This browser may let the screen sleep; the time goes on by the clock.";
      if (!isOn && lock) {
        lock.release();
        lock = null;
      }
      return;
    }
    try {
      lock = await navigator.wakeLock.request("screen");
      told.textContent = "The screen stays awake while this page is in front.";
    } catch {
      told.textContent = "The screen may sleep; the time goes on by the clock.";
    }
  }

  // what is done

  function keep() {
    if (run === null) store.drop("run");
    else store.set("run", JSON.stringify({ run, title }));
  }

  /** Take a step; what cannot come now is told and changes nothing. */
  function take(step) {
    byId("trouble").textContent = "";
    try {
      run = step();
    } catch (error) {
      if (!(error instanceof globalThis.stillroomBook.BadInput)) throw error;
      byId("trouble").textContent = `${error.message.charAt(0).toUpperCase()}${error.message.slice(1)}.`;
      return;
    }
    seen = "";
    keep();
    tick();
    files();
    stayAwake();
  }

  function did(event) {
    const field = byId("dial");
    const psi = field && field.value.trim() ? field.value.trim() : null;
    take(() => (DROPS.includes(event) ? timer.dropped(run, now(), psi) : timer.did(run, event, now(), psi)));
    if (field) field.value = "";
  }

  function steps(shows) {
    const area = byId("steps");
    const hadFocus = area.contains(document.activeElement);
    area.replaceChildren(...shows.next.map((event) =>
      button(SAYS[event], () => did(event), DROPS.includes(event) ? { class: "dropped" } : {})));
    if (hadFocus) byId("stage").focus();
    byId("reading").hidden = !(PRESSURE.includes(run.load.canner) && ["rising", "processing", "venting"].includes(shows.stage));
  }

  // the files

  function download(name, text) {
    const url = URL.createObjectURL(new Blob([text], { type: "text/plain;charset=utf-8" }));
    const anchor = make("a", "", { href: url, download: name });
    document.body.append(anchor);
    anchor.click();
    anchor.remove();
    setTimeout(() => URL.revokeObjectURL(url), SECOND);
  }

  async function copy(area) {
    try {
      await navigator.clipboard.writeText(area.value);
    } catch {
      area.focus();
      area.select();
      document.execCommand("copy");
    }
    byId("copied").textContent = "Copied.";
  }

  function files() {
    if (run === null) return;
    byId("record").value = timer.record(run);
    byId("log").value = timer.log(run, -new Date().getTimezoneOffset());
  }

  function file(id, name, label) {
    const area = make("textarea", "", { id, readonly: "", spellcheck: "false", rows: "7" });
    return [
      make("p", make("label", label, { for: id })),
      area,
      make("p", [button(`Save ${name}`, () => download(name, area.value)), " ", button(`Copy ${name}`, () => copy(area))]),
    ];
  }

  // the panels

  function field(id, label, attributes = {}) {
    return make("p", [make("label", label, { for: id }), make("input", [], { id, type: "text", maxlength: "60", ...attributes })], { class: "field" });
  }

  const text = (id) => (byId(id) ? byId(id).value.trim() : "");

  function today() {
    const at = new Date();
    return [at.getFullYear(), at.getMonth() + 1, at.getDate()].map((part) => String(part).padStart(2, "0")).join("-");
  }

  /** Ask what a run needs beside the answer. */
  function ready(option) {
    const { answer } = said;
    const area = byId("timer");
    const process = answer.options[option];
    const psi = process.pressure_psi === null ? "" : ` at ${process.pressure_psi} psi`;
    title = `${answer.title}, ${process.minutes} minutes${psi}`;
    const parts = [make("h2", `Time: ${title}`)];
    parts.push(field("load-jars", "Jars in the canner (may be left out)", { inputmode: "numeric" }));
    if (answer.canner === "weighted") parts.push(field("load-weight", "Which weight is on, with psi", { placeholder: `${process.pressure_psi} psi` }));
    if (PRESSURE.includes(answer.canner)) parts.push(field("load-gauge", "The dial reads too high by, psi (may be left out)", { placeholder: "0.5 psi" }));
    parts.push(make("p", "", { id: "trouble", class: "refusal", role: "alert" }));
    const begin = () => start(option);
    parts.push(make("p", [button("Begin", begin), " ", button("Not now", close)]));
    area.replaceChildren(...parts);
    area.hidden = false;
    area.querySelector("input").focus();
  }

  function start(option) {
    const gauge = text("load-gauge");
    const jars = text("load-jars");
    const trouble = byId("trouble");
    if (jars && !/^[1-9][0-9]{0,3}$/.test(jars)) {
      trouble.textContent = "Write the jars as a whole number, like 7.";
      return;
    }
    const load = {
      altitude: said.altitude, date: today(), jars: jars ? Number(jars) : null, weight: text("load-weight") || null,
      gauge: gauge ? { reads_high_by: /psi$/.test(gauge) ? gauge : `${gauge} psi` } : null,
    };
    try {
      run = timer.begin(said.answer, option, load);
    } catch (error) {
      if (!(error instanceof globalThis.stillroomBook.BadInput)) throw error;
      trouble.textContent = `${error.message.charAt(0).toUpperCase()}${error.message.slice(1)}.`;
      return;
    }
    keep();
    running();
    byId("stage").focus();
  }

  function running() {
    const area = byId("timer");
    const reading = make("div", [
      field("dial", "The dial shows, psi", { inputmode: "decimal", maxlength: "8", autocomplete: "off" }),
      button("Note it", () => {
        const psi = text("dial");
        take(() => timer.reading(run, now(), psi));
        byId("dial").value = "";
      }),
    ], { id: "reading", class: "reading" });
    byId("timer").setAttribute("data-running", "");
    area.replaceChildren(
      make("h2", `Timer: ${title}`),
      make("p", "", { id: "stage", class: "stage", role: "status", tabindex: "-1" }),
      make("p", "", { id: "clock", class: "clock", role: "timer", "aria-live": "off" }),
      make("p", "", { id: "clock-of", class: "small" }),
      make("p", "", { id: "trouble", class: "refusal", role: "alert" }),
      reading,
      make("div", [], { id: "steps", class: "steps" }),
      make("p", [button("Take back the last", () => take(() => timer.undo(run)), { class: "plain" }), " ", button("End this timer", end, { class: "plain" })]),
      make("p", "", { id: "awake", class: "small" }),
      make("details", [
        make("summary", "Record and log, to be judged"),
        make("p", "Save both in one folder; then: stillroom judge batch.yaml"),
        ...file("record", "batch.yaml", "The record, batch.yaml"),
        ...file("log", "run.csv", "The log, run.csv"),
        make("p", "", { id: "copied", role: "status" }),
      ], { class: "files" }),
    );
    area.hidden = false;
    seen = "";
    tick();
    files();
    stayAwake();
  }

  /** End the timer; a run that is under way is asked about, since its log goes with it. */
  function end() {
    if (run.rows.length && !globalThis.confirm("End this timer? Its log is gone unless you saved it.")) return;
    close();
  }

  function close() {
    run = null;
    keep();
    stayAwake();
    byId("timer").hidden = true;
    byId("timer").replaceChildren();
    byId("timer").removeAttribute("data-running");
    document.title = "Ask - Stillroom";
    byId("answer").focus();
  }

  // with the answer

  function offer({ said: found, question }) {
    if (found === null || found.kind !== "answer") {
      said = run === null ? null : said;
      return;
    }
    said = { answer: found, altitude: question.altitude };
    if (run !== null) return;
    const buttons = found.options.map((option, place) => {
      const psi = option.pressure_psi === null ? "" : ` at ${option.pressure_psi} psi`;
      return make("li", button(`Time ${option.minutes} minutes${psi}`, () => ready(place)));
    });
    byId("answer").append(make("ul", buttons, { class: "choices screen", "aria-label": "Timer" }));
  }

  function takeUp() {
    try {
      const kept = JSON.parse(store.get("run") || "null");
      if (kept === null) return;
      timer.shows(kept.run, now());
      ({ run, title } = kept);
      running();
    } catch {
      run = null;
      store.drop("run");
    }
  }

  document.addEventListener("stillroom-answered", (event) => offer(event.detail));
  document.addEventListener("visibilitychange", stayAwake);
  setInterval(tick, SECOND / 4);
  takeUp();
  byId("ask").dispatchEvent(new Event("input", { bubbles: false }));
})();
