// The students' screen. All of the lesson is in the page: it asks the server for changes, and goes on without it.
"use strict";

const MINUTE = 60_000;
const SOON = 30_000;
const ASK_EVERY = 4_000;
const byId = (id) => document.getElementById(id);
const kept = `screen ${location.pathname}`;

// `end` is a time of day in ms while the clock runs, so that a sleep of the tab or the machine costs nothing;
// `left` are the ms left while it stands, null where the round has no length.
const state = { window: "", place: 1, end: null, left: null, chimed: false, preview: null };
const chime = { on: localStorage.getItem("chime") !== "off", audio: null };
let etag = "";

const sections = () => [...document.querySelectorAll(".round")];
const section = (place) => document.querySelector(`.round[data-place="${place}"]`);
const lengthOf = (place) => {
  const minutes = Number(section(place)?.dataset.minutes);
  return minutes > 0 ? minutes * MINUTE : null;
};
const left = () => (state.end === null ? state.left : state.end - Date.now());

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

// Whoever turns on by mistake and back finds the clock as if nothing had been.
function stillGoes(from) {
  return from.end !== null ? from.end > Date.now() : from.left !== null && from.left > 0;
}

function turnTo(place) {
  if (place < 1 || place > sections().length) return;
  const { place: last, end, left: rest, chimed } = state;
  const slip = state.from?.place === place && stillGoes(state.from);
  Object.assign(state, { place, left: lengthOf(place), end: null, chimed: false, preview: null });
  if (slip) Object.assign(state, state.from);
  else if (end !== null && place > 1 && state.left !== null) state.end = Date.now() + state.left;
  state.from = { place: last, end, left: rest, chimed };
  remember();
  draw();
  ask();
  byId("said").textContent = `${byId("of").textContent}, ${byId("activity").textContent}`;
}

const deeds = {
  go() {
    ready();
    if (state.end !== null) {
      state.left = Math.max(0, left());
      state.end = null;
    } else if (state.left !== null && state.left > 0) {
      state.end = Date.now() + state.left;
    }
  },
  more() {
    const now = Math.max(0, left() ?? 0) + MINUTE;
    state.chimed = false;
    if (state.end !== null) state.end = Date.now() + now;
    else state.left = now;
  },
  back: () => turnTo(state.place - 1),
  skip: () => turnTo(state.place + 1),
  preview() {
    state.preview = !previewing();
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
};

function perform(deed) {
  deeds[deed]();
  remember();
  draw();
  if (deed === "go") ask();
}

document.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.metaKey || event.altKey) return;
  const deed = KEYS[event.key.length === 1 ? event.key.toLowerCase() : event.key];
  const onButton = event.target.closest("button") && (event.key === " " || event.key === "Enter");
  if (!deed || onButton) return;
  event.preventDefault();
  perform(deed);
});
document.addEventListener("click", (event) => {
  const button = event.target.closest("[data-do]");
  if (button) perform(button.dataset.do);
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
const isLast = () => state.place >= sections().length;

function previewing() {
  if (isLast()) return false;
  const soon = state.end !== null && left() <= SOON;
  return state.preview === null ? soon : state.preview;
}

function clockText(ms) {
  const seconds = Math.max(0, Math.ceil(ms / 1000));
  return `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, "0")}`;
}

function drawClock() {
  const clock = byId("clock");
  const ms = left();
  const over = ms !== null && ms <= 0;
  const text = ms === null ? "" : over ? "Time" : clockText(ms);
  if (clock.textContent !== text) clock.textContent = text;
  clock.classList.toggle("paused", state.end === null && !over);
  clock.classList.toggle("soon", !over && state.end !== null && ms <= SOON);
  clock.classList.toggle("over", over);
  if (over && !state.chimed) {
    state.chimed = true;
    remember();
    ring();
  }
}

let shown = null;
function draw() {
  drawClock();
  const place = previewing() ? state.place + 1 : state.place;
  const now = section(place);
  const key = `${place} ${innerWidth} ${innerHeight} ${etag}`;
  document.body.classList.toggle("previewing", previewing());
  drawWords(place);
  if (key === shown) return;
  shown = key;
  for (const one of sections()) one.classList.toggle("now", one === now);
  fit(now);
}

function drawWords(place) {
  const set = (id, text) => {
    if (byId(id).textContent !== text) byId(id).textContent = text;
  };
  const head = section(place);
  set("of", (previewing() ? "Next: " : "") + head.querySelector(".of").textContent);
  set("activity", head.querySelector(".activity").textContent);
  const next = section(state.place + 1);
  const minutes = next?.dataset.length ? ` · ${next.dataset.length}` : "";
  set("next-word", next ? "Next: " : "Nothing comes after this");
  set("next-activity", next ? next.dataset.next || next.querySelector(".activity").textContent : "");
  set("next-length", minutes);
  set("go", state.end === null ? "Start" : "Pause");
  set("chime", chime.on ? "Chime on" : "Chime off");
  byId("go").disabled = state.end === null && !(state.left > 0);
  byId("chime").setAttribute("aria-pressed", String(chime.on));
  byId("preview").setAttribute("aria-pressed", String(previewing()));
  byId("light").setAttribute("aria-pressed", String(!document.documentElement.classList.contains("dark")));
  byId("skip").disabled = byId("preview").disabled = isLast();
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
  return [...groups.querySelectorAll(".people bdi")].every((name) => !breaksWord(name, size));
}

// A name may stand on two lines between its words, never inside of one.
function breaksWord(name, size) {
  const lines = Math.round(name.getBoundingClientRect().height / (size * 1.14));
  return name.getClientRects().length > name.textContent.trim().split(/[\s-]+/).length || lines > 3;
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

// The last round that has begun, for the door. The first one is only shown at first, until its clock is used; whoever
// turns to a later one without the clock plays it.
function begunRound() {
  const here = section(state.place);
  const round = Number(here?.dataset.round) || 1;
  const timed = sections().find((one) => one.dataset.round === here?.dataset.round && one.dataset.minutes);
  const used = state.end !== null || (state.left !== null && state.left < (lengthOf(state.place) ?? 0));
  const begun = round > 1 || used || (timed && state.place > Number(timed.dataset.place));
  return begun ? round : round - 1;
}

// Games may be planned or dropped while the screen is on: it stays with what it showed, or else with that round.
function placeOf(before) {
  const all = sections();
  const same = all.find((one) => one.dataset.key === before?.key);
  const round = all.find((one) => one.dataset.round === before?.round);
  return Number((same || round)?.dataset.place) || Math.min(Math.max(1, state.place), all.length);
}

async function ask() {
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
  const before = section(state.place)?.dataset;
  byId("rounds").replaceChildren(...[...page.body.children].map((child) => document.adoptNode(child)));
  etag = tag;
  state.place = placeOf(before);
  remember();
  draw();
}

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
for (const kind of ["resize", "visibilitychange", "pageshow"]) addEventListener(kind, () => draw());
document.addEventListener("visibilitychange", () => draw());
document.fonts?.ready.then(() => { shown = null; draw(); });
