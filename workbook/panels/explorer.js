// Lays the moving marks over the frame, and offers native controls: keyboard, labels and units come with them.

const INK = { light: "#1f2430", dark: "#e8e6e1" };

function isDark(node) {
  for (let at = node; at; at = at.parentElement) {
    const match = getComputedStyle(at).backgroundColor.match(/[\d.]+/g);
    if (match && (match.length < 4 || Number(match[3]) > 0.5)) {
      const [r, g, b] = match.map(Number);
      return 0.299 * r + 0.587 * g + 0.114 * b < 110;
    }
  }
  return false;
}

function shown(value, control) {
  const places = Math.max(0, -Math.floor(Math.log10(control.step) + 1e-9));
  const unit = control.unit && control.unit !== "1" ? `\u00a0${control.unit}` : "";
  return `${Number(value).toFixed(places)}${unit}`;
}

function element(kind, className, text) {
  const made = document.createElement(kind);
  if (className) made.className = className;
  if (text !== undefined) made.textContent = text;
  return made;
}

function controlRow(control, model, ask) {
  // Explorers of one page may have controls of the same name; crypto.randomUUID is not there on a page without TLS.
  const id = `rework-${Math.random().toString(36).slice(2)}`;
  const row = element("div", `rework-control rework-${control.kind}`);
  const value = (settings = model.get("settings")) => settings[control.name];
  if (control.kind === "press") {
    const button = element("button", "", control.words);
    button.type = "button";
    button.addEventListener("click", () => ask(control.name, (value() || 0) + 1));
    row.append(button);
    return { row, follow() {} };
  }
  const label = element("label", "", control.words);
  label.htmlFor = id;
  if (control.kind === "menu") {
    const select = element("select");
    select.id = id;
    for (const [key, words] of Object.entries(control.options)) {
      const option = element("option", "", words);
      option.value = key;
      select.append(option);
    }
    select.addEventListener("change", () => ask(control.name, select.value));
    row.append(label, select);
    return { row, follow: (settings) => (select.value = value(settings)) };
  }
  const input = element("input");
  input.id = id;
  if (control.kind === "tick") {
    input.type = "checkbox";
    input.addEventListener("change", () => ask(control.name, input.checked));
    row.append(input, label);
    return { row, follow: (settings) => (input.checked = value(settings)) };
  }
  input.type = "range";
  Object.assign(input, { min: control.low, max: control.high, step: control.step });
  const reads = element("span", "rework-reads"); // no <output>: that is read aloud, and the slider says it already
  const say = () => {
    reads.textContent = shown(input.value, control);
    input.setAttribute("aria-valuetext", reads.textContent);
  };
  input.addEventListener("input", () => {
    say();
    ask(control.name, Number(input.value));
  });
  row.append(label, input, reads);
  return {
    row,
    follow: (settings) => {
      input.value = value(settings);
      say();
    },
  };
}

const painters = {
  line(context, points, step, ink) {
    context.beginPath();
    for (let i = 0; i < points.length; i += 2) {
      if (Number.isFinite(points[i + 1])) context.lineTo(points[i], points[i + 1]);
    }
    context.setLineDash(step.dash);
    context.lineWidth = step.width;
    context.lineJoin = "round";
    context.strokeStyle = step.colour === "ink" ? ink : step.colour;
    context.stroke();
    context.setLineDash([]);
  },
  area(context, points, step, ink) {
    context.beginPath();
    for (let i = 0; i < points.length; i += 2) context.lineTo(points[i], points[i + 1]);
    context.closePath();
    context.globalAlpha = step.opacity;
    context.fillStyle = step.colour === "ink" ? ink : step.colour;
    context.fill();
    context.globalAlpha = 1;
  },
  dots(context, points, step, ink) {
    const radius = step.size / 2;
    // Neighbours of one colour are drawn as one path: some hundred dots in a stroke, not in some hundred.
    const colourOf = (i) => step.colours[step.colours.length === 1 ? 0 : i / 2];
    for (let i = 0; i < points.length; ) {
      const colour = colourOf(i);
      context.beginPath();
      for (; i < points.length && colourOf(i) === colour; i += 2) {
        const [x, y] = [points[i], points[i + 1]];
        if (step.shape === "square") context.rect(x - radius, y - radius, step.size, step.size);
        else {
          context.moveTo(x + radius, y);
          context.arc(x, y, radius, 0, 2 * Math.PI);
        }
      }
      if (step.shape === "ring") {
        context.lineWidth = 2;
        context.strokeStyle = colour === "ink" ? ink : colour;
        context.stroke();
      } else {
        context.fillStyle = colour === "ink" ? ink : colour;
        context.fill();
      }
    }
  },
  label(context, points, step, ink) {
    context.font = "12px system-ui, sans-serif";
    context.textAlign = { start: "left", middle: "center", end: "right" }[step.anchor];
    context.textBaseline = "middle";
    context.fillStyle = step.colour === "ink" ? ink : step.colour;
    context.fillText(step.text, points[0], points[1]);
  },
};

