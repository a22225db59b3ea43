"use strict";
// Keeps the entries of a field checklist in this browser and sends them home as one file. No network is used.
// Entries are only ever added: a correction is a new entry, and the old ones stay in the history.

const form = JSON.parse(document.getElementById("form").textContent);
const PHOTO_SIDE = 1600, PHOTO_QUALITY = 0.8, NEARLY_FULL = 0.8;
const entries = new Map();      // line id -> entries, oldest first
const photos = new Map();       // photo id -> {id, key, line, blob, width, height}
const inMemoryOnly = new Set(); // ids that the browser refused to keep
let database = null;

// ---- store -----------------------------------------------------------------

function open() {
  return new Promise((resolve, reject) => {
    const request = indexedDB.open("permitgen field checklist", 1);
    request.onupgradeneeded = () => {
      for (const name of ["entries", "photos"]) request.result.createObjectStore(name, { keyPath: "id" }).createIndex("key", "key");
      request.result.createObjectStore("session", { keyPath: "key" });
    };
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
    request.onblocked = () => reject(new Error("blocked"));
  });
}

function stored(name, action, mode = "readonly") {
  return new Promise((resolve, reject) => {
    const transaction = database.transaction(name, mode);
    const request = action(transaction.objectStore(name));
    transaction.oncomplete = () => resolve(request.result);
    transaction.onerror = transaction.onabort = () => reject(transaction.error || request.error);
  });
}

async function keep(name, thing) {
  try {
    if (!database) throw new Error("no storage");
    await stored(name, store => store.put(thing), "readwrite");
  } catch (error) {
    inMemoryOnly.add(thing.id);
    const full = error && error.name === "QuotaExceededError";
    banner("storage", "fail", (full ? "The storage of this browser is full. " : "This browser does not keep entries. ") +
      "What you enter now is lost when the page closes: send the results before you close it.");
  }
  warnWhenNearlyFull();
}

async function warnWhenNearlyFull() {
  if (!navigator.storage || !navigator.storage.estimate) return;
  const { usage, quota } = await navigator.storage.estimate();
  if (quota && usage / quota > NEARLY_FULL) banner("nearly", "warn", "The storage of this browser is nearly full. Send the results soon.");
}

function newId() {
  return Array.from(crypto.getRandomValues(new Uint8Array(16)), byte => byte.toString(16).padStart(2, "0")).join("");
}

// ---- rules: the same as those of the program that takes the results in ------

const EITHER = /^[-+]?[1-9][0-9]{0,2},[0-9]{3}$/;   // 2,400 may be two thousand or two and a bit
const NUMBER = /^[-+]?[0-9]{1,9}(?:\.[0-9]{0,6})?$/;

function numberIn(text) {
  const typed = (text || "").trim().replaceAll("−", "-"), plain = typed.replaceAll(",", ".");
  return NUMBER.test(plain) && !EITHER.test(typed) ? Number(plain) : null;
}

// Units as people type them, small letters without blanks and points.
const squeezed = word => word.toLowerCase().replace(/[\s·.\-⋅°]/g, "").replace("ω", "ohm").replace(/[μµ]/, "u").replace("²", "2");
const SPELLINGS = Object.fromEntries([["lbfin", "inlb inlbs inlbf inlbsf lbin lbsin lbfin lbsfin inchlb inchlbs inchpound inchpounds poundinches inpounds"],
  ["v", "volt volts vac vdc"], ["a", "amp amps ampere amperes"], ["s", "sec secs second seconds"], ["mohm", "megohm megohms mohms megaohm megaohms meg megs"],
  ["ohm", "ohms"], ["c", "degc celsius"], ["w/m2", "w/m^2 wm2"]].flatMap(([unit, words]) => words.split(" ").map(word => [word, unit])));
const MILLI = /^m\s*(Ω|Ω|ohms?)$/;
const PARTS = { "½": "1/2", "¼": "1/4", "¾": "3/4" };

// 44 1/2 and 44½ are 44.5. Halves to sixteenths only: 120/240 is no fraction, but two readings in one field.
function withoutFraction(text) {
  const plain = text.replace(/[½¼¾]/, part => ` ${PARTS[part]}`);
  return plain.replace(/^\s*(?:([0-9]{1,6})[ -]+|\s*)([0-9]{1,2})\/(2|4|8|16)(?![0-9/])/, (whole, first, above, below) =>
    Number(above) < Number(below) ? String(Number((Number(first || 0) + above / below).toFixed(6))) : whole);
}

// Above this a bare number may as well be a mild day in °F.
const WARM_C = 45;

// A number as people type it: a decimal comma, and the unit of the line behind it. Another unit is not converted but refused.
function asTyped(given, unit) {
  const text = withoutFraction(given || ""), [, number, tail] = /^\s*([-+−]?[0-9.,]*)\s*(.*?)\s*$/s.exec(text);
  const bare = word => Object.hasOwn(SPELLINGS, squeezed(word)) ? SPELLINGS[squeezed(word)] : squeezed(word);
  if (MILLI.test(tail) && /^M/.test(unit || "")) return { text, fault: `This line is in ${unit}, a million ohms; “${tail}” may be a thousandth of one. Write ${unit}, or the number alone.` };
  if (number && tail && !/[0-9]/.test(tail) && bare(tail) !== bare(unit || "")) return { text, fault: unit ? `This line is in ${unit}: give the number in ${unit}.` : "A number alone is needed here." };
  if (unit === "°C" && !tail && numberIn(number) > WARM_C) return { text, fault: `${number}: °C or °F? Write ${number} C, or the number in °C.` };
  if (EITHER.test(number.replaceAll("−", "-"))) return { text, fault: `${number}: write ${number.replace(",", "")}, or ${number.replace(",", ".")} with a point.` };
  return { text: number && tail && bare(tail) === bare(unit || "") ? number : text, fault: "" };
}

