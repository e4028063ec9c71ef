/** The answer of a hunt: device and fault from lists, hand in; then the cell that carries the acts. */
class AnswerForm {
  constructor(faults, ask, region) {
    this.faults = faults;
    this.device = make("select", { "aria-label": "Device that is at fault" }, ...this.options(Object.keys(faults)));
    this.fault = make("select", { "aria-label": "Its fault" });
    this.device.addEventListener("change", () => this.fill());
    this.fault.addEventListener("change", () => this.weigh());
    this.hand = make("button", { type: "button", class: "tool" }, "Hand in");
    this.hand.addEventListener("click", () => {
      if (this.hand.getAttribute("aria-disabled") !== "true") ask({ do: "claim", device: this.device.value, fault: this.fault.value });
    });
    this.form = make("div", { class: "aids" }, make("label", {}, "Device ", this.device), make("label", {}, "Fault ", this.fault), this.hand);
    this.note = make("p", { class: "small" }, "Handing in ends the hunt: nothing can be done or measured after it.");
    this.text = make("textarea", { readonly: "", rows: "7", "aria-label": "Lines for the answer cell" });
    this.copy = make("button", { type: "button", class: "tool" }, "Copy these lines");
    this.copied = make("span", { class: "small" });
    this.copy.addEventListener("click", () => this.toClipboard(region));
    this.cell = make("div", { class: "cell", role: "group", "aria-label": "For the answer cell" },
      make("p", { class: "name" }, "Put these lines into the answer cell, in place of what stands there, and run it"),
      make("p", { class: "small" }, "They are your acts. The notebook carries them: whoever runs it again, without hands on this bench, gets the same answer. Without them the answer is empty."),
      this.text, make("div", { class: "aids" }, this.copy, this.copied));
    this.page = make("div", { class: "page", role: "region", "aria-label": "What each reading had excluded", tabindex: "0" });
    this.claim = make("p", { class: "proved" });
    this.root = make("div", { class: "answer", role: "group", "aria-label": "Answer" }, make("p", { class: "name" }, "Answer"),
      this.form, this.note, this.claim, this.cell, this.page);
    this.fill();
  }
  options(words) {
    return [make("option", { value: "" }, "choose"), ...words.map((word) => make("option", { value: word }, word))];
  }
  fill() {
    this.fault.replaceChildren(...this.options(this.faults[this.device.value] || []));
    this.weigh();
  }
  weigh() {
    this.hand.setAttribute("aria-disabled", String(!this.device.value || !this.fault.value));
  }
  show(state, page) {
    const over = Boolean(state.claim);
    this.form.hidden = this.note.hidden = over;
    this.cell.hidden = !over;
    this.page.hidden = !page;
    put(this.claim, over ? `Handed in: ${state.claim}.` : "");
    if (this.text.value !== state.cell) this.text.value = state.cell;
    if (this.shown !== page) this.page.innerHTML = page;
    this.shown = page;
  }
  async toClipboard(region) {
    let done = false;
    try {
      await navigator.clipboard.writeText(this.text.value);
      done = true;
    } catch {
      this.text.select();
      done = document.execCommand("copy"); // where a page may not write to the clipboard by itself
    }
    this.text.focus();
    this.text.select();
    put(this.copied, done ? "Copied." : "They are marked: copy them with Ctrl+C.");
    region.textContent = this.copied.textContent;
  }
}
