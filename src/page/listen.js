// The microphone: samples go in blocks to the program on this computer, which measures them; nothing is measured here.
"use strict";
const PROCESSING = ["echoCancellation", "noiseSuppression", "autoGainControl"];

// Opens the microphone with everything off that would change the sound, and says what stayed on.
async function microphone(panel, take) {
  const wish = { channelCount: 1 };
  for (const name of PROCESSING) wish[name] = false;
  let stream;
  try {
    stream = await navigator.mediaDevices.getUserMedia({ audio: wish });
  } catch {
    panel.querySelector(".denied").hidden = false;
    return null;
  }
  panel.querySelector(".denied").hidden = true;
  const settings = stream.getAudioTracks()[0].getSettings();
  let altered = false;
  for (const name of PROCESSING) {
    // What a browser does not tell may be on.
    const on = settings[name] !== false;
    altered = altered || on;
    panel.querySelector(`[data-if=${name}]`).hidden = !on;
  }
  panel.querySelector(".altered").hidden = !altered;
  const context = new AudioContext();
  await context.audioWorklet.addModule("/ear.js");
  await context.resume();
  const ear = new AudioWorkletNode(context, "ear", { channelCount: 1, channelCountMode: "explicit", channelInterpretation: "discrete" });
  ear.port.onmessage = (message) => take(message.data);
  context.createMediaStreamSource(stream).connect(ear).connect(context.destination);
  function close() {
    ear.port.onmessage = null;
    for (const track of stream.getTracks()) track.stop();
    if (context.state !== "closed") context.close();
  }
  addEventListener("pagehide", close, { once: true });
  return { rate: context.sampleRate, close };
}

// One meter on the server, fed in order; blocks that come while one is on its way go together.
async function meter(fields, show, refused) {
  const begun = await fetch("/live/start", { method: "POST", body: new URLSearchParams(fields) });
  const said = await begun.text();
  if (!begun.ok) {
    (refused || show)(said);
    return null;
  }
  let waiting = [];
  let sending = null;
  async function send() {
    while (waiting.length) {
      const blocks = waiting;
      waiting = [];
      const answer = await fetch(`/live/${said}`, {
        method: "POST", headers: { "Content-Type": "application/octet-stream" }, body: new Blob(blocks),
      });
      show(await answer.text());
    }
    sending = null;
  }
  return {
    push(block) {
      waiting.push(block);
      sending = sending || send();
    },
    async end(how) {
      await sending;
      const answer = await fetch(`/live/${said}/${how}`, { method: "POST" });
      return answer.text();
    },
  };
}

// Puts a picture in its place; its words go where they are read out, and only when they change.
function shower(words, picture) {
  return (html) => {
    const box = document.createElement("div");
    box.innerHTML = html;
    const said = box.querySelector(".words");
    if (said) {
      said.remove();
      if (words.textContent !== said.textContent) words.textContent = said.textContent;
    }
    picture.replaceChildren(...box.childNodes);
  };
}

// A recording as a WAV file of 32-bit floats.
function wav(blocks, rate) {
  const bytes = 4 * blocks.reduce((sum, block) => sum + block.length, 0);
  const head = new DataView(new ArrayBuffer(44));
  const put = (at, text) => [...text].forEach((sign, i) => head.setUint8(at + i, sign.charCodeAt(0)));
  put(0, "RIFF"); head.setUint32(4, 36 + bytes, true); put(8, "WAVEfmt ");
  head.setUint32(16, 16, true); head.setUint16(20, 3, true); head.setUint16(22, 1, true);
  head.setUint32(24, rate, true); head.setUint32(28, 4 * rate, true);
  head.setUint16(32, 4, true); head.setUint16(34, 32, true);
  put(36, "data"); head.setUint32(40, bytes, true);
  return new Blob([head, ...blocks], { type: "audio/wav" });
}

const page = document.getElementById("meter");
if (page) {
  page.hidden = false;
  const find = (id) => document.getElementById(id);
  const words = find("words");
  const show = shower(words, find("picture"));
  // What is refused of a field is said beside it.
  function refused(html) {
    for (const old of page.querySelectorAll(".wrong")) old.remove();
    for (const field of page.querySelectorAll("[aria-invalid]")) field.removeAttribute("aria-invalid");
    const box = document.createElement("div");
    box.innerHTML = html;
    const wrong = box.querySelector("[data-beside]");
    const field = wrong && find(wrong.dataset.beside);
    if (!field) return show(html);
    const folded = field.closest("details");
    if (folded) folded.open = true;
    field.before(wrong);
    field.setAttribute("aria-invalid", "true");
    field.focus();
    return null;
  }
  let running = null;
  function idle(yes) {
    find("listen").hidden = find("voice").hidden = !yes;
    find("quit").hidden = yes;
    find(yes ? "listen" : "quit").focus();
  }
  async function run(voice) {
    const early = [];
    let into = (block) => early.push(block);
    const ear = await microphone(page, (block) => into(block));
    if (!ear) return;
    const fields = { rate: ear.rate, offset: find("offset").value };
    if (!voice) fields.target = find("against-voice").checked ? "voice" : find("target").value;
    words.textContent = voice ? words.dataset.voice : "";
    const line = await meter(fields, show, refused);
    if (line) refused("");
    if (!line) { ear.close(); return; }
    early.forEach((block) => line.push(block));
    into = (block) => line.push(block);
    idle(false);
    running = async () => {
      running = null;
      ear.close();
      const last = await line.end(voice ? "voice" : "end");
      show(last);
      words.textContent = voice && !last.includes("refusal") ? words.dataset.kept : "";
      if (voice && !last.includes("refusal")) find("against-voice").checked = true;
      idle(true);
    };
  }
  find("listen").addEventListener("click", () => run(false));
  find("voice").addEventListener("click", () => run(true));
  find("quit").addEventListener("click", () => running && running());
}

for (const panel of document.querySelectorAll(".recorder")) {
  panel.hidden = false;
  const input = document.getElementById(panel.dataset.into);
  const seconds = Number(panel.dataset.seconds);
  const record = panel.querySelector(".record");
  const enough = panel.querySelector(".enough");
  const words = panel.querySelector(".words");
  const picture = panel.querySelector(".picture");
  record.addEventListener("click", async () => {
    const blocks = [];
    let length = 0;
    let line = null;
    let ear = null;
    let ended = false;
    async function end() {
      if (ended) return;
      ended = true;
      ear.close();
      if (line) await line.end("end");
      const chosen = new DataTransfer();
      chosen.items.add(new File([wav(blocks, ear.rate)], `${panel.dataset.into}.wav`, { type: "audio/wav" }));
      input.files = chosen.files;
      words.textContent = panel.dataset.taken;
      picture.replaceChildren();
      record.hidden = false;
      enough.hidden = true;
      record.focus();
    }
    ear = await microphone(panel, (block) => {
      if (ended) return;
      blocks.push(block);
      length += block.length;
      if (line) line.push(block);
      if (ear && length >= seconds * ear.rate) end();
    });
    if (!ear) return;
    record.hidden = true;
    enough.hidden = false;
    enough.onclick = end;
    enough.focus();
    const draw = shower(document.createElement("p"), picture);
    let told = null;
    line = await meter({ rate: ear.rate }, (html) => {
      draw(html);
      // Every ten seconds is often enough to be read out.
      const left = Math.ceil((seconds - length / ear.rate) / 10) * 10;
      if (!ended && left !== told) words.textContent = panel.dataset.left.replace("#", String(left));
      told = left;
    });
  });
}