// How far the clock on the wall is from UTC, as -06:00: the record tells the day of the place.
function zoneHere() {
  const minutes = -new Date().getTimezoneOffset(), two = number => String(Math.floor(number)).padStart(2, "0");
  return `${minutes < 0 ? "-" : "+"}${two(Math.abs(minutes) / 60)}:${two(Math.abs(minutes) % 60)}`;
}

const localTime = at => { const time = new Date(at), two = number => String(number).padStart(2, "0");
  return Number.isNaN(time.getTime()) ? at : `${time.getFullYear()}-${two(time.getMonth() + 1)}-${two(time.getDate())} ${two(time.getHours())}:${two(time.getMinutes())}`; };

function around(target, percent) {
  const share = (percent || 0) / 100;
  return [target * (1 - share), target * (1 + share)];
}

function expectedOf(rule, inputs) {
  if (rule.kind === "string voltage") {
    const cell = numberIn(inputs.cell);
    return cell === null ? null : rule.count * rule.base * (1 + rule.coefficient / 100 * (cell - (rule.reference || 0)));
  }
  if (rule.kind === "string current") {
    const irradiance = numberIn(inputs.irradiance);
    return irradiance === null || irradiance <= 0 ? null : rule.base * irradiance / 1000;
  }
  return null;
}

// What equipment or instructions state; nothing states zero or less.
function markedIn(entry) {
  const marked = numberIn(entry.inputs.marked);
  return marked !== null && marked > 0 ? marked : null;
}

function limitsOf(rule, entry) {
  if (rule.kind === "number") return [rule.least ?? null, rule.most ?? null];
  if (rule.kind === "torque") {
    const target = markedIn(entry) || rule.base || null;
    return target === null ? "give the value marked on the equipment" : around(target, rule.tolerance);
  }
  if (rule.kind === "insulation") return [markedIn(entry) || rule.base || null, null];
  const cell = rule.kind === "string voltage" ? numberIn(entry.inputs.cell) : null;
  if (cell !== null && (cell < -40 || cell > 85)) return `${cell} °C is no temperature of a cell; was it in °F?`;
  const expected = expectedOf(rule, entry.inputs);
  if (expected === null) return rule.kind === "string voltage" ? "the cell temperature is needed" : "the irradiance is needed";
  return around(expected, rule.tolerance);
}

function countFault(rule, entry, measured) {
  const expected = rule.kind === "string voltage" ? expectedOf(rule, entry.inputs) : null;
  if (expected === null) return "";
  if (measured < 0) return "polarity is reversed; do not connect this string";
  const missing = (expected - measured) / (expected / rule.count);
  const whole = Math.floor(Math.abs(missing) + 0.5);
  if (whole === 0 || Math.abs(Math.abs(missing) - whole) > 0.25) return "";
  return `about ${whole} module${whole > 1 ? "s" : ""} too ${missing > 0 ? "few" : "many"} in the string`;
}

const short = number => String(Number(number.toPrecision(4)));

// What belongs to an answer that passes; what failed fails whoever says so.
const MISSING = { by: "nobody says who tested it", instrument: "no meter is named", photo: "the photo itself is missing" };

function judge(rule, entry) {
  const [verdict, why] = judgeAlone(rule, entry);
  const has = need => need === "photo" ? [...photos.values()].some(photo => photo.line === entry.line) : (entry[need] || "").trim();
  const missing = ["passes", "recorded"].includes(verdict) && (rule.needs || []).find(need => !has(need));
  return missing ? ["not done", MISSING[missing]] : [verdict, why];
}

function judgeAlone(rule, entry) {
  if (!entry) return ["not done", ""];
  if (entry.answer === "could not test") return entry.reason.trim() ? ["could not be tested", entry.reason] : ["not done", "no reason given"];
  if (rule.kind === "answer") return entry.answer === "could not see" ? ["could not be tested", entry.reason] : [entry.value.trim() ? "recorded" : "not done", ""];
  if (rule.kind === "done") return [{ yes: "passes", no: "fails" }[entry.answer] || "not done", entry.reason];
  if (rule.kind === "match") return [{ "as drawn": "passes", "built otherwise": "built otherwise" }[entry.answer] || "not done", entry.reason];
  if (rule.kind === "text") return [entry.value.trim() ? "recorded" : "not done", ""];
  const measured = numberIn(entry.value);
  if (measured === null) return ["not done", "a number is needed"];
  if (rule.kind === "record") return ["recorded", ""];
  const limits = limitsOf(rule, entry);
  if (typeof limits === "string") return ["not done", limits];
  const [least, most] = limits;
  if (!within(measured, least, most)) return ["fails", countFault(rule, entry, measured) || outside(measured, least, most)];
  if (rule.kind === "insulation" && markedIn(entry) === null)
    return ["recorded", "not below the guide; the least value of the instructions was not given"];
  return judgeAlso(rule, entry, measured);
}

