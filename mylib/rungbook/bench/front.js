// The bench in the browser: shows the state that Python sends, sends what the hands do, and has the clock.
// Plain JavaScript, nothing from outside. Times in seconds of the bench unless the name says ms.

const SVG = "http://www.w3.org/2000/svg";
const GAP_MS = 100; // between two looks that nobody asked for: at most ten a second
const SAY_MS = 1000; // between two sentences for a screen reader
const KEEP_MS = 2000; // from a change to the picture that a saved notebook keeps
const TAP_MS = 300; // how long a click without a hand (of a screen reader) holds a button
const STRIP = { left: 96, right: 12, lane: 22, top: 6, foot: 22, most: 30 };

function make(name, about = {}, ...inside) {
  const element = document.createElement(name);
  for (const [key, value] of Object.entries(about)) {
    if (key === "class") element.className = value;
    else element.setAttribute(key, value);
  }
  element.append(...inside);
  return element;
}

function draw(parent, name, about, text) {
  const element = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(about)) element.setAttribute(key, value);
  if (text !== undefined) element.textContent = text;
  parent.append(element);
  return element;
}

function put(element, text) {
  if (element.textContent !== text) element.textContent = text;
}

function seconds(value, digits) {
  return `${value.toFixed(digits)} s`;
}

/** The clock of the bench: stands still while paused, or while the page is hidden. */
class Clock {
  constructor(now, running) {
    this.base = now;
    this.since = performance.now();
    this.runs = running;
  }
  get now() {
    return this.runs ? this.base + (performance.now() - this.since) / 1000 : this.base;
  }
  set(now, runs) {
    this.base = now;
    this.since = performance.now();
    this.runs = runs;
  }
}

/** Messages to Python: numbered, so that it is known which of them the state answers. */
class Post {
  constructor(model) {
    this.model = model;
    this.view = Math.random().toString(36).slice(2);
    this.sent = 0;
    this.answered = 0;
    this.dead = false;
    this.lastMs = 0;
  }
  send(content) {
    if (this.dead) return;
    this.sent += 1;
    this.lastMs = performance.now();
    this.model.send({ ...content, view: this.view, number: this.sent });
  }
  heard(seen) {
    if (seen && seen[0] === this.view) this.answered = Math.max(this.answered, seen[1]);
  }
  get waits() {
    return this.answered < this.sent;
  }
}

/** A button that acts while it is held: by pointers, Space or Enter, and its own key, several at once. */
class Hold {
  constructor(button, press, release) {
    this.button = button;
    this.holders = new Set();
    this.press = press;
    this.release = release;
    button.addEventListener("pointerdown", (event) => {
      if (event.button !== 0 || button.disabled) return;
      button.focus({ preventScroll: true });
      button.setPointerCapture(event.pointerId);
      this.take(`pointer ${event.pointerId}`);
      event.preventDefault();
    });
    for (const kind of ["pointerup", "pointercancel", "lostpointercapture"])
      button.addEventListener(kind, (event) => this.leave(`pointer ${event.pointerId}`));
    button.addEventListener("contextmenu", (event) => event.preventDefault());
    button.addEventListener("keydown", (event) => {
      if (event.key !== " " && event.key !== "Enter") return;
      event.preventDefault();
      if (!event.repeat) this.take(event.code);
    });
    button.addEventListener("keyup", (event) => {
      if (event.key !== " " && event.key !== "Enter") return;
      event.preventDefault();
      this.leave(event.code);
    });
    button.addEventListener("blur", () => {
      this.leave("Space");
      this.leave("Enter");
    });
    button.addEventListener("click", (event) => {
      if (event.detail || this.holders.size) return;
      this.take("click");
      setTimeout(() => this.leave("click"), TAP_MS);
    });
  }
  take(holder) {
    if (this.button.disabled || this.holders.has(holder)) return;
    this.holders.add(holder);
    if (this.holders.size === 1) this.press();
  }
  leave(holder) {
    if (this.holders.delete(holder) && !this.holders.size) this.release();
  }
  leaveAll() {
    if (!this.holders.size) return;
    this.holders.clear();
    this.release();
  }
}

