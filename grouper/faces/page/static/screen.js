// The students' screen. All of the lesson is in the page: it asks the server for changes, and goes on without it.
"use strict";

const SOON = 30_000;
const ASK_EVERY = 4_000;
const byId = (id) => document.getElementById(id);
const kept = `screen ${location.pathname}`;

// Whether the screen moves on by itself, after how many seconds of changing places, and whether names are listed A to Z.
const chosen = { alone: localStorage.getItem("alone") === "yes", change: Number(localStorage.getItem("change")) || 45, list: false };
const chime = { on: localStorage.getItem("chime") !== "off", audio: null };
let etag = "";

// From the end of a scene to the next: what a slot was given for the change, else what is chosen on the screen.
const changeAfter = (place) => {
  const own = section(place + 1)?.dataset.change;
  return own === undefined || own === "" ? chosen.change * 1000 : Number(own) * MINUTE;
};
const changing = () => chosen.alone && !state.ended && !isLast() && state.end !== null && left() <= 0;

function remember() {
  const { key, round } = section(state.place)?.dataset ?? {};
  sessionStorage.setItem(kept, JSON.stringify({ ...state, shown: { key, round } }));
}

function recall() {
  try {
    Object.assign(state, JSON.parse(sessionStorage.getItem(kept)) || { left: lengthOf(1) });
  } catch {
    state.left = lengthOf(1);
  }
  state.place = placeOf(state.shown);
}

function sayWhere() {
  byId("said").textContent = [byId("of").textContent, byId("activity").textContent].filter(Boolean).join(", ");
}

// By itself: as the clock on the wall goes, so that after a sleep the screen is where the lesson is.
function moveOn() {
  while (chosen.alone && state.end !== null && !state.ended) {
    const over = state.end + changeAfter(state.place);
    if (Date.now() < over) return;
    if (isLast()) {
      turnTo(state.place + 1);
      remember();
      tellClock();
      setTimeout(sayWhere);
      return;
    }
    const length = lengthOf(state.place + 1);
    Object.assign(state, { place: state.place + 1, left: length, end: length === null ? null : over + length });
    Object.assign(state, { chimed: false, preview: null, from: null });
    remember();
    tellClock();
    ask();
  }
}

const deeds = {
  ...turns,
  preview() {
    state.preview = !previewing();
  },
  alone() {
    chosen.alone = !chosen.alone;
    localStorage.setItem("alone", chosen.alone ? "yes" : "no");
  },
  keys() {
    byId("more-keys").setAttribute("aria-expanded", String(byId("rest").classList.toggle("open")));
  },
  list() {
    chosen.list = !chosen.list;
  },
  chime() {
    chime.on = !chime.on;
    localStorage.setItem("chime", chime.on ? "on" : "off");
    if (chime.on) ring();
  },
  blank() {
    const curtain = byId("curtain");
    curtain.hidden = !curtain.hidden;
    if (curtain.hidden) byId("go").focus();
    else curtain.focus();
  },
  light() {
    localStorage.setItem("light", document.documentElement.classList.toggle("dark") ? "no" : "yes");
  },
  full() {
    if (document.fullscreenElement) document.exitFullscreen();
    else document.documentElement.requestFullscreen?.().catch(() => undefined);
  },
};

const KEYS = {
  " ": "go", ArrowRight: "skip", ArrowLeft: "back", PageDown: "skip", PageUp: "back",
  "+": "more", "=": "more", b: "blank", ".": "blank", c: "chime", n: "preview", f: "full", l: "light",
  a: "list", m: "alone",
};

function perform(deed) {
  if (deed === "go") ready();
  const { place, ended } = state;
  deeds[deed]();
  remember();
  draw();
  if (!turns[deed]) return;
  tellClock();
  ask();
  if (place !== state.place || ended !== state.ended) sayWhere();
}

// Another window, or a phone, has turned the clock.
function turned() {
  remember();
  draw();
  ask();
}

document.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.metaKey || event.altKey) return;
  const deed = KEYS[event.key.length === 1 ? event.key.toLowerCase() : event.key];
  const onButton = event.target.closest("button") && (event.key === " " || event.key === "Enter");
  if (!deed || onButton || event.target.closest("select")) return;
  event.preventDefault();
  perform(deed);
});
document.addEventListener("click", (event) => {
  const button = event.target.closest("[data-do]");
  if (button) perform(button.dataset.do);
});
byId("change").addEventListener("change", () => {
  chosen.change = Number(byId("change").value);
  localStorage.setItem("change", String(chosen.change));
});

// ---- sound: two soft notes, allowed by the browser once somebody has touched the page
function ready() {
  const Audio = window.AudioContext || window.webkitAudioContext;
  if (Audio && !chime.audio) chime.audio = new Audio();
  chime.audio?.resume?.();
}

