// What only a browser can do; every page works without this file.
"use strict";
// An answer that is a number cannot also be "could not see".
for (const question of document.querySelectorAll(".question")) {
  const count = question.querySelector("input[type=number]");
  const unseen = question.querySelector("input[type=checkbox]");
  if (count && unseen) {
    count.addEventListener("input", () => { if (count.value !== "") unseen.checked = false; });
    unseen.addEventListener("change", () => { if (unseen.checked) count.value = ""; });
  }
}
