// The way to the server and back. What is answered waits in the telephone until the
// server has it on its disk and says so.
import * as store from "./store.js";

// link is how things stand with the server.
export const link = {
  lost: 0, // since when nothing comes back, ms by this telephone; 0 while it does
  stranger: false, // the server does not know the token
  heard: 0, // when it was heard last, ms by its clock
  unjudged: null, // run and version of what was written last, until a verdict has it
  shown: { run: "", version: 0 }, // of the verdict on the page
};

let changed = () => {};

// onChange sets what is called when something changed.
export const onChange = (f) => (changed = f);

const sleep = (ms) => new Promise((ready) => setTimeout(ready, ms));

// call asks the server. It gives up when nothing comes back for so long.
async function call(path, options, patience, outer) {
  const stop = new AbortController();
  const late = setTimeout(() => stop.abort(), patience);
  const end = () => stop.abort();
  outer?.addEventListener("abort", end);
  try {
    const answer = await fetch(path, { ...options, headers: { "Setdown-Token": store.token() }, cache: "no-store", signal: stop.signal });
    const text = await answer.text();
    return { status: answer.status, text, headers: answer.headers };
  } finally {
    clearTimeout(late);
    outer?.removeEventListener("abort", end);
  }
}

function reached(status) {
  const was = link.lost || link.stranger;
  link.lost = 0;
  link.stranger = status === 401;
  if (was || link.stranger) changed();
}

function unreached() {
  if (link.lost) return;
  link.lost = Date.now();
  changed();
}

// get asks for something once.
export async function get(path, query) {
  const answer = await call(`${path}?${new URLSearchParams(query)}`, {}, 15000);
  if (answer.status !== 200) throw new Error(answer.text);
  return JSON.parse(answer.text);
}

let following = null;

// follow asks for one thing again and again; the server answers when it is other than it was.
export async function follow(path, query, got) {
  following?.abort();
  const mine = (following = new AbortController());
  let after = "";
  while (!mine.signal.aborted) {
    try {
      const answer = await call(`${path}?${new URLSearchParams({ ...query, after })}`, {}, 40000, mine.signal);
      if (mine.signal.aborted) return;
      if (answer.status === 204) {
        reached(204);
        link.heard = Number(answer.headers.get("Setdown-Now")) || link.heard;
        continue;
      }
      if (answer.status === 401) {
        reached(401);
        await sleep(1000);
        continue;
      }
      if (answer.status !== 200) throw new Error(answer.text);
      const view = JSON.parse(answer.text);
      reached(200);
      link.heard = view.now;
      link.shown = { run: view.run, version: view.version };
      after = `${view.run}.${view.version}`;
      const wait = link.unjudged;
      if (wait && (wait.run !== view.run || wait.version <= view.version)) link.unjudged = null;
      got(view);
      send(view.book);
    } catch {
      if (mine.signal.aborted) return;
      unreached();
      await sleep(1000);
    }
  }
}

// refused are answers that the server will never write, and why.
export const refused = [];

let sending = false;

// send sends what waits, in its order, until nothing does. What the server did not confirm
// is sent again.
export async function send(book) {
  if (sending) return;
  sending = true;
  let pause = 500;
  try {
    for (;;) {
      const entry = store.waiting(book)[0];
      if (!entry) return;
      if (!entry.tried) {
        entry.tried = true; // from now on it may be written, whatever comes back
        store.waitOn(entry);
      }
      const { turn, tried, words, keys, ...sent } = entry;
      let answer;
      try {
        answer = await call(entry.undo ? "/api/undo" : "/api/look", { method: "POST", body: JSON.stringify({ ...sent, sent: Date.now() }) }, 15000);
      } catch {
        unreached();
        await sleep(pause);
        pause = Math.min(4000, 2 * pause);
        continue;
      }
      reached(answer.status);
      if (answer.status === 200) {
        const written = JSON.parse(answer.text);
        store.done(entry);
        link.unjudged = link.shown.run === written.run && link.shown.version >= written.version ? null : written;
        if (written.refused) refused.push({ id: entry.id, words: entry.words, why: written.refused });
        pause = 500;
      } else if (answer.status === 400 || answer.status === 413) {
        store.done(entry);
        refused.push({ id: entry.id, words: entry.words, why: answer.text });
      } else if (answer.status === 401) {
        return;
      } else {
        link.trouble = answer.status === 503 ? answer.text : "";
        changed();
        await sleep(pause);
        pause = Math.min(4000, 2 * pause);
        continue;
      }
      link.trouble = "";
      changed(entry.id);
    }
  } finally {
    sending = false;
  }
}

// sendPhoto sends a photo, made smaller first, and returns the name it got.
export async function sendPhoto(file) {
  const long = 1600; // dots of its longer side
  const bitmap = await createImageBitmap(file);
  const scale = Math.min(1, long / Math.max(bitmap.width, bitmap.height));
  const canvas = document.createElement("canvas");
  canvas.width = Math.round(bitmap.width * scale);
  canvas.height = Math.round(bitmap.height * scale);
  canvas.getContext("2d").drawImage(bitmap, 0, 0, canvas.width, canvas.height);
  const blob = await new Promise((ready) => canvas.toBlob(ready, "image/jpeg", 0.85));
  const answer = await call("/api/photo", { method: "POST", body: blob }, 60000);
  if (answer.status !== 200) throw new Error(answer.text);
  return JSON.parse(answer.text).photo;
}