function ring() {
  ready();
  if (!chime.on || !chime.audio) return;
  for (const [pitch, after] of [[659.26, 0], [523.25, 0.28], [659.26, 0.9], [523.25, 1.18]]) note(pitch, after);
}

function note(pitch, after) {
  const start = chime.audio.currentTime + after;
  const tone = chime.audio.createOscillator();
  const volume = chime.audio.createGain();
  tone.frequency.value = pitch;
  volume.gain.setValueAtTime(0.0001, start);
  volume.gain.exponentialRampToValueAtTime(0.6, start + 0.02);
  volume.gain.exponentialRampToValueAtTime(0.0001, start + 0.8);
  tone.connect(volume).connect(chime.audio.destination);
  tone.start(start);
  tone.stop(start + 0.85);
}

// ---- what is seen
// Beside what is on now, never in its place.
function previewing() {
  if (isLast() || state.ended) return false;
  const soon = state.end !== null && left() <= SOON;
  return state.preview === null ? soon : state.preview;
}

// What the clock does, in a word: its colour alone would not tell.
function clockWord(ms) {
  if (state.ended || ms === null) return "";
  if (changing()) return "Changeover";
  if (ms <= 0) return "";
  if (state.end !== null) return "Running";
  return ms === lengthOf(state.place) ? "Ready" : "Paused";
}

function drawClock() {
  const clock = byId("clock");
  const ms = left();
  const over = !state.ended && ms !== null && ms <= 0;
  const change = changing();
  const shownMs = change ? ms + changeAfter(state.place) : ms;
  put("clock-time", state.ended || ms === null ? "" : over && !change ? "Time" : clockText(shownMs));
  put("clock-word", clockWord(ms));
  clock.classList.toggle("paused", state.end === null && !over);
  clock.classList.toggle("soon", !over && state.end !== null && ms <= SOON);
  clock.classList.toggle("over", over && !change);
  clock.classList.toggle("changing", change);
  if (over && !state.chimed) {
    state.chimed = true;
    remember();
    ring();
  }
}

function put(id, text) {
  if (byId(id).textContent !== text) byId(id).textContent = text;
}

let shown = null;
function draw() {
  moveOn();
  drawClock();
  const now = state.ended ? null : section(state.place);
  const next = previewing() ? section(state.place + 1) : null;
  const listing = chosen.list && now && !next;
  const key = `${state.place} ${Boolean(next)} ${state.ended} ${listing} ${innerWidth} ${innerHeight} ${etag}`;
  drawWords();
  if (key === shown) return;
  shown = key;
  document.body.classList.toggle("previewing", Boolean(next));
  document.body.classList.toggle("ended", state.ended);
  byId("end").hidden = !state.ended;
  byId("list").hidden = !listing;
  for (const one of sections()) {
    one.classList.toggle("now", one === now);
    one.classList.toggle("coming", one === next);
    const which = one.querySelector(".which");
    which.textContent = !next ? "" : one === now ? "Now" : one === next ? `Next: ${inWords(one)}` : "";
  }
  if (listing) drawList(now);
  for (const one of [now, next]) if (one) fit(one);
}

const inWords = (one) => `${one.querySelector(".of").textContent}, ${one.querySelector(".activity").textContent}`;

function drawWords() {
  const head = section(state.place);
  put("of", state.ended ? "" : head.querySelector(".of").textContent);
  put("activity", state.ended ? "The end of the lesson" : head.querySelector(".activity").textContent);
  const next = section(state.place + 1);
  const minutes = next?.dataset.length ? ` · ${next.dataset.length}` : "";
  put("next-word", state.ended ? "" : next ? "Next: " : "This is the last one");
  put("next-activity", next ? next.dataset.next || next.querySelector(".activity").textContent : "");
  put("next-length", minutes);
  put("go", state.end === null ? "Start" : "Pause");
  put("chime", chime.on ? "Chime on" : "Chime off");
  put("alone-button", chosen.alone ? "Moves on by itself" : "Moves on by hand");
  byId("go").disabled = state.end === null && !(state.left > 0);
  byId("chime").setAttribute("aria-pressed", String(chime.on));
  byId("alone-button").setAttribute("aria-pressed", String(chosen.alone));
  byId("list-button").setAttribute("aria-pressed", String(chosen.list));
  byId("preview").setAttribute("aria-pressed", String(previewing()));
  byId("light").setAttribute("aria-pressed", String(!document.documentElement.classList.contains("dark")));
  byId("skip").disabled = state.ended;
  byId("preview").disabled = isLast();
}

