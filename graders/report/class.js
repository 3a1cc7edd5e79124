(() => {
  "use strict";
  const LIVE = "#live";
  const tools = document.querySelector(".live");
  const wanted = tools.querySelector("input");
  let waiting;

  function settle() {
    clearTimeout(waiting);
    location.hash = wanted.checked ? LIVE : "";
    if (wanted.checked) waiting = setTimeout(() => location.reload(), 30_000);
  }

  wanted.checked = location.hash === LIVE;
  wanted.addEventListener("change", settle);
  tools.hidden = false;
  if (wanted.checked) settle();
})();
