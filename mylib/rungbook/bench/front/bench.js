function render({ model, el }) {
  const whole = () => ({ ...model.get("state"), classes: model.get("classes") });
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
  const voice = new Voice(live);
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
    meter.update(state);
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
    state = whole();
    post.heard(state.seen);
    const anewNow = state.epoch !== epoch;
    epoch = state.epoch;
    const runs = state.running && !document.hidden;
    if (anewNow || !state.running || Math.abs(state.now - clock.now) > 0.05 && state.now > clock.now) clock.set(state.now, runs);
    else if (runs !== clock.runs) clock.set(clock.now, runs);
    soon = soon || Boolean(state.say);
    if (JSON.stringify(before.positions) !== JSON.stringify(state.positions) || anewNow || JSON.stringify(before.meter) !== JSON.stringify(state.meter)) keep();
    voice.say(state.say);
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
    deaden(bench, said, live);
  }
  const unwatch = watchKernel(model, el, die);

  // -- a frame now and then for the time and the lanes --------------------------------------------------------------
  const frames = setInterval(() => {
    if (clock.runs && bench.isConnected) tick();
    const late = post.waits && performance.now() - post.lastMs > 1500;
    bench.classList.toggle("late", late);
    if (late && !post.dead) put(said, "No answer: the kernel is busy, or has gone; then run the cell again.");
  }, GAP_MS);
  const resized = new ResizeObserver(() => {
    trace.wide = trace.root.clientWidth;
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
    voice.stop();
    clearInterval(frames);
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
