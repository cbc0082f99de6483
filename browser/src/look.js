// Looks at a page as the tests ask; every function answers a list of faults in words.

const seen = (element) => {
  if (!element.checkVisibility({ visibilityProperty: true, opacityProperty: true })) return false;
  const box = element.getBoundingClientRect();
  return box.width > 1 && box.height > 1 && box.right > 0 && !element.closest(".unseen, svg");
};
const named = (element) => {
  const at = element.id ? `#${element.id}` : element.getAttribute("name") ?? element.className;
  return `${element.tagName.toLowerCase()} ${at} "${(element.innerText ?? "").trim().slice(0, 40)}"`;
};
const inScroller = (element) => {
  for (let at = element.parentElement; at; at = at.parentElement) {
    if (["auto", "scroll"].includes(getComputedStyle(at).overflowX)) return true;
  }
  return false;
};

const tooWide = () => {
  const wide = document.documentElement.clientWidth;
  if (document.documentElement.scrollWidth <= wide) return [];
  const causes = [...document.body.querySelectorAll("*")]
    .filter((element) => element.getBoundingClientRect().right > wide + 0.5)
    .filter((element) => !inScroller(element) || getComputedStyle(element).position === "absolute");
  return [`${document.documentElement.scrollWidth} px in ${wide} px: ${causes.slice(-3).map(named).join(" | ")}`];
};

const smallText = (least) => {
  const faults = new Set();
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  for (let node = walk.nextNode(); node; node = walk.nextNode()) {
    const owner = node.parentElement;
    if (!node.data.trim() || !owner || !seen(owner) || owner.closest("small, .band, sup, sub, math, svg")) continue;
    const size = parseFloat(getComputedStyle(owner).fontSize);
    if (size < least - 0.05) faults.add(`${size} px: ${named(owner)}`);
  }
  return [...faults];
};

const smallTargets = (least, atStove) => {
  const faults = [];
  for (const control of document.querySelectorAll("a[href], button, input:not([type=hidden]), select, textarea, summary, [tabindex='0']")) {
    if (!seen(control)) continue;
    const style = getComputedStyle(control);
    // A label around a box takes the hand too.
    const held = control.closest("label") ?? (control.id && document.querySelector(`label[for="${CSS.escape(control.id)}"]:has(+ #${CSS.escape(control.id)})`)) ?? control;
    const box = (held || control).getBoundingClientRect();
    const inLine = style.display === "inline";
    const height = inLine ? Math.max(box.height, parseFloat(style.lineHeight) || 0) : box.height;
    const stove = control.closest("[data-stove]");
    const wanted = stove ? atStove : least;
    if (height < wanted - 0.5 || (!inLine && box.width < wanted - 0.5)) {
      faults.push(`${Math.round(box.width)} x ${Math.round(height)} px, ${wanted} wanted: ${named(control)}`);
    }
  }
  return faults;
};

const inline = () => {
  const faults = [];
  for (const element of document.querySelectorAll("*")) {
    for (const { name } of element.attributes) {
      if (name === "style" || /^on/.test(name)) faults.push(`${name} on ${named(element)}`);
    }
    if (element.tagName === "SCRIPT" && !element.src) faults.push("a script in the page");
  }
  return faults;
};

const focus = () => {
  const element = document.activeElement;
  if (!element || element === document.body) return ["out"];
  const style = getComputedStyle(element);
  const width = parseFloat(style.outlineWidth);
  if (style.outlineStyle === "none" || width < 2) return [`no outline: ${named(element)}`];
  const box = element.getBoundingClientRect();
  const out = box.bottom < 0 || box.top > innerHeight || box.right < 0 || box.left > innerWidth;
  return out ? [`in focus outside the window: ${named(element)}`] : [];
};
