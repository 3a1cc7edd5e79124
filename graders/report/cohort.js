(() => {
  "use strict";
  const tools = document.querySelector(".tools");
  const lines = [...document.querySelectorAll("tr[data-n]")];
  const mapped = lines.filter((line) => line.closest(".heat"));
  const told = tools.querySelector("[role=status]");
  const [word, kind] = [tools.querySelector("input"), tools.querySelector("select")];

  const apart = { ø: "o", ł: "l", đ: "d", ð: "d", þ: "th", æ: "ae", œ: "oe", ı: "i", ħ: "h", ŧ: "t", ß: "ss" };

  function plain(words) {
    const letters = words.toLowerCase().replace(/[øłđðþæœıħŧß]/g, (letter) => apart[letter]);
    return letters.normalize("NFKD").replace(/\p{M}/gu, "");
  }

  const known = new Map(mapped.map((line) => [line.dataset.n, plain(`${line.cells[0].textContent} ${line.dataset.i}`)]));

  function filter() {
    const wanted = plain(word.value).split(/\s+/);
    for (const line of lines) {
      const whose = known.get(line.dataset.n) ?? plain(line.cells[0].textContent);
      const named = wanted.every((part) => whose.includes(part));
      const kinds = line.dataset.k;
      line.hidden = !named || (kind.value !== "" && kinds !== undefined && !kinds.split(" ").includes(kind.value));
    }
    const all = new Set(mapped.map((line) => line.dataset.n));
    const shown = new Set(mapped.filter((line) => !line.hidden).map((line) => line.dataset.n));
    told.textContent = `${shown.size} of ${all.size} learners shown`;
  }

  function key(line, column) {
    const shown = line.cells[column].textContent.trim();
    const value = parseFloat(shown.replace("−", "-"));
    return Number.isNaN(value) ? shown : value;
  }

  function compare(one, other) {
    if (typeof one === "number" && typeof other === "number") return one - other;
    if (typeof one !== typeof other) return typeof one === "number" ? -1 : 1;
    return one.localeCompare(other);
  }

  function sort(head) {
    const up = head.getAttribute("aria-sort") !== "ascending";
    for (const other of head.parentElement.cells) other.removeAttribute("aria-sort");
    head.setAttribute("aria-sort", up ? "ascending" : "descending");
    const body = head.closest("table").tBodies[0];
    const keyed = [...body.rows].map((line) => [key(line, head.cellIndex), line]);
    keyed.sort((one, other) => (up ? 1 : -1) * compare(one[0], other[0]));
    body.append(...keyed.map(([, line]) => line));
  }

  for (const head of document.querySelectorAll("th[data-sort]")) {
    const button = document.createElement("button");
    button.type = "button";
    button.append(...head.childNodes);
    button.addEventListener("click", () => sort(head));
    head.append(button);
  }
  word.addEventListener("input", filter);
  kind.addEventListener("change", filter);
  tools.hidden = false;
  filter();
})();
