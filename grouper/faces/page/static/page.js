// Taps without a reload, and a look now and then whether somebody else changed the class. Without this script every form
// still works, with a reload.
"use strict";

const WATCH_EVERY = 2500;
const quiet = { queue: Promise.resolve(), busy: 0, asked: 0, dirty: false, gone: false, late: false };

const byId = (id) => document.getElementById(id);

function notice(text) {
  byId("notice-text").textContent = text;
  byId("notice").hidden = !text;
}

// What a change took along, told once.
function tell() {
  const { dropped, version } = byId("bar")?.dataset ?? {};
  if (!dropped || sessionStorage.getItem("told") === version) return;
  sessionStorage.setItem("told", version);
  notice(dropped);
}
document.addEventListener("DOMContentLoaded", tell);

function textOfTrouble(page) {
  const trouble = page.getElementById("trouble");
  return trouble ? trouble.textContent.replace(/\s+/g, " ").trim() : "";
}

function say(page, form) {
  const spoken = form && form.dataset.announce ? page.getElementById(form.dataset.announce) : null;
  byId("said").textContent = spoken ? spoken.textContent.trim() : "";
}

// Fields that were typed in and not sent yet; a field is known again by its id and its name in words.
const TYPED = "#content textarea[id], #content input[type=text][id], #content input[type=number][id]";
const nameOf = (field) => `${field.id} ${field.getAttribute("aria-label")}`;

// Of the form that was sent these are fields that were changed again while the answer was under way.
function halfTyped(sent, chosen) {
  const unsent = (one) => one.form !== sent || (chosen && chosen.has(one.name) && one.value !== chosen.get(one.name));
  const fields = [...document.querySelectorAll(TYPED)].filter((one) => unsent(one) && one.value !== one.defaultValue);
  return new Map(fields.map((one) => [nameOf(one), one.value]));
}

function typeAgain(typed) {
  const fields = [...document.querySelectorAll(TYPED)].filter((one) => typed.has(nameOf(one)));
  for (const field of fields) field.value = typed.get(nameOf(field));
  quiet.dirty = fields.length > 0;
}

// The page is brought to its new state in place: whatever can be tapped stays the same element in the same place, so that
// no tap falls between an old page and a new one. Elements are known again by id, or else by their place among the others.
function morph(old, fresh) {
  if (held.has(old)) return;
  if (old.nodeType === Node.TEXT_NODE) {
    if (old.data !== fresh.data) old.data = fresh.data;
    return;
  }
  for (const { name } of [...old.attributes]) {
    if (!fresh.hasAttribute(name) && !(name === "open" && old.id)) old.removeAttribute(name);
  }
  for (const { name, value } of fresh.attributes) {
    if (old.getAttribute(name) !== value && !(name === "open" && old.id)) old.setAttribute(name, value);
  }
  morphChildren(old, fresh);
}

const alike = (one, other) => one.nodeType === other.nodeType && one.nodeName === other.nodeName && !one.id && !other.id;

function morphChildren(old, fresh) {
  const known = new Map([...old.children].filter((child) => child.id).map((child) => [child.id, child]));
  let place = old.firstChild;
  for (const child of [...fresh.childNodes]) {
    const same = child.id ? known.get(child.id) : place && alike(place, child) ? place : null;
    if (same && same.nodeName === child.nodeName) {
      if (same === place) place = place.nextSibling;
      else old.insertBefore(same, place);
      morph(same, child);
    } else {
      old.insertBefore(document.adoptNode(child), place);
    }
  }
  while (place) {
    const next = place.nextSibling;
    place.remove();
    place = next;
  }
}

// Fields show what the server says, but for what is being typed and for choices that go with the next tap.
function asServed(typed, anew) {
  for (const field of document.querySelectorAll("#content input, #content textarea, #content select")) {
    if (typed.has(nameOf(field)) || (!anew && field.closest("[data-keep]"))) continue;
    if (field.matches("select")) for (const option of field.options) option.selected = option.defaultSelected;
    else if (field.matches("[type=radio], [type=checkbox]")) field.checked = field.defaultChecked;
    else if (field.type !== "file" && field.value !== field.defaultValue) field.value = field.defaultValue;
  }
}

// `anew` says that choices for the next tap are the server's too.
function show(page, address, sent, anew, chosen) {
  const bar = page.getElementById("bar");
  const typed = halfTyped(sent, chosen);
  if (bar && byId("bar")) morph(byId("bar"), bar);
  morph(byId("content"), page.getElementById("content"));
  if (byId("scenes") && page.getElementById("scenes")) morph(byId("scenes"), page.getElementById("scenes"));
  asServed(typed, anew);
  typeAgain(typed);
  document.title = page.title;
  if (address) history.replaceState(null, "", address);
  document.dispatchEvent(new Event("shown"));
}

