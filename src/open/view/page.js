// The page's own script: it sends what is typed and pressed, and puts the parts that come back in their
// places. It works nothing out and keeps nothing but the key of this visit.
"use strict";
(() => {
  const find = (id) => document.getElementById(id);
  const policy = window.trustedTypes
    ? trustedTypes.createPolicy("tuckwright", { createHTML: (html) => html })
    : { createHTML: (html) => html };

  // ---- Asking ----

  const tab = Math.random().toString(36).slice(2);
  let session = sessionStorage.getItem("key") || "";
  let seq = 0;
  let newest = 0;
  let version = 0;
  let visit = 1;
  let isOver = false;

  // As it was when the page was laid out last: to ask for it lays the page out at once.
  let room = 0;
  new ResizeObserver(([it]) => (room = it.contentRect.width)).observe(find("leaf-part"));
  const width = () => Math.max(240, Math.floor((room || find("leaf-part").clientWidth || 520) / 20) * 20);

  async function ask(path, body) {
    const answer = await fetch(path, {
      method: "POST",
      headers: { "content-type": "application/json", "x-tuckwright": session },
      body: JSON.stringify(body),
    });
    if (answer.status === 401) {
      over("This page has lost its key. Type “tuckwright open” again.");
      throw new Error("no key");
    }
    return answer;
  }

  // What is refused comes as a sentence.
  async function read(answer) {
    const kind = answer.headers.get("content-type") || "";
    if (kind.includes("json")) return answer.json();
    const words = (await answer.text()).trim();
    return { refused: { said: words || "tuckwright could not do that. The album is as it was." } };
  }

  // One question at a time: of boxes that wait only the newest text of each is sent.
  const waiting = [];
  let isAsking = false;
  let asking = {};

  function send(path, body, after, box) {
    if (isOver) return;
    if (path === "/set") {
      const same = waiting.findIndex((it) => it.path === path && it.body.field === body.field);
      if (same >= 0) waiting.splice(same, 1);
    }
    waiting.push({ path, body, after, box });
    next();
  }

  async function next() {
    if (isAsking || !waiting.length) return;
    isAsking = true;
    asking = waiting[0];
    const { path, body, after, box } = waiting.shift();
    find("told").textContent = "";
    const number = ++seq;
    // A box may stand for something else by now: the first bag's has got a name.
    if (box && box.isConnected) body.field = box.dataset.field;
    try {
      const said = await read(await ask(path, { tab, seq: number, base: version, width: width(), ...body }));
      take(said, number, path === "/set" && !said.focus);
      asking = {};
      if (after) then(() => after(said));
    } catch (error) {
      if (error instanceof TypeError) over("tuckwright has stopped. Your work is kept in its draft: start it again.");
    }
    isAsking = false;
    asking = {};
    next();
  }

  function over(words) {
    isOver = true;
    const strip = find("strip");
    const line = document.createElement("p");
    line.className = "gone";
    line.textContent = words;
    strip.prepend(line);
    speak(words, 0);
  }

  const QUIET = 400;
  const stamps = {};
  let held = {};
  let refusal = null;
  // The sizes of the newest text are on their way: the parts are those of the text before.
  let isWorking = false;
  let holding = 0;
  let lastKey = 0;

  // Of what a key changed, the answer and the drawing are shown first; the rest when they are painted.
  const FIRST = ["strip", "leaf"];
  let coming = {};
  let isComing = false;
  let afterwards = [];

  function show(parts) {
    const focused = document.activeElement && document.activeElement.id;
    for (const [id, html] of Object.entries(parts)) {
      const part = find(id);
      if (part) fill(part, html);
    }
    if ("leaf" in parts) place();
    count();
    const verdict = document.querySelector(".verdict");
    const title = document.querySelector("#bar h1");
    if (verdict && title) {
      const word = verdict.querySelector("strong");
      const said = `${word ? word.textContent : ""} ${title.textContent} – tuckwright`.trim();
      if (document.title !== said) document.title = said;
    }
    if (focused && !find(focused) && document.activeElement === document.body) find("strip").focus();
  }

  function showAll() {
    const parts = coming;
    [coming, isComing] = [{}, false];
    show(parts);
    const all = afterwards;
    afterwards = [];
    all.forEach((it) => it());
  }

  // Does it when all that came is shown.
  function then(it) {
    if (isComing) afterwards.push(it);
    else it();
  }

  // What came back: parts that changed, a sentence, where the focus goes.
  function take(said, number, ofKey) {
    if (number && number < newest) return;
    if (number) newest = number;
    if (said.version !== undefined) version = said.version;
    isWorking = Boolean(said.working);
    if (said.dropped) return;
    // A number on its way to another one (5, of 5 1/4) may not fit: that is shown when the hand rests.
    // Two answers may overtake each other on their way: the later stamp of each part stays.
    const fresh = Object.entries(said.parts || {}).filter(([id]) => said.stamp === undefined || said.stamp >= (stamps[id] || 0));
    for (const [id] of fresh) stamps[id] = said.stamp || 0;
    const parts = { ...held, ...Object.fromEntries(fresh) };
    held = {};
    clearTimeout(holding);
    const rest = lastKey + QUIET - Date.now();
    const isNewer = waiting.some((it) => it.path === "/set") || (!number && asking.path === "/set") || said.working;
    if ((parts.strip || "").includes('class="answer clash"') && (rest > 0 || isNewer)) {
      held = parts;
      refusal = said.refused || refusal;
      if (!isNewer) holding = setTimeout(() => take({ ...said, parts: {} }, 0), rest);
      return;
    }
    said = { ...said, parts };
    const first = Object.entries(parts).filter(([id]) => FIRST.includes(id));
    if (ofKey && first.length && !said.refused) {
      coming = { ...coming, ...parts };
      for (const [id] of first) delete coming[id];
      show(Object.fromEntries(first));
      if (!isComing) requestAnimationFrame(() => setTimeout(() => isComing && showAll()));
      isComing = true;
    } else {
      coming = { ...coming, ...parts };
      showAll();
    }
    if (said.refused || refusal) refuse(said.refused || refusal);
    refusal = null;
    const verdict = document.querySelector(".verdict");
    if (said.told) tell(said.told + (untaken().length ? ` ${count()}.` : ""));
    else if (said.say && !said.parts.strip) speak(said.say, 0);
    else if (said.parts.strip && verdict && !verdict.closest("[data-open]")) speak(verdict.textContent, 600);
    if (said.focus && find(said.focus)) lead(find(said.focus));
  }

  // To the answer, wherever it stands, with room for what may still come.
  function lead(to) {
    to.focus({ preventScroll: true });
    to.scrollTop = 0;
    const { top, bottom } = to.getBoundingClientRect();
    const below = Math.max(bottom, top + innerHeight / 2);
    if (to.closest("main") && (top < 0 || below > innerHeight)) to.scrollIntoView({ block: "start" });
  }

  // ---- Filling a part without losing the caret, open folds or what is typed ----

  function fill(part, html) {
    const made = document.createElement("template");
    made.innerHTML = policy.createHTML(html);
    match(part, made.content);
  }

  const key = (node) => (node.nodeType === 1 ? node.id || node.dataset?.key || "" : "");

  function match(old, fresh) {
    const known = new Map();
    for (const child of old.childNodes) if (key(child)) known.set(key(child), child);
    const stays = new Set([...fresh.childNodes].map(key));
    let at = old.firstChild;
    for (const child of [...fresh.childNodes]) {
      // What goes is taken out first: what stays is then never moved, and keeps the caret.
      while (at && key(at) && !stays.has(key(at))) {
        const gone = at;
        at = at.nextSibling;
        gone.remove();
      }
      const name = key(child);
      let same = name ? known.get(name) : at;
      if (same && (same.nodeName !== child.nodeName || same.nodeType !== child.nodeType || key(same) !== name)) same = null;
      if (!same) {
        old.insertBefore(child, at);
        continue;
      }
      if (same !== at) old.insertBefore(same, at);
      else at = at.nextSibling;
      sync(same, child);
    }
    while (at) {
      const gone = at;
      at = at.nextSibling;
      gone.remove();
    }
  }

  function sync(old, fresh) {
    if (old.nodeType !== 1) {
      if (old.nodeValue !== fresh.nodeValue) old.nodeValue = fresh.nodeValue;
      return;
    }
    if (old.namespaceURI !== "http://www.w3.org/1999/xhtml") {
      // A drawing is cheaper made anew.
      if (!old.isEqualNode(fresh)) old.replaceWith(fresh);
      return;
    }
    const isHere = old === document.activeElement;
    for (const { name } of [...old.attributes]) {
      const keeps = name === "style" || name === "aria-invalid" || (old.nodeName === "DETAILS" && name === "open");
      if (!keeps && !fresh.hasAttribute(name)) old.removeAttribute(name);
    }
    const isSame = old.getAttribute("value") === fresh.getAttribute("value");
    for (const { name, value } of fresh.attributes) {
      if (old.nodeName === "DETAILS" && name === "open" && old.dataset.seen) continue;
      if (old.getAttribute(name) !== value) old.setAttribute(name, value);
    }
    if (old.nodeName === "DETAILS") old.dataset.seen = "1";
    if (old.nodeName === "INPUT") {
      if (old.type === "checkbox" || old.type === "radio") old.checked = fresh.hasAttribute("checked");
      else if (!old.dataset.field) {
        if (!isSame && !isHere) old.value = fresh.value;
      } else if (isOnItsWay(old)) return;
      else if (!isHere && !(isSame && old.getAttribute("aria-invalid")) && old.value !== fresh.value) {
        // What was refused stays to be mended, unless the box got another value meanwhile.
        old.value = fresh.value;
        note(old, "");
      }
      return;
    }
    if (old.nodeName === "TEXTAREA") {
      if (!isHere && old.dataset.text) old.value = fresh.value;
      return;
    }
    // What stands below a box is the script's own.
    if (old.className === "note") return;
    match(old, fresh);
    if (old.nodeName === "SELECT" && !isHere) old.value = fresh.value;
  }

  // ---- The live region: at most one sentence each two seconds, and no sentence twice ----

  let lastSaid = "";
  let lastTime = 0;
  let toSay = 0;
  function speak(words, wait) {
    clearTimeout(toSay);
    const rest = Math.max(wait, wait ? lastTime + 2000 - Date.now() : 0);
    toSay = setTimeout(() => {
      if (words === lastSaid) return;
      lastSaid = words;
      lastTime = Date.now();
      find("say").textContent = words;
    }, rest);
  }

  let toldFor = 0;
  // The same for eyes, where no part of the page shows it: what was refused, saved or printed.
  function tell(words) {
    find("told").textContent = words;
    clearTimeout(toldFor);
    toldFor = setTimeout(() => (find("told").textContent = ""), 12000);
    speak(words, 0);
  }

  // ---- Boxes ----

  const SIGNS = "½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅐⅛⅜⅝⅞⅑⅒";
  const WHOLE = new RegExp(`^(\\d+([.,]\\d+)?|\\d+\\s*[${SIGNS}]|[${SIGNS}]|\\d+[\\s-]+\\d+\\s*[/⁄]\\s*\\d+|\\d+\\s*[/⁄]\\s*\\d+)\\s*(in|inch|inches|"|″|”|mm|cm)?$`, "i");
  // Might still become a length: `4 3/`, `5 1`, `4 3/8 i`, `.`.
  const BEGUN = new RegExp(`^(\\d*[.,]?|\\d+[\\s-]+(\\d+(\\s*[/⁄]\\s*\\d*)?)?|\\d+\\s*[/⁄]\\s*\\d*)\\s*$|\\s(i|inc|inch|inche|m|c)$`, "i");

  // As far as a box can tell: what is sent is judged by the reader of lengths itself.
  function state(text) {
    const said = text.trim();
    if (!said) return "empty";
    if (/^\d+[\s-]+\d+$/.test(said)) return "begun";
    if (WHOLE.test(said)) return "whole";
    return BEGUN.test(said) ? "begun" : "odd";
  }

  function note(box, words) {
    const of = box.getAttribute("aria-describedby");
    const line = of && find(of);
    if (line) line.textContent = words;
    if (!words) box.removeAttribute("aria-invalid");
    count();
  }

  // The answer is that of the album, not of what stands in these boxes.
  const untaken = () => document.querySelectorAll("[aria-invalid]");
  function count() {
    const n = untaken().length;
    const words = n ? `${n} box${n > 1 ? "es" : ""} not taken` : "";
    const line = find("untaken");
    if (line && line.textContent !== words) line.textContent = words;
    return words;
  }

  function refuse({ field, said, help, instead }) {
    const boxes = [...document.querySelectorAll("[data-field]")].filter((it) => it.dataset.field === field);
    if (find(field)) boxes.push(find(field));
    // What the box stands for may have changed with the answer: a first bag is no bag any more.
    const asked = asking.box && asking.box.isConnected ? asking.box : undefined;
    const box = boxes.find((it) => it === document.activeElement) || boxes[0] || asked;
    const words = help ? `${said} ${help}` : said;
    if (!box || !box.getAttribute("aria-describedby")) {
      tell(words);
      // What was chosen there is not so.
      if (box && box.nodeName === "SELECT") box.value = ([...box.options].find((it) => it.defaultSelected) || box.options[0]).value;
      if (box && box.type === "checkbox") box.checked = box.defaultChecked;
      return;
    }
    box.setAttribute("aria-invalid", "true");
    note(box, words);
    if (instead) {
      const use = document.createElement("button");
      use.type = "button";
      use.textContent = `Use ${instead}`;
      use.addEventListener("click", () => {
        box.value = instead;
        note(box, "");
        put(box, instead);
      });
      find(box.getAttribute("aria-describedby")).append(" ", use);
    }
  }

  const timers = new WeakMap();
  const started = new WeakMap();
  // What was typed there is not answered yet.
  const isOnItsWay = (box) => asking.box === box || waiting.some((it) => it.box === box);

  // A box that was left shows what the album says now.
  function settle(box) {
    if (isWorking || box === document.activeElement || isOnItsWay(box) || box.getAttribute("aria-invalid")) return;
    box.value = box.defaultValue;
  }

  function put(box, text) {
    const done = (said) => {
      if (!said.refused && box.value === text) note(box, "");
      settle(box);
    };
    send("/set", { field: box.dataset.field, text, visit }, done, box);
  }

  function typed(box) {
    clearTimeout(timers.get(box));
    if (box.dataset.holds === "name") {
      note(box, "");
      return;
    }
    const text = box.value;
    const kind = box.dataset.holds === "length" ? state(text) : text.trim() ? "whole" : "empty";
    if (kind === "whole") {
      note(box, "");
      put(box, text);
      return;
    }
    // Half typed, empty or odd: nothing is wrong while the hand is still typing.
    const later = () => {
      if (kind === "begun") {
        box.setAttribute("aria-invalid", "true");
        note(box, box.defaultValue ? `Still typing: the drawing keeps ${box.defaultValue}.` : "Still typing.");
      } else if (kind === "odd") put(box, text);
    };
    timers.set(box, setTimeout(later, 1000));
  }

  function left(box) {
    clearTimeout(timers.get(box));
    if (box.getAttribute("aria-invalid") && state(box.value) === "begun") note(box, "");
    const was = started.get(box);
    if (was === undefined || box.value === was) {
      if (box.dataset.holds === "length" && state(box.value) === "begun") put(box, box.value);
      return;
    }
    if (box.dataset.holds === "name") {
      put(box, box.value);
      return;
    }
    const kind = box.dataset.holds === "length" ? state(box.value) : "whole";
    if (kind !== "whole" || !box.value.trim()) put(box, box.value);
    else if (!isAsking) settle(box);
  }

  document.addEventListener("input", (event) => {
    const box = event.target;
    lastKey = Date.now();
    refusal = null;
    if (box.id === "album-text") {
      clearTimeout(timers.get(box));
      timers.set(box, setTimeout(() => send("/text", { text: box.value, visit }, renewed), 300));
    } else if (box.matches("input[type=text][data-field]")) typed(box);
    else note(box, "");
  });

  // Another text of the whole album: no box has anything else in it.
  function renewed() {
    for (const box of untaken()) {
      box.value = box.defaultValue;
      note(box, "");
    }
  }

  document.addEventListener("change", (event) => {
    const it = event.target;
    if (it.matches("select[data-field]")) send("/set", { field: it.dataset.field, text: it.value, visit: ++visit });
    else if (it.matches("select[data-look]")) send("/look", { [it.dataset.look]: it.value });
    else if (it.matches("input[type=checkbox][data-field]")) send("/set", { field: it.dataset.field, text: it.checked ? "yes" : "no", visit: ++visit });
    else if (it.matches("input[data-post]")) send(it.dataset.post, JSON.parse(it.dataset.body));
  });

  document.addEventListener("focusin", (event) => {
    const box = event.target;
    if (!box.matches("input[type=text][data-field]")) return;
    started.set(box, box.value);
    if (box.matches(".size")) box.select();
  });

  document.addEventListener("focusout", (event) => {
    if (event.target.matches("input[type=text][data-field]")) left(event.target);
    visit++;
  });

  // Ctrl+Z is the browser's own in a box that was typed into; else it takes back what was done last.
  document.addEventListener("keydown", (event) => {
    const key = event.key.toLowerCase();
    if (!(event.ctrlKey || event.metaKey) || event.altKey || !["z", "y"].includes(key)) return;
    const box = event.target;
    const isTyping = box.matches("textarea") || (box.matches("input[type=text]") && box.value !== (started.get(box) ?? ""));
    const button = find(key === "y" || event.shiftKey ? "redo" : "undo");
    if (isTyping || !button) return;
    event.preventDefault();
    button.click();
  });

  // Enter in a box that a button reads presses that button.
  document.addEventListener("keydown", (event) => {
    const button = event.key === "Enter" && event.target.matches("input[id]") && document.querySelector(`button[data-with$="=${event.target.id}"], button[data-with*="=${event.target.id} "]`);
    if (button) button.click();
  });

  // In a length's box: a step of the ruler up or down, and Escape takes back what was typed in this visit.
  document.addEventListener("keydown", (event) => {
    const box = event.target;
    if (!box.matches || !box.matches("input[type=text][data-field]") || event.ctrlKey || event.altKey || event.metaKey) return;
    if (event.key === "Escape") {
      const was = started.get(box);
      if (was === undefined || was === box.value) return;
      clearTimeout(timers.get(box));
      box.value = was;
      note(box, "");
      put(box, was);
      event.preventDefault();
    } else if (event.key === "Enter") {
      left(box);
      visit++;
      started.set(box, box.value);
    } else if ((event.key === "ArrowUp" || event.key === "ArrowDown") && box.dataset.holds === "length") {
      const ruler = find("f-ruler");
      const next = step(box.value || box.placeholder, ruler ? ruler.value : "1/8 in", event.key === "ArrowUp" ? 1 : -1);
      if (!next) return;
      event.preventDefault();
      box.value = next;
      typed(box);
    }
  });

  // `4 3/8 in` and a ruler of 1/8 in: the next mark up or down. Only plain lengths in the ruler's unit.
  function step(text, ruler, by) {
    const read = (words) => {
      const parts = words.trim().match(/^(?:(\d+)\s+)?(\d+)(?:\/(\d+)|\.(\d+))?\s*(in|mm|cm)$/);
      if (!parts) return null;
      const [, whole, above, below, decimals, unit] = parts;
      if (below) return { n: Number(whole || 0) * below + Number(above), d: Number(below), unit };
      if (whole) return null;
      const d = decimals ? 10 ** decimals.length : 1;
      return { n: Number(above) * d + Number(decimals || 0), d, unit };
    };
    const [a, b] = [read(text), read(ruler)];
    if (!a || !b || a.unit !== b.unit) return null;
    // Down to the ruler's mark, then one step.
    const marks = (a.n * b.d) / (a.d * b.n);
    const mark = by > 0 ? Math.floor(marks) + 1 : Math.ceil(marks) - 1;
    if (mark < 1) return null;
    let [n, d] = [mark * b.n, b.d];
    if (a.unit !== "in") return `${n / d} ${a.unit}`;
    const gcd = (x, y) => (y ? gcd(y, x % y) : x);
    const g = gcd(n, d);
    [n, d] = [n / g, d / g];
    const whole = Math.floor(n / d);
    const rest = n % d ? `${n % d}/${d}` : "";
    return `${[whole || "", rest].filter(Boolean).join(" ")} in`;
  }

  // ---- Buttons ----

  document.addEventListener("click", (event) => {
    // What is led to stands open.
    if (event.target.closest("a[href='#troubles']")) find("troubles").querySelectorAll("details").forEach((fold) => (fold.open = true));
    if (event.target.id === "untaken") {
      const box = untaken()[0];
      for (let fold = box.closest("details"); fold; fold = fold.parentElement.closest("details")) fold.open = true;
      box.focus();
    }
    const it = event.target.closest("button[data-post], rect[data-post], [data-print]");
    if (!it) return;
    if (it.getAttribute("aria-disabled") === "true") return;
    const body = JSON.parse(it.dataset.body || "{}");
    for (const pair of (it.dataset.with || "").split(" ").filter(Boolean)) {
      const [name, from] = pair.split("=");
      body[name] = find(from).value;
    }
    if (it.dataset.print) {
      print(body);
      return;
    }
    const isOfStrip = it.closest("#strip, #troubles");
    send(it.dataset.post, body, (said) => {
      // What was typed for it stands in boxes of its own now.
      if (it.closest(".new") && !said.refused) {
        const boxes = it.closest(".new").querySelectorAll("input, textarea");
        boxes.forEach((box) => (box.value = ""));
        boxes[0].focus();
      }
      if (it.id === "end") over("tuckwright has stopped. What was not saved is kept in its draft. You may close this page.");
      // What decides the size of a piece stands below the drawing.
      const side = body.piece && document.querySelector("#leaf .piece .side");
      if (side) side.scrollIntoView({ block: "nearest" });
      // The button is gone with its trouble: the answer is what comes next.
      if (isOfStrip && !said.focus && !document.contains(it)) find("strip").focus();
    });
  });

  async function print(body) {
    tell("Making the PDF.");
    const answer = await ask("/print", { tab, ...body });
    if (answer.headers.get("content-type") !== "application/pdf") {
      take(answer.ok ? await read(answer) : { refused: { said: "The PDF could not be made." } }, 0);
      return;
    }
    const url = URL.createObjectURL(await answer.blob());
    const link = document.createElement("a");
    const said = /filename="([^"]+)"/.exec(answer.headers.get("content-disposition") || "");
    link.href = url;
    link.download = said ? said[1] : "album.pdf";
    link.click();
    tell(`${link.download} is saved where your browser keeps downloads. ${count()}`.trim());
    setTimeout(() => URL.revokeObjectURL(url), 60000);
  }

  // ---- The drawing ----

  // Boxes stand at their arrows: where, the drawing says in its own pixels.
  function place() {
    for (const box of document.querySelectorAll(".stage .size")) {
      const stage = box.closest(".stage");
      const scale = stage.clientWidth ? Math.min(1, stage.clientWidth / stage.dataset.width) : 1;
      const [x, y] = [box.dataset.x * scale, box.dataset.y * scale];
      const half = box.offsetWidth / 2;
      const most = stage.clientWidth - half - 2;
      box.style.left = `${Math.max(2, Math.min(most, x) - half)}px`;
      box.style.top = `${y - box.offsetHeight / 2}px`;
    }
  }

  // The leaf stands below the strip, however high that is.
  new ResizeObserver(() => document.documentElement.style.setProperty("--strip", `${find("strip").offsetHeight}px`)).observe(find("strip"));

  let last = 0;
  let resizing = 0;
  window.addEventListener("resize", () => {
    place();
    clearTimeout(resizing);
    resizing = setTimeout(() => {
      if (width() !== last) {
        last = width();
        send("/look", {});
      }
    }, 150);
  });

  // ---- What others change: another tab, the file, long work that is done ----

  async function follow() {
    while (!isOver) {
      if (document.hidden) {
        await new Promise((seen) => document.addEventListener("visibilitychange", seen, { once: true }));
        continue;
      }
      try {
        const answer = await ask("/follow", { tab, width: width() });
        if (answer.ok) take(await read(answer), 0);
        else await new Promise((wait) => setTimeout(wait, 1000));
      } catch (error) {
        if (isOver) return;
        over("tuckwright has stopped. Your work is kept in its draft: start it again.");
      }
    }
  }

  async function start() {
    const once = location.hash.slice(1);
    if (once) {
      history.replaceState(null, "", location.pathname);
      const answer = await fetch("/start", {
        method: "POST",
        headers: { "content-type": "application/json" },
        body: JSON.stringify({ key: once }),
      });
      if (!answer.ok) {
        over((await answer.text()).trim() || "This address was used before. Type “tuckwright open” again.");
        return;
      }
      session = (await answer.json()).session;
      sessionStorage.setItem("key", session);
    }
    if (!session) {
      over("This page needs a key of its own. Type “tuckwright open” again.");
      return;
    }
    last = width();
    send("/look", {}, () => follow());
  }

  place();
  start();
})();