/** The operators and displays. `ask(device, position)` sends a wish. */
class Panel {
  constructor(parts, ask) {
    this.ask = ask;
    this.holds = [];
    this.keys = new Map();
    this.updates = [];
    this.root = make("div", { class: "panel" });
    const operators = make("div", { class: "parts", role: "group", "aria-label": "Operators" });
    const shown = make("div", { class: "parts", role: "group", "aria-label": "Lamps, relays and motors" });
    for (const part of parts) (part.controls.length ? operators : shown).append(this.part(part));
    this.root.append(operators);
    if (shown.childElementCount) this.root.append(shown);
  }

  part(part) {
    const box = make("div", { class: `part ${part.look.replaceAll(" ", "-")}` });
    box.dataset.device = part.tag;
    const word = make("span", { class: "word" });
    const name = make("span", { class: "name" }, part.name);
    if (part.name === part.tag && part.tag !== "supply") name.append(make("span", { class: "small" }, part.kind));
    const body = make("div", { class: "body" });
    box.append(name, body, word);
    if (part.controls.length) this.operator(part, body, name);
    else this.display(part, box, body, name, word);
    if (part.look !== "motor")
      this.updates.push((state) => {
        const gauge = state.gauges[part.tag];
        let text = state.positions[part.tag];
        if (part.tag === "supply" && !state.fuse) text = "fuse blown";
        put(word, gauge && part.controls.length ? `${text}, ${gauge.words}` : text);
      });
    return box;
  }

  operator(part, body, name) {
    const choices = part.controls.filter((control) => control.mode === "choice");
    if (choices.length) {
      body.setAttribute("role", "radiogroup");
      body.setAttribute("aria-label", part.name);
      body.classList.add("dial");
    }
    const buttons = part.controls.map((control) => this.control(part, control));
    body.append(...buttons);
    if (choices.length) this.arrows(part, choices, buttons);
    if (part.controls.some((control) => control.key)) {
      const key = part.controls.find((control) => control.key).key;
      name.append(make("kbd", { title: `hold key ${key}` }, key));
    }
  }

  control(part, control) {
    const letter = control.mode === "hold" ? part.letter : "";
    const button = make("button", { type: "button", class: control.mode }, control.text || letter || "");
    if (part.colour && (control.mode === "hold" || control.to === "latched")) button.dataset.colour = part.colour;
    const told = [part.name, control.text && control.text !== part.name ? control.text.toLowerCase() : ""];
    if (part.colour && control.mode === "hold") told.push(`${part.colour} button`);
    if (control.mode === "hold") told.push("hold");
    button.setAttribute("aria-label", told.filter(Boolean).join(", "));
    if (control.mode === "hold") this.hold(part, control, button);
    if (control.mode === "switch") {
      button.setAttribute("role", "switch");
      button.addEventListener("click", () =>
        this.ask(part.tag, button.getAttribute("aria-checked") === "true" ? control.back : control.to),
      );
    }
    if (control.mode === "push") button.addEventListener("click", () => this.pushed(part, control, button));
    if (control.mode === "choice") {
      button.setAttribute("role", "radio");
      button.addEventListener("click", () => this.ask(part.tag, control.to));
    }
    this.updates.push((state) => this.show(part, control, button, state.positions[part.tag]));
    return button;
  }

  pushed(part, control, button) {
    if (button.getAttribute("aria-disabled") !== "true") this.ask(part.tag, control.to);
  }

  hold(part, control, button) {
    button.setAttribute("aria-pressed", "false");
    const press = () => {
      button.classList.add("held");
      button.setAttribute("aria-pressed", "true");
      this.ask(part.tag, control.to);
    };
    const release = () => {
      button.classList.remove("held");
      button.setAttribute("aria-pressed", "false");
      this.ask(part.tag, control.back);
    };
    const hold = new Hold(button, press, release);
    this.holds.push(hold);
    if (control.key) {
      button.setAttribute("aria-keyshortcuts", control.key);
      this.keys.set(control.key, hold);
    }
  }