// Everybody by the alphabet with the group, court or station that they are at, for whoever looks for one name: theirs.
function drawList(round) {
  const rows = [...round.querySelectorAll(".group")].flatMap((group) => {
    const label = [...group.querySelector(".label").childNodes].map((part) => part.textContent.trim()).join(" ").trim();
    const where = group.querySelector(".called")?.textContent ?? label;
    const names = group.querySelectorAll(".one bdi").length ? ".one bdi" : ".people bdi";
    return [...group.querySelectorAll(names)].map((name) => [name.textContent, where]);
  });
  rows.sort(([one], [other]) => one.localeCompare(other));
  byId("list").replaceChildren(...rows.map(([name, where]) => {
    const row = document.createElement("li");
    const called = document.createElement("bdi");
    const place = document.createElement("b");
    called.textContent = name;
    place.textContent = where;
    row.append(called, " ", place);
    return row;
  }));
  const list = byId("list");
  let size = innerHeight / 12;
  do {
    size *= 0.95;
    list.style.fontSize = `${size}px`;
  } while (size > 11 && (list.scrollHeight > list.clientHeight + 1 || list.scrollWidth > list.clientWidth + 1));
}

// The largest letters with which all groups, or courts, are seen at once: every way to lay them out is tried, halving the steps.
function fit(round) {
  const groups = round.querySelector(".groups");
  const phone = matchMedia("(max-width: 48rem)").matches;
  groups.style.cssText = "";
  if (phone) return;
  const most = Math.max(...[...groups.querySelectorAll(".people")].map((one) => one.children.length));
  let best = { size: 0, columns: 1, abreast: 1 };
  for (let columns = 1; columns <= Math.min(6, groups.children.length); columns += 1) {
    for (let abreast = 1; abreast <= Math.min(4, most); abreast += 1) {
      const size = largest(groups, columns, abreast, best.size);
      if (size > best.size) best = { size, columns, abreast };
    }
  }
  lay(groups, best.columns, best.abreast, best.size || 16);
}

function lay(groups, columns, abreast, size) {
  groups.style.setProperty("--columns", columns);
  groups.style.setProperty("--abreast", abreast);
  groups.style.setProperty("--letters", `${size}px`);
}

function fits(groups, columns, abreast, size) {
  lay(groups, columns, abreast, size);
  if (groups.scrollHeight > groups.clientHeight + 1 || groups.scrollWidth > groups.clientWidth + 1) return false;
  return [...groups.querySelectorAll(".people bdi")].every((name) => !breaksWord(name));
}

// A name may stand on several lines between its words, never inside of one: a word that is wider than its place sticks out.
function breaksWord(name) {
  const place = name.closest("li");
  return place.scrollWidth > place.clientWidth + 1 || name.getClientRects().length > (name.closest(".one") ? 2 : 3);
}

function largest(groups, columns, abreast, atLeast) {
  if (!fits(groups, columns, abreast, atLeast + 1)) return 0;
  let low = atLeast + 1;
  let high = innerHeight / 3;
  while (high - low > 0.5) {
    const middle = (low + high) / 2;
    if (fits(groups, columns, abreast, middle)) low = middle;
    else high = middle;
  }
  return low;
}

// ---- changes from the door
// Without the server a reload would lose the lesson, so that the browser asks before it.
window.addEventListener("beforeunload", (event) => {
  if (!byId("alone").hidden) event.preventDefault();
});

// One at a time: of two on their way at once the older may come last, and would turn the lesson back.
let asking = false;
let askAgain = false;

async function ask() {
  askAgain = asking;
  if (asking) return;
  asking = true;
  await askOnce();
  asking = false;
  if (askAgain) await ask();
}

async function askOnce() {
  try {
    const headers = etag ? { "If-None-Match": etag } : {};
    const answer = await fetch(`${location.pathname}/rounds?round=${begunRound()}&window=${state.window}`, { headers });
    byId("alone").hidden = answer.ok || answer.status === 304;
    if (answer.status === 200) take(await answer.text(), answer.headers.get("ETag") || "");
  } catch {
    byId("alone").hidden = false;
  }
}

function take(text, tag) {
  if (tag === etag) return;
  const page = new DOMParser().parseFromString(text, "text/html");
  const before = { ...section(state.place)?.dataset };
  byId("rounds").replaceChildren(...[...page.body.children].map((child) => document.adoptNode(child)));
  etag = tag;
  state.place = placeOf(before);
  remember();
  draw();
}

byId("change").value = String(chosen.change);
if (localStorage.getItem("light") === "yes") document.documentElement.classList.remove("dark");
document.body.classList.add("playing");
recall();
// A reload is the same screen, a second window another one.
state.window ||= `${Date.now()}-${Math.floor(performance.now() * 1000)}`;
remember();
draw();
ask();
setInterval(draw, 200);
setInterval(ask, ASK_EVERY);
// The key of a form is the teacher's; the screen tells in an address, as it tells which round has begun.
keepInStep(`${location.pathname}/clock`, (clock) => fetch(`${location.pathname}/clock?${clock}`), turned);
for (const kind of ["resize", "visibilitychange", "pageshow"]) addEventListener(kind, () => draw());
document.addEventListener("visibilitychange", () => draw());
document.fonts?.ready.then(() => { shown = null; draw(); });
