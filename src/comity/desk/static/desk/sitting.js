// A sitting: the time counts down, and answers that a lost network held back are sent again.
// Without this script every page of a sitting works through its forms and links just the same.
"use strict";

(() => {
  const RETRY = 4000;
  const PUT_RIGHT = 60000;
  const say = (text) => {
    const place = document.getElementById("said");
    if (place) place.textContent = text;
  };

  // ------------------------------------------------------------------------------- the time

  const time = document.getElementById("time");
  const clock = time && time.querySelector(".exam-clock");
  let ends = 0;
  let isOver = false;

  const words = (seconds) => {
    const two = (n) => String(n).padStart(2, "0");
    const hours = Math.floor(seconds / 3600);
    const minutes = Math.floor(seconds / 60) % 60;
    return hours ? `${hours}:${two(minutes)}:${two(seconds % 60)}` : `${minutes}:${two(seconds % 60)}`;
  };

  const leave = () => {
    // What is still on its way decides at the server; a page that waits for the network stays.
    if (isOver || lost().length) return;
    isOver = true;
    window.location.assign(time.dataset.over);
  };

  let before = Infinity;
  const tick = () => {
    const left = Math.max(0, Math.round((ends - performance.now()) / 1000));
    clock.textContent = words(left);
    time.classList.toggle("is-short", left <= 300);
    for (const minutes of time.dataset.sayAt.split(",").map(Number)) {
      if (before > minutes * 60 && left <= minutes * 60 && left > 0 && before !== Infinity) {
        say(minutes === 1 ? time.dataset.one : `${minutes} ${time.dataset.many}`);
      }
    }
    before = left;
    if (left === 0) putRight();
  };

  // The server's clock is the one that counts; ours may stand still while a machine sleeps.
  let asking = false;
  const putRight = async () => {
    if (asking || isOver) return;
    asking = true;
    try {
      const answer = await fetch(time.dataset.ask, {headers: {Accept: "application/json"}});
      if (answer.ok) {
        const {seconds, over} = await answer.json();
        ends = performance.now() + seconds * 1000;
        if (over) leave();
      }
    } catch {
      // No network: the time goes on as it was last known.
    } finally {
      setTimeout(() => { asking = false; }, 1000);
    }
  };

  if (clock) {
    ends = performance.now() + Number(time.dataset.seconds) * 1000;
    tick();
    setInterval(tick, 1000);
    setInterval(putRight, PUT_RIGHT);
    window.addEventListener("pageshow", (event) => { if (event.persisted) putRight(); });
    document.addEventListener("visibilitychange", () => { if (!document.hidden) putRight(); });
  }

  // ------------------------------------------------------------------- answers on their way

  const forms = () => [...document.querySelectorAll("form[data-answer]")];
  const lost = () => forms().filter((form) => form.dataset.lostNow);
  const waiting = () => forms().filter((form) => form.dataset.lostNow || form.dataset.onTheWay);

  const place = (form) => document.getElementById(`saved-${form.dataset.number}`);

  const tell = (form) => {
    const line = document.createElement("p");
    line.className = "error";
    line.textContent = form.dataset.asked ? form.dataset.wait : form.dataset.lost;
    place(form).replaceChildren(line);
  };

  const again = (form) => {
    if (form.dataset.lostNow) htmx.trigger(form, "again");
  };

  const failed = (event) => {
    const form = event.target.closest("form[data-answer]");
    if (!form) return;
    event.stopPropagation(); // the desk's own word for it would say that nothing can be done
    delete form.dataset.onTheWay;
    form.dataset.lostNow = "yes";
    tell(form);
    setTimeout(() => again(form), RETRY);
  };

  const arrived = (event) => {
    const form = event.target.closest("form[data-answer]");
    if (!form) return;
    const status = event.detail.xhr.status;
    if (!status) return;
    if (status < 500) {
      for (const mark of ["lostNow", "onTheWay", "asked"]) delete form.dataset[mark];
    }
    if (status >= 400) return;
    const link = document.getElementById(`place-${form.dataset.number}`);
    const kept = document.querySelector(`[data-kept="${form.dataset.number}"]`);
    if (link && kept) link.classList.toggle("is-answered", kept.dataset.blank === "no");
  };

  for (const form of forms()) {
    form.addEventListener("htmx:beforeRequest", () => { form.dataset.onTheWay = "yes"; });
    form.addEventListener("htmx:sendError", failed);
    form.addEventListener("htmx:timeout", failed);
    form.addEventListener("htmx:responseError", (event) => {
      if (event.detail.xhr.status >= 500) failed(event);
    });
    form.addEventListener("htmx:afterRequest", arrived);
    // Enter in a field must not leave the page before what is on its way has arrived.
    form.addEventListener("submit", (event) => {
      if (form.dataset.lostNow || !navigator.onLine) {
        event.preventDefault();
        form.dataset.asked = "yes";
        tell(form);
        again(form);
      }
    });
  }
  window.addEventListener("online", () => lost().forEach(again));

  document.addEventListener("click", (event) => {
    const link = event.target.closest("a[href], form[data-flag] button");
    const [form] = lost();
    if (!link || !form || link.getAttribute("href")?.startsWith("#")) return;
    event.preventDefault();
    form.dataset.asked = "yes";
    tell(form);
    again(form);
  }, true);
  window.addEventListener("beforeunload", (event) => {
    if (waiting().length && !isOver) event.preventDefault();
  });

  // A flag that was set shows in the list of questions, too, and keeps the focus.
  document.addEventListener("htmx:afterSwap", (event) => {
    const flag = event.target.closest?.("form[data-flag]") || event.detail.elt?.closest?.("form[data-flag]");
    if (!flag) return;
    const link = document.getElementById(`place-${flag.dataset.flag}`);
    if (link) link.classList.toggle("is-flagged", flag.dataset.flagged === "yes");
    flag.querySelector("button").focus();
  });
})();
