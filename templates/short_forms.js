"use strict";
// Makes a results file of one short form. What was made is remembered here, and said to be not yet kept until this page, made anew by
// whoever keeps the record, names its entries. No network is used.

const record = JSON.parse(document.getElementById("forms").textContent);
const kept = new Set(record.kept), PLACE = `permitgen short forms ${record.project}`;
let made = [];
try { made = JSON.parse(localStorage.getItem(PLACE) || "[]"); } catch { made = []; }

const remember = () => { try { localStorage.setItem(PLACE, JSON.stringify(made)); } catch { /* said below each form: it is not kept here */ } };

function make(name, properties, ...children) {
  const element = Object.assign(document.createElement(name), properties);
  element.append(...children);
  return element;
}

const newId = () => Array.from(crypto.getRandomValues(new Uint8Array(16)), byte => byte.toString(16).padStart(2, "0")).join("");
const nameOf = one => `${one.form}-${one.entries[0].at.slice(0, 10)}-${one.entries[0].id.slice(0, 6)}.json`;
const isKept = one => one.entries.every(entry => kept.has(entry.id));

function answersOf(form) {
  const found = [];
  for (const place of form.querySelectorAll("[data-line]")) {
    const ticked = place.querySelector("input:checked"), written = place.querySelector("textarea");
    if (ticked) found.push({ line: place.dataset.line, answer: ticked.value });
    else if (written && written.value.trim()) found.push(worded(place.dataset.line, written.value.trim()));
  }
  return found;
}

// A value has 120 characters; what is longer goes whole into the note beside it.
const worded = (line, words) => words.length <= 120 ? { line, answer: "value", value: words } : { line, answer: "value", value: `${words.slice(0, 118).trimEnd()} …`, note: words };

function makeFile(form) {
  const complain = form.querySelector(".missing"), by = form.querySelector(".by").value.trim(), given = answersOf(form);
  complain.textContent = !given.length ? "Answer a point first. · Conteste primero un punto." : by ? "" : "Write your name or initials. · Escriba su nombre o sus iniciales.";
  complain.hidden = !complain.textContent;
  if (complain.textContent) return;
  const at = new Date().toISOString(), minutes = -new Date().getTimezoneOffset(), two = number => String(Math.floor(number)).padStart(2, "0");
  const zone = `${minutes < 0 ? "-" : "+"}${two(Math.abs(minutes) / 60)}:${two(Math.abs(minutes) % 60)}`;
  const one = { form: form.dataset.form, entries: given.map(answer => ({ id: newId(), ...answer, by, at, zone })) };
  made.push(one);
  remember();
  for (const field of form.querySelectorAll("input:checked")) field.checked = false;
  for (const field of form.querySelectorAll("textarea")) field.value = "";
  show(form);
  send(one);
}

async function send(one) {
  const results = { format: record.format, version: "1.0", project: record.project, revision: record.revision, fingerprint: record.fingerprint, entries: one.entries, photos: [] };
  const file = new File([JSON.stringify(results)], nameOf(one), { type: "application/json" });
  if (navigator.canShare && navigator.canShare({ files: [file] })) {
    try { await navigator.share({ files: [file], title: file.name }); return; } catch (error) { if (error.name === "AbortError") return; }
  }
  const address = URL.createObjectURL(file), link = make("a", { href: address, download: file.name });
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(address), 60000);
}

function show(form) {
  const own = made.filter(one => one.form === form.dataset.form), waiting = own.filter(one => !isKept(one)), state = form.querySelector(".state");
  if (waiting.length) { state.textContent = "not yet kept · todavía no guardado"; state.dataset.state = "open"; }
  const to = record.custodian ? `to ${record.custodian}` : "to whoever keeps the record";
  form.querySelector(".made").replaceChildren(...own.map(one => isKept(one)
    ? make("p", { className: "kept", textContent: `${nameOf(one)}: kept · guardado` })
    : make("p", {}, `Not yet kept: send ${nameOf(one)} ${to}. · Todavía no guardado: mande el archivo. `, make("button", { type: "button", className: "quiet", textContent: "Send again · Mandar otra vez", onclick: () => send(one) }))));
}

for (const form of document.querySelectorAll(".form")) {
  form.querySelector(".make").hidden = false;
  form.querySelector(".make").onclick = () => makeFile(form);
  show(form);
}
document.documentElement.dataset.ready = "yes";
