// The screens that ask: a card, a word, a measure, which one, and what is not good.
import { el, picture, mark, count } from "./dom.js";
import { sendPhoto } from "./link.js";
import { open, answer, later, goOn, placeHash, questionHash } from "./round.js";

const button = (shape, name, head, more, press) =>
  el("button", { class: `answer ${shape ? "marked" : ""} ${name}`, onclick: press }, shape ? mark(shape) : null, el("b", {}, head), more ? el("i", {}, more) : null);

const names = (list) => (list.length > 1 ? el("ol", { class: "names" }, list.map((n) => el("li", {}, n.say))) : null);

// head is what stands above every question.
function head(place, q, list, title) {
  return [el("h1", { tabindex: -1 }, title ?? (list.length > 1 ? count(list.length, q.item, `${q.item}s`) : q.names.length > 1 ? list[0].say : q.what)),
    el("p", { class: "quiet" }, q.blind ? `${q.where}. A second look: what the first one saw is not shown.` : q.where), q.was?.map((text) => el("p", { class: "bad" }, text)), picture(place.picture)];
}

// rest are the answers that every question has at its end.
function rest(place, q, list) {
  const then = () => goOn(place);
  return [
    button("blind", "", "Cannot see", "stays not looked at", () => { answer(q, list, { say: "cannot see", words: `${q.what}: cannot see` }); then(); }),
    q.fact && q.lines[0].may_not_apply
      ? button("dash", "", "Does not apply", "says who thought so; a stop still asks", () => { answer(q, list, { say: "does not apply", words: `${q.what}: does not apply` }); then(); }) : null,
    button("later", "", "Later", "comes again at the end of this place", () => { later(q, list); then(); }),
    el("a", { class: "answer", href: placeHash(place) }, el("b", {}, `Back to ${place.name}`)),
  ];
}

// notGood asks which one where there are several, and then what.
const notGood = (q, list) =>
  button("cross", "notgood", "Not good", list.length > 1 ? "then: which one, and what" : "then: what",
    () => (location.hash = list.length > 1 ? questionHash(q, "which") : questionHash(q, "what", list[0].name)));

// questionScreen asks one question of what is open of it.
export function questionScreen(place, q) {
  let list = open(q, 0);
  if (list.length === 0) list = open(q, 1);
  if (list.length === 0) list = q.names;
  if (!q.fact) return card(place, q, list);
  const [line] = q.lines;
  if (line.words && !line.pair) return q.each && list.length > 1 ? oneByOne(place, q, list) : words(place, q, list);
  return figure(place, q, list);
}

function card(place, q, list) {
  const all = list.length > 1 ? `All ${list.length} good` : "Good";
  return [head(place, q, list), names(list), el("p", {}, el("b", {}, list.length > 1 ? "Good means, of every one:" : "Good means:")),
    el("ul", { class: "card" }, q.lines.map((l) => el("li", {}, l.text))),
    q.open?.length ? el("p", { class: "quiet" }, `Not said by it: ${q.open.join(", ")}.`) : null,
    button("tick", "good", all, "", () => { answer(q, list, { say: "good", words: `${q.what}: seen good` }); goOn(place); }),
    notGood(q, list), rest(place, q, list)];
}

// words asks for one of a few words, of one thing or of several alike.
function words(place, q, list) {
  const [line] = q.lines;
  const one = list.length === 1;
  const shown = one ? line.words : line.good ?? [];
  return [head(place, q, list), names(list), el("p", {}, el("b", {}, line.ask)),
    shown.map((word) => {
      const good = line.good?.includes(word) && line.good.length < line.words.length;
      const bad = !line.good?.includes(word);
      const say = { say: word, fault: bad, words: `${q.what}: ${line.ask} ${word}` };
      return button(good ? "tick" : bad ? "cross" : "", good ? "good" : bad ? "notgood" : "", one ? word : `All ${list.length}: ${word}`, "", () => { answer(q, list, say); goOn(place); });
    }),
    one ? null : notGood(q, list), rest(place, q, list)];
}

// oneByOne asks what is critical: each thing is pressed by itself.
function oneByOne(place, q, list) {
  const [line] = q.lines;
  const good = line.good?.[0] ?? line.words[0];
  const chosen = new Set();
  const write = button("", "dark", "", "", () => {
    if (chosen.size === 0) return;
    const some = list.filter((n) => chosen.has(n.name));
    answer(q, some, { say: good, words: `${count(some.length, "thing", "things")}: ${line.ask} ${good}` });
    goOn(place);
  });
  const redraw = () => {
    write.querySelector("b").textContent = chosen.size ? `Write: ${good}, of ${chosen.size}` : "Press those that you looked at";
    write.setAttribute("aria-disabled", String(chosen.size === 0));
  };
  redraw();
  return [head(place, q, list, line.ask), el("p", {}, `Press each of which you saw: ${good}.`), list.map((n) => toggle(n.say, (on) => { on ? chosen.add(n.name) : chosen.delete(n.name); redraw(); })),
    write, notGood(q, list), rest(place, q, list)];
}