async function parsed(answer) {
  return new DOMParser().parseFromString(await answer.text(), "text/html");
}

const GONE = "grouper does not answer, so this was not saved. Is its window still open?";

// Sends a form and shows the page that comes back; null, with a word on why, where it was refused.
async function asked(address, body, patience) {
  quiet.busy += 1;
  quiet.asked += 1;
  try {
    const signal = patience && AbortSignal.timeout(patience);
    const answer = await fetch(address, { method: "POST", body, credentials: "same-origin", signal });
    const page = await parsed(answer);
    quiet.gone = false;
    // A question before something is lost is an answer too: the page that asks.
    const asks = Boolean(page.getElementById("ask"));
    if (!answer.ok && !asks) {
      notice(textOfTrouble(page) || "That did not work; nothing was changed.");
      return null;
    }
    notice("");
    return { page, url: asks ? "" : answer.url, asks };
  } catch (fault) {
    quiet.gone = true;
    quiet.late = fault.name === "TimeoutError";
    notice(GONE);
    return null;
  } finally {
    quiet.busy -= 1;
  }
}

async function send(form, chosen, button) {
  // What the page knows of the class goes by the moment of sending: taps before this one may have changed it.
  for (const field of form.querySelectorAll("input[type=hidden]")) chosen.set(field.name, field.value);
  if (button) button.setAttribute("aria-busy", "true");
  const came = await asked(button?.getAttribute("formaction") || form.action, chosen);
  if (button) button.removeAttribute("aria-busy");
  if (!came) {
    document.dispatchEvent(new Event("unsent"));
    return;
  }
  show(came.page, came.url, form, true, chosen);
  if (came.asks) {
    byId("content").focus();
    return;
  }
  tell();
  say(document, form);
}

// Taps on names and steps show at once what was tapped, wait in line, and are sent together. What holds such a tile is
// left alone by every page that comes meanwhile, until the answer to its last tap is there.
const held = new Map();
const waiting = [];

function foresee(tile, chosen) {
  const holder = tile.closest("[data-hold]");
  const before = held.get(holder)?.before ?? holder.cloneNode(true);
  held.set(holder, { before, taps: (held.get(holder)?.taps ?? 0) + 1 });
  holder.classList.remove("refused");
  holder.classList.add("saving");
  if (tile.matches(".step")) foreseeStep(tile, holder);
  else foreseeName(tile, chosen.get("tap"));
}

function foreseeName(tile, kind) {
  const out = tile.name === "student";
  tile.className = out ? `name out saving ${kind}` : "name saving";
  tile.name = out ? "back" : "student";
  const said = tile.querySelector("small");
  said.className = "";
  said.textContent = ` ${out ? kind : "here"}, saving`;
}

function foreseeStep(tile, holder) {
  const student = tile.value.slice(tile.value.indexOf(":") + 1);
  const on = !tile.classList.contains("on");
  for (const step of holder.querySelectorAll(".step")) {
    const chosen = on && step === tile;
    step.classList.toggle("on", chosen);
    step.setAttribute("aria-pressed", String(chosen));
    step.value = `${chosen ? "" : step.textContent.trim()}:${student}`;
  }
}

function release(holder, why) {
  const { before, taps } = held.get(holder);
  if (taps > 1) {
    held.set(holder, { before, taps: taps - 1 });
    return;
  }
  held.delete(holder);
  holder.classList.remove("saving");
  if (!why) return;
  morph(holder, before.cloneNode(true));
  markRefused(holder, why);
}

// In the hand the network may be away for a while: taps are kept, and sent when it is back. Each has a name of its own, so
// that one that got through while its answer was lost does not count twice. At the laptop a server that is gone has ended,
// and one that is late is busy, and may still save what it was sent: there taps are sent again as well.
const inHand = () => document.body.classList.contains("in-hand");
const PATIENCE = 15_000;
const AGAIN_EVERY = 2_000;
// So that the first of many taps are answered before the last are carried out.
const MOST_AT_ONCE = 20;
const KEPT = "No answer yet: taps are not saved yet, and are sent again until there is one.";
let again = 0;

function keepTaps(batch) {
  waiting.unshift(...batch);
  for (const { holder } of batch) {
    const said = holder.querySelector("small");
    if (said) said.textContent = said.textContent.replace(", saving", ", not saved yet");
  }
  notice(KEPT);
  clearTimeout(again);
  again = setTimeout(() => inTurn(sendTaps), AGAIN_EVERY);
}

// In the hand the system may throw a page away while the phone sleeps: what was not sent is kept with the tab, by ids alone.
const UNSENT = `taps ${location.pathname}`;

