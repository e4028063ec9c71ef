/** The clock of the bench: stands still while paused, or while the page is hidden. */
class Clock {
  constructor(now, running) {
    this.base = now;
    this.since = performance.now();
    this.runs = running;
  }
  get now() {
    return this.runs ? this.base + (performance.now() - this.since) / 1000 : this.base;
  }
  set(now, runs) {
    this.base = now;
    this.since = performance.now();
    this.runs = runs;
  }
}

/** Messages to Python: numbered, so that it is known which of them the state answers. */
class Post {
  constructor(model) {
    this.model = model;
    this.view = Math.random().toString(36).slice(2);
    this.sent = 0;
    this.answered = 0;
    this.dead = false;
    this.lastMs = 0;
  }
  send(content) {
    if (this.dead) return;
    this.sent += 1;
    this.lastMs = performance.now();
    this.model.send({ ...content, view: this.view, number: this.sent });
  }
  heard(seen) {
    if (seen && seen[0] === this.view) this.answered = Math.max(this.answered, seen[1]);
  }
  get waits() {
    return this.answered < this.sent;
  }
}