// toggle is a row that is pressed or not, and never from the start.
function toggle(text, changed) {
  const b = el("button", { class: "answer marked", "aria-pressed": "false", onclick: () => {
    const on = b.getAttribute("aria-pressed") !== "true";
    b.setAttribute("aria-pressed", String(on));
    b.querySelector("svg").replaceWith(mark(on ? "ticked" : "box"));
    changed(on);
  } }, mark("box"), el("b", {}, text));
  return b;
}

// figure asks for a measure, a number or free words.
function figure(place, q, list) {
  const [line] = q.lines;
  const write = (say) => { answer(q, list, { say, words: `${q.what}: ${line.ask} ${say}` }); goOn(place); };
  const lowest = list.length > 1 ? `The lowest of the ${list.length}.` : list[0].say;
  return [el("h1", { tabindex: -1 }, line.ask), el("p", { class: "quiet" }, `${q.where}. ${lowest}${q.blind ? " A second look: what the first one saw is not shown." : ""}`), q.was?.map((text) => el("p", { class: "bad" }, text)), names(list), entry(line, write), rest(place, q, list)];
}

// entry takes a value, of one or of two ends. Nothing stands in it before.
function entry(line, write) {
  if (line.free || (line.words && line.pair)) return line.free ? free(write) : ends(line, write);
  const fields = (line.pair ? ["First end", "Second end"] : [""]).map((name) => ({ name, typed: "" }));
  let unit = line.unit ?? "";
  let at = 0;
  const beside = el("p", {});
  const done = button("", "dark", "", "", () => {
    if (fields.every((f) => f.typed)) write(fields.map((f) => (unit ? `${f.typed} ${unit}` : f.typed)).join(", "));
  });
  const shows = fields.map((f, i) => el(line.pair ? "button" : "div", { class: "figure", onclick: () => { at = i; redraw(); } },
    f.name ? el("span", {}, f.name) : null, el("output", {}), el("span", { class: "unit" }, unit)));
  const redraw = () => {
    fields.forEach((f, i) => {
      shows[i].querySelector("output").textContent = f.typed;
      shows[i].querySelector(".unit").textContent = unit;
      if (line.pair) shows[i].setAttribute("aria-pressed", String(i === at));
    });
    const whole = fields.every((f) => f.typed);
    done.querySelector("b").textContent = whole ? `Write ${fields.map((f) => f.typed).join(", ")} ${unit}` : "Type what you measured";
    done.setAttribute("aria-disabled", String(!whole));
    // The drawn value shows beside an answer only: that is where a slip is seen.
    const drawn = line.drawn?.match(/^([\d.]+) ?(.*)$/);
    const typed = Number(fields[at].typed.replace(",", "."));
    beside.textContent = drawn && typed > 0 && drawn[2] === unit ? `${Math.round((100 * typed) / Number(drawn[1]))} % of the ${line.drawn} drawn.` : "\u00a0";
  };
  const press = (key) => {
    const f = fields[at];
    const most = 12;
    if (key === "Delete") f.typed = f.typed.slice(0, -1);
    else if (f.typed.length < most) f.typed += key;
    redraw();
  };
  const keys = ["1", "2", "3", "4", "5", "6", "7", "8", "9", ".", "0", "Delete"];
  const more = ["in", "ft"].includes(unit) || ["in", "ft"].includes(line.other) ? ["/", " ", "-"] : [];
  const pad = el("div", { class: "keys" }, keys.map((k) => el("button", { class: k === "Delete" ? "word" : "", "aria-label": k === "Delete" ? "Delete the last figure" : k === "." ? "point" : k, onclick: () => press(k) }, k)),
    more.includes("/") ? [el("button", { "aria-label": "over, as in 3/8", onclick: () => press("/") }, "/"), el("button", { class: "word", "aria-label": "space, as in 1 3/8", onclick: () => press(" ") }, "Space")] : null);
  const keyboard = (e) => {
    if (e.ctrlKey || e.metaKey || e.altKey) return;
    if (/^[\d./]$/.test(e.key)) press(e.key);
    else if (e.key === "Backspace") press("Delete");
    else return;
    e.preventDefault();
  };
  const box = el("div", { onkeydown: keyboard, tabindex: 0, role: "group", "aria-label": "Figure" }, shows, beside, pad, done);
  const other = line.other ? button("", "", `${line.other} instead`, "", () => {
    unit = unit === line.unit ? line.other : line.unit;
    other.querySelector("b").textContent = `${unit === line.unit ? line.other : line.unit} instead`;
    redraw();
  }) : null;
  shows.forEach((s) => s.querySelector("output").setAttribute("aria-live", "polite"));
  redraw();
  return [box, other];
}