function rememberTaps(taps) {
  if (!inHand()) return;
  if (taps.length) sessionStorage.setItem(UNSENT, JSON.stringify(taps.map(({ tile, chosen }) => [tile.id, chosen])));
  else sessionStorage.removeItem(UNSENT);
}

function recallTaps() {
  const form = document.querySelector("form[data-taps]");
  for (const [id, chosen] of form ? JSON.parse(sessionStorage.getItem(UNSENT) || "[]") : []) {
    const tile = byId(id);
    const holder = tile?.closest("[data-hold]");
    if (!holder) continue;
    waiting.push({ form, tile, holder, chosen });
    foresee(tile, new URLSearchParams(chosen));
  }
  if (waiting.length) inTurn(sendTaps);
}
document.addEventListener("DOMContentLoaded", recallTaps);
addEventListener("online", () => { if (waiting.length) inTurn(sendTaps); });

async function sendTaps() {
  const batch = waiting.splice(0, MOST_AT_ONCE);
  if (!batch.length) return;
  const { form } = batch[0];
  rememberTaps([...batch, ...waiting]);
  const body = new URLSearchParams([["form_key", form.elements.form_key.value], ...batch.map((one) => ["taps", one.chosen])]);
  const came = await asked(form.dataset.taps, body, PATIENCE);
  if (!came && quiet.gone && (quiet.late || inHand())) {
    keepTaps(batch);
    return;
  }
  rememberTaps(waiting);
  // The answer is told by place: two taps may have been on one name.
  const refused = new Map(came ? [...came.page.querySelectorAll("#refused li")].map((li) => [Number(li.value), li.textContent]) : []);
  batch.forEach((one, place) => release(one.holder, came ? refused.get(place + 1) : byId("notice-text").textContent));
  if (waiting.length) inTurn(sendTaps);
  if (!came) return;
  // A tile that was refused keeps its word; the others show what the file holds.
  const words = [...document.querySelectorAll(".refused")].map((tile) => [tile, tile.title]);
  if (!waiting.length) show(came.page, null, form, false);
  for (const [tile, why] of words) if (refused.size) markRefused(tile, why);
  if (refused.size) notice([...new Set(refused.values())].join(" "));
  tell();
  say(document, form);
}

function markRefused(tile, why) {
  tile.classList.add("refused");
  tile.title = why;
  const said = tile.querySelector("small");
  if (said) Object.assign(said, { className: "", textContent: " not saved" });
}

// A fault of the page's own in one answer holds up no tap after it.
function inTurn(step) {
  quiet.queue = quiet.queue.then(step).catch((fault) => {
    notice("Something on this page went wrong; load it again to see what was saved.");
    reportError(fault);
  });
}

// In the groups a name can be dragged with a mouse onto another, or to the number of a group: the same as two taps. A name
// that is held pins its round as it is, or lets go of it.
const HELD = 600;
let dragged = null;
let holding = 0;
let heldName = null;
document.addEventListener("pointerdown", (event) => {
  const name = event.target.closest("button.member");
  heldName = null;
  dragged = event.pointerType === "mouse" ? name : null;
  clearTimeout(holding);
  if (name) holding = setTimeout(() => hold(name), HELD);
});
for (const kind of ["pointerup", "pointercancel", "pointermove"]) {
  document.addEventListener(kind, (event) => {
    // A finger that rests still trembles.
    if (kind !== "pointermove" || Math.hypot(event.movementX, event.movementY) > 6) clearTimeout(holding);
  });
}
function hold(name) {
  dragged = null;
  heldName = name;
  name.form.requestSubmit(name.closest(".turn").querySelector(".pin"));
}
document.addEventListener("pointerup", (event) => {
  const under = dragged && document.elementFromPoint(event.clientX, event.clientY);
  const other = under?.closest("button.member") ?? under?.closest(".group")?.querySelector("button.to");
  if (!other || other === dragged || other.form !== dragged.form || dragged.closest(".group").contains(other)) return;
  other.form.elements.first.value = dragged.value;
  other.form.requestSubmit(other);
});
// The click at the end of a hold is no tap on the name; and a button that would do nothing now is said to be off, and is.
document.addEventListener("click", (event) => {
  const button = event.target.closest("button");
  if (button && (button === heldName || button.matches("[aria-disabled=true]"))) event.preventDefault();
  heldName = null;
});

// One after the other, each with what was chosen at the moment of the tap.
document.addEventListener("submit", (event) => {
  const form = event.target;
  if (!form.matches("[data-quick]")) return;
  event.preventDefault();
  const chosen = new URLSearchParams(new FormData(form, event.submitter));
  const holder = event.submitter?.closest("[data-hold]");
  if (holder && form.dataset.taps && chosen.get("tap") !== "apart") {
    chosen.set("once", `${Date.now()} ${Math.random()}`);
    waiting.push({ form, tile: event.submitter, holder, chosen: chosen.toString() });
    foresee(event.submitter, chosen);
    // What a tap means is for this one tap; the next is 'away' again.
    if (byId("tap-away")) byId("tap-away").checked = true;
    inTurn(sendTaps);
  } else {
    inTurn(() => send(form, chosen, event.submitter));
  }
});

