"use strict";
(function () {
  const form = document.getElementById("search");
  const field = document.getElementById("words");
  const found = document.getElementById("found");
  const items = Array.from(document.querySelectorAll(".item"), (element) => ({
    element,
    text: plain(element.textContent),
    heading: plain(headingOf(element)),
  }));
  const parts = Array.from(document.querySelectorAll("main section, main .kind, main .scroll"));
  function plain(text) {
    return text.replace(/\s+/g, " ").toLowerCase();
  }
  function headingOf(element) {
    const subject = element.closest(".subject");
    return subject ? subject.querySelector("h3").textContent : "";
  }
  function search() {
    const words = plain(field.value).split(" ").filter(Boolean);
    let count = 0;
    for (const item of items) {
      const shown = words.every((word) => item.text.includes(word) || item.heading.includes(word));
      item.element.hidden = !shown;
      count += shown ? 1 : 0;
    }
    for (const part of parts) {
      part.hidden = words.length > 0 && !part.querySelector(".item:not([hidden])");
    }
    found.textContent = words.length ? count + " found" : "";
  }
  function showTarget() {
    const target = location.hash.length > 1 ? document.getElementById(location.hash.slice(1)) : null;
    if (target && (target.hidden || target.closest("[hidden]"))) {
      field.value = "";
      search();
      target.scrollIntoView();
    }
  }
  form.hidden = false;
  form.addEventListener("submit", (event) => event.preventDefault());
  field.addEventListener("input", search);
  window.addEventListener("hashchange", showTarget);
})();
