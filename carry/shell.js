// The script around the pages: it asks the module what the local page's server would be asked, shows what it answers, and
// keeps what was changed in IndexedDB before it shows it. Nothing is fetched: the file's own policy forbids it.
"use strict";
(() => {
  const encoder = new TextEncoder();
  const decoder = new TextDecoder();
  const FILES = "files";
  const COUNT = "count";
  const find = (id) => document.getElementById(id);
  const carried = find("records").textContent.trim();

  // ---- the module ----

  let compiled = null;
  let core = null;
  let language = (navigator.languages || [navigator.language || "en"]).find((tag) => /^(en|es)\b/.test(tag)) || "en";
  let words = {};

  function unpacked(base64) {
    const text = atob(base64);
    const bytes = new Uint8Array(text.length);
    for (let i = 0; i < bytes.length; i += 1) bytes[i] = text.charCodeAt(i);
    return bytes;
  }

  // Four bytes from every five signs (Z85, ZeroMQ RFC 32): a sixteenth shorter than base64. `_` stands for `<`.
  function unpacked85(text) {
    const SIGNS = "0123456789abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ.-:+=^!/*?&_>()[]{}@%$#";
    const value = new Uint8Array(128);
    for (let i = 0; i < 85; i += 1) value[SIGNS.charCodeAt(i)] = i;
    const bytes = new DataView(new ArrayBuffer(text.length / 5 * 4));
    for (let from = 0, at = 0; from < text.length; at += 4) {
      let sum = 0;
      for (const end = from + 5; from < end; from += 1) sum = sum * 85 + value[text.charCodeAt(from)];
      bytes.setUint32(at, sum);
    }
    return new Uint8Array(bytes.buffer);
  }

  function inflated(bytes) {
    return new Response(new Blob([bytes]).stream().pipeThrough(new DecompressionStream("gzip"))).arrayBuffer();
  }

  async function compile() {
    const packed = unpacked85(find("core").textContent.trim());
    compiled = await WebAssembly.compile(await inflated(packed.subarray(0, Number(find("core").dataset.bytes))));
    find("core").remove();
  }

  async function start() {
    core = (await WebAssembly.instantiate(compiled, {
      stillroom: {
        random(at, count) {
          // The browser gives at most 65,536 bytes at once.
          for (let from = 0; from < count; from += 65536) {
            crypto.getRandomValues(new Uint8Array(core.memory.buffer, at + from, Math.min(65536, count - from)));
          }
        },
      },
    })).exports;
  }

  function give(...parts) {
    const all = parts.map((part) => (typeof part === "string" ? encoder.encode(part) : part));
    const at = core.room(all.reduce((sum, part) => sum + part.length, 0));
    const room = new Uint8Array(core.memory.buffer, at);
    let from = 0;
    for (const part of all) {
      room.set(part, from);
      from += part.length;
    }
    return all.map((part) => part.length);
  }

  function told() {
    const bytes = new Uint8Array(core.memory.buffer, core.told(), core.told_bytes()).slice();
    core.forget();
    return bytes;
  }

  // Numbers and texts, one after the other, as the module writes them.
  function reader(bytes) {
    const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
    let at = 0;
    const number = () => { at += 4; return view.getUint32(at - 4, true); };
    const part = () => { const count = number(); at += count; return bytes.subarray(at - count, at); };
    return { number, part, byte: () => bytes[at++], rest: () => bytes.subarray(at), more: () => at < bytes.length };
  }

  function ask(changes, address, kind = "", body = new Uint8Array()) {
    const [addressBytes, kindBytes] = give(address, kind, body);
    core.answer(changes, addressBytes, kindBytes, Date.now());
    const read = reader(told());
    return { status: read.number(), kind: decoder.decode(read.part()), to: decoder.decode(read.part()), body: read.rest() };
  }

  function changes() {
    core.changes();
    const read = reader(told());
    const found = [];
    while (read.more()) {
      const there = read.byte() === 1;
      const path = decoder.decode(read.part());
      const bytes = read.part();
      // What is made to be handed over lies with whoever gets it.
      if (!path.startsWith("/out/")) found.push([path, there ? bytes.slice() : null]);
    }
    return found;
  }

  // ---- what is kept ----

  // Whether this browser keeps anything for this file; its base while it is open; what is known to be safe in it.
  let keeps = true;
  let base = null;
  const safe = new Map();
  let seen = 0;

  function done(request) {
    return new Promise((yes, no) => {
      request.onsuccess = () => yes(request.result);
      request.onerror = () => no(request.error);
    });
  }

  // The base; a browser closes it when its disk is full or its data are cleared, and then it is opened again.
  async function opened() {
    if (base) return base;
    const request = indexedDB.open(`stillroom-${document.documentElement.dataset.id || "own"}`, 1);
    request.onupgradeneeded = () => {
      request.result.createObjectStore(FILES);
      request.result.createObjectStore(COUNT);
    };
    base = await done(request);
    base.onclose = () => { base = null; };
    base.onversionchange = () => { base.close(); base = null; };
    return base;
  }

  async function counted() {
    if (!keeps) return seen;
    return (await done((await opened()).transaction(COUNT).objectStore(COUNT).get("changes"))) || 0;
  }

  // Keeps files, all of them or none, and returns once they are safe.
  async function keep(files) {
    if (!keeps || files.length === 0) return;
    const into = await opened();
    await new Promise((yes, no) => {
      const step = into.transaction([FILES, COUNT], "readwrite", { durability: "strict" });
      let count = 0;
      step.oncomplete = () => { seen = count; yes(); };
      step.onabort = () => no(step.error || new Error("not kept"));
      const asked = step.objectStore(COUNT).get("changes");
      asked.onsuccess = () => {
        count = (asked.result || 0) + 1;
        step.objectStore(COUNT).put(count, "changes");
        for (const [path, bytes] of files) {
          if (bytes) step.objectStore(FILES).put(bytes, path); else step.objectStore(FILES).delete(path);
        }
      };
    });
    for (const [path, bytes] of files) {
      if (bytes) safe.set(path, bytes); else safe.delete(path);
    }
  }

  async function read() {
    const step = (await opened()).transaction([FILES, COUNT]);
    const [paths, contents, count] = await Promise.all([
      done(step.objectStore(FILES).getAllKeys()), done(step.objectStore(FILES).getAll()), done(step.objectStore(COUNT).get("changes")),
    ]);
    safe.clear();
    paths.forEach((path, i) => safe.set(path, contents[i]));
    seen = count || 0;
  }

  // The pages anew, from what is safe: at the start, after a fault, after another window has gone on.
  async function fresh() {
    await start();
    for (const [path, bytes] of safe) core.put(give(path, bytes)[0]);
    give(language);
    core.open(Date.now(), -new Date().getTimezoneOffset());
    speak();
  }

  function speak() {
    core.words();
    words = JSON.parse(decoder.decode(told()));
    language = words.language;
  }

  // Takes in the records that the file carries, where they are not here yet.
  let refused = "";
  async function takeIn() {
    if (!carried) return;
    give(new Uint8Array(await inflated(unpacked(carried))));
    if (core.take_in() < 0) {
      refused = decoder.decode(told());
      changes();
      return;
    }
    await keep(changes());
  }

  // ---- what is shown ----

  const alerts = [];

  async function shown(answer, address, how) {
    dispatchEvent(new Event("pagehide"));
    if (!answer.kind.startsWith("text/html")) return;
    const page = new DOMParser().parseFromString(decoder.decode(answer.body), "text/html");
    const root = document.documentElement;
    root.lang = page.documentElement.lang;
    root.dir = page.documentElement.dir || "ltr";
    document.title = page.title;
    for (const own of document.head.querySelectorAll("style")) own.remove();
    for (const style of page.head.querySelectorAll("style, link[rel=stylesheet]")) {
      const own = document.createElement("style");
      own.textContent = style.tagName === "STYLE" ? style.textContent : text(style.getAttribute("href"));
      document.head.append(own);
    }
    document.body.className = page.body.className;
    document.body.replaceChildren(...page.body.childNodes);
    const main = document.querySelector("main");
    for (const alert of alerts.concat(notices())) if (main) main.prepend(alert);
    alerts.length = 0;
    adorn();
    if (how === "new") history.pushState(address, "", `#${address}`);
    if (how === "same") history.replaceState(address, "", `#${address}`);
    scrollTo(0, 0);
    if (main && how !== "first") {
      if (!main.hasAttribute("tabindex")) main.tabIndex = -1;
      main.focus({ preventScroll: true });
    }
    for (const script of page.head.querySelectorAll("script[src]")) run(script.getAttribute("src"));
  }

  const text = (address) => decoder.decode(ask(false, address).body);

  // A page's script, with names of its own.
  function run(address) {
    const script = document.createElement("script");
    script.textContent = `(() => {${text(address)}\n})();`;
    document.body.append(script);
    script.remove();
  }

  function box(words, urgent) {
    const made = document.createElement("div");
    made.className = urgent ? "refusal" : "note";
    made.style.marginTop = "1rem";
    made.setAttribute("role", urgent ? "alert" : "note");
    const line = document.createElement("p");
    line.textContent = words;
    made.append(line);
    return made;
  }

  let lasting = "";
  function notices() {
    const found = [];
    if (refused) found.push(box(`${words["other-child"]} (${refused})`, true));
    if (lasting) found.push(box(words[lasting], false));
    // Until something was kept beside what the file brought along.
    else if (carried && seen <= 1) found.push(box(words.first, false));
    return found;
  }

  // The camera and the recorder of the phone, beside the choice of a file.
  function adorn() {
    for (const input of document.querySelectorAll("input[type=file]")) {
      const photo = input.accept.startsWith("image");
      const button = document.createElement("button");
      button.type = "button";
      button.className = "second";
      button.textContent = words[photo ? "take-photo" : "take-sound"];
      button.addEventListener("click", () => {
        const before = [...input.files];
        input.addEventListener("change", () => {
          // One photo after the other: a new one does not take the place of those before.
          if (!input.multiple || before.length === 0) return;
          const all = new DataTransfer();
          for (const one of [...before, ...input.files]) all.items.add(one);
          input.files = all.files;
        }, { once: true });
        input.setAttribute("capture", photo ? "environment" : "user");
        input.click();
        input.removeAttribute("capture");
      });
      input.after(button);
    }
  }

  // The language is another from now on, also the next time.
  async function settle() {
    speak();
    if (keeps) await done((await opened()).transaction(COUNT, "readwrite").objectStore(COUNT).put(language, "language"));
  }

  // ---- what is asked ----

  let busy = false;

  // Counts the pages, for whoever waits for the next one.
  function turned() {
    const root = document.documentElement;
    root.dataset.turn = String(Number(root.dataset.turn || 0) + 1);
  }

  function working(yes) {
    let sign = find("working");
    if (yes && !sign) {
      sign = box(words.working || "…", false);
      sign.id = "working";
      sign.setAttribute("role", "status");
      sign.style.cssText = "position:fixed;inset-inline:1rem;bottom:1rem;z-index:3;margin:0;box-shadow:0 2px 12px #0005";
      document.body.append(sign);
    } else if (!yes && sign) {
      sign.remove();
    }
    document.body.setAttribute("aria-busy", String(yes));
    // The sign is drawn before the work holds everything up.
    return yes ? new Promise((go) => requestAnimationFrame(() => setTimeout(go, 0))) : Promise.resolve();
  }

  async function go(changing, address, kind, body, how) {
    if (busy) return;
    busy = true;
    try {
      await working(true);
      await asked(changing, address, kind, body, how);
    } finally {
      busy = false;
      await working(false);
      turned();
    }
  }

  async function asked(changing, address, kind, body, how) {
    let answer;
    try {
      // Where the base cannot be read just now, what is safe is known here.
      if ((await counted().catch(() => seen)) !== seen) {
        await read();
        await fresh();
      }
      answer = ask(changing, address, kind, body);
      await keep(changes());
      if (address === "/language") await settle();
    } catch (fault) {
      // What is shown must be what is kept: the pages begin again from there.
      await fresh();
      const said = box(fault instanceof WebAssembly.RuntimeError ? words.fault : words["not-kept"], true);
      said.id = "not-done";
      if (find("not-done")) find("not-done").remove();
      document.querySelector("main").prepend(said);
      said.tabIndex = -1;
      said.focus();
      console.warn(fault);
      return;
    }
    for (let turns = 0; answer.to && turns < 5; turns += 1) {
      address = answer.to;
      answer = ask(false, address);
    }
    await shown(answer, address, how === "new" && here() === address ? "same" : how);
  }

  const here = () => decodeURI(location.hash.slice(1)) || "/";

  function own(link) {
    const to = link.getAttribute("href");
    return to && to.startsWith("/") && !to.startsWith("//") ? to : null;
  }

  document.addEventListener("click", (event) => {
    const link = event.target.closest && event.target.closest("a[href]");
    if (!link || event.defaultPrevented || event.button || event.ctrlKey || event.metaKey) return;
    const to = link.getAttribute("href");
    if (to.startsWith("#")) {
      event.preventDefault();
      const at = find(to.slice(1));
      if (at) { at.scrollIntoView(); at.focus(); }
      return;
    }
    if (!own(link)) return;
    event.preventDefault();
    if (link.hasAttribute("download")) save(to, link.getAttribute("download")); else go(false, to, "", undefined, "new");
  });

  document.addEventListener("submit", async (event) => {
    event.preventDefault();
    const form = event.target;
    const data = new FormData(form, event.submitter);
    const to = form.getAttribute("action") || here();
    if (form.method !== "post") {
      go(false, `${to.split("?")[0]}?${new URLSearchParams(data)}`, "", undefined, "new");
      return;
    }
    const sent = new Response(form.enctype === "multipart/form-data" ? data : new URLSearchParams(data));
    go(true, to, sent.headers.get("content-type"), new Uint8Array(await sent.arrayBuffer()), "new");
  });

  addEventListener("popstate", () => go(false, here(), "", undefined, "back"));

  async function save(address, name) {
    const answer = ask(false, address);
    const file = new File([answer.body], name, { type: answer.kind });
    if (navigator.canShare && matchMedia("(pointer: coarse)").matches && navigator.canShare({ files: [file] })) {
      try {
        await navigator.share({ files: [file] });
        return;
      } catch (fault) {
        if (fault.name === "AbortError") return;
      }
    }
    const link = document.createElement("a");
    link.href = URL.createObjectURL(file);
    link.download = name;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 60000);
  }

  // The scripts of pages ask as they would ask the server.
  globalThis.fetch = async (address, options = {}) => {
    if (!String(address).startsWith("/")) throw new TypeError("nothing is fetched here");
    const sent = new Response(options.body);
    const kind = (options.headers && options.headers["Content-Type"]) || sent.headers.get("content-type") || "";
    const answer = ask(options.method === "POST", String(address), kind, new Uint8Array(await sent.arrayBuffer()));
    try {
      await keep(changes());
    } catch (fault) {
      await fresh();
      throw fault;
    }
    return new Response(answer.body, { status: answer.status });
  };
  if (globalThis.AudioWorklet) {
    const add = AudioWorklet.prototype.addModule;
    AudioWorklet.prototype.addModule = function addModule(address) {
      // A file opened from a folder has no origin of its own, and may load no blob here.
      return add.call(this, `data:text/javascript;charset=utf-8,${encodeURIComponent(text(address))}`);
    };
  }

  // ---- the beginning ----

  // A private window keeps nothing. Firefox shows one by refusing it a file system of its own; Chromium hides it from every
  // page, so there the sentence at the first use stands alone.
  async function isPrivate() {
    if (!/Firefox/.test(navigator.userAgent)) return false;
    try {
      await navigator.storage.getDirectory();
      return false;
    } catch (fault) {
      return fault.name === "SecurityError";
    }
  }

  async function begin() {
    if (typeof WebAssembly !== "object" || typeof DecompressionStream !== "function") {
      find("starting").hidden = true;
      find("too-old").hidden = false;
      return;
    }
    const compiling = compile();
    try {
      await read();
      language = (await done(base.transaction(COUNT).objectStore(COUNT).get("language"))) || language;
      await compiling;
      if (await isPrivate()) lasting = "private";
      if (navigator.storage && navigator.storage.persist) navigator.storage.persist().catch(() => {});
      await fresh();
      await takeIn();
    } catch (fault) {
      if (fault instanceof WebAssembly.CompileError) throw fault;
      keeps = false;
      lasting = "no-storage";
      await compiling;
      safe.clear();
      await fresh();
      await takeIn();
    }
    const first = here();
    const answer = ask(false, first);
    await shown(answer.status === 200 ? answer : ask(false, "/"), answer.status === 200 ? first : "/", "first");
    performance.mark("first-page");
    turned();
  }

  // Programs ask for the figures behind a page: what the terminal prints with --format json.
  globalThis.stillroom = {
    figures(what, name, bytes) {
      const counts = give(what, name, bytes);
      const fine = core.figures(counts[0], counts[1]);
      const said = decoder.decode(told());
      return fine ? said : { refused: said };
    },
    memory: () => core.memory.buffer.byteLength,
  };

  begin().catch((fault) => {
    console.error(fault);
    find("starting").hidden = true;
    find("failed").hidden = false;
    find("why").textContent = String(fault);
  });
})();
