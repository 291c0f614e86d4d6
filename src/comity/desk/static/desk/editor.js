// Line numbers beside the text, marks on lines with problems, links that move the caret.
// Without this script the text can be written, checked and saved just the same.
"use strict";

(() => {
  const frame = document.querySelector("[data-editor]");
  if (!frame) return;
  const text = frame.querySelector("textarea");
  const lines = frame.querySelector("pre");
  const links = () => [...document.querySelectorAll("#problems [data-line]")];
  let shown = 0;

  const number = () => {
    const n = text.value.split("\n").length;
    if (n === shown) return;
    shown = n;
    lines.replaceChildren(...Array.from({length: n}, (_each, at) => {
      const line = document.createElement("span");
      line.textContent = `${at + 1}\n`;
      return line;
    }));
    mark();
  };

  const mark = () => {
    const amiss = new Set(links().map((each) => Number(each.dataset.line)));
    [...lines.children].forEach((line, at) => line.classList.toggle("is-amiss", amiss.has(at + 1)));
  };

  const follow = () => { lines.scrollTop = text.scrollTop; };

  const go = (line, column) => {
    const rows = text.value.split("\n");
    const before = rows.slice(0, line - 1).reduce((sum, row) => sum + row.length + 1, 0);
    const at = before + Math.min(column - 1, (rows[line - 1] || "").length);
    const height = parseFloat(getComputedStyle(text).lineHeight);
    text.focus();
    text.setSelectionRange(at, before + (rows[line - 1] || "").length);
    text.scrollTop = Math.max(0, (line - 6) * height);
    follow();
  };

  document.addEventListener("click", (event) => {
    const link = event.target.closest("#problems [data-line]");
    if (!link) return;
    event.preventDefault();
    go(Number(link.dataset.line), Number(link.dataset.column));
  });

  // The numbers are as high as the text, however the reader draws its frame.
  new ResizeObserver(() => { lines.style.blockSize = `${text.clientHeight}px`; follow(); }).observe(text);
  text.addEventListener("scroll", follow);
  text.addEventListener("input", number);
  document.addEventListener("htmx:afterSettle", mark);

  let kept = text.value;
  text.form.addEventListener("submit", () => { kept = text.value; });
  window.addEventListener("beforeunload", (event) => {
    if (text.value !== kept) event.preventDefault();
  });

  lines.hidden = false;
  number();
})();