// A time or a resistance below zero is no reading; volts may be: leads the other way around.
const isNoReading = (unit, measured) => measured < 0 && !["", "V", "A", "°C"].includes(unit || "");
const belowZero = (measured, unit) => `${measured} ${unit} is below zero; write it again`;

function judgeAlso(rule, entry, reading) {
  let missing = isNoReading(rule.unit, reading) ? belowZero(reading, rule.unit) : "";
  for (const [name, label, least, most, isCondition, unit] of rule.also || []) {
    const measured = numberIn(entry.inputs[name]);
    if (measured === null) missing = missing || `${label} is needed`;
    else if (isNoReading(unit, measured)) missing = missing || `${label}: ${belowZero(measured, unit)}`;
    else if (isCondition && !within(measured, least, most)) missing = missing || `${label}: ${outside(measured, least, most)}, so the test proves nothing`;
    else if (!within(measured, least, most)) return ["fails", `${label}: ${outside(measured, least, most)}`];
  }
  return missing ? ["not done", missing] : ["passes", ""];
}

// Where only a highest value stands, the magnitude counts: the sign of a meter is the direction of its leads.
function within(measured, least, most) {
  const slack = 1e-9 * Math.max(1, Math.abs(measured)), number = least === null ? Math.abs(measured) : measured;
  return (least === null || number >= least - slack) && (most === null || number <= most + slack);
}

function outside(measured, least, most) {
  if (least !== null && measured < least) return `${measured} is less than ${short(least)}`;
  return `${least === null ? Math.abs(measured) : measured} is more than ${short(most)}`;
}

const STATES = { "passes": "passes", "fails": "fails", "built otherwise": "differs", "recorded": "recorded", "could not be tested": "skipped" };
const WORDS = { "passes": "Pass", "fails": "FAIL", "built otherwise": "Different from plans", "recorded": "Recorded", "could not be tested": "Could not test" };

// ---- building the page -------------------------------------------------------

function make(name, properties = {}, ...children) {
  const element = document.createElement(name);
  for (const [key, value] of Object.entries(properties)) {
    if (key in element && key !== "list") element[key] = value; else element.setAttribute(key, value);
  }
  element.append(...children);
  return element;
}

const button = (text, action, className = "") => make("button", { type: "button", textContent: text, className, onclick: action });

function banner(id, kind, text, ...more) {
  document.getElementById("banner-" + id)?.remove();
  if (text) document.getElementById("banners").append(make("div", { id: "banner-" + id, className: "banner " + kind }, text, ...more));
}

function field(label, properties = {}, unit = "") {
  const { options, ...others } = properties;
  const input = make(options ? "select" : properties.rows ? "textarea" : "input", { autocomplete: "off", ...others });
  for (const choice of options || []) input.append(make("option", { value: choice, textContent: choice }));
  return [make("label", {}, unit ? `${label}, ${unit}` : label, input), input];
}

function controls(article, line, rule) {
  const box = make("div", { className: "entry" });
  const complain = make("p", { className: "missing", role: "alert", hidden: true });
  const refuse = text => { complain.textContent = text; complain.hidden = !text; };
  const before = current(line), [changedLabel, changed] = field("What was changed since, or what was wrong", { maxLength: 240 });
  changedLabel.hidden = !before;
  const add = (answer, more = {}) => {
    refuse("");
    const [, missing] = judge(rule, { line, answer, value: "", inputs: {}, reason: "", ...more, ...session() });
    if (missing === MISSING.by) return refuse("Write your initials at the top first: they stand with every test.");
    if (missing === MISSING.instrument) return refuse("Write the number of your meter at the top first: it stands with every reading.");
    if (!before || answer === "note") return record(line, { answer, ...more });
    if (!changed.value.trim()) return refuse("Say what was changed since the entry before, or what was wrong with it.");
    const reason = [more.reason, changed.value.trim()].filter(Boolean).join("; ");
    return record(line, { answer, ...more, reason, repeats: before.id });
  };
  if (rule.shot) box.append(cameraFor(line, "Photo"));
  else if (rule.kind === "done") box.append(make("div", { className: "pair" }, button("Yes, done", () => add("yes")), button("No", () => add("no"), "quiet")));
  else if (rule.kind === "answer") box.append(...answerControls(line, rule, add, refuse));
  else if (rule.kind === "match") box.append(...matchControls(rule, add, refuse));
  else box.append(valueControls(rule, add, refuse, !before && article.closest(".table")));
  if (rule.photo && !rule.shot) box.prepend(cameraFor(line, "Photo"));
  box.prepend(changedLabel);
  box.append(complain, rule.kind === "answer" ? "" : further(line, rule, add, refuse));
  return box;
}

