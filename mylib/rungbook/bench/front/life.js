/** Words for a screen reader, no more than one sentence a second. `region` is a live region. */
class Voice {
  constructor(region) {
    this.region = region;
    this.words = [];
    this.timer = null;
    this.saidMs = -1e9;
  }
  say(words) {
    if (!words) return;
    this.words = [...this.words, words].slice(-4);
    if (this.timer) return;
    this.timer = setTimeout(() => {
      this.region.textContent = this.words.join(". ");
      this.words = [];
      this.saidMs = performance.now();
      this.timer = null;
    }, Math.max(60, this.saidMs + SAY_MS - performance.now()));
  }
  stop() {
    clearTimeout(this.timer);
  }
}

/** Call `die` once as soon as the kernel behind `model`, shown in `el`, has gone; return how to stop watching. */
function watchKernel(model, el, die) {
  const watch = () => {
    if (el.closest(".jupyter-widgets-disconnected")) die();
  };
  const watcher = new MutationObserver(watch);
  watcher.observe(el, { attributes: true, attributeFilter: ["class"] });
  const onComm = () => setTimeout(watch, 0);
  model.on("comm_live_update", onComm);
  const onKernel = (_, status) => {
    if (["restarting", "autorestarting", "terminating", "dead"].includes(status)) die();
  };
  const kernel = model.widget_manager?.kernel; // of JupyterLab and Notebook; elsewhere the signs above must do
  kernel?.statusChanged?.connect(onKernel);
  return () => {
    watcher.disconnect();
    model.off("comm_live_update", onComm);
    kernel?.statusChanged?.disconnect(onKernel);
  };
}

/** Nothing on this bench, hunt or not, can be taken hold of any more. */
function deaden(root, said, region) {
  root.classList.add("dead");
  for (const one of root.querySelectorAll("button, select")) {
    one.disabled = true;
    one.classList.remove("held", "in");
  }
  put(said, "The kernel behind this bench has gone: run the cell again.");
  region.textContent = said.textContent;
}
