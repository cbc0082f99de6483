// Steps the film of a jar: one frame and its line on the curves at a time. Without it the strip shows.
"use strict";
{
  /** How long a frame stays while the film runs [ms]. */
  const FRAME_MS = 700;

  /** @param {HTMLElement} film */
  const work = (film) => {
    const frames = [...film.querySelectorAll(".film-frame")];
    const cursors = [...film.querySelectorAll(".film-cursor")];
    const slide = film.querySelector(".film-at");
    const run = film.querySelector(".film-run");
    if (!(slide instanceof HTMLInputElement) || !(run instanceof HTMLButtonElement)) return;
    let turning = 0;
    const show = (/** @type {number} */ at) => {
      slide.value = String(at);
      frames.forEach((frame, i) => frame.toggleAttribute("hidden", i !== at));
      cursors.forEach((line, i) => line.setAttribute("visibility", i === at ? "visible" : "hidden"));
      slide.setAttribute("aria-valuetext", frames[at]?.getAttribute("data-told") ?? "");
    };
    const rest = () => {
      clearInterval(turning);
      turning = 0;
      run.setAttribute("aria-pressed", "false");
    };
    const go = (/** @type {number} */ by) => show((Number(slide.value) + by + frames.length) % frames.length);
    const step = (/** @type {string} */ key, /** @type {number} */ by) =>
      film.querySelector(key)?.addEventListener("click", () => {
        rest();
        go(by);
      });
    step(".film-back", -1);
    step(".film-on", 1);
    slide.addEventListener("input", () => {
      rest();
      show(Number(slide.value));
    });
    run.addEventListener("click", () => {
      if (turning !== 0) return rest();
      run.setAttribute("aria-pressed", "true");
      turning = window.setInterval(() => go(1), FRAME_MS);
    });
    film.classList.add("film-ready");
    show(0);
  };

  for (const film of document.querySelectorAll(".film")) if (film instanceof HTMLElement) work(film);
}