function matchControls(rule, add, refuse) {
  const listed = rule.choices === undefined ? [] : form.choices[rule.choices].filter(choice => choice !== rule.permitted);
  const [foundLabel, found] = listed.length ? field("Built", { options: ["", ...listed, "something else"] }) : field("Built", { maxLength: 120 });
  const [elseLabel, other] = field("What", { maxLength: 120 });
  const [whyLabel, why] = field("Reason", { maxLength: 250 });
  elseLabel.hidden = true;
  found.onchange = () => { elseLabel.hidden = found.value !== "something else"; };
  const [passes, approval, refused] = rule.consequence || [];
  const told = rule.consequence ? [["Passes without asking", passes], ["Passes, approval needed", approval], ["Does not", refused]] : [["Not tried here", "ask the office before you go on; what stands on the plans was approved"]];
  const consequence = make("dl", { className: "proof" }, ...told.filter(([, text]) => text).map(([name, text]) => make("div", {}, make("dt", { textContent: name }), make("dd", { textContent: text }))));
  const keepIt = button("Save: different from plans", () => {
    const value = found.value === "something else" ? other.value : found.value;
    if (!value.trim()) return refuse("Say what was built.");
    if (!why.value.trim()) return refuse("Say why it is different from the plans.");
    return add("built otherwise", { value: value.trim(), reason: why.value.trim() });
  }, "primary");
  const stack = make("div", { className: "stack", hidden: true }, consequence, foundLabel, elseLabel, whyLabel, keepIt);
  const otherwise = button("Different from plans", () => { stack.hidden = !stack.hidden; }, "quiet");
  return [make("div", { className: "pair" }, button("As drawn", () => add("as drawn")), otherwise), stack];
}

function valueControls(rule, add, refuse, inTable) {
  const number = rule.kind !== "text";
  const [mainLabel, main] = field(rule.kind === "torque" ? "Applied" : number ? "Measured" : "Value", { inputMode: number ? "decimal" : "text", maxLength: number ? 20 : 120 }, rule.unit || "");
  const more = (rule.inputs || []).map(([name, label, unit]) => [name, ...field(label, { inputMode: "decimal", maxLength: 20 }, unit)]);
  const keepIt = () => {
    if (!main.isConnected) return;
    // What was typed stays in the fields until all of it is good: a unit that was written out is not asked for twice.
    const asked = [[main, number ? rule.unit : ""], ...more.map(([, , extra], index) => [extra, rule.inputs[index][2]])], texts = [];
    for (const [input, unit] of asked) {
      const typed = number ? asTyped(input.value, unit) : { text: input.value, fault: "" };
      if (typed.fault && input.value.trim()) return refuse(typed.fault);
      texts.push(typed.text.trim());
    }
    const [value, ...rest] = texts;
    if (number && numberIn(value) === null) return refuse("A number is needed here.");
    if (!value) return refuse("A value is needed here.");
    const inputs = Object.fromEntries(more.map(([name], index) => [name, rest[index]]).filter(([, text]) => text));
    const [verdict, why] = judgeAlone(rule, { answer: "value", value, inputs, reason: "" });
    if (verdict === "not done") return refuse(why[0].toUpperCase() + why.slice(1).replace(/[.?]?$/, end => end || "."));
    return add("value", { value, inputs });
  };
  main.onkeydown = event => { if (event.key === "Enter") keepIt(); };
  if (inTable && !more.length) main.onchange = () => { if (main.value.trim()) keepIt(); };
  return make("div", { className: "stack" }, ...more.map(([, label]) => label), make("div", { className: "measure" }, mainLabel, button("Save", keepIt, "primary")));
}

// An answer to a question of the survey: one tap, a figure with its unit, or words; that it could not be seen is an answer, too.
function answerControls(line, rule, add, refuse) {
  const named = act => document.getElementById("by").value.trim() ? act() : refuse("Write your name at the top first: it stands with every answer.");
  const say = value => named(() => add("value", { value }));
  const choices = rule.choices === undefined ? [] : form.choices[rule.choices];
  const box = make("div", { className: "stack" });
  if (choices.length && !rule.several) box.append(make("div", { className: "choices" }, ...choices.map(choice => button(choice, () => say(choice)))));
  else if (choices.length) {
    const boxes = choices.map(choice => make("input", { type: "checkbox", value: choice }));
    box.append(make("div", { className: "checks" }, ...boxes.map(tick => make("label", {}, tick, make("span", { textContent: tick.value })))),
      button("Save", () => boxes.some(tick => tick.checked) ? say(boxes.filter(tick => tick.checked).map(tick => tick.value).join(", ")) : refuse("Tick what is there."), "primary"));
  } else {
    const example = rule.example ? `, for example ${rule.example.replaceAll(" ", "\u00a0")}` : "";
    const [label, input] = field(`${rule.pattern ? "Answer" : "In words"}${example}`, { maxLength: 120 });
    const keepIt = () => {
      const value = input.value.trim();
      if (!value) return refuse("An answer is needed here.");
      if (rule.pattern && !new RegExp(rule.pattern).test(value)) return refuse(`This does not fit${example}.`);
      return say(value);
    };
    input.onkeydown = event => { if (event.key === "Enter") keepIt(); };
    box.append(make("div", { className: "measure" }, label, button("Save", keepIt, "primary")));
  }
  const [whyLabel, why] = field("Why it could not be seen", { maxLength: 250 }), [noteLabel, note] = field("Note", { rows: 2, maxLength: 1000 });
  const unseen = button("Could not see it", () => named(() => add("could not see", { reason: why.value.trim() })), "quiet");
  const keepNote = button("Save note", () => note.value.trim() ? named(() => add("note", { note: note.value.trim() })) : refuse("The note is empty."), "quiet");
  box.append(make("div", { className: "choices" }, ...(rule.none ? [button("None", () => say("none"), "quiet")] : []), unseen));
  const more = make("div", { className: "stack" }, ...(rule.photo ? [] : [cameraFor(line, "Photo")]), whyLabel, noteLabel, keepNote);
  box.append(make("details", {}, make("summary", { textContent: rule.photo ? "Why not seen, note" : "Photo, why not seen, note" }), more));
  return [box];
}

