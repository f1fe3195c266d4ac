// In the hand: the clock of the lesson on every page of it, and scores with + and -.
"use strict";

const hand = document.getElementById("hand");

function put(id, text) {
  if (byId(id).textContent !== text) byId(id).textContent = text;
}

function drawHand() {
  const here = section(state.place);
  for (const one of sections()) one.classList.toggle("now", one === here && !state.ended);
  const ms = left();
  const over = ms !== null && ms <= 0;
  const last = isLast();
  put("hand-of", state.ended ? "The end" : here?.dataset.of ?? "");
  put("hand-activity", state.ended ? "" : here?.dataset.activity ?? "");
  put("hand-time", state.ended || ms === null ? "" : over ? "Time" : clockText(ms));
  const standing = ms === lengthOf(state.place) ? "Ready" : "Paused";
  put("hand-word", state.ended || ms === null || over ? "" : state.end !== null ? "Running" : standing);
  byId("hand").classList.toggle("running", state.end !== null && !over);
  byId("hand").classList.toggle("over", over && !state.ended);
  put("hand-go", state.end === null ? "Start" : "Pause");
  byId("hand-go").disabled = state.ended || over || ms === null;
  put("hand-next", last ? "End" : section(state.place + 1).dataset.round === here.dataset.round ? "Next slot ›" : "Next round ›");
  byId("hand-next").disabled = state.ended;
}

// Which round has begun may be another now: what a tap counts from follows.
function turnedInHand() {
  drawHand();
  look();
}

if (hand) {
  state.left = lengthOf(1);
  const key = byId("hand-keys").dataset.key;
  const tell = (clock) => {
    clock.set("form_key", key);
    return fetch(hand.dataset.clock, { method: "POST", body: clock, credentials: "same-origin" });
  };
  document.addEventListener("click", (event) => {
    const turn = event.target.closest("[data-turn]")?.dataset.turn;
    if (!turn) return;
    turns[turn]();
    drawHand();
    tellClock();
  });
  document.addEventListener("shown", drawHand);
  drawHand();
  setInterval(drawHand, 250);
  keepInStep(hand.dataset.clock, tell, turnedInHand);
}

// ---- scores: each tap counts at once, and what stands there is saved when the thumb rests
const REST = 700;
const stepped = new Set();
let resting = 0;

document.addEventListener("click", (event) => {
  const button = event.target.closest("[data-add]");
  if (!button) return;
  const field = byId(button.dataset.of);
  for (const side of field.closest(".game").querySelectorAll(".score input")) {
    if (side.value === "") side.value = "0";
    stepped.add(side.id);
  }
  stepped.add(field.id);
  field.value = String(Math.max(0, Number(field.value) + Number(button.dataset.add)));
  quiet.dirty = true;
  saveSteps(REST);
});

// Which of the scores that were tapped are not what the class file holds; their games say so.
function unsaved() {
  const fields = [...stepped].map(byId).filter((one) => one && one.value !== one.defaultValue);
  for (const game of document.querySelectorAll(".game")) game.classList.toggle("saving", fields.some((one) => game.contains(one)));
  if (!fields.length) stepped.clear();
  return fields;
}

function saveSteps(after) {
  const form = unsaved()[0]?.form;
  clearTimeout(resting);
  if (form) resting = setTimeout(() => form.requestSubmit(form.querySelector(".save-bar button")), after);
}

// What was tapped while an answer was under way goes with the next; without a network it is tried again.
document.addEventListener("shown", () => saveSteps(REST));
document.addEventListener("unsent", () => { if (quiet.gone) saveSteps(2000); });
