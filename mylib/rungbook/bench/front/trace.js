/** The trace: lanes over the last half minute, and the list of changes. */
class TraceView {
  constructor() {
    this.strip = draw(make("div"), "svg", { class: "strip", role: "img", "aria-label": "Timing diagram of the last 30 s" });
    this.list = make("tbody");
    const head = make("tr", {}, ...["", "time", "change"].map((word) => make("th", { scope: "col" }, word)));
    const table = make("table", {}, make("caption", {}, "Trace"), make("thead", {}, head), this.list);
    this.rows = make("div", { class: "rows", role: "region", "aria-label": "Trace", tabindex: "0" }, table);
    this.root = make("div", { class: "trace" }, this.strip, this.rows);
    this.wide = 0;
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
    if (this.data.rows.every(([number]) => number <= this.last)) return void (this.drawnMs = -1e9);
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
    const wide = this.wide; // not asked of the page at each frame, which would lay it out once more
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