function cameraFor(line, words) {
  const picker = make("input", { type: "file", accept: "image/*", capture: "environment", onchange: () => takePhoto(line, picker) });
  picker.setAttribute("aria-label", "Take or choose a photo");
  return make("label", { className: "file" + (form.lines[line].photo ? " wanted" : "") }, make("span", { textContent: words }), picker);
}

function further(line, rule, add, refuse) {
  const [noteLabel, note] = field("Note", { rows: 2, maxLength: 1000 });
  const [whyLabel, why] = field("Why it could not be tested", { maxLength: 250 });
  const skip = button("Could not test", () => why.value.trim() ? add("could not test", { reason: why.value.trim() }) : refuse("Say why it could not be tested."), "quiet");
  const camera = rule.photo ? "" : cameraFor(line, "Photo");
  const keepNote = button("Save note", () => note.value.trim() ? add("note", { note: note.value.trim() }) : refuse("The note is empty."), "quiet");
  return make("details", {}, make("summary", { textContent: rule.photo ? "Note, could not test" : "Note, photo, could not test" }),
    make("div", { className: "stack" }, camera, noteLabel, keepNote, whyLabel, skip));
}

// Of answers that nobody repeated the worst counts, of equals the newest: as in the program that takes the results in.
const GRAVITY = ["fails", "built otherwise", "could not be tested", "not done", "recorded", "passes"];
const answers = line => (entries.get(line) || []).filter(entry => entry.answer !== "note");

// A repeat stands in place of all that it goes back to, if it is a test: that it could not be made again takes no failure away.
function standing(line) {
  const given = answers(line), earlier = new Map(given.map(entry => [entry.id, entry.repeats]));
  const back = id => { const found = new Set(); for (let at = earlier.get(id); at && !found.has(at); at = earlier.get(at)) found.add(at); return found; };
  const untried = entry => ["could not be tested", "not done"].includes(judge(form.lines[line], entry)[0]);
  const replaced = new Set(given.filter(entry => !untried(entry)).flatMap(entry => [...back(entry.id)]));
  return given.filter(entry => !replaced.has(entry.id) && !(untried(entry) && [...back(entry.id)].some(id => replaced.has(id))));
}

function current(line) {
  const grave = entry => GRAVITY.indexOf(judge(form.lines[line], entry)[0]);
  return standing(line).reduce((worst, entry) => worst && grave(worst) < grave(entry) ? worst : entry, undefined);
}

const inTime = (one, other) => one.at < other.at || (one.at === other.at && one.id < other.id) ? -1 : 1;

function show(line) {
  const article = document.querySelector(`[data-line="${CSS.escape(line)}"]`), rule = form.lines[line];
  const entry = current(line), [verdict, why] = judge(rule, entry);
  article.dataset.state = STATES[verdict] || "";
  article.querySelectorAll(".entry,.verdict,.history,.thumbs,.correct").forEach(old => old.remove());
  article.classList.remove("opened");
  const others = standing(line).filter(one => one !== entry);
  if (entry) article.append(verdictOf(rule, entry, verdict, why), ...others.map(one => verdictOf(rule, one, ...judge(rule, one))));
  if (others.length) article.append(make("p", { className: "verdict both", textContent: "Both answers stand; the worse one counts." }));
  pictures(article, line);
  const past = (entries.get(line) || []).filter(one => one !== entry && !others.includes(one));
  if (past.length) article.append(make("ol", { className: "history" }, ...past.map(one => make("li", { textContent: past_text(one) }))));
  const box = controls(article, line, rule);
  if (entry) {
    box.hidden = true;
    article.append(revealing(article, box, "Correct or add"));
  }
  if (!entry && isSeen(article, rule)) {
    box.hidden = true;
    article.append(revealing(article, box, "Otherwise"));
  }
  article.append(box);
  if (!entry && !box.hidden && article.closest(".block")) article.append(revealing(article, box, "More"));
}

function verdictOf(rule, entry, verdict, why) {
  const value = entry.value ? ` ${entry.value}${rule.unit ? " " + rule.unit : ""}` : "";
  const inputs = Object.entries(entry.inputs || {}).map(([name, text]) => `${name} ${text}`);
  const about = [...inputs, why, entry.by || "no name", entry.instrument, localTime(entry.at)].filter(Boolean).join(" · ");
  const words = rule.kind === "answer" && verdict !== "recorded" ? "Could not see it" : WORDS[verdict] || "Not done";
  return make("p", { className: "verdict", "data-own": STATES[verdict] || "" }, `${words}${value}`, make("small", { textContent: about }));
}

// Shows what a line holds beside its answer: in a block only the answer is shown until somebody asks.
function revealing(article, box, words) {
  const plain = article.closest(".block") ? "plain" : "quiet";
  return make("p", { className: "correct buttons" }, button(words, event => {
    box.hidden = false;
    article.classList.add("opened");
    event.target.parentNode.remove();
    box.querySelector("button,input,select")?.focus();
  }, plain));
}

// What a look covers: identity and what is seen. A photo is answered by taking it, a text by writing it.
const isSeen = (article, rule) => Boolean(article.closest(".look")) && !rule.shot && !rule.safety && (rule.kind === "done" || rule.kind === "match");