  arrows(part, choices, buttons) {
    buttons.forEach((button, place) =>
      button.addEventListener("keydown", (event) => {
        const by = { ArrowLeft: -1, ArrowUp: -1, ArrowRight: 1, ArrowDown: 1 }[event.key];
        if (!by) return;
        event.preventDefault();
        const to = Math.min(Math.max(place + by, 0), choices.length - 1);
        if (to === place) return;
        buttons[to].tabIndex = 0;
        buttons[to].focus();
        this.ask(part.tag, choices[to].to);
      }),
    );
  }

  show(part, control, button, position) {
    const on = control.on.includes(position);
    if (control.mode === "switch") button.setAttribute("aria-checked", String(on));
    if (control.mode === "choice") {
      button.setAttribute("aria-checked", String(on));
      button.tabIndex = on ? 0 : -1;
    }
    if (control.mode === "hold") button.classList.toggle("in", on);
    if (control.usable.length) button.setAttribute("aria-disabled", String(!control.usable.includes(position)));
  }

  display(part, box, body, name, word) {
    if (part.look === "lamp") {
      body.append(make("span", { class: "lens", "aria-hidden": "true" }, part.letter || "P"));
      if (part.colour) body.firstChild.dataset.colour = part.colour;
      this.updates.push((state) => box.classList.toggle("lit", state.positions[part.tag] === "lit"));
      if (part.colour) name.append(make("span", { class: "small" }, part.colour));
    } else if (part.look === "motor") this.motor(part, box, body, word);
    else {
      this.updates.push((state) => box.classList.toggle("lit", state.positions[part.tag] === "in"));
      if (part.look === "coil") body.append(make("span", { class: "winding", "aria-hidden": "true" }));
      else this.gauge(part, body);
    }
  }

  gauge(part, body) {
    const fill = make("span", { class: "fill" });
    const bar = make("span", { class: "bar", role: "progressbar", "aria-label": `${part.name}, share done` }, fill);
    const words = make("span", { class: "small" });
    bar.setAttribute("aria-valuemin", "0");
    bar.setAttribute("aria-valuemax", "100");
    body.append(bar, words);
    this.updates.push((state) => {
      const gauge = state.gauges[part.tag];
      if (!gauge) return;
      fill.style.width = `${100 * gauge.share}%`;
      bar.setAttribute("aria-valuenow", String(Math.round(100 * gauge.share)));
      bar.setAttribute("aria-valuetext", gauge.words);
      put(words, gauge.words);
    });
  }

  motor(part, box, body, word) {
    const picture = draw(body, "svg", { viewBox: "-24 -24 48 48", width: 48, height: 48, "aria-hidden": "true" });
    draw(picture, "circle", { r: 15, class: "frame" });
    draw(picture, "text", { y: 5, "text-anchor": "middle" }, "M");
    const arrow = draw(picture, "g", { class: "arrow" });
    draw(arrow, "path", { d: "M-14.1,-14.1A20,20 0 0 1 14.1,-14.1", fill: "none" });
    draw(arrow, "path", { d: "M19,-9.2L9.6,-13.2L16.4,-18.6Z", class: "tip" });
    const speed = make("span", { class: "small" });
    body.append(speed);
    this.updates.push((state) => {
      const motor = state.motors[part.tag];
      if (!motor) return;
      put(word, motor.word);
      const share = Math.round(100 * motor.speed);
      put(speed, `${Math.abs(share)} % speed`);
      arrow.setAttribute("visibility", share ? "visible" : "hidden");
      arrow.setAttribute("transform", motor.speed < 0 ? "scale(-1,1)" : "");
      box.classList.toggle("lit", Math.abs(motor.speed) > 0.01);
    });
  }

  update(state) {
    for (const one of this.updates) one(state);
  }
  leaveAll() {
    for (const hold of this.holds) hold.leaveAll();
  }
}

