// Saves each mark on the server that showed this page, and says what became of it. What is typed stays where it is
// until it is saved: nothing is lost when the server ends or the learner hands in again.
const MOST_BYTES = 95_000; // the server hangs up on a request of more than 100 kB, as if it had ended
(() => {
  const forms = [...document.querySelectorAll("form[data-id]")];
  const seen = document.getElementById("seen");
  const bank = document.getElementById("bank");
  let current = forms[0];

  for (const form of forms) {
    form.dataset.comment = form.elements.comment.value;
    form.addEventListener("focusin", () => (current = form));
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      save(form);
    });
    form.elements.comment.addEventListener("keydown", (event) => {
      if (event.key === "Enter" && event.ctrlKey) {
        event.preventDefault();
        save(form);
      }
    });
    form.elements.comment.addEventListener("input", () => expand(form.elements.comment));
  }

  bank.addEventListener("click", (event) => {
    const button = event.target.closest("button");
    if (!button || !current) return;
    add(current.elements.comment, button.textContent);
    current.elements.comment.focus();
  });

  addEventListener("beforeunload", (event) => {
    if (forms.some(changed)) event.preventDefault();
  });

  function changed(form) {
    const { points, comment } = form.elements;
    return points.value.trim().replace(",", ".") !== form.dataset.points || comment.value !== form.dataset.comment;
  }

  // "#2 " becomes the second comment of the list.
  function expand(field) {
    const found = field.value.match(/(^|\s)#(\d+)\s$/);
    const button = found && bank.children[Number(found[2]) - 1]?.querySelector("button");
    if (button) {
      field.value = field.value.slice(0, found.index);
      add(field, button.textContent);
    }
  }

  function add(field, words) {
    field.value = [field.value.trim(), words].filter(Boolean).join(" ");
  }

  async function save(form) {
    const { points, comment } = form.elements;
    const asked = {
      id: form.dataset.id,
      seen: form.dataset.seen,
      was: { points: form.dataset.points, comment: form.dataset.comment },
      points: points.value,
      comment: comment.value,
    };
    const body = JSON.stringify(asked);
    if (new TextEncoder().encode(body).length > MOST_BYTES) {
      return say(form, "Not saved: the comment is too long. What you typed stays here; make it shorter.", true);
    }
    let told;
    try {
      const reply = await fetch(location.pathname, {
        method: "POST",
        headers: { "Content-Type": "application/json", "X-Words": "mark" },
        body,
      });
      told = await reply.json();
    } catch {
      told = { say: "Not saved: the server does not answer. What you typed stays here; start graders words again." };
    }
    if (told.now) renew(form, told.now);
    if (told.say) return say(form, told.say, true);
    const typedOn = points.value !== asked.points || comment.value !== asked.comment;
    form.dataset.points = told.points;
    form.dataset.comment = told.comment;
    form.dataset.marked = told.points === "" ? "" : "yes";
    seen.textContent = told.seen;
    offer(told.bank);
    const saved = told.points === "" ? "Saved without points." : `Saved: ${told.points} of ${told.of}.`;
    if (typedOn) return say(form, `${saved} What you typed since is not saved yet.`, false);
    points.value = told.points;
    comment.value = told.comment;
    say(form, saved, false);
    follow(form);
  }

  function say(form, words, failed) {
    const line = form.querySelector("[role=status]");
    line.textContent = words;
    line.classList.toggle("failed", failed);
    if (failed) form.elements.points.focus();
  }

  // What stands on the server by now: a new answer, or a mark from elsewhere. What is typed here stays.
  function renew(form, now) {
    form.dataset.seen = now.seen;
    form.dataset.points = now.points;
    form.dataset.comment = now.comment;
    form.querySelector(".wrote").textContent = now.text;
  }

  function offer(comments) {
    bank.replaceChildren(
      ...comments.map((words) => {
        const button = document.createElement("button");
        button.type = "button";
        button.textContent = words;
        const line = document.createElement("li");
        line.append(button);
        return line;
      }),
    );
  }

  function follow(form) {
    const after = forms.indexOf(form) + 1;
    const next = [...forms.slice(after), ...forms.slice(0, after)].find((one) => !one.dataset.marked);
    next?.elements.points.focus();
  }
})();
