/** Two leads of a meter and where they are: two lists, points on the diagram, and the wire list. `put(a, b)` is a wish. */
const LEADS = [
  { key: "a", letter: "V", name: "V lead" },
  { key: "b", letter: "C", name: "COM lead" },
];

class Probes {
  constructor(places, diagram, put) {
    this.places = places;
    this.put = put;
    this.at = ["", ""];
    this.turn = 0; // which lead the next tap on a point moves
    this.known = new Map(places.map((place) => [place.lead, place]));
    this.root = make("div", { class: "probes" }, ...LEADS.map((lead, which) => this.list(lead, which)));
    this.hint = make("p", { class: "small" });
    this.root.append(this.hint);
    this.wires = this.wireList();
    this.points(diagram);
    this.show(["", ""]);
  }

  list(lead, which) {
    const select = make("select", { "aria-label": `${lead.name} on` }, make("option", { value: "" }, "in the air"));
    for (const [wire, places] of this.byWire()) {
      const group = make("optgroup", { label: `wire ${wire}` });
      for (const place of places) group.append(make("option", { value: place.lead }, place.lead));
      select.append(group);
    }
    select.addEventListener("change", () => this.move(which, select.value));
    lead = make("label", { class: `lead ${lead.key}` }, make("span", { class: "tip", "aria-hidden": "true" }, lead.letter), lead.name, select);
    this.selects = [...(this.selects || []), select];
    return lead;
  }

  byWire() {
    const found = new Map();
    for (const place of this.places) found.set(place.wire, [...(found.get(place.wire) || []), place]);
    return [...found].sort((one, other) => one[0] - other[0]);
  }

  /** The wires with their terminals, each a button. */
  wireList() {
    const body = make("tbody");
    this.buttons = new Map();
    for (const [wire, places] of this.byWire()) {
      const cell = make("td");
      for (const { lead } of places) {
        const button = make("button", { type: "button", class: "terminal", "aria-label": `${lead}, wire ${wire}, put a lead` }, lead);
        button.addEventListener("click", () => this.tap(lead));
        this.buttons.set(lead, button);
        cell.append(button);
      }
      body.append(make("tr", {}, make("th", { scope: "row" }, String(wire)), cell));
    }
    const head = make("tr", {}, make("th", { scope: "col" }, "wire"), make("th", { scope: "col" }, "terminals"));
    return make("details", { class: "wires" }, make("summary", {}, "Wire list"), make("table", {}, make("thead", {}, head), body));
  }

  /** Points on the wires beside the symbols: one stop of Tab, arrows go from point to point. */
  points(diagram) {
    this.marks = new Map();
    const svg = diagram.root.querySelector("svg");
    const layer = draw(svg, "g", { class: "points", role: "group", "aria-label": "Points for the leads of the meter" });
    const inOrder = this.places.map((place) => {
      const mark = draw(layer, "g", { class: "point", role: "button", tabindex: "-1", transform: `translate(${place.x},${place.y})` });
      draw(mark, "title", {}, `${place.lead}, wire ${place.wire}`);
      draw(mark, "circle", { class: "reach", r: 11 });
      draw(mark, "path", { class: "free", d: "M0,-3.6L3.6,0L0,3.6L-3.6,0Z" });
      draw(mark, "circle", { class: "ring", r: 8 });
      draw(mark, "text", { y: 3.6, "text-anchor": "middle" }, "");
      mark.addEventListener("click", () => this.tap(place.lead));
      this.marks.set(place.lead, mark);
      return mark;
    });
    if (inOrder.length) inOrder[0].setAttribute("tabindex", "0");
    inOrder.forEach((mark, place) =>
      mark.addEventListener("keydown", (event) => {
        if (event.key === "Enter" || event.key === " ") this.tap(this.places[place].lead);
        const by = { ArrowLeft: -1, ArrowUp: -1, ArrowRight: 1, ArrowDown: 1 }[event.key];
        const to = { Home: 0, End: inOrder.length - 1 }[event.key] ?? (by && (place + by + inOrder.length) % inOrder.length);
        if (to !== undefined) {
          mark.setAttribute("tabindex", "-1");
          inOrder[to].setAttribute("tabindex", "0");
          inOrder[to].focus();
        }
        if (to !== undefined || event.key === "Enter" || event.key === " ") event.preventDefault();
      }),
    );
    svg.setAttribute("role", "group"); // a picture that has something to take hold of
  }

  tap(lead) {
    if (!this.off) this.move(this.turn, lead);
  }
  move(which, lead) {
    const at = [...this.at];
    at[which] = lead;
    this.turn = 1 - which;
    this.show(at);
    this.put(...at);
  }
  show(at) {
    this.at = [...at];
    this.selects.forEach((select, which) => {
      if (select.value !== at[which]) select.value = at[which];
    });
    for (const [lead, mark] of this.marks) {
      const here = LEADS.filter((_, which) => at[which] === lead);
      mark.setAttribute("class", `point ${here.map((one) => one.key).join(" ")}`.trim());
      put(mark.lastChild, here.map((one) => one.letter).join(""));
      const told = here.length ? `, ${here.map((one) => one.name).join(" and ")} here` : "";
      mark.setAttribute("aria-label", `${lead}, wire ${this.known.get(lead).wire}${told}`);
      const button = this.buttons.get(lead);
      button.className = `terminal ${here.map((one) => one.key).join(" ")}`.trim();
      put(button, lead + (here.length ? ` (${here.map((one) => one.letter).join("")})` : ""));
    }
    put(this.hint, `The next point you tap, on the diagram or in the wire list, gets the ${LEADS[this.turn].name}.`);
  }
  /** No lead moves any more. */
  close() {
    this.off = true;
    this.hint.hidden = true;
    for (const select of this.selects) select.disabled = true;
    for (const button of this.buttons.values()) button.disabled = true;
  }
}

/** The function of a meter: one of three. `ask(name)` is a wish. */
class FunctionDial {
  constructor(ask) {
    const names = { volts: "V a.c.", ohms: "ohm", continuity: "continuity" };
    this.buttons = Object.entries(names).map(([to, text]) => {
      const button = make("button", { type: "button", role: "radio", "aria-label": `${to === "volts" ? "volts a.c." : to}` }, text);
      button.dataset.to = to;
      button.addEventListener("click", () => ask(to));
      return button;
    });
    this.root = make("div", { class: "dial", role: "radiogroup", "aria-label": "Function of the meter" }, ...this.buttons);
    this.buttons.forEach((button, place) =>
      button.addEventListener("keydown", (event) => {
        const by = { ArrowLeft: -1, ArrowUp: -1, ArrowRight: 1, ArrowDown: 1 }[event.key];
        const to = this.buttons[place + by];
        if (!to) return;
        event.preventDefault();
        to.tabIndex = 0;
        to.focus();
        ask(to.dataset.to);
      }),
    );
  }
  show(name) {
    for (const button of this.buttons) {
      mark(button, "aria-checked", String(button.dataset.to === name));
      mark(button, "tabindex", button.dataset.to === name ? "0" : "-1");
    }
  }
}
