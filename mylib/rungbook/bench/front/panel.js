/** The operators and displays. `ask(device, position)` sends a wish. latched: a button stays until it is used again. */
class Panel {
  constructor(parts, ask, latched = false) {
    this.ask = ask;
    this.latched = latched;
    this.holds = [];
    this.keys = new Map();
    this.updates = [];
    this.ticks = [];
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
        let text = state.words_of?.[part.tag] ?? state.positions[part.tag];
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
    if (control.mode === "hold" && !this.latched) told.push("hold");
    button.setAttribute("aria-label", told.filter(Boolean).join(", "));
    if (control.mode === "hold" && this.latched) this.latch(part, control, button);
    else if (control.mode === "hold") this.hold(part, control, button);
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

  /** A second pair of hands keeps the button in until it is used again. */
  latch(part, control, button) {
    const turn = () => this.ask(part.tag, button.getAttribute("aria-pressed") === "true" ? control.back : control.to);
    button.addEventListener("click", turn);
    this.updates.push((state) => button.setAttribute("aria-pressed", String(state.positions[part.tag] === control.to)));
    if (control.key) {
      button.setAttribute("aria-keyshortcuts", control.key);
      this.keys.set(control.key, { take: turn, leave() {} });
    }
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
    if (control.mode === "switch") mark(button, "aria-checked", String(on));
    if (control.mode === "choice") {
      mark(button, "aria-checked", String(on));
      mark(button, "tabindex", on ? "0" : "-1");
    }
    if (control.mode === "hold") flag(button, "in", on);
    if (control.usable.length) mark(button, "aria-disabled", String(!control.usable.includes(position)));
  }

  display(part, box, body, name, word) {
    if (part.look === "lamp") {
      body.append(make("span", { class: "lens", "aria-hidden": "true" }, part.letter || "P"));
      if (part.colour) body.firstChild.dataset.colour = part.colour;
      this.updates.push((state) => flag(box, "lit", state.positions[part.tag] === "lit"));
      if (part.colour) name.append(make("span", { class: "small" }, part.colour));
    } else if (part.look === "motor") this.motor(part, box, body, word);
    else {
      this.updates.push((state) => flag(box, "lit", state.positions[part.tag] === "in"));
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
    const show = (share, text) => {
      const turned = `scaleX(${share.toFixed(3)})`;
      if (fill.style.transform !== turned) fill.style.transform = turned;
      mark(bar, "aria-valuenow", String(Math.round(100 * share)));
      mark(bar, "aria-valuetext", text);
      put(words, text);
    };
    this.updates.push((state) => {
      const gauge = state.gauges[part.tag];
      if (gauge && !("until" in gauge)) show(gauge.share, gauge.words);
    });
    this.ticks.push((state, now) => {
      const gauge = state.gauges[part.tag];
      if (!gauge || !("until" in gauge)) return;
      const left = Math.min(Math.max(gauge.until - now, 0), gauge.span);
      show(1 - left / gauge.span, left.toFixed(1) + gauge.tail);
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
      put(speed, motor.seen ? "" : `${Math.abs(share)} % speed`);
      mark(arrow, "visibility", share ? "visible" : "hidden");
      mark(arrow, "transform", motor.speed < 0 ? "scale(-1,1)" : "");
      flag(box, "lit", Math.abs(motor.speed) > 0.01);
    });
  }

  update(state) {
    for (const one of this.updates) one(state);
  }
  /** What moves between two states: times that run out, counted by the clock. */
  tick(state, now) {
    for (const one of this.ticks) one(state, now);
  }
  leaveAll() {
    for (const hold of this.holds) hold.leaveAll();
  }
}
