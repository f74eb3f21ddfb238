/* Audit amounts: what a cell says of acid and of headspace, held against what is published for its jar
   (foreign/amounts.py).

   1 US cup is 16 tablespoons, 1 tablespoon 3 teaspoons (NIST Handbook 44, appendix C); an inch is 2.54 cm exactly. */
"use strict";
(function (book) {
  const { audit } = book;
  const { WORD, folded, number, ofWhole, roundsTo, same } = audit;
  const { Fraction } = book.numbers;
  const { folded: caseless, trimmed } = book.letters;
  const TEASPOONS = { tsp: 1, teaspoon: 1, tbsp: 3, tbs: 3, tablespoon: 3, cup: 48 };
  const END = `(?!${WORD})`;
  const AMOUNT = new RegExp(
    "(?<much>[0-9]+[ -][0-9]+/[0-9]+|[0-9]+/[0-9]+|[0-9]+(?:\\.[0-9]+)?) ?" +
    `(?<unit>tbsp|tbs|tablespoon|tsp|teaspoon|cup)s?${END}\\.?(?: of)?(?<acid>[^0-9;]*)`, "gu");
  const ACIDS = ["lemon", "citric", "vinegar", "lime"];
  const KNOWN = new RegExp(
    `(?<!${WORD})(?:bottled|lemon|lime|juice|citric|acid|vinegar|of|or|per|each|in|to|add|jar|jars|a|the|with|5|and|` +
    `percent|acidity|powdered|commercial)${END}|[%(),./+:\\-]`, "gu");
  const HEADSPACE = new RegExp(
    "^(?<much>[0-9]+[ -][0-9]+/[0-9]+|[0-9]+/[0-9]+|[0-9]*\\.?[0-9]+) ?-?" +
    `(?<unit>inch(?:es)?|in${END}\\.?|"|cm${END}|mm${END})?$`, "u");
  const CM = new Fraction(254n, 100n);
  const exactly = (quantity) => Fraction.read(String(quantity));

  const acidOf = (told) => ACIDS.find((word) => told.includes(word)) || "";

  /** What of a text is neither acid nor jar. */
  const rest = (told, words) => words.read(told.replace(KNOWN, " ")).left;

  /** The acids of a cell, alternatives one after the other; empty where it is not understood to its last word. */
  function acids(text, head, words) {
    const alone = (letter) => new RegExp(`(?<!${WORD})${letter}${END}\\.?`, "gu");
    const line = folded(text).replace(/\n/g, " ").replace(alone("T"), "tbsp").replace(alone("t"), "tsp");
    const said = caseless(line), over = caseless(head);
    const hits = [...said.matchAll(AMOUNT)];
    if (!hits.length) return [];
    const before = said.slice(0, hits[0].index);
    if (before.replace(/[ ,.;:]+/g, "") && rest(before, words)) return [];
    const only = ACIDS.filter((acid) => said.includes(acid));
    const named = acidOf(over) || (only.length === 1 ? only[0] : "");
    const isBottled = over.includes("bottled") || said.includes("bottled");
    const found = [];
    for (const { groups } of hits) {
      const acid = acidOf(groups.acid) || named, much = number(groups.much);
      if (rest(groups.acid, words) || !acid || much === null) return [];
      const teaspoons = much.times(ofWhole(TEASPOONS[groups.unit]));
      found.push({ teaspoons, acid, isBottled, jars: words.read(groups.acid).jars });
    }
    return found;
  }

  /** Acid that goes into each jar, with its alternatives one after the other. */
  function needed(options) {
    const found = new Map();
    for (const acid of options.flatMap((option) => option.acid).filter((one) => one.per === "jar")) {
      for (const one of [{ ...acid, alternatives: [] }, ...acid.alternatives]) {
        const key = JSON.stringify(one);
        if (!found.has(key)) found.set(key, one);
      }
    }
    return [...found.values()];
  }

  const least = (acid) => exactly(acid.quantity).times(ofWhole(TEASPOONS[acid.unit] || 1));

  const held = (verdict, published, why = "") => ({ verdict, published, why });

  /** Hold one stated acid against those of one jar. */
  function holdOne(amount, published, said) {
    const [acid] = published.filter((one) => acidOf(one.acid) === amount.acid);
    if (!acid) return held("untested", said, `No amount of ${amount.acid} is published for this jar.`);
    const more = amount.teaspoons.against(least(acid));
    if (more < 0) return held("weaker", said);
    if (acid.acid.includes("bottled") && !amount.isBottled) {
      return held("unread", said, "It must be bottled juice: fresh juice differs in its acid.");
    }
    return held(more > 0 ? "stronger" : "same", said);
  }

  /** Hold stated acids against those published for each jar of the row. */
  function holdAcid(amounts, byJar, said) {
    if (!amounts.length) return held("unread", said, "What it says of the acid is not understood.");
    let isMore = false;
    for (const amount of amounts) {
      const own = amount.jars.filter((jar) => byJar.has(jar));
      for (const jar of own.length || amount.jars.length ? own : [...byJar.keys()]) {
        const found = holdOne(amount, byJar.get(jar), said);
        if (found.verdict === "stronger") isMore = true;
        else if (found.verdict !== "same") return found;
      }
    }
    const isShared = byJar.size > 1 && !amounts.some((amount) => amount.jars.length);
    return held(isMore && !isShared ? "stronger" : "same", said);
  }

  /** A headspace: its value, and whether it is in centimeters; null where it is none. */
  function headspace(text, unit) {
    const said = trimmed(caseless(folded(text)).split("headspace").join("")).replace(/\.+$/, "");
    const each = said.replace(/\([^()]*\)/g, " ").split(" or ");
    if (each.length > 1) { // one for each variety: the least of them decides
      const read = each.map((one) => headspace(one, unit));
      if (read.includes(null) || new Set(read.map((one) => one.metric)).size > 1) return null;
      return read.reduce((small, one) => (one.value.against(small.value) < 0 ? one : small));
    }
    const hit = HEADSPACE.exec(said);
    if (hit === null) return null;
    const { much, unit: written } = hit.groups;
    const value = number(much.startsWith(".") ? `0${much}` : much);
    if (value === null) return null;
    if (written === "mm") return { value: audit.over(value, ofWhole(10)), metric: true };
    return { value, metric: written === "cm" || (!written && unit === "centimeters") };
  }

  function mixed(value) {
    const whole = value.top / value.bottom, part = new Fraction(value.top % value.bottom, value.bottom);
    if (!part.top) return String(whole);
    return whole ? `${whole}-${part}` : String(part);
  }

  /** Hold a headspace against what is published; null where nothing is. */
  function holdHeadspace(stated, options) {
    const rows = options.flatMap((option) => option.headspace).map((row) => exactly(row.inches));
    const inches = [...new Map(rows.map((value) => [String(value), value])).values()].sort((a, b) => a.against(b));
    if (!inches.length) return null;
    const said = inches.map((value) => `${mixed(value)} inch`).join(" or ");
    if (stated === null) return held("unread", said, "What it says of the headspace is not understood.");
    const { value, metric } = stated;
    if (inches.some((one) => same(value, one) || (metric && roundsTo(one.times(CM), value)))) return held("same", said);
    const low = metric ? inches[0].times(CM) : inches[0];
    return held(value.against(low) < 0 ? "weaker" : "stronger", said);
  }

  audit.amounts = { acids, headspace, holdAcid, holdHeadspace, needed };
})((globalThis.stillroomBook = globalThis.stillroomBook || {}));
