/* Ask page: reads the fields, asks with every key, and shows what comes of it. Whatever is shown is set as text. */
"use strict";
(function () {
  const PARTS = ["food", "altitude", "canner", "jar", "pack", "form"];
  const CHOICES = ["canner", "jar", "pack"];
  const KEPT = ["altitude", "canner"];
  const OWN_WORDS = "?";
  const FIGURE = /\d[\d,]* (?:minutes?|psi)\b/g;
  const MOST_LARGE = 3; // answers that have room at arm's length
  const SPEAK_MS = 700; // a screen reader is told once one has stopped typing
  const REFUSED = / \((?:not recommended|no tested process)\)$/;
  const NAME = "stillroom-";

  const { printable } = globalThis.stillroomBook.letters;
  const byId = (id) => document.getElementById(id);

  /** Make an element with text or children. */
  function make(name, content, attributes = {}) {
    const element = document.createElement(name);
    for (const one of [].concat(content)) element.append(typeof one === "string" ? printable(one) : one);
    for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
    return element;
  }

  function button(text, act, attributes = {}) {
    const made = make("button", text, { type: "button", ...attributes });
    made.addEventListener("click", act);
    return made;
  }

  /** What the browser keeps of us on this device, if it lets us. */
  const store = {
    get(name) {
      try {
        return localStorage.getItem(NAME + name);
      } catch {
        return null;
      }
    },
    set(name, text) {
      try {
        localStorage.setItem(NAME + name, text);
        return true;
      } catch {
        return false;
      }
    },
    drop(name) {
      try {
        localStorage.removeItem(NAME + name);
      } catch {
        // then nothing is kept either
      }
    },
  };

  // the fields

  function value(part) {
    if (!CHOICES.includes(part)) return byId(part).value.trim();
    return byId(part).value === OWN_WORDS ? byId(`${part}-said`).value.trim() : byId(part).value;
  }

  function fill(part, text) {
    if (!CHOICES.includes(part)) {
      byId(part).value = text;
      if (part === "form") byId("form-field").hidden = !text;
      return;
    }
    const options = Array.from(byId(part).options).filter((option) => option.value !== OWN_WORDS);
    const found = options.find((option) => option.value === text || option.text === text);
    byId(part).value = found ? found.value : OWN_WORDS;
    byId(`${part}-said`).value = found ? "" : text;
    byId(`${part}-said`).hidden = Boolean(found);
  }

  /** The question: what is left blank is left out. */
  function asked() {
    const said = {};
    for (const part of PARTS) said[part] = value(part) || null;
    return said;
  }

  // the link

  const link = (said) => `#${PARTS.filter((part) => said[part])
    .map((part) => `${part}=${encodeURIComponent(said[part])}`).join("&")}`;

  function ofLink() {
    const said = {};
    for (const pair of location.hash.slice(1).split("&")) {
      const [part, ...text] = pair.split("=");
      if (!PARTS.includes(part)) continue;
      try {
        said[part] = decodeURIComponent(text.join("=").replace(/\+/g, " ")).slice(0, 300);
      } catch {
        // a broken link says nothing of this part
      }
    }
    return said;
  }

  function putLink(said) {
    const wanted = link(said);
    if (location.hash === wanted || (wanted === "#" && !location.hash)) return;
    try {
      history.replaceState(null, "", wanted);
    } catch {
      location.replace(wanted);
    }
  }

  // what is shown

  /** A text whose figures can be read at arm's length. */
  function figures(text) {
    const parts = [];
    let at = 0;
    for (const found of text.matchAll(FIGURE)) {
      parts.push(text.slice(at, found.index), make("strong", found[0], { class: "figure" }));
      at = found.index + found[0].length;
    }
    return [...parts, text.slice(at)];
  }

  const CLASSES = { required: "required", refusal: "refusal", process: "process-said", caution: "small",
    source: "small", understood: "small", asked: "small" };

  /** The parts of what was told, in their order: headings, paragraphs and lists. */
  function told(parts) {
    const shown = [];
    let list = null;
    for (const { kind, text, role } of parts) {
      if (kind !== "item") list = null;
      if (kind === "gap" || role === "suggestion") continue; // suggestions are buttons
      if (kind === "heading") shown.push(make("h3", text));
      else if (kind === "item") {
        if (list === null) {
          list = make("ul", [], role === "process" ? { class: "figures" } : role === "required" ? { class: "required" } : {});
          shown.push(list);
        }
        list.append(make("li", role === "process" ? figures(text) : text));
      } else shown.push(line(text, role));
    }
    return shown;
  }

  function line(text, role) {
    if (role === "what") return make("h2", text);
    const large = role === "process" || role === "answer";
    return make("p", large ? figures(text) : text, CLASSES[role] || large ? { class: CLASSES[role] || "process-said" } : {});
  }

  /** A name that comes near, without the bracket that says it is refused. */
  const nameOf = (word) => word.replace(REFUSED, "");

  /** Buttons that fill one field each. */
  function choices(part, words, fills = (word) => word) {
    const items = words.map((word) => make("li", button(word, () => {
      fill(part, fills(word));
      answer();
      byId("answer").focus();
    })));
    return make("ul", items, { class: "choices", "aria-label": "Choose one" });
  }

  const page = (food) => `food/${encodeURIComponent(food)}.html`;
  const toPage = (text, href) => make("p", make("a", text, { href }));

  /** What goes with an answer, a refusal or several answers besides their sentences. */
  function beside(said) {
    if (said.kind === "answer") {
      return [toPage("Every printed time of this food, its recipe, and what to do if something goes wrong", page(said.food))];
    }
    if (said.kind === "say-which") return [make("h2", `Say which ${said.what}`), choices(said.what, said.choices)];
    if (said.kind !== "refusal") return [];
    if (said.suggestions.length) return [make("h3", "Did you mean"), choices("food", said.suggestions, nameOf)];
    const entry = globalThis.stillroomData.withheld.find((row) => row[4] === said.reason);
    return entry ? [toPage("More about it, and what else is refused", `withheld.html#${encodeURIComponent(entry[0])}`)] : [];
  }

  /** The reason of bad input; what speaks of the command line is told as a page here. */
  function reason(said, question) {
    if (said.kind !== "bad-input" || question.altitude) return stillroomTell(said);
    const [text] = said.reason.split("; ");
    return [{ kind: "line", text: `${text}.`, role: "hint" }];
  }

  function tables(question) {
    const probe = stillroomAsk({ ...question, altitude: "0 ft", jar: null, canner: null, pack: null, form: null });
    const foods = probe.kind === "answer" ? [probe] : probe.kind === "say-which" ? probe.answers : [];
    return Array.from(new Map(foods.map((one) => [one.food, one.title])), ([food, title]) =>
      toPage(`Every altitude of ${title}`, page(food)));
  }

  const HINT = "Type a food. What you leave open is answered for every way that is tested.";

  /** A refusal is framed otherwise, and many answers are set smaller. */
  function kindOf(said) {
    if (said === null || said.kind === "answer") return "";
    if (said.kind === "refusal") return " no";
    return said.kind === "say-which" && said.answers.length > MOST_LARGE ? " many" : "";
  }

  function show(said, question) {
    const area = byId("answer");
    area.replaceChildren();
    area.className = `answer${kindOf(said)}`;
    if (said === null) {
      area.append(make("p", HINT, { class: "hint" }));
      return "";
    }
    const parts = reason(said, question);
    if (said.kind === "refusal") area.append(make("h2", said.code === "unknown-food" ? "Not known here" : "No"));
    if (said.kind === "bad-input") area.append(make("h2", "Say a little more"));
    if (said.kind === "say-which") area.append(...beside(said), ...told(parts));
    else area.append(...told(parts), ...beside(said));
    if (said.kind === "bad-input" && !question.altitude) area.append(...tables(question));
    area.append(...otherAltitude(question));
    return spoken(said, parts);
  }

  /** What a screen reader is told: the answer in short. */
  function spoken(said, parts) {
    const roles = ["what", "process", "refusal", "open", "bad-input", "hint"];
    return parts.filter(({ role, kind }) => roles.includes(role) && kind !== "gap").map(({ text }) => text).join(" ");
  }

  /** A link of somebody else carries their altitude. */
  function otherAltitude(question) {
    const kept = store.get("altitude");
    if (!linked || !kept || !question.altitude || kept === question.altitude) return [];
    return [make("p", [`This link is for ${question.altitude}. Kept here as yours: ${kept}. `, button("Use mine", () => {
      fill("altitude", kept);
      linked = false;
      answer();
    }, { class: "plain" })], { class: "notice" })];
  }

  let linked = false;
  let last = null;
  let speaking = 0;

  function speak(text) {
    clearTimeout(speaking);
    speaking = setTimeout(() => {
      byId("status").textContent = text;
    }, SPEAK_MS);
  }

  /** Ask with what stands in the fields, and show what comes of it. */
  function answer() {
    const question = asked();
    const said = question.food ? stillroomAsk(question) : null;
    last = said;
    speak(show(said, question));
    putLink(question);
    document.dispatchEvent(new CustomEvent("stillroom-answered", { detail: { said, question } }));
  }

  // what is kept

  function tellKept() {
    const has = KEPT.some((part) => store.get(part));
    const works = store.set("try", "1");
    store.drop("try");
    byId("kept").textContent = works
      ? has ? "Your altitude and canner are kept in this browser." : "Your altitude and canner will be kept in this browser."
      : "This browser keeps nothing: say your altitude each time.";
    byId("forget").hidden = !has;
  }

  /** Whether a field that is kept can be understood by itself, whatever else is asked. */
  function isUnderstood(part) {
    if (!value(part)) return true;
    if (part === "canner") return byId(part).value !== OWN_WORDS || (last !== null && last.kind !== "bad-input");
    try {
      globalThis.stillroomBook.altitude.read(value(part));
      return true;
    } catch {
      return false;
    }
  }

  /** Keep a field once it is left and understood. Nothing is shown anew: a button would go from under a finger. */
  function keep(part) {
    if (!KEPT.includes(part) || !isUnderstood(part)) return;
    linked = false;
    if (value(part)) store.set(part, value(part));
    else store.drop(part);
    tellKept();
  }

  function begin() {
    const said = ofLink();
    linked = Boolean(said.altitude);
    for (const part of PARTS) fill(part, said[part] || "");
    if (!Object.keys(said).some((part) => part !== "food")) {
      for (const part of KEPT) fill(part, store.get(part) || "");
    }
    answer();
  }

  function listen() {
    const form = byId("ask");
    form.addEventListener("submit", (event) => event.preventDefault());
    form.addEventListener("input", (event) => {
      const part = event.target.id.replace("-said", "");
      if (CHOICES.includes(event.target.id)) byId(`${part}-said`).hidden = event.target.value !== OWN_WORDS;
      answer();
    });
    form.addEventListener("change", (event) => keep(event.target.id.replace("-said", "")));
    form.addEventListener("keydown", (event) => {
      if (event.key === "Enter" && event.target.tagName === "INPUT") event.target.blur();
    });
    byId("clear").addEventListener("click", () => {
      for (const part of ["food", "jar", "pack", "form"]) fill(part, "");
      answer();
      byId("food").focus();
    });
    byId("forget").addEventListener("click", () => {
      for (const part of KEPT) store.drop(part);
      tellKept();
      byId("food").focus();
    });
    addEventListener("hashchange", begin);
  }

  /** Lay out names in the idle moments before the first key. */
  function prepare() {
    if (!stillroomAsk.prepare()) setTimeout(prepare, 0);
  }

  globalThis.stillroomPage = { byId, button, make, store };
  byId("ask").hidden = false;
  byId("answer").setAttribute("tabindex", "-1");
  listen();
  tellKept();
  begin();
  setTimeout(prepare, 0);
})();
