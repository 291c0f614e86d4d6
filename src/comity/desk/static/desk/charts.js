// Draws the page's charts: <div data-chart="ID" tabindex="0" role="img" aria-label="…"></div> beside
// <script type="application/json" id="ID">a Vega specification</script>. Expressions are read by
// Vega's interpreter, so the page needs no leave to evaluate text; nothing is fetched.
"use strict";

(() => {
  const views = new WeakMap();
  const no = () => Promise.reject(new Error("charts bring their own data"));
  const loader = { load: no, sanitize: no, http: no, file: no };

  const word = () => {
    let box = document.querySelector(".chart-word");
    if (!box) {
      box = document.createElement("div");
      box.className = "chart-word";
      box.hidden = true;
      document.body.append(box);
    }
    return box;
  };

  const inWords = (value) => {
    if (value === null || value === undefined || value === "") return "";
    if (typeof value !== "object") return String(value);
    return Object.entries(value).map(([key, each]) => `${key}: ${each}`).join("\n");
  };

  const hide = () => { word().hidden = true; };

  const show = (text, left, top) => {
    const box = word();
    box.textContent = text;
    box.hidden = !text;
    const room = document.documentElement.getBoundingClientRect().width;
    const { width, height } = box.getBoundingClientRect();
    box.style.left = `${Math.max(4, Math.min(left + 12, room - width - 4))}px`;
    box.style.top = `${top + height + 20 > window.innerHeight ? top - height - 8 : top + 14}px`;
  };

  // Marks that have something to say, in the order in which they are drawn, with their places.
  const speaking = (item, x, y, found) => {
    for (const each of item.items || []) {
      if (each.marktype) {
        speaking(each, x, y, found);
        continue;
      }
      const text = inWords(each.tooltip);
      if (text) found.push({ text, x: x + each.bounds.x1, y: y + each.bounds.y1 });
      if (each.items) speaking(each, x + (each.x || 0), y + (each.y || 0), found);
    }
    return found;
  };

  const walk = (place, view, step) => {
    const all = speaking(view.scenegraph().root, 0, 0, []);
    if (!all.length) return;
    const at = (Number(place.dataset.at ?? (step > 0 ? -1 : 0)) + step + all.length) % all.length;
    place.dataset.at = at;
    const drawn = place.querySelector("svg, canvas").getBoundingClientRect();
    const [left, top] = view.origin();
    show(all[at].text, drawn.left + left + all[at].x, drawn.top + top + all[at].y);
    const said = document.getElementById("said");
    if (said) said.textContent = all[at].text;
  };

  const onKey = (event) => {
    const place = event.currentTarget;
    const steps = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 };
    if (event.key === "Escape") hide();
    if (!(event.key in steps)) return;
    event.preventDefault();
    walk(place, views.get(place), steps[event.key]);
  };

  const fits = (spec) => String(spec.autosize?.type ?? spec.autosize ?? "").startsWith("fit");

  const mount = (place) => {
    const data = document.getElementById(place.dataset.chart);
    if (!data || views.has(place)) return;
    const spec = JSON.parse(data.textContent);
    const view = new vega.View(vega.parse(spec, null, { ast: true }), {
      expr: vega.expressionInterpreter,
      renderer: "svg",
      loader,
      hover: true,
      tooltip: (_handler, event, _item, value) => {
        const text = inWords(value);
        if (text) show(text, event.clientX, event.clientY); else hide();
      },
    });
    views.set(place, view);
    if (fits(spec)) view.width(place.clientWidth);
    view.initialize(place).runAsync();
    place.addEventListener("keydown", onKey);
    place.addEventListener("blur", hide);
  };

  const each = (root, act) => {
    if (root.matches?.("[data-chart]")) act(root);
    for (const place of root.querySelectorAll("[data-chart]")) act(place);
  };

  document.addEventListener("DOMContentLoaded", () => each(document, mount));
  document.addEventListener("htmx:load", (event) => each(event.detail.elt, mount));
  document.addEventListener("htmx:beforeCleanupElement", (event) => {
    const view = views.get(event.detail.elt);
    if (view) view.finalize();
    hide();
  });
})();