// free takes words.
function free(write) {
  const field = el("input", { type: "text", maxlength: 200, autocomplete: "off" });
  return [el("label", {}, "In words", field), button("", "dark", "Write it down", "", () => field.value.trim() && write(field.value.trim()))];
}

// ends takes a word for each of two ends.
function ends(line, write) {
  const chosen = ["", ""];
  const done = button("", "dark", "Write it down", "", () => chosen.every(Boolean) && write(chosen.join(", ")));
  return [["First end", "Second end"].map((end, i) => {
    const buttons = line.words.map((word) => el("button", { class: "answer marked", "aria-pressed": "false", onclick: () => {
      chosen[i] = word;
      buttons.forEach((b, j) => {
        b.setAttribute("aria-pressed", String(line.words[j] === word));
        b.querySelector("svg").replaceWith(mark(line.words[j] === word ? "ticked" : "box"));
      });
    } }, mark("box"), el("b", {}, word)));
    return [el("p", {}, el("b", {}, end)), buttons];
  }), done];
}

// whichScreen asks which of several is not good.
export function whichScreen(place, q) {
  const list = [...open(q, 0), ...open(q, 1)];
  return [head(place, q, list, `Which of the ${list.length} is not good?`), el("p", { class: "quiet" }, "One at a time; the others are asked after it."),
    list.map((n, i) => el("a", { class: "answer marked", href: questionHash(q, "what", n.name) }, el("span", { class: "number", "aria-hidden": "true" }, String(i + 1)), el("b", {}, n.say))),
    el("a", { class: "answer", href: questionHash(q) }, el("b", {}, "Back to the question"))];
}

// faultScreen asks what is not good of one: the lines of its card turned round.
export function faultScreen(place, q, name, back = questionHash(q)) {
  const thing = q.names.find((n) => n.name === name) ?? { name, say: name };
  const chosen = new Set();
  const figures = new Map();
  let photo = "";
  const rows = q.faults.filter((f) => !f.of || f.of.includes(thing.group ?? thing.name)).map((f) => {
    const row = toggle(f.say ? f.words : `${f.words.trim()} (the figure)`, (on) => { on ? chosen.add(f) : chosen.delete(f); redraw(); });
    if (f.say) return row;
    const field = el("input", { type: "text", inputmode: "decimal", autocomplete: "off", maxlength: 40 });
    figures.set(f, field);
    field.addEventListener("input", redraw);
    return [row, el("label", { hidden: true, class: "of" }, `${f.words.trim()} ${f.unit ?? ""}${f.pair ? ", both ends with a comma between" : ""}`, field)];
  });
  const note = el("textarea", { maxlength: 500, rows: 2, oninput: redraw });
  const something = q.fact ? null : toggle("something else", (on) => { on ? chosen.add("else") : chosen.delete("else"); redraw(); });
  const told = el("p", { class: "quiet", role: "status" });
  const camera = el("input", { type: "file", accept: "image/*", capture: "environment", "aria-label": "Take a photo", onchange: async () => {
    if (!camera.files.length) return;
    told.textContent = "The photo is on its way.";
    try {
      photo = await sendPhoto(camera.files[0]);
      told.textContent = "The photo is kept. It answers no question.";
    } catch {
      told.textContent = "The photo did not get through: it needs the network. The answer does not.";
    }
  } });
  const write = button("", "dark", "Write it down", "", () => {
    if (!ready()) return;
    const beside = { note: note.value.trim() || undefined, photo: photo || undefined, fault: true };
    for (const f of chosen) {
      if (f === "else") answer(q, [thing], { ...beside, say: "not good", words: `${thing.say}: ${note.value.trim()}` });
      else answer(q, [thing], { ...beside, fact: f.fact, say: f.say ?? figures.get(f).value.trim(), words: `${thing.say}: ${f.words} ${f.say ? "" : figures.get(f).value}` });
    }
    goOn(place);
  });
  const ready = () => chosen.size > 0 && [...chosen].every((f) => (f === "else" ? note.value.trim() : f.say || figures.get(f).value.trim()));
  function redraw() {
    for (const [f, field] of figures) field.parentElement.hidden = !chosen.has(f);
    write.setAttribute("aria-disabled", String(!ready()));
    write.querySelector("b").textContent = chosen.size && !ready() ? (chosen.has("else") && !note.value.trim() ? "Say in words what it is" : "The figure is missing") : "Write it down";
  }
  redraw();
  const left = open(q, 0).length + open(q, 1).length - 1;
  return [head(place, q, [thing], `${thing.say}: what is not good?`), el("p", { class: "quiet" }, "Press all that are so."), rows, something,
    el("label", {}, "In words, if you like", note), el("div", { class: "answer file" }, el("b", {}, "A photo"), el("i", {}, "answers no question"), camera), told, write,
    left > 0 ? el("p", { class: "quiet" }, `Next question: ${left === 1 ? "is the other one" : `are the other ${left}`} good?`) : null,
    el("a", { class: "answer", href: back }, el("b", {}, "Back"))];
}