/** The circuit: an SVG whose pieces get classes. */
class Diagram {
  constructor(svg) {
    this.root = make("div", { class: "diagram", role: "group", "aria-label": "Diagram", tabindex: "0" });
    this.root.innerHTML = svg;
    this.marks = new Map();
    this.usual = new Map();
    for (const mark of this.root.querySelectorAll("[data-live]")) {
      this.marks.set(mark.dataset.live, mark);
      this.usual.set(mark.dataset.live, mark.getAttribute("class") || "");
    }
    this.shown = {};
    this.desc = this.root.querySelector("desc");
    this.words = this.desc ? this.desc.textContent : "";
  }
  update(state) {
    for (const [key, found] of Object.entries(state.classes)) {
      if (this.shown[key] === found || !this.marks.has(key)) continue;
      this.shown[key] = found;
      this.marks.get(key).setAttribute("class", `${this.usual.get(key)} ${found}`.trim());
    }
    for (const [key, text] of Object.entries(state.texts)) if (this.marks.has(key)) put(this.marks.get(key), text);
    if (this.desc) put(this.desc, `${this.words}\n${state.words}`);
  }
}

/** The trace: lanes over the last half minute, and the list of changes. */
class TraceView {
  constructor() {
    this.strip = draw(make("div"), "svg", { class: "strip", role: "img", "aria-label": "Timing diagram of the last 30 s" });
    this.list = make("tbody");
    const head = make("tr", {}, ...["", "time", "change"].map((word) => make("th", { scope: "col" }, word)));
    const table = make("table", {}, make("caption", {}, "Trace"), make("thead", {}, head), this.list);
    this.rows = make("div", { class: "rows", role: "region", "aria-label": "Trace", tabindex: "0" }, table);
    this.root = make("div", { class: "trace" }, this.strip, this.rows);
    this.last = 0;
    this.data = { lanes: [], rows: [] };
    this.drawnMs = -1e9;
  }
  take(data, anew) {
    this.data = data.lanes ? data : { lanes: [], rows: [] };
    if (anew) {
      this.list.replaceChildren();
      this.last = 0;
    }
    const atEnd = this.rows.scrollTop + this.rows.clientHeight >= this.rows.scrollHeight - 8;
    for (const [number, time, words] of this.data.rows) {
      if (number <= this.last) continue;
      this.last = number;
      const cells = [String(number), seconds(time, 3), words].map((text) => make("td", {}, text));
      this.list.append(make("tr", {}, ...cells));
    }
    while (this.list.childElementCount > 200) this.list.firstChild.remove();
    if (atEnd) this.rows.scrollTop = this.rows.scrollHeight;
    this.drawnMs = -1e9;
  }
  draw(now) {
    const wide = this.root.clientWidth;
    const lanes = this.data.lanes;
    if (!wide || performance.now() - this.drawnMs < GAP_MS - 5) return;
    this.drawnMs = performance.now();
    this.strip.style.display = lanes.length ? "" : "none";
    const { left, right, lane, top, foot, most } = STRIP;
    const high = top + lane * lanes.length + foot;
    const span = Math.max(Math.min(now, most), 5);
    const start = Math.max(0, now - span);
    const x = (time) => left + ((Math.max(time, start) - start) / span) * (wide - left - right);
    this.strip.replaceChildren();
    for (const [key, value] of [["width", wide], ["height", high], ["viewBox", `0 0 ${wide} ${high}`]])
      this.strip.setAttribute(key, value);
    const tick = [1, 2, 5, 10].find((step) => (step / span) * (wide - left - right) > 48) || 10;
    for (let time = Math.ceil(start / tick) * tick; time <= start + span + 1e-9; time += tick) {
      draw(this.strip, "line", { class: "tick", x1: x(time), x2: x(time), y1: top, y2: high - foot });
      draw(this.strip, "text", { x: x(time), y: high - 7, "text-anchor": "middle" }, `${time} s`);
    }
    lanes.forEach(([tag, entries], place) => {
      const floor = top + lane * (place + 1) - 4;
      const y = (level) => floor - level * (lane - 9);
      draw(this.strip, "text", { x: left - 8, y: floor, "text-anchor": "end" }, tag);
      let path = "";
      entries.forEach(([time, level, word], k) => {
        const until = k + 1 < entries.length ? entries[k + 1][0] : now;
        path += `${k ? "V" : `M${x(time)},`}${y(level)}H${Math.max(x(until), x(time))}`;
        if (!/^(in|lit|pressed|on|off|out|dark|released|set|reset)$/.test(word) && level > 0 && x(until) - x(time) > 7 * word.length)
          draw(this.strip, "text", { class: "small", x: x(time) + 4, y: floor - 2 }, word);
      });
      draw(this.strip, "path", { class: "lane", d: path });
    });
  }
}