// One tap for all that is shown of one enclosure, with a name; each line gets an entry of its own.
function lookControls(block) {
  const lines = [...block.querySelectorAll("[data-line]")].map(article => article.dataset.line);
  const open = () => lines.filter(line => isSeen(block.querySelector(`[data-line="${CSS.escape(line)}"]`), form.lines[line]) && !current(line));
  const complain = make("p", { className: "missing", role: "alert", hidden: true });
  const all = button("", async () => {
    complain.hidden = Boolean(document.getElementById("by").value.trim());
    complain.textContent = "Write your initials at the top first: they stand with every item.";
    if (!complain.hidden) return;
    for (const line of open()) await record(line, { answer: form.lines[line].kind === "match" ? "as drawn" : "yes" });
  }, "primary");
  block.refresh = () => { all.textContent = `As drawn here (${open().length})`; all.hidden = !open().length; };
  block.append(all, complain);
  block.refresh();
}

// Steps under power are offered once every test that needs none has passed.
function lock() {
  const isOpen = ([line, rule]) => rule.safety && !document.querySelector(`[data-line="${CSS.escape(line)}"]`).closest("[data-needs-power]") &&
    ["not done", "could not be tested", "fails"].includes(judge(rule, current(line))[0]);
  const open = Object.entries(form.lines).filter(isOpen);
  for (const part of document.querySelectorAll("[data-needs-power]")) {
    part.querySelector(".steps").hidden = open.length > 0;
    part.querySelector(".lock").textContent = open.length ? `Energize for test: offered once every test that needs no power has passed. ${open.length} open or failed.` : "Energize for test: every test that needs no power has passed.";
  }
}

const past_text = entry => [localTime(entry.at), entry.answer, entry.value, entry.reason, entry.note, entry.by].filter(Boolean).join(" · ");

function pictures(article, line) {
  const mine = [...photos.values()].filter(photo => photo.line === line);
  if (!mine.length) return;
  article.append(make("div", { className: "thumbs" }, ...mine.map((photo, index) => {
    const address = URL.createObjectURL(photo.blob);
    return make("img", { src: address, alt: `Photo ${index + 1}`, onload: () => URL.revokeObjectURL(address) });
  })));
}

function summary() {
  const judged = Object.entries(form.lines).map(([line, rule]) => judge(rule, current(line))[0]);
  const count = word => judged.filter(verdict => verdict === word).length;
  const all = entryGroups(document), done = all.filter(isDone).length;
  document.getElementById("progress-fill").style.width = `${100 * done / all.length}%`;
  document.getElementById("progress").setAttribute("aria-valuenow", done);
  const more = [["fails", "fail"], ["built otherwise", "different from plans"], ["could not be tested", form.kind === "survey" ? "not seen" : "not tested"]].filter(([word]) => count(word)).map(([word, says]) => `${count(word)} ${says}`);
  document.getElementById("counts").textContent = [`${done} of ${all.length} entries done`, ...more].join(" · ");
  for (const part of document.querySelectorAll(".part:not(.limits):not(.reading)")) {
    const groups = entryGroups(part), left = groups.filter(group => !isDone(group)).length;
    part.querySelector(".part-count").textContent = left ? `${left} of ${groups.length} open` : "done";
  }
  for (const block of document.querySelectorAll(".look")) block.refresh?.();
  lock();
}

// An entry is a look, a table or a line alone: it is done when each of its lines is.
const entryGroups = root => [...root.querySelectorAll(".block,.steps>[data-line],.at>[data-line]")].map(one => one.matches("[data-line]") ? [one] : [...one.querySelectorAll("[data-line]")]);
const isDone = group => group.every(article => judge(form.lines[article.dataset.line], current(article.dataset.line))[0] !== "not done");

// ---- what happens -----------------------------------------------------------

const session = () => ({ by: document.getElementById("by").value.trim(), instrument: document.getElementById("instrument").value.trim() });

async function record(line, facts) {
  const rule = form.lines[line];
  const entry = { id: newId(), key: form.key, line, tag: rule.tag || "", answer: "", value: "", inputs: {}, reason: "", note: "", unit: rule.unit || "",
    ...session(), at: new Date().toISOString(), zone: zoneHere(), ...facts };
  entries.set(line, [...(entries.get(line) || []), entry]);
  show(line);
  summary();
  await keep("entries", entry);
  document.documentElement.dataset.saved = entry.id;
}

async function takePhoto(line, picker) {
  const file = picker.files[0];
  if (!file) return;
  try {
    const image = await createImageBitmap(file, { imageOrientation: "from-image" });
    const scale = Math.min(1, PHOTO_SIDE / Math.max(image.width, image.height));
    const canvas = make("canvas", { width: Math.round(image.width * scale), height: Math.round(image.height * scale) });
    canvas.getContext("2d").drawImage(image, 0, 0, canvas.width, canvas.height);
    const blob = await new Promise(resolve => canvas.toBlob(resolve, "image/jpeg", PHOTO_QUALITY));
    const photo = { id: newId(), key: form.key, line, blob, width: canvas.width, height: canvas.height };
    photos.set(photo.id, photo);
    show(line);
    await keep("photos", photo);
    document.documentElement.dataset.saved = photo.id;
    if (form.lines[line].shot && !current(line)) await record(line, { answer: "yes" });
    else summary();
  } catch {
    banner("photo", "warn", "This picture could not be read. Take it again, or choose a JPEG or PNG.");
  }
}

