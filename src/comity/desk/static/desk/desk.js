// Small conveniences; every page works without them. No state is kept in the browser.
"use strict";

(() => {
  const said = () => document.getElementById("said");

  const say = (text) => {
    const place = said();
    if (place) place.textContent = text;
  };

  const warn = (text) => {
    const place = document.getElementById("fault");
    if (!place) return;
    place.hidden = !text;
    place.textContent = text || "";
  };

  // The first thing that is amiss gets the focus, on a fresh page and in a fresh part of one.
  const focusOnError = (root) => {
    const first = root.querySelector('[data-focus], [aria-invalid="true"]');
    if (first) first.focus();
  };

  const copy = async (button) => {
    const source = document.getElementById(button.dataset.copy);
    const text = "value" in source ? source.value : source.textContent;
    try {
      await navigator.clipboard.writeText(text);
    } catch {
      source.focus();
      if (source.select) source.select();
      return;
    }
    const before = button.textContent;
    button.textContent = button.dataset.done || before;
    say(button.dataset.done || "");
    setTimeout(() => { button.textContent = before; }, 2500);
  };

  document.addEventListener("click", (event) => {
    const button = event.target.closest("[data-copy]");
    if (button) copy(button);
    for (const open of document.querySelectorAll("details[data-closes][open]")) {
      if (!open.contains(event.target)) open.open = false;
    }
  });

  document.addEventListener("keydown", (event) => {
    if (event.key !== "Escape") return;
    const open = document.querySelector("details[data-closes][open]");
    if (!open) return;
    open.open = false;
    open.querySelector("summary").focus();
  });

  // A question before what cannot be undone: <form data-ask="Really …?">.
  document.addEventListener("submit", (event) => {
    const question = event.target.dataset.ask;
    if (question && !window.confirm(question)) event.preventDefault();
  });

  document.addEventListener("htmx:beforeRequest", () => warn(""));
  document.addEventListener("htmx:responseError", () => warn(document.getElementById("fault").dataset.text));
  document.addEventListener("htmx:sendError", () => warn(document.getElementById("fault").dataset.text));
  document.addEventListener("htmx:afterSettle", (event) => {
    focusOnError(event.target);
    const words = event.target.querySelector("[data-say]") || event.target.closest("[data-say]");
    if (words) say(words.dataset.say);
  });

  document.addEventListener("DOMContentLoaded", () => focusOnError(document));
})();