function paintCells(context, bytes, step) {
  const sheet = new OffscreenCanvas(step.columns, step.rows);
  const pixels = new Uint8ClampedArray(bytes.buffer, bytes.byteOffset + step.at[0], step.at[1]);
  sheet.getContext("2d").putImageData(new ImageData(new Uint8ClampedArray(pixels), step.columns, step.rows), 0, 0);
  const [left, bottom, right, top] = step.box;
  context.imageSmoothingEnabled = false;
  context.drawImage(sheet, left, top, right - left, bottom - top);
}

function render({ model, el }) {
  const root = element("section", "rework-explorer");
  root.setAttribute("aria-label", model.get("title"));
  const controls = element("div", "rework-controls");
  const figure = element("div", "rework-picture");
  figure.setAttribute("role", "img");
  const canvas = element("canvas");
  canvas.setAttribute("aria-hidden", "true");
  figure.append(canvas);
  const status = element("div", "rework-status");
  status.setAttribute("role", "status");
  status.setAttribute("aria-atomic", "false"); // say the line that changed, and not all of them
  const readout = element("ul", "rework-readout");
  status.append(readout);
  root.append(controls, figure, status);
  el.append(root);

  // One question at a time: while the kernel answers, only the newest setting waits. Questions are counted where the
  // settings are, and not from none in each view: the answer to a number that was answered before would tell nothing.
  let waiting = null;
  let busy = false;
  function send(settings) {
    busy = true;
    model.set("settings", { ...settings, _asked: (model.get("settings")._asked || 0) + 1 });
    model.save_changes();
  }
  function ask(name, value) {
    askAll({ ...(waiting || model.get("settings")), [name]: value });
  }
  function askAll(settings) {
    if (busy) waiting = settings;
    else send(settings);
  }

  const rows = model.get("controls").map((control) => controlRow(control, model, ask));
  const back = element("button", "", "Back to the start");
  back.type = "button";
  back.addEventListener("click", () => {
    const start = Object.fromEntries(model.get("controls").map((control) => [control.name, control.value]));
    askAll({ ...(waiting || model.get("settings")), ...start });
    for (const { follow } of rows) follow(start);
  });
  const last = element("div", "rework-control rework-press");
  last.append(back);
  rows.push({ row: last, follow() {} });

  // On a phone the readout stands below the control in use, and the picture stays in view above both.
  function use(row) {
    const place = rows.findIndex((one) => one.row === row);
    rows.forEach((one, index) => (one.row.style.order = index <= place ? 1 : 3));
  }
  for (const { row, follow } of rows) {
    row.addEventListener("focusin", () => use(row));
    row.addEventListener("pointerdown", () => use(row));
    for (const one of row.querySelectorAll("input, select, button")) {
      one.setAttribute("data-lm-suppress-shortcuts", "true"); // arrow keys move the slider, not the notebook
    }
    controls.append(row);
    follow();
  }
  use(rows[0].row);

  // However many parts of an answer arrive together, they are drawn once, and marks only over their own frame.
  let image = null;
  let framed = null;
  let dark = false;
  let due = false;
  function redraw() {
    if (due) return;
    due = true;
    queueMicrotask(async () => {
      due = false;
      const bytes = model.get("frame");
      if (bytes !== framed) {
        framed = bytes;
        image = null;
        const decoded = await createImageBitmap(new Blob([bytes], { type: "image/png" }));
        if (bytes !== framed) return; // a newer one is on its way
        image = decoded;
      }
      if (!image) return;
      paint();
      readOut();
    });
  }

  function paint() {
    const [width, height] = model.get("size");
    const scale = window.devicePixelRatio > 1 ? 2 : 1;
    if (canvas.width !== width * scale || canvas.height !== height * scale) {
      canvas.width = width * scale;
      canvas.height = height * scale;
      canvas.style.aspectRatio = `${width} / ${height}`;
      canvas.style.maxWidth = `${width}px`;
    }
    const context = canvas.getContext("2d");
    context.setTransform(scale, 0, 0, scale, 0, 0);
    context.drawImage(image, 0, 0, width, height);
    const bytes = model.get("data");
    const boxes = model.get("boxes");
    const ink = dark ? INK.dark : INK.light;
    for (const step of model.get("plan")) {
      context.save();
      context.beginPath();
      context.rect(...boxes[step.axes]);
      context.clip();
      if (step.kind === "cells") paintCells(context, bytes, step);
      else {
        const block = bytes.buffer.slice(bytes.byteOffset + step.at[0], bytes.byteOffset + step.at[0] + 4 * step.at[1]);
        painters[step.kind](context, new Float32Array(block), step, ink);
      }
      context.restore();
    }
    figure.setAttribute("aria-label", model.get("words"));
    canvas.dataset.answered = model.get("answered");
  }

  function readOut() {
    const lines = model.get("readout");
    while (readout.children.length > lines.length) readout.lastChild.remove();
    lines.forEach(([words, value, state], index) => {
      let line = readout.children[index];
      if (!line) {
        line = element("li");
        line.append(element("span", "rework-words"), element("strong", "rework-value"), element("span", "rework-state"));
        readout.append(line);
      }
      line.dataset.state = state;
      [words, value, state].forEach((text, part) => {
        if (line.children[part].textContent !== text) line.children[part].textContent = text;
      });
    });
  }

  function answered() {
    busy = false;
    redraw();
    if (waiting) {
      const settings = waiting;
      waiting = null;
      send(settings);
    }
  }

  function lookAtScreen() {
    dark = isDark(el);
    root.classList.toggle("rework-dark", dark);
    root.classList.toggle("rework-wide", el.clientWidth >= 1120);
    root.classList.toggle("rework-narrow", el.clientWidth > 0 && el.clientWidth < 560);
    const screen = { narrow: el.clientWidth > 0 && el.clientWidth < 560, dark, scale: window.devicePixelRatio > 1 ? 2 : 1 };
    const known = model.get("screen");
    if (screen.narrow !== known.narrow || screen.dark !== known.dark || screen.scale !== known.scale) {
      model.set("screen", screen);
      model.save_changes();
    }
  }

  model.on("change:answered", answered);
  for (const part of ["frame", "plan", "data", "words", "readout"]) model.on(`change:${part}`, redraw);
  const sizes = new ResizeObserver(lookAtScreen);
  sizes.observe(el);
  const height = new ResizeObserver(() => root.style.setProperty("--picture", `${figure.offsetHeight}px`));
  height.observe(figure);
  const theme = new MutationObserver(lookAtScreen);
  theme.observe(document.body, { attributes: true, attributeFilter: ["data-jp-theme-light", "class", "style"] });
  lookAtScreen();
  redraw();
  return () => {
    sizes.disconnect();
    height.disconnect();
    theme.disconnect();
  };
}

export default { render };
