// The clock of a lesson: where it is and how long it goes on, the same on the wall and in the hand. The scenes stand in
// the page; what a window turns it tells the server, and what others turn it hears. Without the server it goes on.
"use strict";

const MINUTE = 60_000;
const HEAR_EVERY = 1000;

// `end` is a time of day in ms while the clock runs, so that a sleep of the tab or the machine costs nothing;
// `left` are the ms left while it stands, null where the scene has no length. `ended` says that the last one is over.
// `serial` is the state of the server's clock that this window knows.
const state = { place: 1, end: null, left: null, chimed: false, ended: false, preview: null, window: "", serial: 0 };

// Where to ask, and with what a turn is told; `skew` is how far the clock of the server's machine is ahead of this one.
const wire = { hear: "", tell: null, busy: false, unsent: false, skew: 0, turned: () => undefined };

const sections = () => [...document.querySelectorAll("[data-place]")];
const section = (place) => document.querySelector(`[data-place="${place}"]`);
const isLast = () => state.place >= sections().length;
const left = () => (state.end === null ? state.left : state.end - Date.now());
const lengthOf = (place) => {
  const minutes = Number(section(place)?.dataset.minutes);
  return minutes > 0 ? minutes * MINUTE : null;
};

function clockText(ms) {
  const seconds = Math.max(0, Math.ceil(ms / 1000));
  return `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, "0")}`;
}

// Games may be planned or dropped while the clock goes: it stays with the scene that it was at, or else with its round.
function placeOf(before) {
  const all = sections();
  const same = all.find((one) => one.dataset.key === before?.key);
  const round = all.find((one) => one.dataset.round === before?.round);
  return Number((same || round)?.dataset.place) || Math.min(Math.max(1, state.place), all.length);
}

// The last round that has begun. The first one is only shown at first, until its clock is used; whoever turns to a later
// one without the clock plays it.
function begunRound() {
  const here = section(state.place);
  const round = Number(here?.dataset.round) || 1;
  const timed = sections().find((one) => one.dataset.round === here?.dataset.round && one.dataset.minutes);
  const used = state.end !== null || (state.left !== null && state.left < (lengthOf(state.place) ?? 0));
  const begun = round > 1 || used || (timed && state.place > Number(timed.dataset.place));
  return begun ? round : round - 1;
}

// ---- turning it
// Whoever turns on by mistake and back finds the clock as if nothing had been.
function stillGoes(from) {
  return from.end !== null ? from.end > Date.now() : from.left !== null && from.left > 0;
}

function turnTo(place) {
  if (place < 1 || state.ended) return;
  if (place > sections().length) {
    Object.assign(state, { ended: true, end: null, left: null, preview: null });
    return;
  }
  const { place: last, end, left: rest, chimed } = state;
  const slip = state.from?.place === place && stillGoes(state.from);
  Object.assign(state, { place, left: lengthOf(place), end: null, chimed: false, preview: null });
  if (slip) Object.assign(state, state.from);
  else if (end !== null && place > 1 && state.left !== null) state.end = Date.now() + state.left;
  state.from = { place: last, end, left: rest, chimed };
}

const turns = {
  go() {
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
  back() {
    if (!state.ended) turnTo(state.place - 1);
    else Object.assign(state, { ended: false, left: 0 });
  },
  skip: () => turnTo(state.place + 1),
};

// ---- in step with other windows
function told() {
  const { key = "", round = "" } = section(state.place)?.dataset ?? {};
  const whole = (ms) => (ms === null ? "" : String(Math.max(0, Math.round(ms))));
  const end = state.end === null ? null : state.end + wire.skew;
  return { key, round, end: whole(end), left: whole(state.left), ended: state.ended, serial: state.serial, begun: begunRound() };
}

function tellClock() {
  wire.unsent = true;
  exchange();
}

async function exchange() {
  if (wire.busy || !wire.hear || (document.hidden && !wire.unsent)) return;
  wire.busy = true;
  const telling = wire.unsent;
  wire.unsent = false;
  try {
    const answer = await (telling ? wire.tell(new URLSearchParams(told())) : fetch(wire.hear));
    if (answer.ok) hear(await answer.json(), telling);
  } catch {
    // the server or the network is away: what was turned here is told when it is back
    wire.unsent ||= telling;
  } finally {
    wire.busy = false;
  }
}

function hear(now, telling) {
  wire.skew = now.now - Date.now();
  if (telling && now.taken) state.serial = now.serial;
  else if (now.serial < state.serial) {
    // grouper was started again, and knows nothing of this lesson's clock: it goes on as it is here
    state.serial = now.serial;
    wire.unsent = true;
  } else if (now.serial > state.serial && sections().length) {
    const { serial, ended } = now;
    const end = now.end === null ? null : now.end - wire.skew;
    Object.assign(state, { serial, ended, end, left: now.left, place: placeOf(now), preview: null, from: null });
    state.chimed = (left() ?? 1) <= 0;
    wire.unsent = false;
    wire.turned();
  }
  if (wire.unsent) setTimeout(exchange);
}

function keepInStep(hearAt, tell, turned) {
  Object.assign(wire, { hear: hearAt, tell, turned });
  exchange();
  setInterval(exchange, HEAR_EVERY);
  for (const kind of ["visibilitychange", "pageshow"]) document.addEventListener(kind, exchange);
  addEventListener("online", exchange);
}