// A page that comes by itself waits for the end of a run of taps, as it may bring another order of names.
const CALM = 1500;
let tapped = -CALM;
document.addEventListener("pointerdown", () => { tapped = performance.now(); }, true);
const atRest = () => !quiet.busy && !waiting.length && !held.size && performance.now() - tapped > CALM;

// A choice that is only sent together with the next tap is no half-filled form.
document.addEventListener("input", (event) => {
  if (!event.target.closest("[data-keep]") && event.target.form) quiet.dirty = true;
});

document.addEventListener("click", (event) => {
  if (event.target.id === "notice-close") notice("");
  if (event.target.closest("[data-print]")) window.print();
});

// A form that only chooses what is shown does so at once.
document.addEventListener("change", (event) => {
  if (event.target.form && event.target.form.matches("[data-at-once]")) event.target.form.requestSubmit();
});

async function look() {
  const bar = byId("bar");
  if (!bar || document.hidden || !atRest()) return;
  try {
    const answer = await fetch(bar.dataset.watch, { credentials: "same-origin" });
    if (!answer.ok) return;
    const now = await answer.json();
    const { version, round } = byId("bar").dataset;
    if (!atRest()) return;
    if (now.version !== version) {
      if (quiet.dirty) notice("This class was changed elsewhere. Load the page again to see it.");
      else await refresh(location.href, false);
    } else if (now.round !== round && !quiet.dirty) {
      await refresh(fromTheUsualRound(), true);
    }
  } catch {
    // the next tap says that the server is gone
  }
}

// The screen has gone on: from which round on a tap counts is no longer what was chosen in an earlier one.
function fromTheUsualRound() {
  const address = new URL(location.href);
  address.searchParams.delete("since");
  return address.href;
}

// What was asked for before something was sent is older than the answer to that, however late it comes.
async function refresh(address, anew) {
  const before = quiet.asked;
  const answer = await fetch(address, { credentials: "same-origin" });
  if (!answer.ok) return;
  const page = await parsed(answer);
  if (atRest() && before === quiet.asked) show(page, address, null, anew);
}

setInterval(look, WATCH_EVERY);
document.addEventListener("visibilitychange", look);

// A file can be dropped anywhere on its form.
function landing(event) {
  return event.target instanceof Element ? event.target.closest("[data-drop]") : null;
}
for (const kind of ["dragover", "dragenter"]) {
  document.addEventListener(kind, (event) => {
    const form = landing(event);
    if (!form) return;
    event.preventDefault();
    form.classList.add("over");
  });
}
document.addEventListener("dragleave", (event) => landing(event)?.classList.remove("over"));
document.addEventListener("drop", (event) => {
  const form = landing(event);
  if (!form || !event.dataTransfer.files.length) return;
  event.preventDefault();
  form.classList.remove("over");
  form.querySelector("input[type=file]").files = event.dataTransfer.files;
  form.requestSubmit();
});

// The progress of a plan in the making, or of a proof; one question at a time, so that many windows leave the server free.
async function follow() {
  const bar = byId("progress");
  if (!bar || document.hidden) return;
  try {
    const answer = await fetch(bar.dataset.progress, { credentials: "same-origin" });
    if (!answer.ok) return;
    const now = await answer.json();
    if (!bar.isConnected) return;
    // A proof cannot tell how much of it is left: its bar only moves.
    if ("share" in now) bar.value = now.share;
    byId("progress-text").textContent = now.text;
    if (now.over) location.reload();
  } catch {
    byId("progress-text").textContent = "grouper does not answer; is its window still open?";
  }
}
const FOLLOW_EVERY = 500;
async function following() {
  await follow();
  setTimeout(following, FOLLOW_EVERY);
}
document.addEventListener("DOMContentLoaded", following);

// Drawings of who met whom: the row and the column of the place under the pointer.
document.addEventListener("pointerover", (event) => {
  const cell = event.target.closest && event.target.closest("[data-row]");
  const map = byId("map");
  if (!map) return;
  for (const lit of map.querySelectorAll(".lit")) lit.classList.remove("lit");
  if (!cell) return;
  for (const one of [cell.dataset.row, cell.dataset.column]) {
    for (const name of map.querySelectorAll(`[data-name="${one}"]`)) name.classList.add("lit");
  }
  cell.classList.add("lit");
  byId("map-said").textContent = cell.querySelector("title").textContent;
});
