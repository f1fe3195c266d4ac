// Taps without a reload, and a look now and then whether somebody else changed the class. Without this script every form
// still works, with a reload.
"use strict";

const WATCH_EVERY = 2500;
const quiet = { queue: Promise.resolve(), busy: 0, dirty: false };

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

function halfTyped(sent) {
  const fields = [...document.querySelectorAll(TYPED)].filter((one) => one.form !== sent && one.value !== one.defaultValue);
  return new Map(fields.map((one) => [nameOf(one), one.value]));
}

function typeAgain(typed) {
  const fields = [...document.querySelectorAll(TYPED)].filter((one) => typed.has(nameOf(one)));
  for (const field of fields) field.value = typed.get(nameOf(field));
  quiet.dirty = fields.length > 0;
}

// What the teacher is typing in another form, the folds that are open, and the focus outlive a swap of the page.
function show(page, address, sent) {
  const focused = document.activeElement && document.activeElement.id;
  const bar = page.getElementById("bar");
  const open = new Map([...document.querySelectorAll("details[id]")].map((fold) => [fold.id, fold.open]));
  const typed = halfTyped(sent);
  if (bar && byId("bar")) byId("bar").replaceWith(document.adoptNode(bar));
  byId("content").replaceWith(document.adoptNode(page.getElementById("content")));
  for (const fold of document.querySelectorAll("details[id]")) {
    if (open.has(fold.id)) fold.open = open.get(fold.id);
  }
  typeAgain(typed);
  document.title = page.title;
  if (address) history.replaceState(null, "", address);
  const again = focused && byId(focused);
  if (again) again.focus({ preventScroll: true });
  document.dispatchEvent(new Event("shown"));
}

async function parsed(answer) {
  return new DOMParser().parseFromString(await answer.text(), "text/html");
}

async function send(form, body, button) {
  quiet.busy += 1;
  if (button) button.setAttribute("aria-busy", "true");
  try {
    const answer = await fetch(form.action, { method: "POST", body, credentials: "same-origin" });
    const page = await parsed(answer);
    if (answer.ok) {
      notice("");
      show(page, answer.url, form);
      tell();
      say(document, form);
    } else {
      notice(textOfTrouble(page) || "That did not work; nothing was changed.");
    }
  } catch {
    notice("grouper does not answer, so this was not saved. Is its window still open?");
  } finally {
    quiet.busy -= 1;
    if (button) button.removeAttribute("aria-busy");
  }
}

// One after the other, each with what was chosen at the moment of the tap.
document.addEventListener("submit", (event) => {
  const form = event.target;
  if (!form.matches("[data-quick]")) return;
  event.preventDefault();
  const body = new URLSearchParams(new FormData(form, event.submitter));
  quiet.queue = quiet.queue.then(() => send(form, body, event.submitter));
});

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
  if (!bar || document.hidden || quiet.busy) return;
  try {
    const answer = await fetch(bar.dataset.watch, { credentials: "same-origin" });
    if (!answer.ok) return;
    const now = await answer.json();
    const { version, round } = byId("bar").dataset;
    if (quiet.busy) return;
    if (now.version !== version) {
      if (quiet.dirty) notice("This class was changed elsewhere. Load the page again to see it.");
      else await refresh(location.href);
    } else if (now.round !== round && !quiet.dirty) {
      await refresh(fromTheUsualRound());
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

async function refresh(address) {
  const answer = await fetch(address, { credentials: "same-origin" });
  if (answer.ok && !quiet.busy) show(await parsed(answer), address, null);
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

// The progress of a plan in the making; one question at a time, so that many windows leave the server free.
async function follow() {
  const bar = byId("progress");
  if (!bar || document.hidden) return;
  try {
    const answer = await fetch(bar.dataset.progress, { credentials: "same-origin" });
    if (!answer.ok) return;
    const now = await answer.json();
    if (!bar.isConnected) return;
    bar.value = now.share;
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
