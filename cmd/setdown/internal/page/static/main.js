// The page: what stands on top, and which screen stands below it.
import { el, clock, count } from "./dom.js";
import * as store from "./store.js";
import { link, follow, get, send, refused, onChange } from "./link.js";
import { here, find, moveHash } from "./round.js";
import { whoScreen, boardScreen, moveScreen, placeScreen, thingsScreen, endScreen, broken } from "./screens.js";
import { questionScreen, whichScreen, faultScreen } from "./question.js";

const $ = (id) => document.getElementById(id);

// The token stands behind the # when the code was scanned, and is taken from there at once.
function takeToken() {
  if (!/^#[\w-]{22}$/.test(location.hash)) return false;
  store.setToken(location.hash.slice(1));
  link.stranger = false;
  history.replaceState(null, "", location.pathname + (store.route() || "#/"));
  return true;
}

const parts = () => location.hash.replace(/^#\/?/, "").split("/").map(decodeURIComponent);

const view = () => (parts()[0] === "m" ? (here.move?.id === parts()[1] || here.move?.broken ? here.move : null) : here.board);

// verdict is what stands on top: no verdict while anything waits, is not judged, or nothing
// comes back from the server.
function verdict() {
  const v = view();
  const waiting = store.waiting(v?.book ?? store.book()).length;
  if (link.stranger) return { name: "", word: "NOT JUDGED", text: "scan the code again" };
  if (waiting > 0) return { name: "", word: "NOT JUDGED", text: count(waiting, "answer waits", "answers wait") };
  if (link.lost) return { name: "", word: "NOT JUDGED", text: `no network since ${clock(link.lost)}` };
  if (!v) return { name: "", word: "NOT JUDGED", text: "it is on its way" };
  if (v.broken) return { name: "", word: "NOT JUDGED", text: "the file cannot be read" };
  if (link.unjudged) return { name: "", word: "NOT JUDGED", text: "the last answer is being judged" };
  if (!v.word) return null;
  return { name: v.word === "GO" ? "go" : "nogo", word: v.word, text: v.strip };
}

let spoken = "";
let lastVerdict = "";

function drawTop() {
  const now = parts()[0] === "m" || link.lost || link.stranger || store.waiting(view()?.book ?? store.book()).length ? verdict() : null;
  $("strip").replaceChildren(now ? el("a", { class: `verdict ${now.name}`, href: here.move ? moveHash() : "#/" }, el("b", {}, now.word), el("span", {}, now.text)) : "");
  if (now?.name) {
    lastVerdict = `${clock(Date.now())}: ${now.word}`;
    // It speaks when the word or the count of stops changes, not at every answer.
    const say = `${now.word} ${now.text.split(",")[0]}`;
    if (say !== spoken) $("live").textContent = spoken = say;
  }
  drawUndo();
  drawWait();
}

function drawUndo() {
  const last = here.last;
  if (!last || parts()[0] !== "m") return $("undo").replaceChildren();
  const waits = last.id && store.waiting(here.move.book).some((e) => e.id === last.id);
  const no = refused.find((r) => r.id === last.id);
  const text = no ? `Not written: ${no.why}` : `${!last.id ? "" : waits ? "Waits: " : "Written: "}${last.words}`;
  if ($("undo").textContent === text + (no ? "" : "Undo")) return;
  $("undo").replaceChildren(el("div", { class: "undo" }, el("span", {}, text), no ? null : el("button", { onclick: () => {
    here.last = null;
    last.back();
    if (location.hash === last.from) draw();
    else location.hash = last.from;
  } }, "Undo")));
}

// drawWait says what waits, and why, once it waits longer than a moment.
function drawWait() {
  const book = view()?.book ?? store.book();
  const waiting = store.waiting(book);
  const moment = 2000;
  const long = waiting.length > 0 && Date.now() - waiting[0].turn > moment;
  const others = book ? store.others(book).length : 0;
  const lines = [];
  if (link.stranger) lines.push("The computer was started again. Scan the code on its screen once more: the address has changed.");
  else if (link.lost) lines.push(`No network since ${clock(link.lost)}.`);
  if (link.trouble) lines.push(`The computer cannot write: ${link.trouble}`);
  if (waiting.length && (long || link.lost || link.stranger)) lines.push(`${count(waiting.length, "answer waits", "answers wait")} in this phone. Keep this page open: they go out in order by themselves.`);
  if (lines.length && lastVerdict) lines.push(`Last verdict, ${lastVerdict}.`);
  if (others) lines.push(`${count(others, "answer waits", "answers wait")} for another build file.`);
  if (store.forgetful && waiting.length) lines.push("This browser keeps nothing: do not close the page before they are out.");
  const text = lines.join(" ");
  if ($("wait").dataset.text === text) return;
  $("wait").dataset.text = text;
  $("wait").replaceChildren(text ? el("div", { class: "wait" }, el("p", {}, text), waiting.length ? el("button", { class: "answer", onclick: save }, el("b", {}, `Save the ${waiting.length} as a file`)) : null) : "");
}

// save writes what waits as setdown walk --answers reads it.
function save() {
  const list = store.waiting(view()?.book ?? store.book()).filter((e) => !e.undo).map(({ of, fact, say, note, seen, prints, by, pressed }) => ({ of, fact, say, note, seen, prints, by, pressed: new Date(pressed).toISOString() }));
  const address = URL.createObjectURL(new Blob([JSON.stringify(list, null, 1)], { type: "application/json" }));
  el("a", { href: address, download: "answers.json" }).click();
  setTimeout(() => URL.revokeObjectURL(address), 60000);
}

// screen is what stands below, by the address.
function screen() {
  const [first, , third, fourth, fifth, sixth] = parts();
  if (!store.token()) return [el("h1", { tabindex: -1 }, "Scan the code"), el("p", {}, "This page opens with the code, or the whole address, that setdown shows in its terminal.")];
  if (first === "who" || !store.who()) {
    return whoScreen((here.board ?? here.move)?.people ?? [], (name) => {
      store.setWho(name);
      if (first === "who") history.back();
      else route();
    });
  }
  const v = view();
  if (!v) return [el("h1", { tabindex: -1 }, "One moment")];
  if (first !== "m") return boardScreen(v);
  if (v.broken) return broken(v);
  if (third === "end") return endScreen(v);
  if (third === "p") {
    const place = v.places?.find((p) => p.id === fourth);
    return place ? placeScreen(v, place) : endScreen(v);
  }
  if (third === "fault") return anything(fourth);
  if (third === "q") {
    const found = find(fourth);
    if (!found) return endScreen(v);
    if (fifth === "which") return whichScreen(found.place, found.q);
    if (fifth === "what") return faultScreen(found.place, found.q, sixth);
    return questionScreen(found.place, found.q);
  }
  return moveScreen(v);
}

// anything asks for what can be wrong with all things, or with one; that is not in the view
// of a move.
let loose = { of: null };
function anything(name = "") {
  if (loose.of !== name) {
    loose = { of: name };
    const mine = loose;
    const arrived = (what) => {
      Object.assign(mine, what);
      if (loose === mine) draw();
    };
    (name ? get("/api/thing", { of: name }) : get("/api/things", {})).then((it) => arrived({ it }), () => arrived({ failed: true }));
  }
  const back = `${moveHash()}/fault`;
  if (loose.failed) return [el("h1", { tabindex: -1 }, "It did not come"), el("p", {}, "What is not on the round has to be asked of the computer, and that needs the network."), el("a", { class: "answer", href: moveHash() }, el("b", {}, "The move"))];
  if (!loose.it) return [el("h1", { tabindex: -1 }, "One moment")];
  return name ? faultScreen({ id: "" }, loose.it, name, back) : thingsScreen(loose.it);
}

function draw() {
  stale = false;
  $("main").replaceChildren(...screen().flat(Infinity).filter(Boolean));
  drawTop();
}

// asks says whether a question is on the screen. What a person is answering is not changed
// under the finger.
const asks = () => parts()[2] === "fault" || parts()[2] === "q" && here.move && find(parts()[3]);

let drawn = "";
let opened = false; // with the move that the server names

// route shows the screen of the address, and follows what it shows.
function route() {
  if (takeToken()) drawn = "";
  const [first, move] = parts();
  if (location.hash) store.setRoute(location.hash);
  const followed = `${store.token()} ${first === "m" ? `m ${move}` : "board"} ${store.who()}`;
  draw();
  scrollTo(0, 0);
  $("main").querySelector("h1")?.focus({ preventScroll: true });
  if (followed === drawn) return;
  drawn = followed;
  if (!store.token()) return;
  if (first === "m") {
    if (here.move?.id !== move) here.move = null;
    follow("/api/move", { move, by: store.who() }, (v) => {
      const asked = here.move && asks();
      here.move = v;
      store.setBook(v.book);
      if (asked || parts()[0] === "who") drawTop();
      else redraw();
    });
  } else {
    follow("/api/board", {}, (v) => {
      here.board = v;
      store.setBook(v.book);
      const opens = v.first && !opened && parts()[0] === "";
      opened = true;
      if (opens) location.hash = `#/m/${encodeURIComponent(v.first)}`;
      else redraw();
    });
  }
}

// Between touch and release nothing moves under the finger.
let touched = false;
let stale = false;
addEventListener("pointerdown", () => (touched = true), true);
for (const end of ["pointerup", "pointercancel"]) {
  addEventListener(end, () => setTimeout(() => {
    touched = false;
    if (stale) redraw();
  }), true);
}

// redraw draws a list anew and leaves the eye, the focus and what was typed where they were.
function redraw() {
  stale = touched || [...$("main").querySelectorAll("input[type=text]")].some((field) => field.value || field === document.activeElement);
  if (stale) return drawTop();
  const focused = document.activeElement;
  const main = $("main");
  const at = main.contains(focused) ? [...main.querySelectorAll("a,button,h1")].indexOf(focused) : -1;
  draw();
  if (at >= 0) main.querySelectorAll("a,button,h1")[at]?.focus({ preventScroll: true });
}

onChange(() => {
  if (link.stranger || !asks()) redraw();
  else drawTop();
});
addEventListener("hashchange", route);
addEventListener("redraw", draw);
addEventListener("said", drawTop);
addEventListener("online", () => view() && send(view().book));
setInterval(drawTop, 1000);
route();
