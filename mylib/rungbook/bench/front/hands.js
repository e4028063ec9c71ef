/** A button that acts while it is held: by pointers, Space or Enter, and its own key, several at once. */
class Hold {
  constructor(button, press, release) {
    this.button = button;
    this.holders = new Set();
    this.press = press;
    this.release = release;
    button.addEventListener("pointerdown", (event) => {
      if (event.button !== 0 || button.disabled) return;
      button.focus({ preventScroll: true });
      button.setPointerCapture(event.pointerId);
      this.take(`pointer ${event.pointerId}`);
      event.preventDefault();
    });
    for (const kind of ["pointerup", "pointercancel", "lostpointercapture"])
      button.addEventListener(kind, (event) => this.leave(`pointer ${event.pointerId}`));
    button.addEventListener("contextmenu", (event) => event.preventDefault());
    button.addEventListener("keydown", (event) => {
      if (event.key !== " " && event.key !== "Enter") return;
      event.preventDefault();
      if (!event.repeat) this.take(event.code);
    });
    button.addEventListener("keyup", (event) => {
      if (event.key !== " " && event.key !== "Enter") return;
      event.preventDefault();
      this.leave(event.code);
    });
    button.addEventListener("blur", () => {
      this.leave("Space");
      this.leave("Enter");
    });
    button.addEventListener("click", (event) => {
      if (event.detail || this.holders.size) return;
      this.take("click");
      setTimeout(() => this.leave("click"), TAP_MS);
    });
  }
  take(holder) {
    if (this.button.disabled || this.holders.has(holder)) return;
    this.holders.add(holder);
    if (this.holders.size === 1) this.press();
  }
  leave(holder) {
    if (this.holders.delete(holder) && !this.holders.size) this.release();
  }
  leaveAll() {
    if (!this.holders.size) return;
    this.holders.clear();
    this.release();
  }
}
