// What this telephone keeps: who holds it, the token, the answers that wait for the
// network, and what was put off. It is kept where closing the page does not take it away;
// where a browser keeps nothing, it is kept as long as the page is open, and the page says so.

const memory = new Map();

export let forgetful = false;

function set(name, value) {
  memory.set(name, value);
  try {
    localStorage.setItem(name, value);
  } catch {
    forgetful = true;
  }
}

function get(name) {
  try {
    return localStorage.getItem(name) ?? memory.get(name) ?? null;
  } catch {
    return memory.get(name) ?? null;
  }
}

function remove(name) {
  memory.delete(name);
  try {
    localStorage.removeItem(name);
  } catch {
    forgetful = true;
  }
}

function names(prefix) {
  let kept = [];
  try {
    kept = Object.keys(localStorage);
  } catch {
    forgetful = true;
  }
  return [...new Set([...kept, ...memory.keys()])].filter((n) => n.startsWith(prefix)).sort();
}

export const token = () => get("setdown.token") ?? "";
export const setToken = (value) => set("setdown.token", value);
export const who = () => get("setdown.by") ?? "";
export const setWho = (value) => set("setdown.by", value);
export const book = () => get("setdown.book");
export const setBook = (value) => set("setdown.book", value);
export const route = () => get("setdown.route") ?? "";
export const setRoute = (value) => set("setdown.route", value);

// newID names an answer for good, so that it is written once however often it is sent.
export const newID = () => [...crypto.getRandomValues(new Uint8Array(8))].map((b) => b.toString(16).padStart(2, "0")).join("");

// Waiting answers each lie under a name of their own, in the order in which they go out:
// two pages on one telephone do not take each other's away.
const waitingPrefix = "setdown.wait.";
const place = (entry) => waitingPrefix + String(entry.turn).padStart(16, "0") + "." + entry.id;

const all = () => names(waitingPrefix).map((n) => JSON.parse(get(n) ?? "null")).filter(Boolean);

// waiting are the answers that are of this build file and not confirmed yet.
export const waiting = (book) => all().filter((e) => e.book === book);

// others are those that wait for another build file.
export const others = (book) => all().filter((e) => e.book !== book);

export function wait(entry) {
  const last = all().at(-1);
  entry.turn = Math.max(Date.now(), last ? last.turn + 1 : 0);
  set(place(entry), JSON.stringify(entry));
}

export const waitOn = (entry) => set(place(entry), JSON.stringify(entry));
export const done = (entry) => remove(place(entry));

// What was said on this round and is not asked again: "done", or how often it was put off.
const roundName = (view) => `setdown.round.${view.book}.${view.id}.${view.today}`;

export const round = (view) => JSON.parse(get(roundName(view)) ?? "{}");

export function mark(view, keys, value) {
  const all = round(view);
  for (const key of keys) {
    if (value === null) delete all[key];
    else all[key] = value;
  }
  set(roundName(view), JSON.stringify(all));
}
