/** The trace: lanes over the last half minute, and the list of changes. */
class TraceView {
  constructor() {
    this.strip = draw(make("div"), "svg", { class: "strip", role: "img", "aria-label": "Timing diagram of the last 30 s" });
    this.list = make("tbody", { role: "rowgroup" });
    const head = make("tr", {}, ...["no.", "time", "change"].map((word) => make("th", { scope: "col", role: "columnheader" }, word)));
    head.setAttribute("role", "row"); // laid out as blocks, for a table is laid out as a whole for each new row
    const caption = make("caption", {}, "Trace");
    const table = make("table", { role: "table" }, caption, make("thead", { role: "rowgroup" }, head), this.list);
    this.rows = make("div", { class: "rows", role: "region", "aria-label": "Trace", tabindex: "0" }, table);
    this.root = make("div", { class: "trace" }, this.strip, this.rows);
    this.wide = 0; // not asked of the page at each frame, which would lay it out once more
    this.last = 0;
    this.data = { lanes: [], rows: [] };
    this.plan = null;
  }
  take(data, anew) {
    this.data = data.lanes ? data : { lanes: [], rows: [] };
    if (anew) {
      this.list.replaceChildren();
      this.last = 0;
    }
    for (const [number, time, words] of this.data.rows) {
      if (number <= this.last) continue;
      this.last = number;
      const cells = [String(number), seconds(time, 3), words].map((text) => make("td", { role: "cell" }, text));
      this.list.append(make("tr", { role: "row" }, ...cells));
    }
    while (this.list.childElementCount > ROWS) this.list.firstChild.remove();
  }

  /** Show the time `now`. What was drawn is moved and uncovered; it is drawn anew only if something has changed. */
  draw(now) {
    if (!this.wide) return;
    const span = STRIP.spans.find((most) => now <= most) || STRIP.spans.at(-1);
    const start = Math.max(0, now - span);
    const tags = this.data.lanes.map(([tag]) => tag).join();
    const plan = this.plan;
    if (!plan || plan.span !== span || plan.tags !== tags || start < plan.from || start > plan.from + STRIP.spare)
      this.build(span, start, tags);
    if (this.plan.data !== this.data) this.fill();
    const { scale, from, past, moving, labels } = this.plan;
    mark(past, "width", ((now - start) * scale).toFixed(1));
    for (const one of moving) mark(one, "transform", `translate(${((from - start) * scale).toFixed(1)})`);
    for (const { text, begin, end, need } of labels) {
      const at = Math.max(begin, start);
      mark(text, "x", ((at - from) * scale + 4).toFixed(1)); // it stays in sight while its level does
      mark(text, "visibility", (Math.min(end, now) - at) * scale > need ? "visible" : "hidden");
    }
  }

  /** Draw the designations and the times from `from` on, and a little beyond what is shown: `span` seconds. */
  build(span, from, tags) {
    const { left, right, lane, top, foot, spare } = STRIP;
    const lanes = this.data.lanes;
    const inner = this.wide - left - right;
    const scale = inner / span;
    const high = top + lane * lanes.length + foot;
    const end = from + span + spare;
    this.strip.style.display = lanes.length ? "" : "none";
    this.strip.replaceChildren();
    for (const [key, value] of [["width", this.wide], ["height", high], ["viewBox", `0 0 ${this.wide} ${high}`]])
      mark(this.strip, key, String(value));
    const axis = draw(draw(this.strip, "svg", { x: left, width: inner + right, height: high }), "g", {});
    const tick = [1, 2, 5, 10].find((step) => step * scale > 48) || 10;
    for (let time = Math.ceil(from / tick) * tick; time <= end; time += tick) {
      const x = (time - from) * scale;
      draw(axis, "line", { class: "tick", x1: x, x2: x, y1: top, y2: high - foot });
      draw(axis, "text", { x, y: high - 7, "text-anchor": time ? "middle" : "start" }, `${time} s`);
    }
    const past = draw(this.strip, "svg", { x: left, width: 0, height: high });
    const levels = draw(past, "g", {});
    const paths = lanes.map(([tag], place) => {
      draw(this.strip, "text", { x: left - 8, y: top + lane * (place + 1) - 4, "text-anchor": "end" }, tag);
      return draw(levels, "path", { class: "lane" });
    });
    this.plan = { span, scale, from, end, tags, past, levels, paths, moving: [axis, levels], labels: [], data: null };
  }

  /** Draw the levels, each lane one path. */
  fill() {
    const { lane, top } = STRIP;
    const { scale, from, end, levels, paths, labels } = this.plan;
    const x = (time) => ((Math.max(time, from) - from) * scale).toFixed(1);
    for (const { text } of labels) text.remove();
    labels.length = 0;
    this.data.lanes.forEach(([, entries], place) => {
      const floor = top + lane * (place + 1) - 4;
      let path = "";
      entries.forEach(([time, level, word], k) => {
        const until = k + 1 < entries.length ? entries[k + 1][0] : Infinity;
        path += `${k ? "V" : `M${x(time)},`}${floor - level * (lane - 9)}H${x(Math.min(until, end))}`;
        if (level === 0 || until < from || PLAIN.test(word)) return;
        const text = draw(levels, "text", { class: "small", x: 0, y: floor - 2, visibility: "hidden" }, word);
        labels.push({ text, begin: time, end: until, need: 7 * word.length });
      });
      mark(paths[place], "d", path);
    });
    this.plan.data = this.data;
  }
}
