// The round: which question is next, and what becomes of an answer.
import * as store from "./store.js";
import { link, send } from "./link.js";

// here is what the pages show: the views as the server sent them last.
export const here = { board: null, move: null, last: null, sent: [] };

// settled says whether a verdict is one: nothing waits, nothing is to be judged, and the
// server is there.
export const settled = (view) => !link.stranger && !link.lost && !link.unjudged && store.waiting(view.book).length === 0;

// A second look at a fact is another question than the first.
const keyOf = (name, fact, q) => `${q?.blind ? "second " : ""}${name}|${fact ?? ""}`;

// waitingKeys are what an answer was given to that is not judged yet.
function waitingKeys() {
  const keys = new Set();
  for (const e of store.waiting(here.move.book)) for (const k of e.keys ?? []) keys.add(k);
  if (link.unjudged) for (const e of here.sent) for (const k of e.keys) keys.add(k);
  return keys;
}

// open lists the names of a question that nothing was said of on this round, and that were
// put off so often.
export function open(q, put = 0) {
  const said = store.round(here.move);
  const waits = waitingKeys();
  return q.names.filter(({ name }) => {
    const key = keyOf(name, q.fact, q);
    return !waits.has(key) && !waits.has(keyOf(name, "*")) && (said[key] ?? 0) === put;
  });
}

export const waits = (q) => q.names.some(({ name }) => waitingKeys().has(keyOf(name, q.fact, q)) || waitingKeys().has(keyOf(name, "*")));

// nextIn is the next question of a place; what was put off comes at its end, and once.
export function nextIn(place) {
  for (const put of [0, 1]) {
    const q = place.questions.find((q) => !q.job && open(q, put).length > 0);
    if (q) return { q, names: open(q, put) };
  }
  return null;
}

export const openPlaces = () => here.move.places?.filter(nextIn) ?? [];

export const find = (key) => {
  for (const place of here.move.places ?? []) {
    const q = place.questions.find((q) => q.key === key);
    if (q) return { place, q };
  }
  return null;
};

// put says something of a question that stays in this telephone: later, or nothing more
// on this round.
function put(names, q, value) {
  store.mark(here.move, names.map(({ name }) => keyOf(name, q.fact, q)), value);
}

export function later(q, names) {
  const was = store.round(here.move)[keyOf(names[0].name, q.fact, q)] ?? 0;
  put(names, q, was + 1);
  here.last = { words: `${q.what}: later`, from: location.hash, back: () => put(names, q, was) };
}

// of names the things of an answer: a whole group by its name, else each by its own.
function of(names) {
  const list = [];
  for (const n of names) {
    const whole = n.group && names.filter((m) => m.group === n.group).length === n.size;
    const name = whole ? n.group : n.name;
    if (!list.includes(name)) list.push(name);
  }
  return list;
}

// answer gives one answer. It waits in the telephone until the server has written it.
// A fault is kept of the whole thing: it is work now.
export function answer(q, names, { fact, say, note, photo, fault, words }) {
  const card = !fact && !q.fact;
  const keys = names.map(({ name }) => fault ? keyOf(name, "*") : keyOf(name, q.fact, q));
  const entry = {
    id: store.newID(), book: here.move.book, move: here.move.id, by: store.who(), of: of(names), fact: fact ?? q.fact, say, note, photo,
    blind: q.blind || undefined, seen: card && say === "good" ? q.lines.map((l) => l.fact) : undefined,
    still: card && say === "good" ? Object.fromEntries(q.lines.filter((l) => l.still).map((l) => [l.fact, l.still])) : undefined, prints: q.prints,
    pressed: Date.now(), after: Math.round(link.heard), keys, words,
  };
  const notAgain = say === "cannot see" || say === "does not apply";
  if (notAgain) put(names, q, "done");
  if (settled(here.move)) here.sent = [];
  here.sent.push({ id: entry.id, keys });
  store.wait(entry);
  dispatchEvent(new Event("said"));
  here.last = {
    words, id: entry.id, from: location.hash,
    back: () => {
      if (notAgain) put(names, q, null);
      here.sent = here.sent.filter((e) => e.id !== entry.id);
      takeBack(entry);
    },
  };
  send(entry.book);
}

// takeBack takes an answer back: out of the telephone if it never left it, else out of the log.
function takeBack(entry) {
  const waiting = store.waiting(entry.book).find((e) => e.id === entry.id);
  if (waiting && !waiting.tried) {
    store.done(waiting);
    return;
  }
  const { id, book, by } = entry;
  store.wait({ id: store.newID(), book, by, undo: id, pressed: Date.now(), after: Math.round(link.heard), words: `taken back: ${entry.words}` });
  send(book);
}

// places.
export const moveHash = () => `#/m/${encodeURIComponent(here.move.id)}`;
export const placeHash = (place) => `${moveHash()}/p/${encodeURIComponent(place.id)}`;
export const questionHash = (q, ...more) => [moveHash(), "q", encodeURIComponent(q.key), ...more.map(encodeURIComponent)].join("/");

function go(hash) {
  if (location.hash === hash) dispatchEvent(new Event("hashchange")); // the rest of the same question
  else location.hash = hash;
}

// goOn goes to the next question of a place, else to the next place, else to the end. It
// gives the server a moment to judge, for the answer may make the next question needless,
// and a second tap of the thumb falls on nothing meanwhile.
export async function goOn({ id }) {
  const main = document.getElementById("main");
  const patience = link.lost ? 200 : 1000; // ms
  main.inert = true;
  for (const until = Date.now() + patience; ; ) {
    await new Promise((ready) => setTimeout(ready, 50));
    if (settled(here.move) || Date.now() > until) break;
  }
  main.inert = false;
  const place = here.move.places?.find((p) => p.id === id);
  const next = place && nextIn(place);
  const [other] = openPlaces();
  go(next ? questionHash(next.q) : other ? placeHash(other) : `${moveHash()}/end`);
}
