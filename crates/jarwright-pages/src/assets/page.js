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
 * Asks again while something is changed, and puts the answer in its place.
 * @param {HTMLFormElement} form
 */
function askLive(form) {
  const place = document.getElementById("departed");
  /** @type {AbortController | undefined} */
  let asked;
  let resting = 0;
  const ask = async () => {
    asked?.abort();
    asked = new AbortController();
    const fields = new URLSearchParams();
    for (const [key, value] of new FormData(form)) if (typeof value === "string") fields.append(key, value);
    try {
      const answer = await fetch(`${form.dataset.ask}?${fields}`, { headers: { Accept: "text/html" }, signal: asked.signal });
      const fresh = new DOMParser().parseFromString(await answer.text(), "text/html");
      place?.replaceChildren(...fresh.body.childNodes);
    } catch (fault) {
      if (!(fault instanceof DOMException && fault.name === "AbortError")) throw fault;
    }
  };
  form.addEventListener("input", () => {
    clearTimeout(resting);
    resting = window.setTimeout(ask, REST_MS / 2);
  });
}

/**
 * Puts a slide under a number: the same number, under the finger.
 * @param {HTMLInputElement} number
 */
function slideUnder(number) {
  const slide = document.createElement("input");
  slide.type = "range";
  for (const key of ["min", "max", "step"]) slide.setAttribute(key, number.getAttribute(key) ?? "");
  slide.value = number.value || number.dataset.planned || "";
  slide.setAttribute("aria-label", number.labels?.[0]?.textContent ?? "");
  slide.addEventListener("input", () => {
    number.value = slide.value;
  });
  number.addEventListener("input", () => {
    slide.value = number.value || number.dataset.planned || "";
  });
  number.after(slide);
}

for (const form of document.querySelectorAll("form[data-live]")) if (form instanceof HTMLFormElement) answerLive(form);
for (const form of document.querySelectorAll("form[data-ask]")) if (form instanceof HTMLFormElement) askLive(form);
for (const number of document.querySelectorAll("[data-slide]")) if (number instanceof HTMLInputElement) slideUnder(number);
for (const button of document.querySelectorAll("[data-print]")) button.addEventListener("click", () => print());
watch();
