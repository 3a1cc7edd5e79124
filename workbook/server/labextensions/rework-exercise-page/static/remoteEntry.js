// The learner's page in JupyterLab: answer boxes beneath the questions of an exercise, a first page that is always
// fresh, and links between a lesson's sections and their exercises.
//
// A box is a way of writing its answer cell: the notebook's file stays as it was printed, and without this page its
// cells work as they are. What is read, judged or found is done in Python (graders/desk/boxes.py), in the notebook's
// own kernel. Written by hand, without a build step; it uses JupyterLab's public objects and its own DOM only.

(() => {
  const HERE = document.currentScript.src;
  const NARROW = 700;
  const OURS = "rework_workbook";

  // ---------------------------------------------------------------- small tools

  const APART = new RegExp(
    JSON.parse(document.getElementById("jupyter-config-data")?.textContent ?? "{}").reworkTogether ?? "(?!)", "g");

  /** No line ends between a number and its unit: the same rule as workbook/units.py has it. */
  const together = (words) => String(words).replace(APART, (found) => found.replaceAll(" ", "\u00a0"));

  function element(kind, settings = {}, ...children) {
    const made = document.createElement(kind);
    for (const [name, value] of Object.entries(settings)) {
      if (name === "on") for (const [event, act] of Object.entries(value)) made.addEventListener(event, act);
      else if (name === "textContent") made.textContent = together(value);
      else if (name in made) made[name] = value;
      else made.setAttribute(name, value);
    }
    const shown = children.filter((child) => child !== null && child !== undefined);
    made.append(...shown.map((child) => (typeof child === "string" ? together(child) : child)));
    return made;
  }

  const button = (words, act, kind = "") =>
    element("button", { type: "button", textContent: words, className: kind, on: { click: act } });

  // What stands between backquotes is a name of the notebook; words with an odd one out stay as they are.
  function prose(line) {
    const pieces = line.split("`");
    if (pieces.length % 2 === 0) return element("p", { textContent: line });
    return element("p", {}, ...pieces.map((piece, at) => at % 2 ? element("code", { textContent: piece }) : piece));
  }

  const link = (words, act, kind = "") =>
    element("a", { href: "#", textContent: words, className: kind,
      on: { click: (event) => { event.preventDefault(); act(); } } });

  function addStyle() {
    for (const file of ["exercise_page.css", "bench.css"]) {
      document.head.append(element("link", { rel: "stylesheet", href: new URL(file, HERE).href }));
    }
  }

  let serial = 0;
  const name = (panel) => panel.context.path.split("/").pop();
  const gradeId = (cell) => cell.model.getMetadata("nbgrader")?.grade_id;
  const cellOf = (panel, id) => panel.content.widgets.find((cell) => gradeId(cell) === id);
  const cellNamed = (panel, id) => panel.content.widgets.find((cell) => cell.model.id === id);

  const NO_ANSWER = { say: "The kernel could not answer. Press Check again; if it stays so, open the menu Kernel and "
    + "choose Restart Kernel." };

  /**
   * Ask the notebook's kernel, and return what it says, or that it could not answer: it may end while it is asked, and
   * whoever waits for it goes on. Nothing of this is kept in the notebook or its history.
   */
  async function ask(panel, what) {
    await panel.sessionContext.ready;
    const kernel = panel.sessionContext.session?.kernel;
    if (!kernel) return { say: "The kernel is not there. Open the menu Kernel and choose Restart Kernel." };
    const request = JSON.stringify(JSON.stringify({ ...what, file: name(panel) }));
    const call = `__import__("graders.desk.boxes", fromlist=["reply"]).reply(${request})`;
    const asked = kernel.requestExecute({ code: "", silent: true, user_expressions: { answer: call } });
    const content = await asked.done.then((reply) => reply.content, () => null);
    return content?.user_expressions?.answer?.data?.["application/json"] ?? NO_ANSWER;
  }

  /** Open a document of the folder; `anchor` is the heading to show in it. */
  async function go(app, path, anchor = "") {
    const there = await app.commands.execute("docmanager:open", { path, factory: "Notebook" });
    if (!anchor || !there?.context) return;
    await there.context.ready;
    await there.revealed;
    for (let tries = 0; tries < 100; tries += 1) {  // texts are drawn one after another
      const heading = [...there.node.querySelectorAll("h2")].find((one) => one.dataset.jupyterId === anchor || one.id === anchor);
      if (heading) {
        heading.scrollIntoView();
        return;
      }
      await new Promise((done) => setTimeout(done, 100));
    }
  }

  const clicked = (app, to, words, kind) => link(words, () => go(app, to.path, to.anchor), kind);

  // ---------------------------------------------------------------- one box

  const BOXES = { number: fields, design: fields, choice: options, several: options, order: moving, written: text, acts: null };
  // where an exercise asks for acts, their box comes from bench.js

  /** Which part a field belongs to, for who hears the fields one after another and does not see where they stand. */
  const ofPart = (part) => element("span", { className: "unseen", textContent: `Part ${part.number}: ` });

  function fields(part, changed) {
    const rows = part.fields.map((field) => {
      const id = `rework-field-${++serial}`;
      const input = element("input", { type: "text", id, autocomplete: "off", spellcheck: false,
        "aria-describedby": `${id}-said`, on: { change: changed } });
      const unit = field.unit === "1" ? "" : `${part.kind === "number" ? "" : ","} in ${field.unit}`;
      const label = element("label", { htmlFor: id }, ofPart(part), `${field.words}${unit}`);
      const bounds = field.bounds ? element("span", { className: "soft", textContent: field.bounds }) : null;
      const said = element("span", { className: "said", id: `${id}-said` });
      return { name: field.name, input, said, row: element("div", { className: "field" }, label, input, bounds, said) };
    });
    return {
      shown: element("div", {}, ...rows.map(({ row }) => row)),
      typed: () => Object.fromEntries(rows.map(({ name, input }) => [name, input.value])),
      show: (held) => rows.forEach(({ name, input }) => { input.value = held[name] ?? ""; }),
      say: ({ said, read }) => rows.forEach((row) => {
        const problem = said[row.name] ?? "";
        row.input.setAttribute("aria-invalid", String(Boolean(problem)));
        row.said.classList.toggle("problem", Boolean(problem));
        row.said.textContent = together(problem || (read[row.name] ? `read as ${read[row.name]}` : ""));
      }),
      focus: () => rows[0].input.focus(),
    };
  }

  function options(part, changed) {
    const group = `rework-choice-${++serial}`;
    const one = part.kind === "choice";
    const rows = part.options.map(([word, meaning], place) => {
      const id = `${group}-${place}`;
      const box = element("input", { type: one ? "radio" : "checkbox", name: group, id, value: word,
        on: { change: changed } });
      return { box, row: element("div", { className: "option" }, box, element("label", { htmlFor: id }, meant(word, meaning))) };
    });
    const legend = element("legend", {}, ofPart(part), one ? "Choose one" : "Choose all that apply");
    const chosen = () => rows.filter(({ box }) => box.checked).map(({ box }) => box.value);
    return {
      shown: element("fieldset", {}, legend, ...rows.map(({ row }) => row)),
      typed: () => ({ [part.name]: one ? chosen()[0] ?? "" : chosen() }),
      show: (held) => rows.forEach(({ box }) => { box.checked = [].concat(held[part.name] ?? []).includes(box.value); }),
      say: () => {},
      focus: () => rows[0].box.focus(),
    };
  }

  /** A word and its meaning; where the meaning begins with the word, it is not said twice. */
  function meant(word, meaning) {
    const rest = meaning.toLowerCase().startsWith(word.toLowerCase()) ? meaning.slice(word.length) : `: ${meaning}`;
    return element("span", {}, element("strong", { textContent: word }), rest);
  }

  function moving(part, changed) {
    const list = element("ol", { className: "moving" });
    const status = element("span", { className: "unseen", role: "status" });
    let given = false;
    const rows = part.options.map(([word, meaning]) => {
      const move = (by) => () => { place(row, by); };
      const up = button("▲", move(-1), "move up");
      const down = button("▼", move(1), "move down");
      up.setAttribute("aria-label", `Move up: ${word}`);
      down.setAttribute("aria-label", `Move down: ${word}`);
      const row = element("li", { draggable: true }, element("span", { className: "words" }, meant(word, meaning)), up, down);
      row.dataset.word = word;
      row.addEventListener("dragstart", (event) => { held = row; event.dataTransfer.setData("text/plain", word); });
      row.addEventListener("dragover", (event) => {
        if (!held || held === row) return;
        event.preventDefault();
        const below = event.clientY > row.getBoundingClientRect().top + row.offsetHeight / 2;
        row[below ? "after" : "before"](held);
      });
      row.addEventListener("drop", (event) => event.preventDefault());
      row.addEventListener("dragend", () => { held = null; taken(); });
      return row;
    });
    let held = null;
    list.append(...rows);
    const words = () => [...list.children].map((row) => row.dataset.word);
    const take = button("This order is right as it stands", () => taken());
    function taken() {
      given = true;
      ends();
      changed();
    }
    function ends() {
      take.hidden = given;
      [...list.children].forEach((row, index) => {
        row.querySelector(".up").disabled = index === 0;
        row.querySelector(".down").disabled = index === list.children.length - 1;
      });
    }
    function place(row, by) {
      const beside = by < 0 ? row.previousElementSibling : row.nextElementSibling;
      if (!beside) return;
      beside[by < 0 ? "before" : "after"](row);
      taken();
      const again = row.querySelector(by < 0 ? ".up" : ".down");
      (again.disabled ? row.querySelector(by < 0 ? ".down" : ".up") : again).focus();
      status.textContent = `${row.dataset.word} is now number ${words().indexOf(row.dataset.word) + 1} of ${rows.length}`;
    }
    ends();
    return {
      shown: element("fieldset", {}, element("legend", {}, ofPart(part), "Put in order: the buttons move a line, or drag it"),
        list, take, status),
      typed: () => ({ [part.name]: given ? words() : [] }),
      show: (now) => {
        const order = now[part.name];
        given = Array.isArray(order) && order.length > 0;
        if (given) list.append(...order.map((word) => rows.find((row) => row.dataset.word === word)));
        ends();
      },
      say: () => {},
      focus: () => list.querySelector("button:not(:disabled)").focus(),
    };
  }

  function text(part, changed) {
    const id = `rework-text-${++serial}`;
    const area = element("textarea", { id, rows: 6, on: { input: changed } });
    return {
      shown: element("div", { className: "field text" }, element("label", { htmlFor: id }, ofPart(part), "Your answer, in words"), area),
      typed: () => ({ [part.name]: area.value }),
      show: (held) => { if (area.value !== held[part.name]) area.value = held[part.name] ?? ""; },
      say: () => {},
      focus: () => area.focus(),
    };
  }

  // ---------------------------------------------------------------- an exercise

  class Exercise {
    constructor(app, panel) {
      Object.assign(this, { app, panel, boxes: new Map(), undone: [], writing: Promise.resolve(), last: null });
      this.status = element("span", { role: "status", className: "status", textContent: "The answer boxes are coming …" });
      this.ways = element("span", { className: "ways" });
      this.code = button("Show the code", () => this.showCode(!this.inCode()));
      this.undo = button("Undo", () => this.takeBack());
      this.clean = button("Clean copy", () => this.startAgain());
      this.checkButton = button("Check", () => this.check(), "main");
      this.head = element("section", { className: "rework-bar rework-head", "aria-label": "Ways and tools" },
        this.ways, element("span", { className: "tools" }, this.undo, this.clean, this.code));
      this.bar = element("section", { className: "rework-bar", "aria-label": "Check" }, this.checkButton, this.status);
      guard(this.head, this);
      guard(this.bar, this);
      this.checkButton.disabled = this.clean.disabled = this.undo.disabled = true;
    }

    inCode() {
      return this.panel.node.classList.contains("rework-in-code");
    }

    async begin() {
      this.panel.node.classList.add("rework-exercise");
      this.showCode(localStorage.getItem("rework-in-code") === "yes", true);
      await this.draw();
      this.panel.context.fileChanged.connect(() => this.isOld() && this.draw());
    }

    /** Whether a cell holds something else than its box has written: another program changed the file. */
    isOld() {
      return [...this.boxes.values()].some(({ cell, source }) =>
        cell.isDisposed || cell.model.sharedModel.getSource() !== source);
    }

    /** Ask what the exercise asks, and put a box above each answer cell. */
    async draw() {
      const { panel } = this;
      if (!this.bar.isConnected) panel.content.outerNode.prepend(this.head, this.bar);
      const shown = await ask(panel, { do: "show", notebook: this.notebook() });
      if (!shown.parts) {
        this.status.textContent = `${shown.say} You can answer in the cells below.`;
        return;
      }
      this.about = shown;
      if (shown.parts.some(({ kind }) => kind === "acts")) BOXES.acts ??= (await import(new URL("bench.js", HERE).href)).bench;
      for (const box of this.boxes.values()) box.remove();
      this.boxes.clear();
      for (const part of shown.parts) {
        const cell = cellOf(panel, part.cell);
        if (cell) this.boxes.set(part.name, new Box(this, part, cell));
      }
      for (const cell of panel.content.widgets) {
        const role = cell.model.getMetadata("nbgrader") ?? {};
        cell.node.classList.toggle("rework-marking", Boolean(role.grade && role.locked));
      }
      // the printed notebook goes from its title to its parts' third level: read aloud, a level would seem to be missing
      for (const heading of panel.node.querySelectorAll(".jp-RenderedMarkdown h3")) heading.ariaLevel = "2";
      this.drawNumbers(shown.numbers);
      this.drawEnd();
      this.showWays(shown);
      this.checkButton.disabled = this.clean.disabled = false;
      if (!this.last) this.status.textContent = `${shown.points} points. Answer a part, then press Check.`;
    }

    /** The notebook as it stands on the page, without outputs: its file may be half written just now. */
    notebook() {
      const { content } = this.panel;
      const cells = content.widgets.map((cell) => ({ cell_type: cell.model.type, id: cell.model.id,
        metadata: { nbgrader: cell.model.getMetadata("nbgrader") ?? {} }, source: cell.model.sharedModel.getSource() }));
      return { cells, metadata: { [OURS]: content.model.getMetadata(OURS) }, nbformat: 4, nbformat_minor: 5 };
    }

    drawNumbers(numbers) {
      const givens = cellNamed(this.panel, "givens");
      if (!givens) return;
      this.numbers?.remove();
      const lines = numbers.map(([words, number]) => element("li", {}, `${words} `, element("strong", { textContent: number })));
      this.numbers = element("section", { className: "rework-box rework-numbers", "aria-label": "Your numbers" },
        element("span", { textContent: "Your numbers: " }), element("ul", {}, ...lines));
      givens.node.classList.add("rework-boxed");
      givens.node.append(this.numbers);
    }

    /** The place at the end, where the printed notebook has its checking cell. */
    drawEnd() {
      const closing = cellNamed(this.panel, "closing");
      if (!closing) return;
      this.end?.remove();
      this.endStatus = element("div", { className: "result" });
      this.end = element("section", { className: "rework-box rework-end", "aria-label": "Check of my answers" },
        button("Check", () => this.check(), "main"), this.endStatus);
      guard(this.end, this);
      closing.node.classList.add("rework-boxed");
      closing.node.append(this.end);
    }

    showWays({ read, next, all }) {
      const { app } = this;
      this.ways.replaceChildren(...[
        read ? clicked(app, read, `Lesson, section ${read.number}`) : null,
        next ? clicked(app, next, "Next exercise") : null,
        all ? link("All exercises", () => go(app, all)) : null,
      ].filter(Boolean));
    }

    showCode(yes, quietly = false) {
      this.panel.node.classList.toggle("rework-in-code", yes);
      this.panel.toolbar.setHidden(!yes);
      this.code.textContent = yes ? "Show the boxes" : "Show the code";
      if (quietly) return;
      localStorage.setItem("rework-in-code", yes ? "yes" : "no");
      if (!yes) this.draw();
    }

    /** Write an answer cell, and remember what stood there before all that is written at one sitting. */
    write(cell, source, what, sitting) {
      const shared = cell.model.sharedModel;
      const before = shared.getSource();
      if (before === source) return;
      if (this.undone.at(-1)?.sitting !== sitting) this.undone.push({ cell, before, what, sitting });
      this.undo.disabled = false;
      shared.setSource(source);
    }

    /** Write what is still in a box only, and return whether all of it is written; where not, its box has said so. */
    async written() {
      const boxes = [...this.boxes.values()];
      await Promise.all(boxes.map((box) => box.write()));
      return !boxes.some((box) => box.touched);
    }

    /** Save the file, and return whether it is saved; where not, that is what the page says. */
    async save() {
      try {
        await this.panel.context.save();
        return true;
      } catch {  // JupyterLab tells the reason in a window of its own
        this.status.textContent = "NOT saved and not checked. What you typed stands on this page: leave it open, and "
          + "press Check to try again.";
        return false;
      }
    }

    async takeBack() {
      if (!(await this.written())) return;
      const last = this.undone.pop();
      this.undo.disabled = this.undone.length === 0;
      if (!last) return;
      last.cell.model.sharedModel.setSource(last.before);
      this.last = null;
      await this.draw();
      [...this.boxes.values()].find((box) => box.cell === last.cell)?.box?.focus();
      this.status.textContent = `Taken back: part ${last.what}.`;
    }

    async startAgain() {
      if (!(await this.written()) || !(await this.save())) return;
      const { kept, say } = await ask(this.panel, { do: "clean" });
      if (!kept) {
        this.status.textContent = say;
        return;
      }
      this.undone = [];
      this.undo.disabled = true;
      await this.panel.context.revert();
      this.last = null;
      await this.draw();
      this.status.textContent = `A clean copy. What you had stands in ${kept}.`;
    }

    /** Write what is typed, save, check the saved file, and say what each part earns and why. */
    async check() {
      if (this.checkButton.ariaDisabled === "true") return;
      this.checkButton.ariaDisabled = "true";  // a button that is disabled loses the focus
      this.status.textContent = "Saving and checking …";
      try {
        if (!(await this.written()) || !(await this.save())) return;
        const saved = new Map([...this.boxes].map(([name, box]) => [name, box.holds()]));
        const found = await ask(this.panel, { do: "check" });
        if (!found.parts) {
          this.status.textContent = found.say;
          return;
        }
        this.tell(found, saved);
        document.activeElement.closest(".rework-box")?.scrollIntoView({ block: "nearest" });
      } finally {
        this.checkButton.ariaDisabled = "false";
      }
    }

    /** Say what each part earns, at its box where that still holds what was saved. */
    tell(found, saved) {
      this.last = found;
      for (const part of found.parts) {
        const box = this.boxes.get(part.part);
        if (!box) continue;
        if (box.holds() === saved.get(part.part)) box.tell(part, found.read);
        else box.clear();
      }
      const open = found.parts.filter((part) => part.is_open).length;
      const rest = found.whole ? " All of it." : open ? ` ${open} of ${found.parts.length} parts are still open.` : "";
      const here = [...this.boxes.values()].find((box) => box.node.contains(document.activeElement));
      this.status.textContent = `Saved and checked: ${found.total}${rest}${here ? ` ${here.verdict(found)}` : ""}`;
      this.showWays(found);
      const lines = [element("p", {}, element("strong", { textContent: found.total }))];
      lines.push(element("ol", {}, ...found.parts.map((part) =>
        element("li", { className: part.shade }, `Part ${part.number}: ${part.words} (${part.points})`))));
      lines.push(...found.notes.map((words) => element("p", { textContent: words })));
      lines.push(element("p", { textContent: found.worth }));
      if (found.next) lines.push(element("p", {}, "Next: ", clicked(this.app, found.next, found.next.words)));
      if (found.all) lines.push(element("p", {}, link("Back to all exercises", () => go(this.app, found.all))));
      this.endStatus?.replaceChildren(...lines);
    }
  }

  const THE_NOTEBOOKS = ["keydown", "mousedown", "dblclick", "focusin", "focusout"];

  /** Keep the notebook's own keys, mouse and focus out of a box, but for saving: it would take the focus to a cell. */
  function guard(node, exercise) {
    node.dataset.lmSuppressShortcuts = "true";
    for (const kind of THE_NOTEBOOKS) node.addEventListener(kind, (event) => event.stopPropagation());
    node.addEventListener("keydown", (event) => {
      if ((event.ctrlKey || event.metaKey) && event.key.toLowerCase() === "s") {
        event.preventDefault();
        exercise.written().then(() => exercise.save());
      }
      if (event.key === "Enter" && event.target.matches("input")) {
        event.preventDefault();
        exercise.check();
      }
    });
  }

  class Box {
    constructor(exercise, part, cell) {
      Object.assign(this, { exercise, part, cell, touched: false, sitting: {}, source: cell.model.sharedModel.getSource() });
      this.result = element("div", { className: "result" });
      this.node = element("section", { className: "rework-box", "aria-label": `Answer to part ${part.number}` });
      guard(this.node, exercise);
      this.node.addEventListener("focusin", () => { this.sitting = {}; });
      if (part.held === null) this.showWorking();
      else this.showBox(part.held);
      cell.node.append(this.node);
      cell.node.classList.toggle("rework-boxed", part.held !== null);
      this.question()?.classList.toggle("rework-asked", part.held !== null && part.options.length > 0);
    }

    /** The node of the question above: its printed list of words is the box's own. */
    question() {
      const at = this.exercise.panel.content.widgets.indexOf(this.cell);
      const before = this.exercise.panel.content.widgets[at - 1];
      return before?.model.id === `${this.part.name}-question` ? before.node : null;
    }

    showBox(held) {
      const { exercise } = this;
      this.box = BOXES[this.part.kind](this.part, () => this.changed(), (acts) => ask(exercise.panel,
        { do: "play", notebook: exercise.notebook(), part: this.part.name, acts }));
      this.box.show(held);
      this.node.replaceChildren(this.box.shown, this.result);
    }

    showWorking() {
      this.box = null;
      const words = element("p", { textContent: "You answered this part in code; it stands above and counts as it is." });
      this.node.replaceChildren(words, button("Answer in a box instead", () => {
        this.cell.node.classList.add("rework-boxed");
        this.question()?.classList.toggle("rework-asked", this.part.options.length > 0);
        this.showBox({});
        this.box.focus();
      }), this.result);
    }

    changed() {
      if (this.holds() === this.seen) return;  // a field that Enter has written is left
      this.touched = true;
      this.clear();
      this.write();
    }

    /** Say no more what an answer earned that stands here no more. */
    clear() {
      this.result.replaceChildren();
      this.result.className = "result";
    }

    /** Write the cell, one writing after another, so that the last one typed is the one that stands. */
    write() {
      if (!this.box || !(this.touched || this.pending())) return this.writing;
      this.touched = false;
      const typed = this.box.typed();
      const seen = this.seen = this.holds();
      const sitting = this.part.kind === "written" ? this.sitting : {};  // a text is written letter by letter
      const { about } = this.exercise;
      this.writing = Promise.resolve(this.writing).then(async () => {
        if (seen !== this.seen) return;  // more was typed meanwhile, and is written next
        const written = await ask(this.exercise.panel,
          { do: "type", topic: about.topic, exercise: about.exercise, part: this.part.name, typed,
            before: this.cell.model.sharedModel.getSource() });
        if (written.source === undefined) {  // it stands in the box alone, and is written with the next
          this.touched = true;
          this.exercise.status.textContent = `Part ${this.part.number} is not written yet. ${written.say}`;
          return;
        }
        this.exercise.write(this.cell, written.source, this.part.number, sitting);
        this.source = written.source;
        this.problems = written.said;
        this.box.say(written);
        const problem = Object.values(written.said)[0];
        if (problem) this.exercise.status.textContent = `Part ${this.part.number}: ${problem}`;
        if (this.part.kind === "acts") await this.exercise.save();  // an act that was done stays done
      });
      return this.writing;
    }

    /** What stands here now, to be held against what stood here. */
    holds() {
      return this.box ? JSON.stringify(this.box.typed()) : this.source;
    }

    /** Whether something is typed that no change event has told of yet (Enter, Check by keyboard). */
    pending() {
      return this.seen !== undefined ? this.holds() !== this.seen : this.differs();
    }

    differs() {
      const typed = this.box.typed();
      return Object.entries(typed).some(([name, value]) =>
        JSON.stringify(value) !== JSON.stringify(this.part.held?.[name] || (Array.isArray(value) ? [] : "")));
    }

    /** What one is told where one is: the page's one status line says it once. */
    verdict(found) {
      const part = this.part.number;
      const problem = Object.values(this.problems ?? {})[0];
      if (problem) return `Part ${part} is not read yet: ${problem}`;
      const told = found.parts.find((one) => one.part === this.part.name);
      return told ? `Part ${part}: ${told.words}, ${told.points}.` : "";
    }

    tell(told, read) {
      if (Object.keys(this.problems ?? {}).length) {
        this.result.className = "result none";
        this.result.replaceChildren(element("p", { textContent: "Not read yet: the line at the answer says what to type." }));
        return;
      }
      this.result.className = `result ${told.shade}`;
      const words = told.words.charAt(0).toUpperCase() + told.words.slice(1);
      const lines = [element("p", {}, element("strong", { textContent: `${told.points}. ` }), `${words}.`)];
      lines.push(...told.lines.map(prose));
      if (read && (told.shade === "none" || told.shade === "some")) {
        lines.push(element("p", {}, "Stuck? ", clicked(this.exercise.app, read, `Read section ${read.words} again`)));
      }
      this.result.replaceChildren(...lines);
    }

    remove() {
      this.node.remove();
      this.cell.node.classList.remove("rework-boxed");
      this.question()?.classList.remove("rework-asked");
    }
  }

  // ---------------------------------------------------------------- the first page, and lessons

  /** A page of ours that is read and not edited: without tools, and without the code behind it. */
  function asPage(panel) {
    panel.node.classList.add("rework-page");
    panel.toolbar.hide();
  }

  const CONTENTS = "from graders import desk\ndesk.contents()";
  const HAND_IN = "from graders import desk\ndesk.hand_in()";

  /** Work the first page out anew whenever it is shown, so that what it says is never old. */
  function keepFresh(app, panel) {
    asPage(panel);
    const refresh = async () => {
      const cell = cellNamed(panel, "contents");
      if (!cell || panel.isDisposed || app.shell.currentWidget !== panel) return;
      await panel.sessionContext.ready;
      const asked = panel.sessionContext.session?.kernel?.requestExecute({ code: CONTENTS, store_history: false });
      if (!asked) return;
      asked.onIOPub = ({ header, content: { data, metadata } }) => {
        if (header.msg_type !== "display_data") return;
        const open = [...cell.node.querySelectorAll("details")].map((topic) => topic.open);
        const [shown, output] = [cell.outputArea.model, { output_type: "display_data", data, metadata }];
        if (shown.length === 1) shown.set(0, output);  // in its place, so that the page does not go and come again
        else shown.fromJSON([output]);
        requestAnimationFrame(() => cell.node.querySelectorAll("details").forEach((topic, index) => {
          topic.open ||= Boolean(open[index]);
        }));
      };
      await asked.done;
    };
    app.shell.currentChanged?.connect(refresh);
    let [handing, receipt] = [false, ""];
    const say = (words) => {
      receipt = words;
      const place = panel.node.querySelector(".classroom .said");
      if (place && place.textContent !== words) place.textContent = words;
    };
    // The page may be drawn anew at any moment: what was said of a hand-in is said on the new one too.
    new MutationObserver(() => receipt && say(receipt)).observe(panel.node, { childList: true, subtree: true });
    /** Hand in what is saved, and show what became of it: the receipt, or why not and where the file is. */
    const handIn = async () => {
      if (handing) return;
      handing = true;
      say("Handing in: packing what is saved …");
      let told = "";
      try {
        await app.commands.execute("docmanager:save-all");
      } catch {
        handing = false;
        return say("NOT handed in: a page could not be saved, and what you typed there would be missing. Leave it open, "
          + "and try again.");
      }
      try {
        await panel.sessionContext.ready;
        const asked = panel.sessionContext.session.kernel.requestExecute({ code: HAND_IN, store_history: false });
        asked.onIOPub = ({ header, content }) => {
          if (header.msg_type === "stream") told += content.text;
          if (header.msg_type === "error") told += "NOT handed in: this failed. Try again, or tell your instructor.";
        };
        await asked.done;
      } catch {
        told = "NOT handed in: the kernel is not there. Load this page again, and try again.";
      }
      handing = false;
      say(told.trim() || "NOT handed in for certain: nothing came back. Try again.");
    };
    panel.node.addEventListener("click", (event) => {
      const what = event.target.closest?.(".rework-contents button[data-classroom]")?.dataset.classroom;
      if (what === "hand-in") handIn();
      if (what === "feedback") window.open("/services/classroom/feedback", "_blank", "noopener");
      const to = event.target.closest?.(".rework-contents a[data-path]");
      if (!to) return;
      event.preventDefault();
      event.stopPropagation();
      const { path, anchor } = to.dataset;
      const { baseUrl } = app.serviceManager.serverSettings;
      if (path.endsWith(".html")) window.open(new URL(`files/${path}`, baseUrl).href, "_blank", "noopener");
      else go(app, path, anchor);
    }, true);
    refresh();
  }

  /**
   * The practice page begins by itself once it is shown: its one cell is ours. It never takes the place of a page. It
   * begins again where its kernel ended, whose buttons would do nothing.
   */
  function beginPractice(app, panel) {
    asPage(panel);
    const practice = cellNamed(panel, "practice");
    if (!practice?.model.sharedModel.getSource().endsWith("\nfrom graders import desk\ndesk.practise()")) return;
    const begin = () => app.commands.execute("notebook:run-all-cells", { semanticWidget: panel.id, activate: false });
    const look = async () => {
      if (panel.isDisposed || app.shell.currentWidget !== panel) return;
      app.shell.currentChanged.disconnect(look);
      await panel.sessionContext.ready;
      await panel.sessionContext.session?.kernel?.info;
      begin();
    };
    let ended = false;
    panel.sessionContext.statusChanged.connect((_, status) => {
      if (status === "restarting" || status === "autorestarting") ended = true;
      if (status !== "idle" || !ended) return;
      ended = false;
      begin();
    });
    app.shell.currentChanged.connect(look);
    look();
  }

  /** Under each section of a lesson, its exercises and how they stand. */
  async function nameExercises(app, panel) {
    const { sections } = await ask(panel, { do: "sections" });
    for (const [heading, lines] of Object.entries(sections ?? {})) {
      const at = panel.content.widgets.findIndex((cell) => cell.model.type === "markdown"
        && cell.model.sharedModel.getSource().startsWith(`## ${heading}`));
      if (at < 0 || !lines.length) continue;
      const after = panel.content.widgets.findIndex((cell, index) => index > at && cell.model.type === "markdown"
        && cell.model.sharedModel.getSource().startsWith("## "));
      const last = panel.content.widgets[(after < 0 ? panel.content.widgets.length : after) - 1];
      const list = element("ul", {}, ...lines.map((line) =>
        element("li", {}, clicked(app, line, line.words), ` (${line.state})`)));
      last.node.append(element("section", { className: "rework-box rework-onward", "aria-label": `Exercises to ${heading}` },
        element("p", { textContent: "Now do the exercises of this section:" }), list));
    }
  }

  // ---------------------------------------------------------------- the plugin

  const plugin = {
    id: "rework-exercise-page:plugin",
    autoStart: true,
    activate: (app) => {
      addStyle();
      app.restored.then(() => {
        if (window.innerWidth < NARROW) app.shell.collapseLeft?.();  // a list of files would leave no room
      });
      app.docRegistry.addWidgetExtension("Notebook", {
        createNew: (panel) => {
          panel.context.ready.then(() => {
            if (panel.content.model.getMetadata(OURS)?.exercise) new Exercise(app, panel).begin();
            else if (panel.context.path === "start.ipynb") keepFresh(app, panel);
            else if (panel.context.path === "practice.ipynb") beginPractice(app, panel);
            else if (/^lessons\/\d\d_[a-z]+\.ipynb$/.test(panel.context.path)) nameExercises(app, panel);
          });
        },
      });
    },
  };

  globalThis._JUPYTERLAB = globalThis._JUPYTERLAB ?? {};
  globalThis._JUPYTERLAB["rework-exercise-page"] = {
    init() {},
    get: async () => () => ({ __esModule: true, default: plugin }),
  };
})();