function base64(blob) {
  return new Promise((resolve, reject) => {
    const reader = new FileReader();
    reader.onload = () => resolve(reader.result.slice(reader.result.indexOf(",") + 1));
    reader.onerror = () => reject(reader.error);
    reader.readAsDataURL(blob);
  });
}

async function results(withPhotos) {
  const home = { format: "permitgen field results", version: "1.0", project: form.project, revision: form.revision, fingerprint: form.fingerprint };
  const list = [...entries.values()].flat().map(({ key, ...entry }) => {
    const rule = form.lines[entry.line];
    return { ...entry, ...(rule.permitted ? { permitted: rule.permitted } : {}) };
  });
  const parts = [JSON.stringify(home).slice(0, -1), ',"entries":', JSON.stringify(list), ',"photos":['];
  let comma = "";
  for (const { id, line, blob, width, height } of withPhotos ? photos.values() : []) {
    parts.push(comma, JSON.stringify({ id, line, media_type: "image/jpeg", width, height, data: await base64(blob) }));
    comma = ",";
  }
  return new Blob([...parts, "]}"], { type: "application/json" });
}

async function send(withPhotos) {
  const name = `${form.kind === "survey" ? "survey" : "field"}-results-${form.project.replace(/[^A-Za-z0-9-]+/g, "-")}-rev${form.revision}.json`;
  const blob = await results(withPhotos), file = new File([blob], name, { type: "application/json" });
  if (navigator.canShare && navigator.canShare({ files: [file] })) {
    try { await navigator.share({ files: [file], title: name }); return; } catch (error) { if (error.name === "AbortError") return; }
  }
  const address = URL.createObjectURL(blob);
  const link = make("a", { href: address, download: name });
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(address), 60000);
  banner("sent", "note", `Written: ${name}. Entries stay in this browser until you clear its data.`);
}

// ---- results of another phone -----------------------------------------------

const TEXTS = { line: 160, tag: 40, value: 120, unit: 20, reason: 500, note: 1000, by: 40, instrument: 60, permitted: 120 };
const ANSWERS = ["yes", "no", "value", "as drawn", "built otherwise", "could not test", "could not see", "note"];
const ID = /^[0-9a-f]{32}$/, TIME = /^[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}(\.[0-9]{1,3})?Z$/;
const LARGEST = 200000000, MOST_ENTRIES = 5000, MOST_PHOTOS = 400;

const DAY = 86400000;
// An entry of a day to come would silence what comes after it, and the program takes no file with one: the clock of a phone was wrong.
const isToCome = at => Date.parse(at) > Date.now() + DAY;
const isBeforePlans = at => Boolean(form.since) && Date.parse(at) < Date.parse(form.since) - DAY;

const isObject = value => value !== null && typeof value === "object" && !Array.isArray(value);
const isText = (value, longest) => value === undefined || (typeof value === "string" && value.length <= longest);

// Returns what is wrong with the results, or nothing: all of a file is taken, or none of it.
function faultOf(data) {
  if (!isObject(data) || data.format !== "permitgen field results" || !/^1\.[0-9]{1,4}$/.test(data.version)) return "this is not a results file of a field checklist";
  if (data.project !== form.project) return `these results are of the project “${String(data.project).slice(0, 60)}”; this checklist is of “${form.project}”`;
  if (data.revision !== form.revision) return `these results are of revision ${String(data.revision).slice(0, 10)}; this checklist is of revision ${form.revision}`;
  if (data.fingerprint !== form.fingerprint) return "these results answer another version of this checklist: their digest is not that of this page";
  const list = data.entries, pictures = data.photos ?? [];
  if (!Array.isArray(list) || list.length > MOST_ENTRIES || !Array.isArray(pictures) || pictures.length > MOST_PHOTOS) return "the list of entries or photos is missing or too long";
  const ids = [...list, ...pictures].map(one => isObject(one) ? one.id : "");
  if (new Set(ids).size !== ids.length) return "two entries have the same id";
  return list.map(entryFault).find(Boolean) || pictures.map(photoFault).find(Boolean) || "";
}

function entryFault(entry, index) {
  const where = `entry ${index + 1}`;
  if (!isObject(entry) || !ID.test(entry.id) || !TIME.test(entry.at) || Number.isNaN(Date.parse(entry.at)) || !ANSWERS.includes(entry.answer)) return `${where} is damaged`;
  if (!Object.hasOwn(form.lines, entry.line)) return `${where} answers a line that this checklist does not have`;
  if (isToCome(entry.at)) return `${where} is of ${entry.at.slice(0, 10)}, a day to come by the clock of this phone`;
  const inputs = entry.inputs ?? {};
  if (!Object.entries(TEXTS).every(([name, longest]) => isText(entry[name], longest)) || !isObject(inputs)) return `${where} is damaged`;
  if (Object.keys(inputs).length > 6 || !Object.entries(inputs).every(([name, text]) => /^[a-z_]{1,20}$/.test(name) && typeof text === "string" && text.length <= 40)) return `${where} is damaged`;
  if (entry.repeats && !(ID.test(entry.repeats) && entry.reason)) return `${where} repeats another and does not say why`;
  const own = (entries.get(entry.line) || []).find(one => one.id === entry.id);
  if (own && JSON.stringify(said(own)) !== JSON.stringify(said(entry))) return `${where} is here already and says something else`;
  return "";
}