function render({ model, el }) {
  let state = model.get("state");
  let epoch = state.epoch;
  const clock = new Clock(state.now, state.running && !document.hidden);
  const post = new Post(model);
  const panel = new Panel(model.get("parts"), (device, to) => {
    post.send({ do: "order", device, to, at: clock.now });
    later();
  });
  const diagram = new Diagram(model.get("svg"));
  const trace = new TraceView();

  const mode = make("button", { type: "button", class: "tool" });
  const step = make("button", { type: "button", class: "tool" }, "Step");
  const anew = make("button", { type: "button", class: "tool" }, "Start over");
  const time = make("span", { class: "time", role: "timer", "aria-live": "off", "aria-label": "Time on the bench" });
  const said = make("span", { class: "said" });
  const live = make("span", { class: "unseen", role: "status", "aria-live": "polite" });
  const tools = make("div", { class: "tools", role: "toolbar", "aria-label": "Time" }, mode, step, anew, time, said);
  const desk = make("div", { class: "desk" }, diagram.root, panel.root);
  const bench = make("div", { class: "rungbook-bench", role: "group", "aria-label": `Bench: ${model.get("title")}` });
  bench.setAttribute("data-lm-suppress-shortcuts", "true"); // keys held here are not commands of the notebook
  bench.append(tools, desk, trace.root, live);
  const hide = make("style", {}, `.${model.get("name")}-last{display:none}`);
  el.append(hide, bench);

  mode.addEventListener("click", () => {
    if (state.running) {
      const at = clock.now;
      clock.set(at, false);
      post.send({ do: "pause", at });
    } else post.send({ do: "go on" });
  });
  step.addEventListener("click", () => {
    clock.set(clock.now, false);
    if (state.running) post.send({ do: "pause", at: clock.now });
    post.send({ do: "step" });
  });
  anew.addEventListener("click", () => {
    panel.leaveAll();
    post.send({ do: "start over" });
  });

  // -- clock: looks at the bench while something runs ---------------------------------------------------------------
  let timer = null;
  let lookedMs = -1e9;
  let soon = false; // an order was given: its first consequence is looked at without delay
  function later() {
    clearTimeout(timer);
    timer = null;
    if (post.dead || post.waits || !clock.runs) return;
    const waits = [];
    if (state.live) waits.push(lookedMs + 1000 * state.live - performance.now());
    if (state.next !== null) {
      const until = 1000 * (state.next - clock.now) + 1;
      waits.push(soon ? until : Math.max(until, lookedMs + GAP_MS - performance.now()));
    }
    if (!waits.length) return;
    timer = setTimeout(() => {
      soon = false;
      lookedMs = performance.now();
      post.send({ do: "time", at: clock.now });
    }, Math.min(Math.max(0, Math.min(...waits)), 2 ** 30));
  }

  // -- words for a screen reader, and the picture that is kept ------------------------------------------------------
  let saidMs = -1e9;
  let toSay = [];
  let sayTimer = null;
  function say(words) {
    if (!words) return;
    toSay = [...toSay, words].slice(-4);
    if (sayTimer) return;
    sayTimer = setTimeout(() => {
      live.textContent = toSay.join(". ");
      toSay = [];
      saidMs = performance.now();
      sayTimer = null;
    }, Math.max(60, saidMs + SAY_MS - performance.now()));
  }
  let keepTimer = null;
  function keep() {
    if (keepTimer || post.dead) return;
    keepTimer = setTimeout(() => {
      keepTimer = null;
      post.send({ do: "keep" });
    }, KEEP_MS);
  }

  // -- what Python shows --------------------------------------------------------------------------------------------
  function show() {
    panel.update(state);
    diagram.update(state);
    put(mode, state.running ? "Pause" : "Go on");
    put(said, state.refused || "");
    bench.classList.toggle("paused", !state.running);
    tick();
  }
  function tick() {
    const now = Math.max(clock.now, state.running ? 0 : state.now);
    put(time, seconds(now, state.running ? 1 : 3));
    trace.draw(Math.max(now, state.now));
  }
  function onState() {
    const before = state;
    state = model.get("state");
    post.heard(state.seen);
    const anewNow = state.epoch !== epoch;
    epoch = state.epoch;
    const runs = state.running && !document.hidden;
    if (anewNow || !state.running || Math.abs(state.now - clock.now) > 0.05 && state.now > clock.now) clock.set(state.now, runs);
    else if (runs !== clock.runs) clock.set(clock.now, runs);
    soon = soon || Boolean(state.say);
    if (JSON.stringify(before.positions) !== JSON.stringify(state.positions) || anewNow) keep();
    say(state.say);
    show();
    later();
  }
  function onTrace() {
    const shown = model.get("trace");
    trace.take(shown, trace.epoch !== shown.epoch);
    trace.epoch = shown.epoch;
    tick();
  }
  model.on("change:state", onState);
  model.on("change:trace", onTrace);

  // -- keys, and hands that leave -----------------------------------------------------------------------------------
  function onKey(event) {
    const hold = panel.keys.get(event.code.replace(/^(Digit|Numpad)/, ""));
    if (!hold || event.ctrlKey || event.altKey || event.metaKey) return;
    event.preventDefault();
    if (event.type === "keyup") hold.leave(event.code);
    else if (!event.repeat) hold.take(event.code);
  }
  bench.addEventListener("keydown", onKey);
  bench.addEventListener("keyup", onKey);
  const leaveAll = () => panel.leaveAll();
  bench.addEventListener("focusout", (event) => {
    if (!bench.contains(event.relatedTarget)) leaveAll();
  });
  const onVisible = () => {
    if (document.hidden) leaveAll();
    clock.set(clock.now, state.running && !document.hidden);
    later();
  };
  window.addEventListener("blur", leaveAll);
  window.addEventListener("pagehide", leaveAll);
  document.addEventListener("visibilitychange", onVisible);

  // -- a kernel that has gone ---------------------------------------------------------------------------------------
  function die() {
    if (post.dead) return;
    panel.leaveAll();
    post.dead = true;
    clearTimeout(timer);
    clearTimeout(keepTimer);
    clock.set(clock.now, false);
    bench.classList.add("dead");
    for (const button of bench.querySelectorAll("button")) {
      button.disabled = true;
      button.classList.remove("held", "in");
    }
    put(said, "The kernel behind this bench has gone: run the cell again.");
    live.textContent = said.textContent;
  }
  const watch = () => {
    if (el.closest(".jupyter-widgets-disconnected")) die();
  };
  const watcher = new MutationObserver(watch);
  watcher.observe(el, { attributes: true, attributeFilter: ["class"] });
  const onComm = () => setTimeout(watch, 0);
  model.on("comm_live_update", onComm);
  const onKernel = (_, status) => {
    if (["restarting", "autorestarting", "terminating", "dead"].includes(status)) die();
  };
  const kernel = model.widget_manager?.kernel; // of JupyterLab and Notebook; elsewhere the signs above must do
  kernel?.statusChanged?.connect(onKernel);

  // -- a frame now and then for the time and the lanes --------------------------------------------------------------
  const frames = setInterval(() => {
    if (clock.runs && bench.isConnected) tick();
    const late = post.waits && performance.now() - post.lastMs > 1500;
    bench.classList.toggle("late", late);
    if (late && !post.dead) put(said, "No answer: the kernel is busy, or has gone; then run the cell again.");
  }, GAP_MS);
  const resized = new ResizeObserver(() => {
    trace.drawnMs = -1e9;
    tick();
  });
  resized.observe(trace.root);

  onTrace();
  show();
  post.send({ do: "let go" }); // hands of a page that is gone
  return () => {
    panel.leaveAll();
    clearTimeout(timer);
    clearTimeout(keepTimer);
    clearTimeout(sayTimer);
    clearInterval(frames);
    resized.disconnect();
    watcher.disconnect();
    model.off("change:state", onState);
    model.off("change:trace", onTrace);
    model.off("comm_live_update", onComm);
    kernel?.statusChanged?.disconnect(onKernel);
    window.removeEventListener("blur", leaveAll);
    window.removeEventListener("pagehide", leaveAll);
    document.removeEventListener("visibilitychange", onVisible);
    hide.remove();
  };
}

export default { render };
