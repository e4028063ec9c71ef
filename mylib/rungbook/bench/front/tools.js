// The bench in the browser: shows the state that Python sends, sends what the hands do, and has the clock.
// Plain JavaScript, nothing from outside. Times in seconds of the bench unless the name says ms.

const SVG = "http://www.w3.org/2000/svg";
const GAP_MS = 100; // between two looks that nobody asked for: at most ten a second
const SAY_MS = 1000; // between two sentences for a screen reader
const KEEP_MS = 2000; // from a change to the picture that a saved notebook keeps
const TAP_MS = 300; // how long a click without a hand (of a screen reader) holds a button
const STRIP = { left: 96, right: 12, lane: 22, top: 6, foot: 22, most: 30 };

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

function seconds(value, digits) {
  return `${value.toFixed(digits)} s`;
}
