// What a page does beside being read: forms answer while one types, changes made elsewhere are told,
// pictures step, sheets print. Every page works without it.
"use strict";

/** How long typing rests before the answer is asked for [ms]. */
const REST_MS = 250;

/**
 * Puts the answering parts of a page in place of those shown.
 * @param {string} html
 */
function showParts(html) {
  const answer = new DOMParser().parseFromString(html, "text/html");
  for (const shown of document.querySelectorAll("[data-part]")) {
    const fresh = answer.getElementById(shown.id);
    if (fresh && fresh.innerHTML !== shown.innerHTML) shown.replaceChildren(...fresh.childNodes);
  }
}

/**
 * Asks for the answer of a form while it is being filled in.
 * @param {HTMLFormElement} form
 */
function answerLive(form) {
  /** @type {AbortController | undefined} */
  let asked;
  let resting = 0;
  const ask = async () => {
    asked?.abort();
    asked = new AbortController();
    const fields = new URLSearchParams();
    for (const [key, value] of new FormData(form)) if (typeof value === "string") fields.append(key, value);
    try {
      const answer = await fetch(form.dataset.live ?? "", { method: "POST", body: fields, signal: asked.signal });
      showParts(await answer.text());
    } catch (fault) {
      if (!(fault instanceof DOMException && fault.name === "AbortError")) throw fault;
    }
  };
  form.addEventListener("input", () => {
    clearTimeout(resting);
    resting = window.setTimeout(ask, REST_MS);
  });
}

/** Tells when what this page shows was changed elsewhere. */
function watch() {
  const watched = document.querySelector("[data-watch]");
  if (!(watched instanceof HTMLElement)) return;
  const source = new EventSource("/changes");
  source.addEventListener("changed", (event) => {
    if (event.data.split(" ")[0] === watched.dataset.watch && event.data !== `${watched.dataset.watch} ${watched.dataset.number}`) {
      watched.hidden = false;
    }
  });
  addEventListener("pagehide", () => source.close());
}

/**
 * Shows one frame of a picture after another.
 * @param {HTMLElement} film
 */
function play(film) {
  const frames = [...film.querySelectorAll(".frame")];
  const slide = film.querySelector("input[type=range]");
  const button = film.querySelector("button");
  if (!(slide instanceof HTMLInputElement) || frames.length === 0) return;
  const show = () => frames.forEach((frame, i) => frame.setAttribute("visibility", i === Number(slide.value) ? "visible" : "hidden"));
  slide.addEventListener("input", show);
  let turning = 0;
  button?.addEventListener("click", () => {
    const on = turning === 0;
    button.setAttribute("aria-pressed", String(on));
    if (on) {
      turning = window.setInterval(() => {
        slide.value = String((Number(slide.value) + 1) % frames.length);
        show();
      }, 500);
    } else {
      clearInterval(turning);
      turning = 0;
    }
  });
  show();
}

for (const form of document.querySelectorAll("form[data-live]")) if (form instanceof HTMLFormElement) answerLive(form);
for (const film of document.querySelectorAll("[data-film]")) if (film instanceof HTMLElement) play(film);
for (const button of document.querySelectorAll("[data-print]")) button.addEventListener("click", () => print());
watch();
