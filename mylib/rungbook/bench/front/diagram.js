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
    if (this.told === state.words) return;
    this.told = state.words;
    if (this.desc) this.desc.textContent = `${this.words}\n${state.words}`;
  }
}
