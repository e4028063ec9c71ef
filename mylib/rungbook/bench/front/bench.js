function render({ model, el }) {
  const unpacked = (name) => JSON.parse(model.get(name));
  const whole = () => ({ ...unpacked("state"), classes: unpacked("classes") });
  let state = whole();
  let epoch = state.epoch;
  const clock = new Clock(state.now, state.running && !document.hidden);
  const post = new Post(model);
  const panel = new Panel(model.get("parts"), (device, to) => {
    post.send({ do: "order", device, to, at: clock.now });
    later();
  });
  const diagram = new Diagram(model.get("svg"));
  const trace = new TraceView();
  const meter = new Meter(model.get("places"), diagram, (wish) => {
    post.send({ ...wish, at: clock.now });
    later();
  });

  const mode = make("button", { type: "button", class: "tool" });
  const step = make("button", { type: "button", class: "tool" }, "Step");
  const anew = make("button", { type: "button", class: "tool" }, "Start over");
  const time = make("span", { class: "time", role: "timer", "aria-live": "off", "aria-label": "Time on the bench" });
  const said = make("span", { class: "said" });
  const live = make("span", { class: "unseen", role: "status", "aria-live": "polite" });
  const tools = make("div", { class: "tools", role: "toolbar", "aria-label": "Time" }, mode, step, anew, time, said);
  const desk = make("div", { class: "desk" }, diagram.root, panel.root, meter.root);
  const bench = make("div", { class: "rungbook-bench", role: "group", "aria-label": `Bench: ${model.get("title")}` });
  ownKeys(bench);
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
      const until = 1000 * (state.next - clock.now);
      waits.push(soon ? until + 1 : Math.max(until + LAG_MS, lookedMs + GAP_MS - performance.now()));
    }
    if (!waits.length) return;
    const wait = Math.min(Math.max(0, Math.min(...waits)), 2 ** 30);
    const planned = performance.now() + wait;
    timer = setTimeout(() => {
      soon = false;
      lookedMs = Math.max(planned, performance.now() - GAP_MS / 2); // what a timer is late by does not add up
      post.send({ do: "time", at: clock.now });
    }, wait);
  }

  // -- words for a screen reader, and the picture that is kept ------------------------------------------------------
  const voice = new Voice(live);
  let keepTimer = null;
  let keepSince = 0; // the first change that is not kept yet
  function keep() {
    if (post.dead) return;
    const now = performance.now();
    if (keepTimer === null) keepSince = now;
    clearTimeout(keepTimer);
    keepTimer = setTimeout(() => {
      keepTimer = null;
      post.send({ do: "keep" });
    }, Math.max(0, Math.min(KEEP_MS, keepSince + KEEP_LATEST_MS - now)));
  }

  // -- what Python shows --------------------------------------------------------------------------------------------
  function show() {
    panel.update(state);
    diagram.update(state);
    meter.update(state, post.waits);
    put(mode, state.running ? "Pause" : "Go on");
    put(said, state.refused || "");
    flag(bench, "paused", !state.running);
    flag(bench, "late", false);
    tick();
  }
  /** Draw what the clock moves, and say when to draw it again: ten times a second while something runs, else once. */
  let frame = null;
  let gone = false;
  function beat() {
    if (gone) return;
    if (bench.isConnected) tick();
    else frame = setTimeout(beat, REST_MS);
  }
  function tick() {
    clearTimeout(frame);
    const now = clock.runs ? clock.now : Math.max(clock.now, state.running ? 0 : state.now);
    const runs = clock.runs && (state.live || Object.values(state.gauges).some((gauge) => "until" in gauge));
    put(time, state.running ? (runs ? seconds(now, 1) : `${Math.floor(now)} s`) : seconds(now, 3));
    panel.tick(state, now);
    trace.draw(Math.max(now, state.now));
    if (!clock.runs || post.dead) return;
    const wait = runs ? GAP_MS : REST_MS - ((1000 * now) % REST_MS) + 1;
    frame = setTimeout(() => requestAnimationFrame(beat), wait);
  }
  function onState() {
    const before = state;
    state = whole();
    post.heard(state.seen);
    const anewNow = state.epoch !== epoch;
    epoch = state.epoch;
    const runs = state.running && !document.hidden;
    if (anewNow || !state.running || state.now > clock.now + AHEAD) clock.set(state.now, runs);
    else if (runs !== clock.runs) clock.set(clock.now, runs);
    soon = soon || Boolean(state.say);
    if (JSON.stringify(before.positions) !== JSON.stringify(state.positions) || anewNow || JSON.stringify(before.meter) !== JSON.stringify(state.meter)) keep();
    voice.say(state.say);
    show();
    later();
  }
  function onTrace() {
    const shown = unpacked("trace");
    trace.take(shown, trace.epoch !== shown.epoch);
    trace.epoch = shown.epoch;
  }
  model.on("change:trace", onTrace); // comes in one message with the state, which draws it
  model.on("change:state", onState);

  // -- keys, and hands that leave -----------------------------------------------------------------------------------
  function onKey(event) {
    if (event.target.matches?.("select") && event.type === "keydown") return; // the letters of a terminal are sought there
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
    tick();
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
    clearTimeout(frame);
    clock.set(clock.now, false);
    deaden(bench, said, live);
  }
  const unwatch = watchKernel(model, el, die);

  // -- a kernel that does not answer, a page that changes its width --------------------------------------------------
  const watch = setInterval(() => {
    if (!post.waits || post.dead || performance.now() - post.lastMs < LATE_MS) return;
    flag(bench, "late", true);
    put(said, "No answer: the kernel is busy, or has gone; then run the cell again.");
  }, LATE_MS / 3);
  const resized = new ResizeObserver(() => {
    trace.wide = trace.root.clientWidth;
    trace.plan = null;
    tick();
  });
  resized.observe(trace.root);

  onTrace();
  show();
  post.send({ do: "let go" }); // hands of a page that is gone
  return () => {
    gone = true;
    panel.leaveAll();
    clearTimeout(timer);
    clearTimeout(keepTimer);
    voice.stop();
    clearTimeout(frame);
    clearInterval(watch);
    resized.disconnect();
    unwatch();
    model.off("change:state", onState);
    model.off("change:trace", onTrace);
    window.removeEventListener("blur", leaveAll);
    window.removeEventListener("pagehide", leaveAll);
    document.removeEventListener("visibilitychange", onVisible);
    hide.remove();
  };
}

export default { render };
