/** The meter of the bench: what it shows follows the circuit. `ask(wish)` sends a wish to Python. */
class Meter {
  constructor(places, diagram, ask) {
    this.probes = new Probes(places, diagram, (a, b) => ask({ do: "put", a, b }));
    this.dial = new FunctionDial((to) => ask({ do: "turn", to }));
    this.display = make("output", { class: "display", "aria-label": "Meter shows", "aria-live": "off" });
    this.remark = make("p", { class: "remark" });
    this.source = make("button", { type: "button", class: "tool", "aria-pressed": "false" }, "Leads on the known live source");
    this.source.addEventListener("click", () => ask({ do: "source", there: this.source.getAttribute("aria-pressed") !== "true" }));
    this.lock = make("button", { type: "button", class: "tool" });
    this.lock.addEventListener("click", () => ask({ do: this.locked ? "unlock" : "lock" }));
    const points = ["meter on the known live source", "circuit with its supply off and locked out: below 1 V", "meter on the live source again"];
    this.points = points.map((words) => make("li", {}, make("span", {}, words), make("b", { class: "state" })));
    this.proved = make("p", { class: "proved" });
    const proof = make("div", { class: "proof", role: "group", "aria-label": "Proving dead" },
      make("p", { class: "name" }, "Proving dead, on volts, in this order"), make("ol", {}, ...this.points), this.proved);
    const head = make("p", { class: "name" }, "Meter");
    const read = make("div", { class: "read" }, this.dial.root, this.display);
    const aids = make("div", { class: "aids" }, this.source, this.lock);
    this.root = make("div", { class: "meter", role: "group", "aria-label": "Meter" }, head, read, this.remark, this.probes.root, aids, proof, this.probes.wires);
  }
  /** waits: a wish has no answer yet; then `state` may be older than the leads that a hand has chosen meanwhile. */
  update(state, waits) {
    const meter = state.meter;
    this.locked = state.locked;
    const before = this.probes.at;
    if (!waits && (meter.at[0] !== before[0] || meter.at[1] !== before[1])) this.probes.show(meter.at);
    this.dial.show(meter.function);
    put(this.display, meter.shown || "put both leads on");
    flag(this.display, "idle", !meter.shown);
    put(this.remark, meter.remark);
    mark(this.source, "aria-pressed", String(meter.source));
    put(this.source, meter.source ? "Leads back to the circuit" : "Leads on the known live source");
    put(this.lock, state.locked ? "Take the lock off" : "Lock out the supply");
    mark(this.lock, "aria-disabled", String(!state.locked && !meter.off));
    this.points.forEach((item, place) => {
      flag(item, "done", meter.proof > place);
      put(item.lastChild, meter.proof > place ? " – done" : "");
    });
    put(this.proved, meter.proved);
  }
}
