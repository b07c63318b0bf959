// What only a browser can do; every page works without this file.
"use strict";
// An answer that is a number cannot also be "could not see".
for (const question of document.querySelectorAll(".question")) {
  const count = question.querySelector("input[inputmode=numeric]");
  const unseen = question.querySelector("input[type=checkbox]");
  if (count && unseen) {
    count.addEventListener("input", () => { if (count.value !== "") unseen.checked = false; });
    unseen.addEventListener("change", () => { if (unseen.checked) count.value = ""; });
    // Counting with a thumb while looking at the room.
    const step = (sign, name, by) => {
      const button = document.createElement("button");
      button.type = "button";
      button.className = "second step";
      button.textContent = sign;
      button.setAttribute("aria-label", name);
      button.addEventListener("click", () => {
        count.value = String(Math.max(0, (Number.parseInt(count.value, 10) || 0) + by));
        unseen.checked = false;
      });
      return button;
    };
    count.before(step("−", count.parentElement.dataset.less, -1));
    count.after(step("+", count.parentElement.dataset.more, 1));
  }
}
