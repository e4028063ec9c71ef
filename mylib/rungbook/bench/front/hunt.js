/** The meter of a hunt: the leads and the function are chosen freely, a reading is an act. `ask(wish)` sends a wish. */
class HuntMeter {
  constructor(places, diagram, ask) {
    this.at = ["", ""];
    this.fresh = false; // what is displayed was read with the leads where they are
    this.probes = new Probes(places, diagram, (a, b) => this.moved(() => (this.at = [a, b])));
    this.dial = new FunctionDial((to) => this.moved(() => (this.function = to)));
    this.function = "volts";
    this.display = make("output", { class: "display", "aria-label": "Meter shows", "aria-live": "off" });
    this.read = make("button", { type: "button", class: "tool" }, "Take the reading");
    this.read.addEventListener("click", () => ask({ do: "measure", function: this.function, a: this.at[0], b: this.at[1] }));
    this.remark = make("p", { class: "remark" });
    this.left = make("p", { class: "left" });
    const act = (text, wish) => {
      const button = make("button", { type: "button", class: "tool" }, text);
      button.addEventListener("click", () => ask(wish()));
      return button;
    };
    this.source = act("Test the meter on the known live source", () => ({ do: "source" }));
    this.lock = act("Lock out the supply", () => ({ do: this.locked ? "unlock" : "lock" }));
    const points = ["meter on the known live source", "circuit X1 – X2, supply off and locked out: below 1 V", "meter on the live source again"];
    this.points = points.map((words) => make("li", {}, make("span", {}, words), make("b", { class: "state" })));
    this.proved = make("p", { class: "proved" });
    const proof = make("div", { class: "proof", role: "group", "aria-label": "Proving dead" },
      make("p", { class: "name" }, "Proving dead, in this order"), make("ol", {}, ...this.points), this.proved);
    this.root = make("div", { class: "meter", role: "group", "aria-label": "Meter" }, make("p", { class: "name" }, "Meter"),
      make("div", { class: "read" }, this.dial.root, this.display, this.read), this.remark, this.left, this.probes.root,
      make("div", { class: "aids" }, this.source, this.lock), proof, this.probes.wires);
    this.dial.show(this.function);
  }
  moved(change) {
    change();
    this.fresh = false;
    this.dial.show(this.function);
    this.face();
  }
  face() {
    const ready = this.at[0] && this.at[1];
    put(this.display, this.fresh ? this.shown : ready ? "take the reading" : "put both leads on");
    this.display.classList.toggle("idle", !this.fresh);
    put(this.remark, this.fresh ? this.about : "");
  }
  update(state, before) {
    this.locked = state.locked;
    this.shown = state.meter;
    this.about = state.remark;
    if (state.rows.length !== before.rows.length || state === before) this.fresh = Boolean(state.meter);
    this.face();
    put(this.left, `Readings left: ${state.left} of ${state.budget}. Volts with the supply off do not count.`);
    put(this.lock, state.locked ? "Take the lock off" : "Lock out the supply");
    this.lock.setAttribute("aria-disabled", String(!state.locked && state.positions.supply === "on"));
    this.points.forEach((item, place) => put(item.lastChild, state.points > place ? " – done" : ""));
    put(this.proved, state.proved ? "The circuit is proved dead (X1 – X2)." : "");
  }
  close() {
    this.probes.close();
  }
}

/** The log: a row an act, growing. */
class Log {
  constructor() {
    this.body = make("tbody");
    const head = make("tr", {}, ...["no.", "done", "shown", "remark"].map((word) => make("th", { scope: "col" }, word)));
    const table = make("table", {}, make("caption", {}, "Log"), make("thead", {}, head), this.body);
    this.root = make("div", { class: "rows log", role: "region", "aria-label": "Log", tabindex: "0" }, table);
  }
  show(rows) {
    for (const row of rows.slice(this.body.childElementCount))
      this.body.append(make("tr", {}, ...row.map((cell) => make("td", {}, String(cell)))));
    this.root.scrollTop = this.root.scrollHeight;
  }
}

function render({ model, el }) {
  let state = model.get("state");
  const post = new Post(model);
  const ask = (wish) => post.send(wish);
  const panel = new Panel(model.get("parts"), (device, to) => ask({ do: "order", device, to }), true);
  const diagram = new Diagram(model.get("svg"));
  const meter = new HuntMeter(model.get("places"), diagram, ask);
  const log = new Log();
  const live = make("span", { class: "unseen", role: "status", "aria-live": "polite" });
  const voice = new Voice(live);
  const answer = new AnswerForm(model.get("faults"), ask, live);

  const look = make("button", { type: "button", class: "tool" }, "Look");
  const anew = make("button", { type: "button", class: "tool" }, "Back to as found");
  look.addEventListener("click", () => ask({ do: "look" }));
  anew.addEventListener("click", () => ask({ do: "as found" }));
  const said = make("span", { class: "said" });
  const tools = make("div", { class: "tools", role: "toolbar", "aria-label": "Hunt" }, look, anew, said);
  const care = make("p", { class: "small care" },
    "One fault is hidden here. A button stays in until it is used again, as if somebody kept it in. On a real panel: qualified supervision and your local rules; de-energise, lock out, verify absence of voltage before anything but a voltage reading.");
  const desk = make("div", { class: "desk" }, diagram.root, panel.root, meter.root);
  const bench = make("div", { class: "rungbook-bench hunt", role: "group", "aria-label": `Fault hunt: ${model.get("title")}` });
  ownKeys(bench);
  bench.append(tools, care, desk, log.root, answer.root, live);
  const hide = make("style", {}, `.${model.get("name")}-last{display:none}`);
  el.append(hide, bench);

  function show(before) {
    panel.update(state);
    meter.update(state, before);
    log.show(state.rows);
    answer.show(state, model.get("page"));
    put(said, state.refused);
    const over = Boolean(state.claim);
    bench.classList.toggle("over", over);
    if (over && !post.dead) {
      meter.close();
      for (const part of [tools, panel.root, meter.root]) for (const button of part.querySelectorAll("button")) button.disabled = true;
    }
  }
  function onState() {
    const before = state;
    state = model.get("state");
    post.heard(state.seen);
    voice.say(state.say);
    show(before);
    if (state.claim && !before.claim) answer.text.focus();
  }
  const onPage = () => answer.show(state, model.get("page"));
  model.on("change:state", onState);
  model.on("change:page", onPage);

  bench.addEventListener("keydown", (event) => {
    const key = panel.keys.get(event.code.replace(/^(Digit|Numpad)/, ""));
    if (!key || event.repeat || event.ctrlKey || event.altKey || event.metaKey || event.target.matches("select, textarea")) return;
    event.preventDefault();
    if (!state.claim) key.take();
  });
  const unwatch = watchKernel(model, el, () => {
    if (post.dead) return;
    post.dead = true;
    deaden(bench, said, live);
    answer.copy.disabled = false;
  });
  const waits = setInterval(() => {
    if (post.waits && !post.dead && performance.now() - post.lastMs > 3000)
      put(said, "No answer: the kernel is busy, or has gone; then run the cell again.");
  }, 500);

  show(state);
  return () => {
    voice.stop();
    clearInterval(waits);
    unwatch();
    model.off("change:state", onState);
    model.off("change:page", onPage);
    hide.remove();
  };
}

export default { render };
