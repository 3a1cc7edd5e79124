// The practice desk: native controls, so that keyboard, labels and screen readers work as everywhere else.

function element(kind, settings = {}, ...children) {
  const made = document.createElement(kind);
  for (const [name, value] of Object.entries(settings)) {
    if (name === "html") made.innerHTML = value;  // ours: escaped where a learner's words are in it
    else if (name === "on") for (const [event, act] of Object.entries(value)) made.addEventListener(event, act);
    else if (name in made) made[name] = value;
    else made.setAttribute(name, value);
  }
  made.append(...children.filter((child) => child !== null));
  return made;
}

// Inside a notebook a form is not sent by Enter of itself.
function onEnter(act) {
  return (event) => {
    if (event.key === "Enter" && event.target.matches("input, select")) act(event);
  };
}

let serial = 0;

function button(words, act, kind = "") {
  return element("button", { type: "button", textContent: words, className: kind, on: { click: act } });
}

function startPage(view, send) {
  const id = `rework-practice-${++serial}`;
  const topics = [["", "Let the workbook choose"], ...view.topics];
  const topic = element("select", { id: `${id}-topic` },
    ...topics.map(([value, words]) => element("option", { value, textContent: words })));
  const times = [["", "As long as I like"], ["10", "10 minutes"], ["20", "20 minutes"], ["40", "40 minutes"]];
  const minutes = element("select", { id: `${id}-minutes` },
    ...times.map(([value, words]) => element("option", { value, textContent: words })));
  const begin = (event) => {
    event.preventDefault();
    send({ do: "begin", topic: topic.value, minutes: minutes.value ? Number(minutes.value) : null });
  };
  const form = element("form", { className: "begin", on: { submit: begin, keydown: onEnter(begin) } },
    element("div", {}, element("label", { htmlFor: topic.id, textContent: "Topic" }), topic),
    element("div", {}, element("label", { htmlFor: minutes.id, textContent: "Time" }), minutes),
    element("button", { type: "submit", className: "main", textContent: "Begin" }));
  const status = element("p", { role: "status", className: "reply" });
  const page = element("div", {}, form, status, element("div", { html: view.picture }));
  return { page, focus: () => topic.focus(), follow: (now) => { status.textContent = now.said || ""; } };
}

function fields(view, id) {
  if (view.kind === "choice" || view.kind === "several") {
    const type = view.kind === "choice" ? "radio" : "checkbox";
    const boxes = view.options.map(([word, meaning], place) => {
      const box = element("input", { type, name: id, value: String(place + 1), id: `${id}-${place}` });
      return { box, row: element("div", { className: "option" }, box,
        element("label", { htmlFor: box.id }, element("strong", { textContent: word }), `: ${meaning}`)) };
    });
    const text = () => boxes.filter(({ box }) => box.checked).map(({ box }) => box.value).join(" ");
    const set = element("fieldset", {}, element("legend", { textContent: view.how }), ...boxes.map(({ row }) => row));
    return { shown: [set], text, focus: () => boxes[0].box.focus(), boxes: boxes.map(({ box }) => box) };
  }
  const input = element("input", { type: "text", id: `${id}-answer`, autocomplete: "off", spellcheck: false });
  const unit = view.unit !== "1" && view.kind === "number" ? ` (${view.unit})` : "";
  const label = element("label", { htmlFor: input.id, textContent: `Your answer${unit}` });
  const list = view.kind === "order" ? [element("ol", {}, ...view.options.map(([word, meaning]) =>
    element("li", {}, element("strong", { textContent: word }), `: ${meaning}`)))] : [];
  const how = element("p", { className: "how", id: `${id}-how`, textContent: view.how });
  input.setAttribute("aria-describedby", how.id);
  return { shown: [...list, how, element("div", { className: "field" }, label, input)], text: () => input.value,
    focus: () => input.focus(), boxes: [] };
}

// A part of the drawing that is clicked chooses the option of the same letter, and shows that it is chosen.
function pointAt(drawing, options, boxes) {
  for (const region of drawing.querySelectorAll("[data-region]")) {
    const box = boxes[options.findIndex(([word]) => word === region.dataset.region)];
    if (!box) continue;
    region.classList.add("pointed");
    region.addEventListener("click", () => box.click());
    box.addEventListener("change", () => region.classList.toggle("chosen", box.checked));
  }
}

function questionPage(view, send) {
  const id = `rework-practice-${++serial}`;
  const field = fields(view, id);
  const status = element("p", { role: "status", className: "reply" });
  const hints = element("ul", { className: "hints", "aria-live": "polite" });
  const working = element("pre", { className: "working", tabIndex: 0, hidden: true });
  const report = element("pre", { className: "report", tabIndex: 0, hidden: true });
  const reportSay = element("p", { hidden: true,
    textContent: "Copy these lines, add what is wrong, and send them to your instructor." });
  const check = element("button", { type: "submit", className: "main", textContent: "Check" });
  const next = button("Next question", () => send({ do: "next" }));
  const buttons = element("div", { className: "buttons" }, check, next,
    button("Hint", () => send({ do: "hint" })), button("Show the working", () => send({ do: "working" })),
    button("This question is wrong", () => send({ do: "wrong" })), button("End", () => send({ do: "end" })));
  const judge = (event) => {
    event.preventDefault();
    send({ do: "answer", text: field.text() });
  };
  const form = element("form", { on: { submit: judge, keydown: onEnter(judge) } }, ...field.shown, buttons);
  const setup = element("div", { className: "setup", html: view.setup });
  pointAt(setup, view.options, field.boxes);
  const page = element("div", {}, element("p", { className: "count", textContent: `Question ${view.question}` }),
    setup, element("div", { className: "ask", html: view.ask }),
    form, status, hints, working, reportSay, report);
  const follow = (now, before) => {
    status.textContent = now.reply || now.said || "";
    status.dataset.shade = now.shade || "";
    for (const words of now.hints.slice(hints.children.length)) hints.append(element("li", { textContent: words }));
    working.hidden = !now.working;
    working.textContent = now.working || "";
    report.hidden = reportSay.hidden = !now.report;
    report.textContent = now.report || "";
    next.className = now.done ? "main" : "";
    check.className = now.done ? "" : "main";
    if (now.done && !(before && before.done)) next.focus();
  };
  return { page, focus: field.focus, follow };
}

function render({ model, el }) {
  el.classList.add("rework-practice");
  el.dataset.lmSuppressShortcuts = "true";  // Enter is ours here, not the notebook's
  let shown = null;
  let before = null;
  const send = (message) => model.send({ ...message, question: model.get("view").question });
  const draw = () => {
    const view = model.get("view");
    if (!shown || view.question !== before.question) {
      const first = !shown;
      shown = view.question ? questionPage(view, send) : startPage(view, send);
      el.replaceChildren(shown.page);
      before = null;
      if (!first) shown.focus();
    }
    shown.follow(view, before);
    before = view;
  };
  model.on("change:view", draw);
  draw();
  return () => model.off("change:view", draw);
}

export default { render };
