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

/**
 * Messages to Python: numbered, so that it is known which of them the state answers.
 *
 * The server of notebooks sends a small packet only when the one before it is acknowledged, and an acknowledgement that
 * finds nothing to travel with waits (40 ms with Linux). So "the kernel is busy", which goes before each answer, would
 * hold the answer up. After the wish of a hand a nudge follows as soon as that word is there, for it to travel with.
 */
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
    const number = this.sent;
    const status = ({ content: { execution_state: told } }) => {
      if (told === "busy" && number === this.sent && !this.dead) this.model.send({ do: "nudge" });
    };
    this.model.send({ ...content, view: this.view, number }, PATIENT.test(content.do) ? undefined : { iopub: { status } });
  }
  heard(seen) {
    if (seen && seen[0] === this.view) this.answered = Math.max(this.answered, seen[1]);
  }
  get waits() {
    return this.answered < this.sent;
  }
}
