/* Altitude: from what a person writes to feet above sea level (altitude.py, altitude_words.py).

   A foot is 0.3048 meter (NIST Special Publication 811, 2008, appendix B.8), a mile 5,280 feet (NIST Handbook 44,
   appendix C). Conversion is done in whole numbers. */
"use strict";
(function (book) {
  const { folded, isAscii, letters, shown, spaced, split } = book.letters;
  const { general, quotient, whole } = book.numbers;
  const LOWEST_FT = -1500, HIGHEST_FT = 30000;
  const LONGEST = 60;
  const ACCEPTED = 'write it like "1650 ft" or "503 m"';
  const LOOK_UP = "topographic maps, a phone or GPS receiver, or the local extension office tell the height of a place";
  const FOOT = [1n, 1n], METER = [10000n, 3048n], KILOMETER = [10000000n, 3048n], MILE = [5280n, 1n];
  const UNITS = new Map([
    ...["ft", "foot", "feet", "'"].map((name) => [name, FOOT]),
    ...["m", "metre", "metres", "meter", "meters"].map((name) => [name, METER]),
    ...["km", "kms", "kilometre", "kilometres", "kilometer", "kilometers"].map((name) => [name, KILOMETER]),
    ...["mi", "mile", "miles"].map((name) => [name, MILE]),
  ]);
  const PLAIN =
    /^ *([-+]?)([1-9][0-9]{0,2}(?:,[0-9]{3})+|[0-9]{1,9})(\.[0-9]{1,12})? ?(ft|feet|m|meters) *$/;
  const NUMBER =
    "((?:[1-9][0-9]{0,2}(?:(?:,[0-9]{3})+|(?: [0-9]{3})+)|[0-9]{1,9})(?:\\.[0-9]{1,12})?|\\.[0-9]{1,12})";
  const WRITTEN = new RegExp(
    "^((?:at )?(?:(?:an? |the |my )?(?:elevation|altitude|elev\\.?|alt\\.?)(?: is| of|:)? )?)" +
    `([-+]?) ?${NUMBER} ?((?:(?!\\p{Nd})[\\p{L}\\p{N}])+\\.?|')(?: ?([0-9]{1,2}) ?")?` +
    "(|(?: elevation| altitude| of elevation| of altitude| in elevation| high)?" +
    "(?:| asl| amsl| (above|below) (?:the |mean )?sea[ \\-]level))$", "u");
  const SEA_LEVEL = /^(?:at |below )?(?:the |mean )?sea[ -]?level$/;
  const THOUSANDS = /\.[0-9]{3}$/;
  const alone = (words) => `(?:^|[^\\p{L}\\p{N}_])(?:${words})(?![\\p{L}\\p{N}_])`;
  const GUESS = new RegExp(
    `~|${alone("about|abt|around|approx|approximately|roughly|circa|ca|near|nearly|almost|maybe|some|ish")}`, "u");
  const RANGE = new RegExp(
    "[0-9] ?(?:ft|feet|m|meters)? ?(?:-|to|or|and) ?[0-9]|[<>]|" +
    `${alone("between|over|under|up to|more than|less than|at least|at most|higher than|lower than")}|` +
    "(?:^|[^\\p{L}\\p{N}_])(?:above|below) [0-9]", "u");
  const BARE = /^[-+]?[0-9][0-9, ]*(\.[0-9]+)?$/;
  const DIGIT = new RegExp(
    "[\\p{Nd}\\u00b2\\u00b3\\u00b9\\u1369-\\u1371\\u19da\\u2070\\u2074-\\u2079\\u2080-\\u2089\\u2460-\\u2468" +
    "\\u2474-\\u247c\\u2488-\\u2490\\u24ea\\u24f5-\\u24fd\\u24ff\\u2776-\\u277e\\u2780-\\u2788\\u278a-\\u2792" +
    "\\u{10a40}-\\u{10a43}\\u{10e60}-\\u{10e68}\\u{11052}-\\u{1105a}\\u{1f100}-\\u{1f10a}]", "u");
  const KEYBOARD = [
    [/[\u2010-\u2014\u2212\ufe63]/g, "-"],
    [/[\u2018\u2019\u2032\u02bc]/g, "'"],
    [/[\u201c\u201d\u2033]/g, '"'],
    [/[\uff01-\uff5e]/g, (sign) => String.fromCharCode(sign.charCodeAt(0) - 0xfee0)],
  ];

  const line = (text) => shown(spaced(text));

  /** Feet of a figure in a unit; only the last step rounds. */
  function inFeet(digits, unit, inches = 0) {
    const [before, decimals = ""] = digits.replace(/[, ]/g, "").split(".");
    const top = BigInt(before + decimals) * unit[0], bottom = 10n ** BigInt(decimals.length) * unit[1];
    return quotient(top * 12n + BigInt(inches) * bottom, bottom * 12n);
  }

  /** Lower case and the signs of a plain keyboard, with one space between words. */
  function keyed(text) {
    if (isAscii(text)) return spaced(text).toLowerCase();
    const plain = KEYBOARD.reduce((signs, [from, to]) => signs.replace(from, to), text);
    const opened = letters(plain).map((letter) => (/\p{Zs}/u.test(letter) ? " " : letter)).join("");
    return folded(split(opened).join(" "));
  }

  function whatIsWrong(text, words) {
    const said = line(text);
    if (!said) return `altitude is empty: ${ACCEPTED}`;
    if (BARE.test(words)) return `altitude "${said}" has no unit: write "${said} ft" or "${said} m"`;
    if (GUESS.test(words)) {
      return `altitude "${said}" is a guess, and an altitude band may end beside it: ${ACCEPTED}; ${LOOK_UP}`;
    }
    if (RANGE.test(words)) return `altitude "${said}" is a range and not one height: ${ACCEPTED}; ${LOOK_UP}`;
    const figure = DIGIT.test(said);
    return `altitude "${said}" is not a number with a unit: ${ACCEPTED}${figure ? "" : `; ${LOOK_UP}`}`;
  }

  function dotted(text, digits, unit, small) {
    const plain = digits.replace(/[, ]/g, "");
    const either = small ? `"${plain.replace(/\./g, "")} ${unit}" or ` : "";
    return (
      `altitude "${line(text)}" has a dot before three digits, which may stand for thousands or for a fraction: ` +
      `write ${either}"${general(Number(plain))} ${unit}"`
    );
  }

  /** A height beyond a plain figure: feet, and what was said where it was more. */
  function inWords(text) {
    if (letters(text).length > LONGEST) throw new book.BadInput(whatIsWrong(text, ""));
    const words = keyed(text);
    if (SEA_LEVEL.test(words)) return { feet: 0, said: line(text) };
    const written = WRITTEN.exec(words);
    if (!written) throw new book.BadInput(whatIsWrong(text, words));
    const [, before, sign, digits, named, inches, after, side] = written;
    const name = named.endsWith(".") ? named.slice(0, -1) : named;
    const unit = UNITS.get(name);
    if (!unit) {
      throw new book.BadInput(
        `altitude "${line(text)}" is in a unit other than feet, meters, kilometers or miles: ${ACCEPTED}`);
    }
    const small = unit === FOOT || unit === METER;
    if (THOUSANDS.test(digits) && (small || !["", "0"].includes(digits.split(".")[0]))) {
      throw new book.BadInput(dotted(text, digits, name, small));
    }
    if ((side && sign) || (inches && (name !== "'" || Number(inches) >= 12))) {
      throw new book.BadInput(whatIsWrong(text, words));
    }
    const feet = inFeet(digits, unit, Number(inches || 0));
    const plainly = small && !(before || after || inches || digits.includes(" "));
    const below = sign === "-" || side === "below";
    return { feet: below && feet ? -feet : feet, said: plainly ? "" : line(text) };
  }

  function withinReason(feet, text) {
    if (feet >= LOWEST_FT && feet <= HIGHEST_FT) return feet;
    throw new book.BadInput(
      `altitude "${line(text)}" is ${whole(feet)} ft, where there is no ground: check the figure and its unit`);
  }

  /** Read an altitude: feet, and what of it to say back. */
  function read(text) {
    if (typeof text !== "string") {
      throw new book.BadInput(`altitude ${text} is neither text nor a quantity: ${ACCEPTED}`);
    }
    const plain = PLAIN.exec(text);
    const decimals = plain ? plain[3] || "" : "";
    if (!plain || decimals.length === 4) {
      const found = inWords(text);
      return { feet: withinReason(found.feet, text), said: found.said };
    }
    const feet = inFeet(plain[2] + decimals, plain[4].startsWith("f") ? FOOT : METER);
    return { feet: withinReason(plain[1] === "-" && feet ? -feet : feet, text), said: "" };
  }

  /** Minutes that boiling takes longer at an altitude: one for each full 1,000 ft (rule of altitude.py). */
  const furtherMinutes = (feet) => Math.max(0, Math.floor(feet / 1000));

  book.altitude = { furtherMinutes, read };
})((globalThis.stillroomBook = globalThis.stillroomBook || {}));
