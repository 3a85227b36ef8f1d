// The screens that show: who looks, the board, a move, a place, the end of the round.
import { el, picture, mark, count } from "./dom.js";
import * as store from "./store.js";
import { refused } from "./link.js";
import { here, settled, open, waits, nextIn, openPlaces, moveHash, placeHash, questionHash } from "./round.js";

const list = (items, name = "card") => el("ul", { class: name }, items.map((text) => el("li", {}, text)));

const section = (head, items) => (items?.length ? [el("h2", {}, head), list(items)] : []);

const link = (href, head, more, dark) => el("a", { class: dark ? "answer dark" : "answer", href }, el("b", {}, head), more ? el("i", {}, more) : null);

export const broken = (view) => [el("h1", { tabindex: -1 }, "Nothing is judged"), el("p", { class: "bad" }, view.broken),
  el("p", {}, "What is answered waits in the telephone until that is put right at the computer.")];

// whoScreen asks for a name: a look is somebody's.
export function whoScreen(people, chosen) {
  const field = el("input", { type: "text", id: "name", maxlength: 40, autocomplete: "off", autocapitalize: "characters", spellcheck: "false" });
  return [el("h1", { tabindex: -1 }, "Who looks?"), el("p", { class: "quiet" }, "Your name or initials stand beside every look."),
    people.map((name) => el("button", { class: "answer", onclick: () => chosen(name) }, el("b", {}, name))),
    el("label", {}, people.length ? "Somebody else" : "Name or initials", field),
    el("button", { class: "answer dark", onclick: () => field.value.trim() && chosen(field.value.trim()) }, el("b", {}, "Begin"))];
}

export function boardScreen(view) {
  if (view.broken) return broken(view);
  return [el("h1", { tabindex: -1 }, view.vehicle || "This vehicle"), settled(view) ? el("p", {}, view.lead) : notNow(), el("p", { class: "quiet" }, `Judged for ${view.today}. Which move?`),
    (view.moves ?? []).map((m) => el("a", { class: "move", href: `#/m/${encodeURIComponent(m.id)}` },
      settled(view) ? el("span", { class: m.word === "GO" ? "word go" : "word" }, m.word) : null, el("b", {}, m.title), settled(view) ? el("span", { class: "quiet" }, m.line) : null)),
    el("a", { class: "answer", href: "#/who" }, el("b", {}, `${store.who()} looks`), el("i", {}, "somebody else?"))];
}

const refusals = () => (refused.length ? [el("h2", {}, "Not written"), list(refused.map((r) => `${r.words}: ${r.why}`)),
  el("button", { class: "answer", onclick: () => { refused.length = 0; dispatchEvent(new Event("redraw")); } }, el("b", {}, "Read"))] : []);

const stops = (view) => (view.stops?.length ? [el("h2", {}, `What stops it: ${view.jobs}`),
  el("ol", { class: "stops" }, view.stops.map((s) => el("li", {}, el("em", { "aria-hidden": "true" }, String(s.number)), el("b", {}, s.head), s.fix ? el("span", {}, `Do: ${s.fix}`) : null))),
  view.after?.map((text) => el("p", { class: "quiet" }, text))] : []);

const toWrite = (view) => [section("First, write these into the file: without them no loads are known", view.first),
  section("No look answers these: write them into the file", view.written)];

const perhaps = (place) => (place.may ? el("p", { class: "quiet" }, "Perhaps: what it carries is not known yet.") : null);

const usual = (view) => [el("h2", {}, "Before weight moves"), el("ol", { class: "usual" }, view.usual.map((text) => el("li", {}, text)))];

const notNow = () => el("p", {}, el("b", {}, "Not judged: not all that was seen is judged yet."));

const say = (view) => (settled(view) ? [el("p", {}, el("b", {}, view.bold), " ", view.rest), view.until ? el("p", { class: "quiet" }, view.until) : null] : notNow());

const seen = (view) => section("Looked at today", view.seen?.map((s) => `${s.when} ${s.by}: ${s.text}`));

