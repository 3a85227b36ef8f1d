// Elements. Whatever comes from a file or a person is put in as text and never as markup.

// el makes an element: el("p", {class: "quiet", onclick: f}, "text", anotherElement).
export function el(tag, attributes = {}, ...children) {
  const e = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (name.startsWith("on")) e.addEventListener(name.slice(2), value);
    else if (value === true) e.setAttribute(name, "");
    else if (value !== false && value !== undefined && value !== null) e.setAttribute(name, value);
  }
  e.append(...children.flat().filter((c) => c !== null && c !== undefined && c !== ""));
  return e;
}

// picture shows a drawing that the server made.
export function picture(markup) {
  if (!markup) return null;
  const drawn = new DOMParser().parseFromString(markup, "text/html").querySelector("svg");
  return el("div", { class: "picture" }, document.importNode(drawn, true));
}

const marks = {
  tick: "M6 17l7 7L27 7",
  cross: "M7 7l18 18M25 7L7 25",
  blind: "M3 16c7-9 19-9 26 0c-7 9-19 9-26 0M6 27L26 5",
  dash: "M6 16h20",
  later: "M6 8h20M9 16h14M13 24h6",
  box: "M5 5h22v22H5z",
  ticked: "M5 5h22v22H5zM10 16l5 6l8-12",
  crossed: "M5 5h22v22H5zM10 10l12 12M22 10L10 22",
};

// mark is one of the shapes that stand before a word.
export function mark(name, dashed) {
  const ns = "http://www.w3.org/2000/svg";
  const svg = document.createElementNS(ns, "svg");
  svg.setAttribute("viewBox", "0 0 32 32");
  svg.setAttribute("aria-hidden", "true");
  if (dashed) svg.setAttribute("class", "waits");
  const path = document.createElementNS(ns, "path");
  path.setAttribute("d", marks[name]);
  svg.append(path);
  return svg;
}

// count prints a number with its noun.
export const count = (n, one, many) => `${n} ${n === 1 ? one : many}`;

// clock is a time of day as people say it.
export const clock = (ms) => new Date(ms).toTimeString().slice(0, 5);