const photoFault = (photo, index) => isObject(photo) && ID.test(photo.id) && Object.hasOwn(form.lines, photo.line) && typeof photo.data === "string" &&
  photo.data.length <= 8000000 && /^\/9j\/[A-Za-z0-9+/]*={0,2}$/.test(photo.data) ? "" : `photo ${index + 1} is damaged, or of a line that this checklist does not have`;

// What an entry says, in one order of its keys; nothing else of the file is kept.
const said = entry => ({ id: entry.id, line: entry.line, answer: entry.answer, value: entry.value || "", reason: entry.reason || "", note: entry.note || "", unit: entry.unit || "",
  by: entry.by || "", instrument: entry.instrument || "", at: entry.at, inputs: Object.fromEntries(Object.entries(entry.inputs ?? {}).sort()), ...(entry.zone ? { zone: entry.zone } : {}), ...(entry.repeats ? { repeats: entry.repeats } : {}) });

async function takeIn(picker) {
  const file = picker.files[0];
  if (!file) return;
  let data = null, fault = file.size > LARGEST ? "the file is too large" : "";
  try { data = fault ? null : JSON.parse(await file.text()); } catch { fault = "the file is cut off, or is not a results file"; }
  fault = fault || faultOf(data);
  picker.value = "";
  if (fault) return banner("other", "fail", `Nothing was taken from ${file.name}: ${fault}.`);
  const fresh = data.entries.filter(entry => !(entries.get(entry.line) || []).some(one => one.id === entry.id));
  for (const entry of fresh) {
    const whole = { key: form.key, tag: form.lines[entry.line].tag || "", ...said(entry) };
    entries.set(entry.line, [...(entries.get(entry.line) || []), whole].sort(inTime));
    await keep("entries", whole);
  }
  const shots = (data.photos ?? []).filter(photo => !photos.has(photo.id));
  for (const { id, line, data: text, width, height } of shots) {
    const blob = new Blob([Uint8Array.from(atob(text), letter => letter.charCodeAt(0))], { type: "image/jpeg" });
    photos.set(id, { id, key: form.key, line, blob, width, height });
    await keep("photos", photos.get(id));
  }
  for (const line of new Set([...fresh, ...shots].map(one => one.line))) show(line);
  summary();
  const names = [...new Set(fresh.map(entry => entry.by).filter(Boolean))].join(", ");
  banner("other", "note", `Taken from ${file.name}: ${fresh.length} ${fresh.length === 1 ? "entry" : "entries"}${names ? ` by ${names}` : ""}, ${shots.length} ${shots.length === 1 ? "photo" : "photos"}. ${data.entries.length - fresh.length} were here already; nothing of yours was changed.`);
  document.documentElement.dataset.saved = newId();
}

function nextOpen() {
  const open = [...document.querySelectorAll("[data-line]")].find(article => !article.closest(".steps[hidden]") && judge(form.lines[article.dataset.line], current(article.dataset.line))[0] === "not done");
  if (!open) return banner("all", "note", "Every entry that is offered is done.");
  open.scrollIntoView({ block: "start" });
  open.querySelector(".entry button,.entry input,.entry select")?.focus({ preventScroll: true });
}

async function otherVersions() {
  const keys = await stored("entries", store => store.index("key").getAllKeys());
  const all = await stored("entries", store => store.getAll());
  const others = new Set(all.filter(entry => entry.key !== form.key && entry.key.split("|")[0] === form.project && entry.key.endsWith("|survey") === form.key.endsWith("|survey")).map(entry => entry.key));
  if (keys.length && others.size) banner("others", "warn", "Entries made on another version of this checklist are also in this browser. Open that version to send them.");
}

async function start() {
  if (isBeforePlans(new Date().toISOString())) banner("clock", "fail", `The clock of this phone says ${localTime(new Date().toISOString())}, before these plans were made (${form.since}). Set it before you enter anything: entries of that time are not taken.`);
  for (const id of ["bar", "session"]) document.getElementById(id).hidden = false;
  try {
    database = await open();
    for (const entry of await stored("entries", store => store.index("key").getAll(form.key))) entries.set(entry.line, [...(entries.get(entry.line) || []), entry]);
    for (const photo of await stored("photos", store => store.index("key").getAll(form.key))) photos.set(photo.id, photo);
    for (const list of entries.values()) list.sort(inTime);
    const session = await stored("session", store => store.get(form.key));
    if (session) for (const id of ["by", "instrument"]) document.getElementById(id).value = session[id] || "";
    await otherVersions();
    navigator.storage?.persist?.();
  } catch {
    banner("storage", "fail", "This browser does not keep entries for this file. Send the results before you close the page.");
  }
  for (const line of Object.keys(form.lines)) show(line);
  for (const block of document.querySelectorAll(".look")) lookControls(block);
  summary();
  const keepSession = () => database && stored("session", store => store.put({ key: form.key, by: document.getElementById("by").value, instrument: document.getElementById("instrument").value }), "readwrite").catch(() => {});
  for (const id of ["by", "instrument"]) document.getElementById(id).addEventListener("change", keepSession);
  document.getElementById("send").onclick = () => send(true);
  document.getElementById("send-small").onclick = () => send(false);
  document.getElementById("other-phone")?.addEventListener("change", event => takeIn(event.target));
  document.getElementById("next-open").onclick = nextOpen;
  window.addEventListener("beforeunload", event => { if (inMemoryOnly.size) event.preventDefault(); });
  document.documentElement.dataset.ready = "yes";
}

start();