export function moveScreen(view) {
  if (view.broken) return broken(view);
  const places = openPlaces();
  const asked = (places) => places.flatMap((p) => p.questions).filter((q) => !q.job && open(q, 0).length + open(q, 1).length > 0).length;
  const sure = places.filter((p) => !p.may), may = asked(places.filter((p) => p.may));
  return [refusals(), el("h1", { tabindex: -1 }, view.title), say(view), picture(view.picture),
    places.length
      ? link(placeHash(places[0]), "Go round", `${count(asked(sure), "question", "questions")} at ${count(sure.length, "place", "places")}${may ? `; ${may} more may follow` : ""}`, true)
      : link(`${moveHash()}/end`, "Nothing is left to ask", "how the round ends", true),
    stops(view), toWrite(view), section("To buy", view.buy), section("Waived", view.waived), section(`Cautions: ${view.cautions?.length}`, view.cautions),
    seen(view),
    view.word === "GO" && settled(view) ? usual(view) : [],
    fault(), link("#/", "All moves")];
}

// row is one question in the list of a place.
function row(q) {
  const left = open(q, 0).length + open(q, 1).length;
  const [shape, word] = q.job ? ["crossed", q.was.join(" ")] : waits(q) ? ["ticked", "said, not judged yet"] : left ? ["box", "not looked at"] : ["box", "stays not looked at"];
  return el("a", { class: "row", href: questionHash(q) }, mark(shape, waits(q)),
    el("span", {}, el("b", {}, q.what), el("span", { class: q.job ? "bad" : "quiet" }, `${q.fact ? q.lines[0].ask + " " : ""}${word}`)));
}

export function placeScreen(view, place) {
  const next = nextIn(place);
  const index = view.places.indexOf(place);
  const other = openPlaces().filter((p) => p !== place);
  return [refusals(), el("h1", { tabindex: -1 }, place.name),
    el("p", { class: "quiet" }, `Place ${index + 1} of ${view.places.length} that are left. ${place.questions.filter((q) => open(q, 0).length + open(q, 1).length).length} to look at.`),
    perhaps(place), picture(place.picture),
    next ? link(questionHash(next.q), `Next: ${next.q.what}`, next.q.where, true) : null,
    place.questions.map(row),
    other.map((p) => link(placeHash(p), p.name, count(p.questions.length, "question", "questions"))),
    fault(),
    link(moveHash(), "The move")];
}

// faultHref leads to a fault of anything, asked or not.
const fault = () => link(`${moveHash()}/fault`, "A fault all the same", "of anything, asked or not");

// thingsScreen lists all of which a fault can be said.
export function thingsScreen(places) {
  const found = el("div", {});
  const field = el("input", { type: "text", autocomplete: "off", autocapitalize: "none", spellcheck: "false", oninput: () => show() });
  const show = () => {
    const words = field.value.toLowerCase().split(/\s+/);
    found.replaceChildren(...places.map((p) => {
      const names = p.names.filter((n) => words.every((w) => `${p.name} ${n.say}`.toLowerCase().includes(w)));
      return names.length ? el("section", {}, el("h2", {}, p.name), names.map((n) => el("a", { class: "row", href: `${moveHash()}/fault/${encodeURIComponent(n.name)}` }, el("span", {}, el("b", {}, n.say))))) : "";
    }));
  };
  show();
  return [el("h1", { tabindex: -1 }, "What is not good?"), el("label", {}, "Some letters of its name or place", field), found, link(moveHash(), "The move")];
}

export function endScreen(view) {
  if (view.broken) return broken(view);
  const left = (view.places ?? []).flatMap((p) => p.questions).filter((q) => !waits(q));
  const places = openPlaces();
  return [refusals(), el("h1", { tabindex: -1 }, places.length ? "The round is not done" : "The round is done", !places.length && settled(view) ? `: ${view.word}` : ""), say(view),
    places.length ? link(placeHash(places[0]), `Next: ${places[0].name}`, "", true) : null,
    left.length ? [el("h2", {}, "Not good, not seen or put off"), left.map(row)] : [],
    stops(view), section("To buy", view.buy), toWrite(view),
    section(`Cautions: ${view.cautions?.length}`, view.cautions), section("Waived", view.waived),
    view.word === "GO" && settled(view) ? usual(view) : [], seen(view),
    fault(), link(moveHash(), "The move"), link("#/", "All moves")];
}
