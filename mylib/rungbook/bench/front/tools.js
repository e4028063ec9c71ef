// The bench in the browser: shows the state that Python sends, sends what the hands do, and has the clock.
// Plain JavaScript, nothing from outside. Times in seconds of the bench unless the name says ms.

const SVG = "http://www.w3.org/2000/svg";
const GAP_MS = 100; // between two looks that nobody asked for, and between two frames: at most ten a second
const REST_MS = 1000; // between two frames while nothing runs but the clock
const LAG_MS = 25; // from an event that nobody asked for to the look at it: what a relay does upon it is seen at once
const AHEAD = 0.15; // what the kernel may be ahead of the clock without the clock being put forward
const LATE_MS = 1500; // from a wish to the remark that no answer comes
const SAY_MS = 1000; // between two sentences for a screen reader
const KEEP_MS = 2000; // from a change to the picture that a saved notebook keeps, if nothing changes meanwhile
const KEEP_LATEST_MS = 8000; // and if changes go on
const PATIENT = /^(time|keep|let go)$/; // wishes that no hand waits for
const TAP_MS = 300; // how long a click without a hand (of a screen reader) holds a button
const ROWS = 100; // of the list of changes
// of the strip of lanes: lengths in px; spans of time that it shows, the first that holds all; spare: drawn beyond that
const STRIP = { left: 96, right: 12, lane: 22, top: 6, foot: 22, spans: [5, 10, 20, 30], spare: 5 };
const PLAIN = /^(in|lit|pressed|on|off|out|dark|released|set|reset)$/; // words that a level says by itself

function make(name, about = {}, ...inside) {
  const element = document.createElement(name);
  for (const [key, value] of Object.entries(about)) {
    if (key === "class") element.className = value;
    else element.setAttribute(key, value);
  }
  if (name in { button: 1, select: 1, summary: 1, textarea: 1 } || "tabindex" in about) ownKeys(element);
  element.append(...inside);
  return element;
}

/** Keys pressed on `element` are no commands of the notebook. JupyterLab asks the element that has the focus first. */
function ownKeys(element) {
  element.setAttribute("data-lm-suppress-shortcuts", "true");
}

function draw(parent, name, about, text) {
  const element = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(about)) element.setAttribute(key, value);
  if (text !== undefined) element.textContent = text;
  if ("tabindex" in about) ownKeys(element);
  parent.append(element);
  return element;
}

function put(element, text) {
  if (element.textContent !== text) element.textContent = text;
}

/** Attribute `name` of `element` gets `value`; one that has it already is not touched, which would cost a style. */
function mark(element, name, value) {
  if (element.getAttribute(name) !== value) element.setAttribute(name, value);
}

/** The same for a class that is on or off. */
function flag(element, name, on) {
  if (element.classList.contains(name) !== on) element.classList.toggle(name, on);
}

function seconds(value, digits) {
  return `${value.toFixed(digits)} s`;
}
