// A bench to work a board at: buttons do acts one after another, looks are also taken by pointing at the drawn board, and
// what each act tells stands below. What an act brings is worked out in Python (workbook/case): nothing is decided here.
//
// The exercise's page (remoteEntry.js) puts `bench` into an answer box; a lesson's panel (workbook/panels/case.py) shows
// the default export.

const APART = new RegExp(
  JSON.parse(document.getElementById("jupyter-config-data")?.textContent ?? "{}").reworkTogether ?? "(?!)", "g");

/** No line ends between a number and its unit: the same rule as workbook/units.py has it. */
const together = (words) => String(words ?? "").replace(APART, (found) => found.replaceAll(" ", "\u00a0"));

function element(kind, settings = {}, ...children) {
  const made = document.createElement(kind);
  for (const [name, value] of Object.entries(settings)) {
    if (name === "on") for (const [event, act] of Object.entries(value)) made.addEventListener(event, act);
    else if (name === "textContent") made.textContent = together(value);
    else if (name in made) made[name] = value;
    else made.setAttribute(name, value);
  }
  made.append(...children.map((child) => (typeof child === "string" ? together(child) : child)));
  return made;
}

const button = (words, act) => element("button", { type: "button", textContent: words, on: { click: act } });

/** A box to work in. `play` is given the acts done so far with a new one, and returns what a page shows of them. */
export function bench(part, changed, play) {
  let done = [];
  let waiting = false;
  const log = element("ol", { className: "told", tabIndex: 0, "aria-label": "What was told" });
  const state = element("p", { className: "soft" });
  const spoken = element("p", { className: "latest", role: "status" });
  const picture = element("div", { className: "picture" });
  const after = element("div", { className: "after" });
  const buttons = new Map();
  const numbered = [];
  const meanings = new Map(part.options);
  const groups = Object.entries(part.layout.groups).map(([heading, words]) =>
    element("fieldset", {}, element("legend", { textContent: heading }), ...words.map(row)));
  const again = button("Begin again", () => { if (window.confirm("Take all acts back and begin again?")) turn([]); });
  again.hidden = true;
  const how = element("p", { className: "soft",
    textContent: "Looks: point at a place on the board, or press their buttons. Each act counts once it is done." });
  const shown = element("div", { className: "bench rework-bench" }, picture, how, spoken, state,
    element("div", { className: "groups" }, ...groups),
    element("details", { open: true }, element("summary", { textContent: "What was told" }), log), after, again);

  function row(word) {
    const numbers = (part.layout.numbers[word] ?? []).map((ways, place) => {
      const named = { "aria-label": `${word}, number ${place + 1}` };
      if (!Array.isArray(ways)) return element("input", { ...named, type: "number", min: ways.least, max: ways.most, step: 1 });
      return element("select", named, ...ways.map((way) => element("option", { value: String(way), textContent: String(way) })));
    });
    const act = button(word, () => {
      line.after(spoken);  // what an act tells stands where it was done
      turn([...done, [word, ...numbers.map(({ value }) => value)].join(" ")]);
    });
    for (const [event, chosen] of [["focus", true], ["blur", false], ["mouseenter", true], ["mouseleave", false]]) {
      act.addEventListener(event, () => point(word, chosen));
    }
    const line = element("div", { className: "act" }, act, ...numbers,
      element("span", { className: "soft", textContent: meanings.get(word) }));
    buttons.set(word, act);
    numbered.push(...numbers);
    return line;
  }

  const regions = () => [...picture.querySelectorAll("[data-region]")];

  /** Show on the board where an act's button would have one look. */
  function point(word, chosen) {
    for (const region of regions()) region.classList.toggle("chosen", chosen && region.dataset.region === word);
  }

  /** Do acts: what cannot be played is said, and what stood before stands. */
  async function turn(acts) {
    if (waiting) return;
    waiting = true;
    let told;
    try {
      told = await play(acts);
    } finally {
      waiting = false;  // also where the kernel restarted meanwhile
    }
    if (!told.steps) return refuse(told);
    done = told.steps.filter((step) => !step.refused).map((step) => step.act);  // what was not done fills no list
    changed();
    draw(told);
  }

  function refuse(told) {
    spoken.textContent = told.say ?? "";
    again.hidden = done.length === 0;
  }

  function draw(told) {
    log.replaceChildren(...told.steps.map((step) => element("li", { className: step.refused ? "refused" : "" },
      element("strong", { textContent: step.act }),
      step.refused ? ` not done: ${step.told}` : `: ${step.told} (${step.cost})`)));
    log.scrollTop = log.scrollHeight;
    const last = told.steps.at(-1);
    const latest = told.stopped ? `Stopped. ${told.stopped}`
      : last ? `${last.act}: ${last.refused ? "not done. " : ""}${last.told}${last.refused ? "" : ` (${last.cost})`}`
      : "The board stands at your door.";
    spoken.textContent = together(told.say ? `${latest} ${told.say}` : latest);
    state.textContent = together(told.so_far);
    if (told.drawing) picture.innerHTML = told.drawing;  // drawn by the workbook from plain numbers
    shown.classList.toggle("over", told.over);
    for (const one of [...buttons.values(), ...numbered]) one.disabled = told.over;
    for (const region of regions()) region.addEventListener("click", () => buttons.get(region.dataset.region)?.click());
    for (const [word, one] of buttons) if (one === document.activeElement) point(word, true);
    again.hidden = done.length === 0;
    after.innerHTML = told.line;
    after.append(...told.page.flatMap(([heading, lines]) =>
      [element("h3", { textContent: heading }), ...lines.map((line) => element("p", { textContent: line }))]));
  }

  return {
    shown,
    typed: () => ({ [part.name]: done }),
    show: async (held) => {
      done = Array.isArray(held[part.name]) ? held[part.name] : [];
      const told = await play(done);
      if (told.steps) draw(told);
      else refuse(told);
    },
    say: () => {},
    focus: () => buttons.values().next().value.focus(),
  };
}

