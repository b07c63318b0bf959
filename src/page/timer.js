// The timer of an observation: a ring that fills, a question in words, and a soft sound only if it is wished.
"use strict";
const find = (id) => document.getElementById(id);
const form = find("sampling");
const box = find("timer");
const marksField = find("marks");
box.hidden = false;
const typed = find("typed-marks");
typed.hidden = !("stay" in typed.dataset);
let marks = "";
let began = 0;
let every = 15;
let count = 0;
let asking = 0;
let ticking = null;
let sound = null;

function chime() {
  if (!find("chime").checked) return;
  sound = sound || new AudioContext();
  const tone = sound.createOscillator();
  const gain = sound.createGain();
  const now = sound.currentTime;
  tone.frequency.value = 440;
  gain.gain.setValueAtTime(0, now);
  gain.gain.linearRampToValueAtTime(0.08, now + 0.15);
  gain.gain.linearRampToValueAtTime(0, now + 0.7);
  tone.connect(gain).connect(sound.destination);
  tone.start(now);
  tone.stop(now + 0.75);
}

function question() {
  return form.querySelector("input[name=method]:checked").dataset.question;
}

function shown(running) {
  find("start").hidden = running;
  find("stop").hidden = !running;
  for (const id of ["yes", "no"]) find(id).hidden = !(running && asking);
  box.classList.toggle("asks", asking > 0);
}

// Every mark goes into the form and at once to the program, which keeps it if this page closes.
let sent = Promise.resolve();
function keep() {
  marksField.value = marks;
  const body = new URLSearchParams(new FormData(form));
  sent = sent.then(() => fetch("/practice/sample/keep", { method: "POST", body, keepalive: true })).catch(() => {});
}

function finish() {
  clearInterval(ticking);
  ticking = null;
  asking = 0;
  keep();
  shown(false);
  find("cue").textContent = box.dataset.done;
  typed.hidden = false;
  form.querySelector(":scope > .send button[type=submit]").focus();
}

// Whoever has not answered when the next interval ends has missed it.
function tick() {
  const gone = (Date.now() - began) / 1000;
  const passed = Math.min(Math.floor(gone / every), count);
  const within = gone / every - Math.floor(gone / every);
  find("ring").style.strokeDashoffset = String(100 - 100 * within);
  if (passed > marks.length + (asking ? 1 : 0)) {
    const first = asking === 0;
    while (marks.length < passed - 1) marks += "-";
    asking = passed;
    keep();
    find("cue").textContent = question();
    shown(true);
    if (first) find("yes").focus();
    chime();
  }
  find("place").textContent = box.dataset.of.replace("#", String(Math.min(passed + 1, count))).replace("#", String(count));
  if (gone >= every * (count + 1)) {
    while (marks.length < count) marks += "-";
    finish();
  }
}

function mark(sign) {
  if (!asking) return;
  marks += sign;
  asking = 0;
  keep();
  find("cue").textContent = "";
  if (marks.length >= count) finish(); else { shown(true); find("stop").focus(); }
}

find("start").addEventListener("click", () => {
  every = Math.max(2, Number(find("interval").value) || 15);
  count = Math.max(1, Math.floor((Number(find("length").value) || 5) * 60 / every));
  marks = "";
  asking = 0;
  began = Date.now();
  marksField.value = "";
  typed.hidden = true;
  find("cue").textContent = "";
  if (find("chime").checked) sound = sound || new AudioContext();
  shown(true);
  find("stop").focus();
  ticking = ticking || setInterval(tick, 200);
});
find("stop").addEventListener("click", finish);
addEventListener("pagehide", () => clearInterval(ticking), { once: true });
find("yes").addEventListener("click", () => mark("y"));
find("no").addEventListener("click", () => mark("n"));
