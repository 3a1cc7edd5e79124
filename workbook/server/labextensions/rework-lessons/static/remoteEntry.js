// A lesson starts by itself: once its kernel answers, all of it is run, and the page stays at its head.
// In lessons and exercises the words of the trade say what they mean.
// A lesson that is not signed (it came from elsewhere, or was changed outside this workbook) has a Start button instead.
// Written by hand, with no build step and nothing shared with JupyterLab but the page's own objects.

(() => {
  const isLesson = (panel) => /(^|\/)(lessons\/)?\d\d_[a-z]+\.ipynb$/.test(panel.context?.path ?? "")
    && panel.content?.model?.getMetadata?.("rework_lesson");

  const isTrusted = (panel) => [...panel.content.model.cells].every((cell) => cell.type !== "code" || cell.trusted);

  /** A line at the head of the lesson: what goes on, and a button where a hand is needed. */
  function headLine(panel, start) {
    const line = document.createElement("div");
    line.className = "rework-start";
    line.style.cssText = "display:flex;flex-flow:row wrap;gap:.3em 1em;align-items:center;min-height:2.2em;"
      + "position:sticky;top:0;z-index:20;background:var(--jp-layout-color1);"
      + "padding:.2em 1em;font:14px/1.4 system-ui,sans-serif;color:var(--jp-content-font-color1)";
    const words = document.createElement("span");
    words.setAttribute("role", "status");
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = "Start";
    button.style.cssText = "font:inherit;font-weight:600;padding:.3em 1.4em;border:2px solid currentColor;"
      + "border-radius:5px;background:transparent;color:inherit;cursor:pointer";
    button.addEventListener("click", start);
    line.append(button, words);
    const say = (text, wanted = true) => {
      if (!line.isConnected) (panel.content.outerNode ?? panel.content.node).prepend(line); // the cells' own node is no place
      words.textContent = text;
      button.hidden = !wanted;
      if (!text) line.remove();
    };
    return say;
  }

  /** What brings the page back to where it was, unless the reader has gone on meanwhile. */
  function stayAt(content) {
    const scroller = content.outerNode ?? content.node;
    const [top, cell] = [scroller.scrollTop, content.activeCellIndex];
    let left = false;
    for (const kind of ["wheel", "touchmove", "keydown", "pointerdown"]) {
      content.node.addEventListener(kind, () => (left = true), { once: true, passive: true, capture: true });
    }
    return () => {
      if (left) return;
      content.activeCellIndex = cell;
      scroller.scrollTop = top;
    };
  }

  /** A lesson that only ran is as it was: nothing to save or to ask about, and a later one may take its place. */
  function cleanWhileOnlyRun(model) {
    const text = () => JSON.stringify([...model.cells].map((cell) => [cell.type, cell.sharedModel.getSource()]));
    const [first, wasDirty] = [text(), model.dirty];
    const look = () => {
      if (model.dirty && !wasDirty && text() === first) model.dirty = false;
    };
    model.stateChanged.connect(look);
    look();
  }

  async function tend(app, panel) {
    const content = panel.content;
    cleanWhileOnlyRun(content.model);
    let [running, isGone] = [null, false];
    const say = headLine(panel, () => start());
    async function start() {
      if (running) return running;
      say("This lesson is starting …", false);
      const stay = stayAt(content);
      running = (async () => {
        await panel.sessionContext.ready;
        await panel.sessionContext.session?.kernel?.info;
        isGone = false;  // a kernel that ended before is there again
        say("This lesson is starting …", false);
        // this lesson and no other, though the reader may have gone on to another page by now
        const done = app.commands.execute("notebook:run-all-cells", { semanticWidget: panel.id, activate: false });
        stay();
        await done;
        if (!isGone) say("");
        stay();
        setTimeout(stay, 300); // the notebook scrolls to its last cell once that is drawn
      })().catch(() => say("This lesson did not start. Press Start to try again."));
      await running;
      running = null;
    }
    panel.sessionContext.statusChanged.connect((_, status) => {
      if (status === "restarting" || status === "autorestarting" || status === "dead") {
        isGone = true;
        say("The lesson stands still: what it had worked out is gone. Press Start to run it again.");
      }
    });
    if (isTrusted(panel)) await start();
    else say("This lesson has not run yet. Start runs its code, and its pictures answer then.");
  }

  const told = () => JSON.parse(document.getElementById("jupyter-config-data").textContent);

  /** In a page of a topic keep numbers at their units and mark the words of the trade, also in texts drawn later. */
  function explain(panel) {
    const words = glossary(panel);
    if (!words) return;
    const apart = new RegExp(told().reworkTogether ?? "(?!)", "g");
    const look = () => {
      for (const text of panel.content.node.querySelectorAll(".jp-RenderedMarkdown:not([data-rework-words])")) {
        if (!text.textContent.trim()) continue; // it is there before its words are
        text.dataset.reworkWords = "";
        const nodes = wordsOf(text);
        for (const node of nodes) keepTogether(node, apart);
        markWords(nodes, words);
      }
    };
    let due = 0;
    const watched = new MutationObserver(() => {
      due = due || setTimeout(() => { due = 0; look(); }, 300);
    });
    watched.observe(panel.content.node, { childList: true, subtree: true });
    panel.disposed.connect(() => watched.disconnect());
    look();
  }

  /** No line ends between a number and its unit: the same rule as workbook/units.py has it. */
  function keepTogether(node, apart) {
    const kept = node.data.replace(apart, (found) => found.replaceAll(" ", "\u00a0"));
    if (kept !== node.data) node.data = kept;
  }

  /** Words of the trade in a page's text: hover, click, or go to one by keyboard, and what it means is shown. */
  const NOT_IN = "a, code, pre, button, summary, h1, h2, h3, .MathJax, mjx-container, .rework-explorer";
  const escaped = (word) => word.replace(/[.*+?^${}()|[\]\\]/g, "\\$&");

  const tip = document.createElement("div");
  tip.className = "rework-tip";
  tip.id = "rework-tip";
  tip.setAttribute("role", "tooltip");
  tip.hidden = true;
  let explained = null;
  let leaving = 0;

  function showTip(word, means) {
    hideTip();
    explained = word;
    tip.textContent = means;
    tip.hidden = false;
    const place = word.getBoundingClientRect();
    const left = Math.min(place.left, window.innerWidth - tip.offsetWidth - 8);
    const below = place.bottom + 6 + tip.offsetHeight < window.innerHeight;
    tip.style.left = `${Math.max(8, left)}px`;
    tip.style.top = `${below ? place.bottom + 4 : place.top - tip.offsetHeight - 4}px`;
    word.setAttribute("aria-describedby", tip.id);
  }
  function hideTip() {
    clearTimeout(leaving);
    tip.hidden = true;
    explained?.removeAttribute("aria-describedby");
    explained = null;
  }
  // The pointer may go over to what it has brought up, and Escape takes that away wherever the focus is (WCAG 1.4.13).
  const leave = () => {
    leaving = setTimeout(hideTip, 200);
  };
  tip.addEventListener("mouseenter", () => clearTimeout(leaving));
  tip.addEventListener("mouseleave", leave);
  document.addEventListener("keydown", (event) => event.key === "Escape" && hideTip(), true);

  function button(text, means) {
    const word = document.createElement("button");
    word.type = "button";
    word.className = "rework-word";
    word.textContent = text;
    word.setAttribute("data-lm-suppress-shortcuts", "true");
    for (const kind of ["mouseenter", "focus", "click"]) word.addEventListener(kind, () => showTip(word, means));
    word.addEventListener("mouseleave", leave);
    word.addEventListener("blur", hideTip);
    return word;
  }

  const topicOf = ({ content: { model } }) => model.getMetadata("rework_lesson") ?? model.getMetadata("rework_workbook")?.topic;

  /** What finds the words of a page's topic, and what each means; nothing where there are none. */
  function glossary(panel) {
    const byTopic = JSON.parse(told().reworkWords ?? "{}"); // as text: JupyterLab keeps only the keys of an object
    const words = (byTopic[topicOf(panel)] ?? [])
      .flatMap(([names, means]) => names.filter((name) => name.length > 2).map((name) => [name, means]));
    if (!words.length) return null;
    const meaning = new Map(words.map(([name, means]) => [name.toLowerCase(), means]));
    const names = [...meaning.keys()].sort((a, b) => b.length - a.length).map(escaped).join("|");
    const find = new RegExp(`(?<![\\p{L}\\p{N}-])(${names})s?(?![\\p{L}\\p{N}-])`, "giu");
    return { find, meaning };
  }

  /** The pieces of a text that are words: no code, no formula. */
  function wordsOf(text) {
    const walker = document.createTreeWalker(text, NodeFilter.SHOW_TEXT);
    const nodes = [];
    while (walker.nextNode()) if (!walker.currentNode.parentElement.closest(NOT_IN)) nodes.push(walker.currentNode);
    return nodes;
  }

  /** Mark the first place of each word in one cell's text. */
  function markWords(nodes, { find, meaning }) {
    const seen = new Set();
    for (const node of nodes) {
      const first = [...node.data.matchAll(find)].filter(([, name]) => {
        const means = meaning.get(name.toLowerCase());
        return !seen.has(means) && seen.add(means);
      });
      for (const { 0: shown, 1: name, index } of first.reverse()) { // from the end: places before stay as they are
        const rest = node.splitText(index);
        rest.data = rest.data.slice(shown.length);
        rest.before(button(shown, meaning.get(name.toLowerCase())));
      }
    }
  }

  /** A phone has no room for the strips beside the page, nor for the numbers of the cells. */
  function makeRoom(app) {
    const style = document.createElement("style");
    style.textContent = "@media (max-width: 600px) { .jp-Notebook .jp-Cell { padding-left: 2px; padding-right: 2px }"
      + " .jp-Notebook :is(.jp-InputPrompt, .jp-OutputPrompt, .jp-Collapser) { display: none }"
      + " .jp-Notebook .jp-PlaceholderText { white-space: normal } }" // else the whole page moves sideways
      + " .jp-Notebook .jp-RenderedText pre { word-break: normal }"; // lines end between words, and not in a number
    style.textContent += ".rework-word { font: inherit; color: inherit; background: none; border: 0; padding: 0;"
      + " border-bottom: 1px dotted currentColor; cursor: help } .rework-word:focus-visible { outline: 2px solid"
      + " currentColor; outline-offset: 2px } .rework-tip { position: fixed; z-index: 100; max-width: min(30rem, 90vw);"
      + " padding: .5em .8em; border-radius: 5px; background: #1f2430; color: #fff; font: 14px/1.4 system-ui,"
      + " sans-serif; box-shadow: 0 2px 8px rgba(0, 0, 0, .4) }";
    document.head.append(style);
    document.body.append(tip);
    if (window.innerWidth > 600) return;
    for (const side of ["left", "right"]) {
      if (app.shell.isSideTabBarVisible?.(side)) app.shell.toggleSideTabBarVisibility(side);
    }
  }

  const plugin = {
    id: "rework-lessons:start",
    autoStart: true,
    activate: (app) => {
      const tended = new WeakSet();
      const look = async () => {
        const panel = app.shell.currentWidget;
        if (!panel?.content?.model?.getMetadata || !panel.sessionContext || tended.has(panel)) return;
        await panel.context.ready;
        if (tended.has(panel)) return;
        tended.add(panel);
        explain(panel);
        if (isLesson(panel)) await tend(app, panel);
      };
      app.shell.currentChanged?.connect(look);
      app.restored.then(() => {
        makeRoom(app);
        look();
      });
    },
  };

  globalThis._JUPYTERLAB = globalThis._JUPYTERLAB ?? {};
  globalThis._JUPYTERLAB["rework-lessons"] = {
    init() {},
    get: async () => () => ({ __esModule: true, default: [plugin] }),
  };
})();