/** A lesson's panel: a case of one's own, kept where the terminal keeps its cases. */
function render({ model, el }) {
  const waiting = new Map();
  let asked = 0;
  const ask = (what) => new Promise((answer) => {
    asked += 1;
    waiting.set(asked, answer);
    model.send({ ...what, asked });
  });
  const hear = (message) => {
    waiting.get(message.asked)?.(message);
    waiting.delete(message.asked);
  };
  model.on("msg:custom", hear);

  const root = element("section", { className: "rework-case", "aria-label": model.get("title") });
  const heading = element("strong");
  const status = element("p", { role: "status", className: "said" });
  const number = element("input", { type: "text", inputMode: "numeric", "aria-label": "Number of a case", autocomplete: "off" });
  const door = element("div", { className: "door" });
  const box = bench(model.get("part"), () => {}, (acts) => ask({ do: "play", acts }));
  async function open(wanted) {
    const told = await ask({ do: "open", case: wanted });
    status.textContent = told.say ?? "";
    if (!told.steps) return;
    heading.textContent = `Case ${told.case}`;
    door.replaceChildren(...told.door.map((line) => element("p", { className: "soft", textContent: line })));
    await box.show({ [model.get("part").name]: told.steps.map(({ act }) => act) });
  }
  const go = button("Open this case", () => open(number.value));
  number.addEventListener("keydown", (event) => { if (event.key === "Enter") open(number.value); });
  root.append(element("div", { className: "head" }, heading, button("Another board", () => open("")), number, go), status,
    door, box.shown);
  for (const one of root.querySelectorAll("button, select, input, ol")) one.setAttribute("data-lm-suppress-shortcuts", "true");
  el.append(root);
  open(null);
  return () => model.off("msg:custom", hear);
}

export default { render };
